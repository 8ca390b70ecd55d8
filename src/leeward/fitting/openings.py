"""Openings of the rails on the flat bed, against the breadth of a head, a neck and a chest."""

from typing import Final

from leeward.fitting.finding import Finding, Outcome, to_measure
from leeward.fitting.measures import MEASURES
from leeward.fitting.rails import HEAD_GAP, NECK_GAP, READING
from leeward.terms.bed import RailKind
from leeward.terms.bed_sheet import BedSheet, RailPart
from leeward.terms.limits import Limit
from leeward.terms.units import mm_from_metres
from leeward.terms.verdict import Quantity

#: A chest passes a gap this wide without being caught. [m]
CHEST_GAP: Final = Limit(0.318, "m", "FDA/HBSW guidance 2006: breadth of a chest; flat deck")


def opening_findings(bed: BedSheet, lying: float | None) -> list[Finding]:
    """Judge every opening that the rails leave on the flat, level bed.

    Parameters
    ----------
    bed : BedSheet
        The bed. [-]
    lying : float or None
        Upper face of unit and mattress above the platform. [m]

    Returns
    -------
    list of Finding
        One for each opening; none where there are no rails.
    """
    if bed.rails in (RailKind.NONE, RailKind.UNDESCRIBED):
        return []
    ends = [
        ("gap-head-board", "between rail and head board", bed.gap_to_head_board),
        ("gap-foot-board", "between rail and foot board", bed.gap_to_foot_board),
    ]
    if bed.rails is RailKind.SPLIT:
        ends.append(
            ("gap-between-parts", "between the parts of the split rail", bed.gap_between_parts)
        )
    found = [_end_gap(*end) for end in ends]
    for part in bed.rail_parts:
        found.append(_inside(part))
        found.append(_below(part, lying))
    return found


def _end_gap(code: str, where: str, gap: float | None) -> Finding:
    if gap is None:
        return to_measure(MEASURES[code], needed_for="whether a neck can be caught")
    numbers = (Quantity(f"gap {where}", round(mm_from_metres(gap)), "mm"),)
    shown = f"The gap {where} is {mm_from_metres(gap):.0f} mm"
    if gap < NECK_GAP.value - READING or gap >= CHEST_GAP.value - READING:
        sentence = f"{shown}: below 60 mm or at least 318 mm."
        return Finding(code, Outcome.NO_LIMIT_BROKEN, sentence, "", numbers)
    return Finding(
        code,
        Outcome.NOT_TO_BE_USED,
        f"{shown}; it must stay below 60 mm or reach 318 mm, or a neck or chest is caught.",
        "Close the gap, or fit other rails, before the surface is used.",
        numbers,
    )


def _inside(part: RailPart) -> Finding:
    if part.opening is None:
        return to_measure(MEASURES["rail-opening"], needed_for="whether a head can be caught")
    numbers = (Quantity("widest opening", round(mm_from_metres(part.opening)), "mm"),)
    shown = f"The widest opening inside the {part.name} is {mm_from_metres(part.opening):.0f} mm"
    if part.opening < HEAD_GAP.value - READING:
        sentence = f"{shown}: below 120 mm."
        return Finding("rail-opening", Outcome.NO_LIMIT_BROKEN, sentence, "", numbers)
    return Finding(
        "rail-opening",
        Outcome.NOT_TO_BE_USED,
        f"{shown}; it must stay below 120 mm, the breadth of a head.",
        "Cover the rail, or fit another, before the surface is used.",
        numbers,
    )


def _below(part: RailPart, lying: float | None) -> Finding:
    """The opening under the rail, above what lies on the platform."""
    if part.bottom is None:
        return to_measure(MEASURES["rail-bottom"], needed_for="what lies open below the rail")
    if lying is None:
        return to_measure(MEASURES["mattress-thickness"], needed_for="what lies open below a rail")
    gap = max(0.0, part.bottom - lying)
    numbers = (Quantity("opening below", round(mm_from_metres(gap)), "mm"),)
    shown = f"Between the {part.name} and the mattress {mm_from_metres(gap):.0f} mm are open"
    if gap < NECK_GAP.value - READING:
        sentence = f"{shown}: below 60 mm."
        return Finding("rail-bottom", Outcome.NO_LIMIT_BROKEN, sentence, "", numbers)
    return Finding(
        "rail-bottom",
        Outcome.NOT_TO_BE_USED,
        f"{shown} below it; this must stay below 60 mm.",
        "Fit another rail or mattress that the instructions permit.",
        numbers,
    )
