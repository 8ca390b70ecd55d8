"""Loads at one posture as numbers for a screen: field units, bands, states in words."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from leeward.contact.drawn_loads import StabilityShare
from leeward.contact.load_table import LoadTable
from leeward.exchange.pictures.words import posture_text
from leeward.fitting.edges import edge_place, edge_reasons
from leeward.terms.case import Case
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Posture
from leeward.terms.site import Site
from leeward.terms.units import deg_from_radians, mm_from_metres, mmhg_from_pascal
from leeward.tissue.drawn_ratios import DrawnBands
from leeward.tissue.reference_load import load_ratios

Array = NDArray[np.float64]

LEVEL = Posture()

#: What each state means, in words a practitioner can act on.
STATE_WORDS = {
    EquilibriumState.STABLE: "stable",
    EquilibriumState.SLIDES: "slides: friction does not hold the person there",
    EquilibriumState.TIPS: "tips: the person rolls on without support at the side",
    EquilibriumState.NOT_SOLVED: "not solved: no statement is possible",
    EquilibriumState.NOT_MODELLED: "not modelled",
    EquilibriumState.OVER_EDGE: "over the edge: trunk or head lies beyond the platform",
}


@dataclass(frozen=True, slots=True)
class SiteLoadRow:
    """Patch load of one site.

    Parameters
    ----------
    site : Site
        Where.
    load_mmhg, low_mmhg, high_mmhg : float or None
        Mean pressure over a 60 mm patch, central and over the draws; None where unknown.
    ratio, ratio_low, ratio_high : float or None
        Load ratio q against the same person lying level on this bed, each draw against itself;
        None where unknown, or where level was not asked for.
    """

    site: Site
    load_mmhg: float | None
    low_mmhg: float | None
    high_mmhg: float | None
    ratio: float | None = None
    ratio_low: float | None = None
    ratio_high: float | None = None


@dataclass(frozen=True, slots=True)
class DrawnSummary:
    """What bands over draws rest on.

    Parameters
    ----------
    draws, solved : int
        Draws in all, and those solved directly.
    error : float or None
        What an answer for the others is off by against a direct solve, load ratio, 95 %; None
        where there is no band.
    stable : int
        Draws solved in which the posture is a place to lie.
    """

    draws: int
    solved: int
    error: float | None
    stable: int


@dataclass(frozen=True, slots=True)
class LoadSummary:
    """Where the load lies at one posture.

    Parameters
    ----------
    posture : str
        In words, with the side raised.
    surface_turn_deg, pelvis_roll_deg, thorax_roll_deg : float or None
        Surface and body in the room, side by side; None where not stable.
    pelvis_roll_low_deg, pelvis_roll_high_deg : float or None
        Band over the draws.
    state : str
        Over all draws, in words.
    is_stable : bool
        Stable in every draw: the only state that is a place to lie.
    unstable_draws : tuple of str
        Draws in which it is not, and what happens there.
    edge_distance_mm : float or None
        From the outermost skin but the arms' to the platform's nearer edge, least over the draws.
    friction_demand : float or None
        Share of the friction used, largest over the draws.
    margin : float or None
        Stability margin, least over the draws.
    patch : str
        Cell over which loads are averaged.
    sites : tuple of SiteLoadRow
        Every site.
    drawn : DrawnSummary or None
        What the bands rest on; None: on seventeen fixed scenarios.
    corrected_by : str or None
        Says that, and by which measured map, the model was corrected.
    hips_moved_mm, hips_moved_low_mm, hips_moved_high_mm : float or None
        How far the hips have moved along the bed from where they lie flat, positive towards the
        head; None on a flat bed, and where the posture is not stable.
    edge : str
        Where trunk, head and legs lie to the platform's edges; empty where nobody asked.
    edge_reasons : tuple of str
        What lies at the edge or beyond it, arms laid out among it, and what a rail would bear.
    """

    posture: str
    surface_turn_deg: float
    pelvis_roll_deg: float | None
    pelvis_roll_low_deg: float | None
    pelvis_roll_high_deg: float | None
    thorax_roll_deg: float | None
    state: str
    is_stable: bool
    unstable_draws: tuple[str, ...]
    edge_distance_mm: float | None
    friction_demand: float | None
    margin: float | None
    patch: str
    sites: tuple[SiteLoadRow, ...]
    drawn: DrawnSummary | None = None
    corrected_by: str | None = None
    hips_moved_mm: float | None = None
    hips_moved_low_mm: float | None = None
    hips_moved_high_mm: float | None = None
    edge: str = ""
    edge_reasons: tuple[str, ...] = ()


def summarise(table: LoadTable, posture: Posture) -> LoadSummary:
    """Sum up one posture of a load table."""
    number = table.position(posture)
    state = table.state_everywhere(posture)
    roll = np.array([deg_from_radians(float(x)) for x in table.pelvis_roll_room[:, number]])
    thorax = deg_from_radians(float(table.thorax_roll_room[0, number]))
    loads, ratios = table.patch_load[:, number], _ratios(table, number)
    moved = _hips_moved_mm(table, posture)
    return LoadSummary(
        posture=posture_text(posture),
        surface_turn_deg=deg_from_radians(posture.turn),
        pelvis_roll_deg=_known(roll[0]),
        pelvis_roll_low_deg=_least(roll),
        pelvis_roll_high_deg=_least(-roll, sign=-1.0),
        thorax_roll_deg=_known(thorax),
        state=STATE_WORDS[state],
        is_stable=state is EquilibriumState.STABLE,
        unstable_draws=_unstable_draws(table, number),
        edge_distance_mm=_least(
            np.array([mm_from_metres(float(x)) for x in table.edge_distance[:, number]])
        ),
        friction_demand=_least(-table.friction_demand[:, number], sign=-1.0),
        margin=_least(table.margin[:, number]),
        patch="mean over a 60 mm patch",
        sites=tuple(
            _row(site, loads[:, column], ratios[:, column])
            for column, site in enumerate(table.sites)
        ),
        hips_moved_mm=_known(moved[0]),
        hips_moved_low_mm=_least(moved),
        hips_moved_high_mm=_least(-moved, sign=-1.0),
    )


def with_edges(found: LoadSummary, case: Case, table: LoadTable, posture: Posture) -> LoadSummary:
    """Say besides what lies at the platform's edges."""
    reasons = edge_reasons(case, table, posture)
    return replace(
        found,
        edge=edge_place(case, table, posture).value,
        edge_reasons=tuple(reason.sentence for reason in reasons),
    )


