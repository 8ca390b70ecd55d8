"""Loads and load ratios over draws of everything nobody measured: bands, and their error."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from leeward.contact.bands import drawn_readings
from leeward.contact.corrected import corrected_body, corrected_scenario
from leeward.contact.drawn_loads import (
    DrawnLoads,
    StabilityShare,
    draw_requests,
    drawn_loads,
    stability_shares,
)
from leeward.contact.draws import Draw, draw_quantiles, draws
from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest, Solve
from leeward.terms.case import Case
from leeward.terms.posture import Posture
from leeward.terms.site import Site
from leeward.tissue.reference_load import common_reference, load_ratios

Array = NDArray[np.float64]

LEVEL = Posture()
#: Draws solved between two words of progress.
#: Source: convention of this project, under a second's work each.
_BATCH = 8

#: Told how many draws are solved, and how many will be.
Counted = Callable[[int, int], None]


def uncounted(solved: int, total: int) -> None:
    """Count draws for nobody.

    Parameters
    ----------
    solved, total : int
        Draws solved, and those that will be. [-]
    """
    del solved, total


@dataclass(frozen=True, slots=True, eq=False)
class DrawnBands:
    """Loads and load ratios at some postures over draws.

    Parameters
    ----------
    postures : tuple of Posture, length p
        Postures asked for.
    sites : tuple of Site, length s
        Last axis of every array.
    load_low, load_high : ndarray, shape (p, s)
        Ends of the band of patch loads; NaN where a single draw is unknown or not stable. [Pa]
    ratio_low, ratio_high : ndarray, shape (p, s)
        The same of load ratios, each draw measured against itself lying level on this bed. [-]
    shares : tuple of StabilityShare, length p
        In how many draws solved each posture is a place to lie.
    draws, solved : int
        Draws in all, and those of them that were solved; the rest were answered for. [-]
    error : float
        What an answer is off by against a direct solve, at 95 % of draws and loaded sites: found
        by leaving out each solved draw in turn; 0 where every draw was solved, NaN where there
        is no band. [-]
    """

    postures: tuple[Posture, ...]
    sites: tuple[Site, ...]
    load_low: Array
    load_high: Array
    ratio_low: Array
    ratio_high: Array
    shares: tuple[StabilityShare, ...]
    draws: int
    solved: int
    error: float


class _Solving:
    """Solves draws batch by batch and keeps what was found."""

    def __init__(self, asked: LoadRequest, solve: Solve, counted: Counted, total: int) -> None:
        postures = tuple(dict.fromkeys((*asked.postures, LEVEL)))
        self.request = replace(asked, postures=postures)
        self.rows = list(range(len(asked.postures)))
        self.solve, self.counted, self.total = solve, counted, total
        self.tables: list[LoadTable] = []
        self.scale = np.nan

    def __call__(self, drawn: Sequence[Draw]) -> Array:
        asked = self.request
        requests = draw_requests(drawn, asked.bed, asked.surface, asked.postures)
        first = len(self.tables)
        for start in range(0, len(requests), _BATCH):
            self.tables.extend(self.solve(requests[start : start + _BATCH]))
            self.counted(len(self.tables), self.total if first else len(requests))
        return self._readings(drawn_loads(self.tables[first:]))

    def _readings(self, found: DrawnLoads) -> Array:
        """Loads over one fixed pressure, then load ratios, side by side on the last axis."""
        level = found.patch_load[:, found.postures.index(LEVEL)]
        if not np.isfinite(self.scale):
            self.scale = float(np.nanmean(common_reference(level, found.sites)))
        load = found.patch_load[:, self.rows]
        ratio = load_ratios(load, level, found.sites)
        return np.concatenate([load / self.scale, ratio], axis=-1)


def drawn_bands(
    request: LoadRequest, drawn: Sequence[Draw], solve: Solve, counted: Counted
) -> DrawnBands:
    """Find the bands of loads at some postures over draws.

    Parameters
    ----------
    request : LoadRequest
        Bed, surface and postures; body and scenarios are those of the draws. [-]
    drawn : sequence of Draw, length d
        Draws of this person on this bed. [-]
    solve : Solve
        Computes the loads of several draws.
    counted : callable
        Told after every few draws how many are solved and how many will be.

    Returns
    -------
    DrawnBands
        Nine draws in ten lie inside, and the ends are moved apart by the error of answering.

    Raises
    ------
    CannotCompute
        As `leeward.contact.loads.posture_loads`.

    Notes
    -----
    Every draw is measured against itself lying flat and level on this very bed; a plan measures
    against the mattress of the regime it compares with, and may therefore show other ratios.
    """
    solving = _Solving(request, solve, counted, len(drawn))
    readings = drawn_readings(drawn, solving)
    low, high = readings.band()
    sites = solving.tables[0].sites
    return DrawnBands(
        postures=request.postures,
        sites=sites,
        load_low=solving.scale * low[:, : len(sites)],
        load_high=solving.scale * high[:, : len(sites)],
        ratio_low=low[:, len(sites) :],
        ratio_high=high[:, len(sites) :],
        shares=stability_shares(drawn_loads(solving.tables))[: len(request.postures)],
        draws=len(drawn),
        solved=readings.solved,
        error=readings.error,
    )


def present_draws(case: Case, count: int, rng: np.random.Generator) -> tuple[Draw, ...]:
    """Draw everything nobody measured about a person on their present bed.

    Parameters
    ----------
    case : Case
        The case; what was measured narrows its draws.
    count : int
        How many. [-]
    rng : numpy.random.Generator
        The same seed gives the same draws.

    Returns
    -------
    tuple of Draw, length count
        Draws, corrected where the case names a correction.

    Raises
    ------
    CannotCompute
        For a mattress that is not foam and has no measured curve.
    """
    quantiles = draw_quantiles(count, rng)
    surface = None if case.equipment is None else case.equipment.geometry
    drawn = draws(case.bed, surface, case.person.body, quantiles, case.placement.line_offset)
    return tuple(
        replace(
            draw,
            scenario=corrected_scenario(draw.scenario, case.bed, case.correction),
            body=corrected_body(draw.body, case.correction),
        )
        for draw in drawn
    )
