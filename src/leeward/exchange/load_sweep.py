"""Loads at every settable turn: summaries, and the pictures of them."""

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

import numpy as np

from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest
from leeward.contact.pressure_map import PressureMap
from leeward.contact.section import section_outline
from leeward.exchange.load_summary import (
    LoadSummary,
    SiteLoadRow,
    summarise,
    with_bands,
    with_edges,
)
from leeward.exchange.new_file import replace_whole
from leeward.exchange.pictures.body_map import SiteLoad, body_map
from leeward.exchange.pictures.load_curve import SiteCurve, TurnLoad, load_curve
from leeward.exchange.pictures.page import WALL, Picture, page_of_pictures
from leeward.exchange.pictures.pressure_map import pressure_map
from leeward.exchange.pictures.section import section
from leeward.exchange.pictures.section_view import view_of_outline
from leeward.exchange.pictures.stability_strip import StabilityStrip, stability_strip
from leeward.exchange.pictures.words import OWN_SIDES
from leeward.exchange.pressure_summary import grid_of
from leeward.records.canonical import to_plain
from leeward.terms.case import Case
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Posture
from leeward.terms.site import Site
from leeward.terms.units import pascal_from_mmhg, radians_from_deg
from leeward.tissue.drawn_ratios import DrawnBands
from leeward.tissue.standing_correction import correction_in_words

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


def summarise_sweep(
    table: LoadTable,
    postures: Sequence[Posture] | None = None,
    bands: DrawnBands | None = None,
    case: Case | None = None,
) -> tuple[LoadSummary, ...]:
    """Sum up postures of a table, all of them if none are named.

    With the bands that are given; with the case also what lies at the edges, and which measured
    map corrected the model.
    """
    asked = table.postures if postures is None else postures
    found = [summarise(table, posture) for posture in asked]
    if case is not None:
        said = correction_in_words(case.correction)
        found = [
            replace(with_edges(one, case, table, where), corrected_by=said)
            for one, where in zip(found, asked, strict=True)
        ]
    if bands is None:
        return tuple(found)
    return tuple(with_bands(one, bands, where) for one, where in zip(found, asked, strict=True))


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


def sweep_pictures(
    found: Sequence[LoadSummary], frictions: LoadTable, sites: Sequence[Site]
) -> dict[str, Picture]:
    """The load curve and the stability strip, by their files' names."""
    return {
        "load-against-turn": Picture(
            "Load of a site against the turn", partial(_curve, curves_of(found, sites))
        ),
        "stability": Picture(
            "Where the body rests: turn against friction", partial(_strip, strip_of(frictions))
        ),
    }


def _curve(curves: tuple[SiteCurve, ...], width: float) -> str:
    return load_curve(curves, width=width)


def _strip(strip: StabilityStrip, width: float) -> str:
    return stability_strip(strip, width=width)


@dataclass(frozen=True, slots=True)
class PostureShown:
    """One posture and everything its pictures show.

    Parameters
    ----------
    request : LoadRequest
        What its loads were computed from.
    table : LoadTable
        Its loads.
    posture : Posture
        Which.
    found : LoadSummary
        The same in numbers, with the bands that are shown.
    pressures : PressureMap or None
        Its pressure map, where asked for.
    headline : str
        Sentence over the section.
    """

    request: LoadRequest
    table: LoadTable
    posture: Posture
    found: LoadSummary
    pressures: PressureMap | None = None
    headline: str = ""


def posture_pictures(shown: PostureShown) -> dict[str, Picture]:
    """Everything drawn of one posture, by its file's name."""
    request, table, posture, found = shown.request, shown.table, shown.posture, shown.found
    draw = table.first_unstable(posture)
    cuts = [section_outline(request, table, draw, posture, part) for part in SECTION_PARTS]
    views = tuple(view_of_outline(cut) for cut in cuts)
    caption = f"{found.posture[0].upper()}{found.posture[1:]}."
    loads = [_site_load(row) for row in found.sites]
    if not found.is_stable:
        caption += " Not a place to lie: not stable in every draw."
        loads = [SiteLoad(row.site, None) for row in found.sites]
    corrected = (found.corrected_by,) if found.corrected_by else ()
    caption = " ".join((caption, *corrected))

    def cut_across(width: float) -> str:
        return section(views, headline=shown.headline, notes=corrected, width=width)

    def loads_on_the_body(width: float) -> str:
        return body_map(loads, caption=caption, width=width)

    pictures = {
        "section": Picture("Bed and body cut across", cut_across, WALL),
        "body-map": Picture("Load at each site", loads_on_the_body),
    }
    pressures = shown.pressures
    if pressures is not None:

        def pressed(width: float) -> str:
            return pressure_map(pressures, notes=corrected, width=width)

        pictures["pressure-map"] = Picture("Pressure on the skin", pressed)
    return pictures


def write_pictures(
    folder: Path, title: str, pictures: dict[str, Picture], pressures: PressureMap | None = None
) -> tuple[Path, ...]:
    """Write pictures, a page of them all, and pressures as numbers; each whole or not at all.

    Parameters
    ----------
    folder : Path
        Made where it is missing.
    title : str
        Title of the page.
    pictures : dict of str to Picture
        By file name, without its ending.
    pressures : PressureMap or None
        The numbers of the pressure map.

    Returns
    -------
    tuple of Path
        What was written; the page last. A picture's own file has one width, and shrinks with
        the window that shows it.
    """
    files = {f"{name}.svg": one.draw(one.widest) for name, one in pictures.items()}
    if pressures is not None:
        grid = to_plain(grid_of(pressures))
        files["pressure-map.json"] = json.dumps(grid, allow_nan=False) + "\n"
    notes = (OWN_SIDES, "Computed, not measured, and not validated on people who cannot move.")
    files["pictures.html"] = page_of_pictures(title, notes, tuple(pictures.values()))
    folder.mkdir(parents=True, exist_ok=True)
    for name, content in files.items():
        replace_whole(folder / name, content.encode())
    return tuple(folder / name for name in files)


def _site_load(row: SiteLoadRow) -> SiteLoad:
    load, low, high = (
        None if value is None else pascal_from_mmhg(value)
        for value in (row.load_mmhg, row.low_mmhg, row.high_mmhg)
    )
    return SiteLoad(row.site, load, low, high, row.ratio, row.ratio_low, row.ratio_high)