def _hips_moved_mm(table: LoadTable, posture: Posture) -> Array:
    """Along the bed against lying flat, one for each draw; NaN on a flat bed. [mm]"""
    flat = posture.backrest == posture.knee_raise == posture.head_up == 0.0
    along = table.pose.place[:, table.position(posture), 1]
    if flat or LEVEL not in table.postures:
        return np.full_like(along, np.nan)
    lain = table.pose.place[:, table.position(LEVEL), 1]
    return np.array([mm_from_metres(float(moved)) for moved in along - lain])


def _ratios(table: LoadTable, number: int) -> Array:
    """Load ratios (d, s) against lying level on this bed; NaN where level is not known. [-]"""
    loads = table.patch_load[:, [number]]
    if LEVEL not in table.postures or table.state_everywhere(LEVEL) is not EquilibriumState.STABLE:
        return np.full_like(loads[:, 0], np.nan)
    level = table.patch_load[:, table.position(LEVEL)]
    return load_ratios(loads, level, table.sites)[:, 0]


def with_bands(found: LoadSummary, bands: DrawnBands, posture: Posture) -> LoadSummary:
    """Put the bands over draws in place of those over the fixed corners."""
    number = bands.postures.index(posture)
    share = bands.shares[number]
    sites = dict(zip(bands.sites, range(len(bands.sites)), strict=True))
    ended = [STATE_WORDS[state] for state in share.named]
    return replace(
        found,
        state=ended[0] if found.is_stable and ended else found.state,
        is_stable=found.is_stable and share.is_everywhere,
        unstable_draws=(*found.unstable_draws, *_ended_otherwise(share)),
        sites=tuple(_banded(row, bands, number, sites[row.site]) for row in found.sites),
        drawn=DrawnSummary(bands.draws, bands.solved, _known(bands.error), share.stable),
    )


def _ended_otherwise(share: StabilityShare) -> tuple[str, ...]:
    return tuple(
        f"{count} of {share.solved} draws solved: {STATE_WORDS[state]}"
        for state, count in share.named.items()
    )


def _banded(row: SiteLoadRow, bands: DrawnBands, number: int, site: int) -> SiteLoadRow:
    low, high = (
        mmhg_from_pascal(float(ends[number, site])) for ends in (bands.load_low, bands.load_high)
    )
    ratio = (float(ends[number, site]) for ends in (bands.ratio_low, bands.ratio_high))
    return SiteLoadRow(
        row.site, row.load_mmhg, *_around(row.load_mmhg, low, high),
        row.ratio, *_around(row.ratio, *ratio),
    )  # fmt: skip


def _around(central: float | None, low: float, high: float) -> tuple[float | None, float | None]:
    """A band holds its central value, though that is not one of the draws."""
    if central is None or not np.isfinite(low + high):
        return None, None
    return min(low, central), max(high, central)


def _unstable_draws(table: LoadTable, number: int) -> tuple[str, ...]:
    named = []
    for scenario, state in zip(table.scenarios, table.state[:, number], strict=True):
        if state != EquilibriumState.STABLE:
            named.append(f"{scenario.name}: {STATE_WORDS[EquilibriumState(int(state))]}")
    return tuple(named)


def _row(site: Site, loads: Array, ratios: Array) -> SiteLoadRow:
    in_mmhg = np.array([mmhg_from_pascal(float(load)) for load in loads])
    whole = bool(np.isfinite(in_mmhg).all())
    return SiteLoadRow(
        site=site,
        load_mmhg=_known(in_mmhg[0]),
        low_mmhg=float(in_mmhg.min()) if whole else None,
        high_mmhg=float(in_mmhg.max()) if whole else None,
        ratio=_known(ratios[0]),
        ratio_low=_least(ratios),
        ratio_high=_least(-ratios, sign=-1.0),
    )


def _known(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


def _least(values: np.ndarray, sign: float = 1.0) -> float | None:
    """Smallest value, None where any draw does not know it: no bound could be given."""
    return sign * float(values.min()) if bool(np.isfinite(values).all()) else None
