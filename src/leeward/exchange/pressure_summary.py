"""A pressure map as numbers: peaks with their cells, friction in words, the grid for a file."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leeward.contact.pressure_map import PressureMap, SitePressure
from leeward.exchange.load_summary import STATE_WORDS
from leeward.exchange.pictures.words import posture_text
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.site import Site
from leeward.terms.units import mm_from_metres, mmhg_from_pascal

Rows = tuple[tuple[float, ...], ...]

#: Friction below this is not said to draw the skin anywhere. [Pa]
#: Source: convention of this project, about a twentieth of a usual pressure.
LEAST_FRICTION = 100.0

WHAT_ENDS_MEAN = (
    "In brackets: the least and most over foam at both ends of its hardness and of its pull "
    "sideways, which nobody measured (60 to 120 N/m by convention); all else is at its likeliest. "
    "Friction has no band."
)
NO_ENDS = (
    "On softer or firmer foam of the same label this is no place to lie, so that peaks have no "
    "band; friction has none either."
)


@dataclass(frozen=True, slots=True)
class PressureRow:
    """What one site bears, with the cell of every mean.

    Parameters
    ----------
    site : Site
        Where.
    patch_mmhg : float
        Mean over the 60 mm patch, of body and foam in balance together.
    peak_mmhg, peak_cell_mm : float
        Highest mean over a square cell near the site, and the cell's side.
    peak_low_mmhg, peak_high_mmhg : float or None
        Least and most of it over the foams it may be; None where there are no ends.
    local_peak_mmhg, local_cell_mm : float or None
        The same over a small cell, at small round bones only.
    local_peak_low_mmhg, local_peak_high_mmhg : float or None
        Its least and most.
    friction_to_left_pa, friction_to_head_pa : float
        Friction of the bed on the patch's skin; below zero towards the right and the feet.
    """

    site: Site
    patch_mmhg: float
    peak_mmhg: float
    peak_cell_mm: float
    peak_low_mmhg: float | None
    peak_high_mmhg: float | None
    local_peak_mmhg: float | None
    local_cell_mm: float | None
    local_peak_low_mmhg: float | None
    local_peak_high_mmhg: float | None
    friction_to_left_pa: float
    friction_to_head_pa: float


@dataclass(frozen=True, slots=True)
class HighestPlace:
    """The highest cell anywhere on the body.

    Parameters
    ----------
    segment : str
        Part of the body.
    peak_mmhg, cell_mm : float
        Mean over a square cell, and the cell's side.
    low_mmhg, high_mmhg : float or None
        Least and most of it over the foams it may be.
    """

    segment: str
    peak_mmhg: float
    cell_mm: float
    low_mmhg: float | None
    high_mmhg: float | None


@dataclass(frozen=True, slots=True)
class PressureSummary:
    """Pressure and friction in one posture.

    Parameters
    ----------
    posture : str
        In words, with the side raised.
    scenario : str
        In which of the scenarios.
    state : str
        In words; nothing is shown unless it is stable.
    is_stable : bool
        Whether the body lies there, on foam that carries load sideways too.
    sites : tuple of PressureRow
        Sites the map has.
    highest : HighestPlace or None
        Highest anywhere.
    unknown : tuple of Site
        Sites of which nothing is known.
    note : str
        What the numbers rest on.
    """

    posture: str
    scenario: str
    state: str
    is_stable: bool
    sites: tuple[PressureRow, ...]
    highest: HighestPlace | None
    unknown: tuple[Site, ...]
    note: str


@dataclass(frozen=True, slots=True)
class PressureGrid:
    """The map itself, for other programs.

    Parameters
    ----------
    summary : PressureSummary
        What is said of it.
    cell_mm : float or None
        Side of a square; None where nothing is shown.
    to_left_mm, to_head_mm : tuple of float
        Middles of columns, towards the person's left of the mid-line, and of rows, towards the
        head from the hips.
    pressure_mmhg, friction_to_left_pa, friction_to_head_pa : tuple of tuple of float
        Row by row, mean over each square.
    """

    summary: PressureSummary
    cell_mm: float | None
    to_left_mm: tuple[float, ...]
    to_head_mm: tuple[float, ...]
    pressure_mmhg: Rows
    friction_to_left_pa: Rows
    friction_to_head_pa: Rows


def summarise_pressures(found: PressureMap) -> PressureSummary:
    """Sum up a pressure map."""
    highest = found.highest
    return PressureSummary(
        posture=posture_text(found.posture),
        scenario=found.scenario,
        state=STATE_WORDS[found.state],
        is_stable=found.state is EquilibriumState.STABLE,
        sites=tuple(_row(site) for site in found.sites),
        highest=None
        if highest is None
        else HighestPlace(
            highest.segment,
            mmhg_from_pascal(highest.peak.pressure),
            mm_from_metres(highest.peak.cell),
            _mmhg(highest.peak.low),
            _mmhg(highest.peak.high),
        ),
        unknown=found.unknown,
        note=NO_ENDS if highest is None or highest.peak.low is None else WHAT_ENDS_MEAN,
    )


def _mmhg(pressure: float | None) -> float | None:
    return None if pressure is None else mmhg_from_pascal(pressure)


def grid_of(found: PressureMap) -> PressureGrid:
    """Take a map apart into rows of numbers."""
    return PressureGrid(
        summary=summarise_pressures(found),
        cell_mm=mm_from_metres(found.cell) if np.isfinite(found.cell) else None,
        to_left_mm=tuple(round(mm_from_metres(float(x)), 1) for x in found.across),
        to_head_mm=tuple(round(mm_from_metres(float(y)), 1) for y in found.along),
        pressure_mmhg=_rows(found.pressure * mmhg_from_pascal(1.0), 1),
        friction_to_left_pa=_rows(found.shear_across, 0),
        friction_to_head_pa=_rows(found.shear_along, 0),
    )


def most_drawn(found: PressureSummary) -> PressureRow | None:
    """The site whose skin is drawn most along the bed; None where none is."""
    drawn = [row for row in found.sites if abs(row.friction_to_head_pa) >= LEAST_FRICTION]
    return max(drawn, key=lambda row: abs(row.friction_to_head_pa), default=None)


def _row(site: SitePressure) -> PressureRow:
    local = site.local_peak
    return PressureRow(
        site=site.site,
        patch_mmhg=mmhg_from_pascal(site.patch_load),
        peak_mmhg=mmhg_from_pascal(site.peak.pressure),
        peak_cell_mm=mm_from_metres(site.peak.cell),
        peak_low_mmhg=_mmhg(site.peak.low),
        peak_high_mmhg=_mmhg(site.peak.high),
        local_peak_mmhg=None if local is None else mmhg_from_pascal(local.pressure),
        local_cell_mm=None if local is None else mm_from_metres(local.cell),
        local_peak_low_mmhg=None if local is None else _mmhg(local.low),
        local_peak_high_mmhg=None if local is None else _mmhg(local.high),
        friction_to_left_pa=site.shear_across,
        friction_to_head_pa=site.shear_along,
    )


def _rows(values: NDArray[np.float64], digits: int) -> Rows:
    return tuple(tuple(row) for row in np.round(values, digits).tolist())
