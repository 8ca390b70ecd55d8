"""Loads at every settable turn: summaries, and the pictures of them."""

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest
from leeward.contact.section import section_outline
from leeward.exchange.load_summary import LoadSummary, SiteLoadRow, summarise
from leeward.exchange.new_file import replace_whole
from leeward.exchange.pictures.body_map import SiteLoad, body_map
from leeward.exchange.pictures.load_curve import SiteCurve, TurnLoad, load_curve
from leeward.exchange.pictures.section import section
from leeward.exchange.pictures.section_view import view_of_outline
from leeward.exchange.pictures.stability_strip import StabilityStrip, stability_strip
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Posture, turn_in_words
from leeward.terms.site import Site
from leeward.terms.units import pascal_from_mmhg, radians_from_deg

#: Sites shown where none are named.
#: Source: convention of this project, the sites a turn loads and relieves most.
USUAL_SITES = (
    Site.SACRUM,
    Site.LEFT_BUTTOCK,
    Site.RIGHT_BUTTOCK,
    Site.LEFT_TROCHANTER,
    Site.RIGHT_TROCHANTER,
    Site.LEFT_HEEL,
    Site.RIGHT_HEEL,
)

#: Parts the section is cut at; the heels by the foot whose middle the cut goes through.
SECTION_PARTS = ("pelvis", "thorax", "left foot")


def summarise_sweep(table: LoadTable) -> tuple[LoadSummary, ...]:
    """Sum up every posture of a table, in its order."""
    return tuple(summarise(table, posture) for posture in table.postures)


def curves_of(found: Sequence[LoadSummary], sites: Sequence[Site]) -> tuple[SiteCurve, ...]:
    """Take chosen sites of a sweep as the load curve's input."""
    return tuple(
        SiteCurve(site, tuple(_turn_load(summary, site) for summary in found)) for site in sites
    )


def _turn_load(summary: LoadSummary, site: Site) -> TurnLoad:
    load = _site_load(next(row for row in summary.sites if row.site is site))
    return TurnLoad(
        turn=radians_from_deg(summary.surface_turn_deg),
        patch_load=load.patch_load,
        low=load.low,
        high=load.high,
        is_stable=summary.is_stable,
    )


def strip_of(table: LoadTable) -> StabilityStrip:
    """Take a table solved at several frictions as the stability strip's input."""
    return StabilityStrip(
        turns=tuple(posture.turn for posture in table.postures),
        frictions=tuple(draw.friction for draw in table.scenarios),
        states=tuple(
            tuple(EquilibriumState(int(state)) for state in row) for row in np.asarray(table.state)
        ),
    )


def write_sweep_pictures(
    folder: Path, found: Sequence[LoadSummary], frictions: LoadTable, sites: Sequence[Site]
) -> tuple[Path, ...]:
    """Write the load curve and the stability strip, each whole or not at all."""
    return _written(
        folder,
        {
            "load-against-turn.svg": load_curve(curves_of(found, sites)),
            "stability.svg": stability_strip(strip_of(frictions)),
        },
    )


def write_posture_pictures(
    folder: Path, request: LoadRequest, table: LoadTable, posture: Posture
) -> tuple[Path, ...]:
    """Write the sections and the body map of one posture, each whole or not at all."""
    state = table.state[:, table.position(posture)]
    # A body that leaves the bed in one draw is not drawn lying in another.
    draw = int(np.argmax(state != EquilibriumState.STABLE))
    cuts = (section_outline(request, table, draw, posture, part) for part in SECTION_PARTS)
    found = summarise(table, posture)
    caption = f"{turn_in_words(posture.turn)}."
    loads = [_site_load(row) for row in found.sites]
    if not found.is_stable:
        caption += " Not a place to lie: not stable in every draw."
        loads = [SiteLoad(row.site, None) for row in found.sites]
    return _written(
        folder,
        {
            "section.svg": section(tuple(view_of_outline(cut) for cut in cuts)),
            "body-map.svg": body_map(loads, caption=caption),
        },
    )


def _written(folder: Path, pictures: dict[str, str]) -> tuple[Path, ...]:
    folder.mkdir(parents=True, exist_ok=True)
    for name, drawn in pictures.items():
        replace_whole(folder / name, drawn.encode())
    return tuple(folder / name for name in pictures)


def _site_load(row: SiteLoadRow) -> SiteLoad:
    pressures = (
        None if value is None else pascal_from_mmhg(value)
        for value in (row.load_mmhg, row.low_mmhg, row.high_mmhg)
    )
    return SiteLoad(row.site, *pressures)
