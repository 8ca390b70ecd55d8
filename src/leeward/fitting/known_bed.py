"""The bed with its unit as a mechanism, or what must be measured before there is one."""

from dataclasses import dataclass, replace

from leeward.fitting.measures import MEASURES, Measure
from leeward.fitting.mechanism import Mechanism
from leeward.terms.bed_sheet import BedSheet, CalfMotion
from leeward.terms.equipment import Equipment, SurfaceKind
from leeward.terms.fit_sheet import FitSheet
from leeward.terms.unit_layout import Pivot


@dataclass(frozen=True, slots=True)
class Variants:
    """The mechanisms that agree with what is known.

    Parameters
    ----------
    mechanisms : tuple of Mechanism
        One where all is known; several where an unknown has a few ways to be.
    unknown : tuple of Measure
        What would have to be measured to have one.
    """

    mechanisms: tuple[Mechanism, ...]
    unknown: tuple[Measure, ...]


def lifted_width(sheet: FitSheet, unit: Equipment) -> float | None:
    """Find the width that the unit lifts: the mattress lies on it and is lifted with it.

    Parameters
    ----------
    sheet : FitSheet
        Measured at the bed. [-]
    unit : Equipment
        The unit. [-]

    Returns
    -------
    float or None
        The wider of mattress and unit; None where nobody measured the mattress. [m]
    """
    if sheet.mattress_width is None:
        return None
    return max(sheet.mattress_width, unit.geometry.width)


def variants(sheet: FitSheet, unit: Equipment) -> Variants:
    """List every mechanism that agrees with what was measured.

    Parameters
    ----------
    sheet : FitSheet
        Measured at the bed.
    unit : Equipment
        The unit.

    Returns
    -------
    Variants
        None without the mattress's width. The unit is taken to lie in the middle of the bed:
        where it was laid aside, its line is the middle of what it lifts.
    """
    unknown = []
    width = lifted_width(sheet, unit)
    if width is None:
        unknown.append(MEASURES["mattress-width"])
    if sheet.unit_foot_end is None:
        unknown.append(MEASURES["unit-place"])
    beds = _beds(sheet.bed, unknown)
    pivots = _pivots(unit, unknown)
    if width is None:
        return Variants((), tuple(unknown))
    foot = 0.0 if sheet.unit_foot_end is None else sheet.unit_foot_end
    head = foot + unit.geometry.length
    if sheet.unit_foot_end is None:  # it may lie anywhere: then it is taken to lie everywhere
        platform = sheet.bed.platform
        head = platform.length
    made = tuple(
        Mechanism(bed, unit.geometry.kind, pivot, 0.0, width / 2.0, foot, head)
        for bed in beds
        for pivot in pivots
    )
    return Variants(made, tuple(unknown))


def _beds(bed: BedSheet, unknown: list[Measure]) -> list[BedSheet]:
    """The bed in every way its unknown movements may be: none, or as much as beds usually do."""
    ways = [bed]
    if bed.back_travel is None:
        unknown.append(MEASURES["back-travel"])
        ways = [replace(one, back_travel=travel) for one in ways for travel in (0.0, 0.15)]
    if bed.knee_with_backrest is None:
        unknown.append(MEASURES["coupling"])
        ways = [replace(one, knee_with_backrest=share) for one in ways for share in (0.0, 0.5)]
    if bed.calf is None:
        unknown.append(MEASURES["calf-motion"])
        ways = [replace(one, calf=motion) for one in ways for motion in CalfMotion]
    return ways


def _pivots(unit: Equipment, unknown: list[Measure]) -> list[Pivot]:
    if unit.geometry.kind is SurfaceKind.SPLIT:
        return [Pivot.MIDDLE]
    if unit.layout.pivot is not None:
        return [unit.layout.pivot]
    unknown.append(MEASURES["pivot"])
    return list(Pivot)
