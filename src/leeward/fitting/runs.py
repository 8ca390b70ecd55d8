"""Straps, hoses, leads and tubes: length needed against length there, over the whole movement."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from leeward.fitting.finding import Finding, Outcome, to_measure
from leeward.fitting.measures import MEASURES, Measure
from leeward.fitting.mechanism import BedSetting, Mechanism, distance
from leeward.terms.bed_sheet import Carrier
from leeward.terms.equipment import Equipment
from leeward.terms.fit_sheet import FitSheet, Run, RunKind
from leeward.terms.units import mm_from_metres
from leeward.terms.verdict import Quantity

#: A strap looser than this lets the unit wander. Convention of this project. [m]
LOOSE_STRAP: Final = 0.05

#: What is looked at by eye where nothing is measured. Common practice, no source.
BY_EYE: Final = (
    "with the surface empty, run backrest, knees, lift and both turns to their ends, one after "
    "another and together: no strap tightens or hangs loose, no hose or lead is pulled, kinked, "
    "or near a hinge, a wheel or the lift"
)

_SECTIONS = (Carrier.BACK, Carrier.SEAT, Carrier.THIGH, Carrier.CALF)
_HINGES = (
    "the hinge of back and seat",
    "the hinge of seat and thigh",
    "the hinge of thigh and calf",
)


def needed_length(mechanism: Mechanism, run: Run, setting: BedSetting) -> float:
    """Add up the straight ways from point to point.

    Parameters
    ----------
    mechanism : Mechanism
        Bed and unit. [-]
    run : Run
        Its points. [-]
    setting : BedSetting
        How bed and surface are set. [-]

    Returns
    -------
    float
        The least length that reaches. [m]
    """
    places = [mechanism.place(point, setting) for point in run.points]
    return sum(distance(first, second) for first, second in pairwise(places))


def run_findings(
    mechanisms: Sequence[Mechanism], sheet: FitSheet, setting: BedSetting
) -> list[Finding]:
    """Judge every measured run at one setting.

    Parameters
    ----------
    mechanisms : sequence of Mechanism
        Every one that agrees with what is known: the longest need counts.
    sheet : FitSheet
        Measured at the bed.
    setting : BedSetting
        How bed and surface are set.

    Returns
    -------
    list of Finding
        One for each that was measured.
    """
    found = []
    for run in sheet.runs:
        if run.length is None or len(run.points) < 2 or not mechanisms:
            continue
        needed = [needed_length(one, run, setting) for one in mechanisms]
        found.append(_at_setting(run, run.length, min(needed), max(needed)))
    return found


def _at_setting(run: Run, length: float, least: float, most: float) -> Finding:
    numbers = (
        Quantity("length needed", round(mm_from_metres(most)), "mm"),
        Quantity("length there", round(mm_from_metres(length)), "mm"),
    )
    there = length * (1.0 + run.stretch)
    if most > there:
        return Finding(
            "run-too-short",
            Outcome.NOT_TO_BE_USED,
            f"{run.name}: {mm_from_metres(most - there):.0f} mm too short in this posture.",
            "Lead it another way, give it more length, or move bed and surface less far.",
            numbers,
        )
    if run.kind is RunKind.STRAP and length - least > LOOSE_STRAP:
        return Finding(
            "strap-loose",
            Outcome.WITH_MEASURE,
            f"{run.name}: hangs {mm_from_metres(length - least):.0f} mm loose in this posture.",
            "Take up the strap, or fasten it to the section that its point on the unit lies on.",
            numbers,
        )
    sentence = f"{run.name}: {mm_from_metres(there - most):.0f} mm to spare."
    return Finding("run", Outcome.NO_LIMIT_BROKEN, sentence, "", numbers)


def runs_to_measure(sheet: FitSheet, unit: Equipment) -> list[Finding]:
    """Name every strap, hose and lead of the unit that nobody measured or watched.

    Parameters
    ----------
    sheet : FitSheet
        Measured at the bed.
    unit : Equipment
        The unit.

    Returns
    -------
    list of Finding
        Questions, and what was only seen by eye.
    """
    measured = {run.name: run for run in sheet.runs}
    named = [point.name for point in unit.geometry.anchor_points] + list(unit.geometry.tubes)
    found = []
    for name in dict.fromkeys((*named, *measured)):
        found.extend(_open(name, measured.get(name, Run(name, RunKind.LEAD))))
    return found


def _open(name: str, run: Run) -> list[Finding]:
    """What is open about one strap or lead."""
    has_points, has_length = len(run.points) >= 2, run.length is not None
    if has_points and has_length:
        return []
    if run.seen_free_by:
        return [
            Finding(
                "run-by-eye",
                Outcome.WITH_MEASURE,
                f"{name}: seen to run free by {run.seen_free_by}, not measured.",
                f"Look again after every change: {BY_EYE}.",
            )
        ]
    codes = ([] if has_points else ["run-points"]) + ([] if has_length else ["run-length"])
    return [_ask(MEASURES[code], name) for code in codes]


def _ask(measure: Measure, name: str) -> Finding:
    named = Measure(measure.code, measure.what.format(name=name), measure.how, measure.field)
    return to_measure(named, needed_for="whether it is long enough")


def moves_with(run: Run) -> str:
    """Say what the ends of a run move with, and which hinges lie between.

    Parameters
    ----------
    run : Run
        The run.

    Returns
    -------
    str
        One sentence; says so where nobody wrote down where it is fixed.
    """
    if len(run.points) < 2:
        return f"{run.name}: nobody wrote down what its ends move with."
    carriers = [point.carrier for point in run.points]
    ends = f"{run.name}: from {carriers[0].value} to {carriers[-1].value}"
    crossed: list[str] = []
    for first, second in pairwise(carriers):
        if first in _SECTIONS and second in _SECTIONS:
            low, high = sorted((_SECTIONS.index(first), _SECTIONS.index(second)))
            crossed.extend(_HINGES[low:high])
        elif first is not second:
            crossed.append(f"the gap between {first.value} and {second.value}")
    passes = ", ".join(dict.fromkeys(crossed))
    return f"{ends}; passes {passes}." if passes else f"{ends}; passes nothing that moves."
