"""Where the unit lies under this body, and what sliding down or lying beside the line would do."""

from dataclasses import dataclass
from typing import Final

from leeward.fitting.finding import Finding, Outcome, to_measure
from leeward.fitting.measures import MEASURES
from leeward.fitting.mechanism import seat_hinge
from leeward.terms.body import Body
from leeward.terms.case import Case
from leeward.terms.equipment import Equipment
from leeward.terms.fit_sheet import FitSheet
from leeward.terms.sourced import Sourced
from leeward.terms.units import cm_from_metres
from leeward.terms.verdict import Quantity

#: How far down the bed the person is taken to slide. Convention of this project. [m]
SLIDES: Final = (0.0, 0.05, 0.10, 0.20)

#: The hip this near the hinge of back and seat lies at it.
AT_THE_HINGE: Final = Sourced(
    0.05, "m", "common practice, no source", "not applicable", from_memory=True
)

#: How far hip to shoulder tip, told from the stature, may be off.
TOLD_FROM_STATURE: Final = Sourced(
    0.04, "m", "convention of this project", "adults without curvature of the spine"
)


#: Hip joint to shoulder joint over stature.
HIP_TO_SHOULDER: Final = Sourced(
    0.288,
    "-",
    "Drillis and Contini 1966, as in Winter: shoulder 0.818, hip 0.530 of the stature",
    "adults",
    from_memory=True,
)


@dataclass(frozen=True, slots=True)
class BodyPlaces:
    """Where hip and shoulder tip lie, as far as known.

    Parameters
    ----------
    hip : float or None
        From the platform's foot end. [m]
    shoulder_low, shoulder_high : float or None
        The same of the shoulder tip; apart where it is only told from the stature. [m]
    """

    hip: float | None
    shoulder_low: float | None
    shoulder_high: float | None


def hip_to_shoulder(body: Body) -> float:
    """Tell the distance from hip joint to shoulder joint from the stature.

    Parameters
    ----------
    body : Body
        The body. [-]

    Returns
    -------
    float
        Along a straight back; a measured one goes before it. [m]
    """
    return HIP_TO_SHOULDER.value * body.stature


def body_places(case: Case, sheet: FitSheet) -> BodyPlaces:
    """Find hip and shoulder tip on the bed.

    Parameters
    ----------
    case : Case
        The case.
    sheet : FitSheet
        Measured at the bed.

    Returns
    -------
    BodyPlaces
        None where nobody measured the hip. A bent back makes the told distance no use.
    """
    if sheet.hip_from_hinge is None:
        return BodyPlaces(None, None, None)
    hip = seat_hinge(sheet.bed) + sheet.hip_from_hinge
    if sheet.shoulder_tip_from_hip is not None:
        shoulder = hip + sheet.shoulder_tip_from_hip
        return BodyPlaces(hip, shoulder, shoulder)
    angles = case.person.body.rest_angles
    if angles.trunk_flexion != 0.0 or angles.trunk_side_bend != 0.0:
        return BodyPlaces(hip, None, None)
    told = hip + hip_to_shoulder(case.person.body)
    return BodyPlaces(hip, told - TOLD_FROM_STATURE.value, told + TOLD_FROM_STATURE.value)


def placement_findings(case: Case, sheet: FitSheet, unit: Equipment) -> list[Finding]:
    """Judge where the unit lies, now and after the person slid down.

    Parameters
    ----------
    case : Case
        The case.
    sheet : FitSheet
        Measured at the bed.
    unit : Equipment
        The unit.

    Returns
    -------
    list of Finding
        Hip at the hinge, unit against hip and shoulder tip, the line.
    """
    places = body_places(case, sheet)
    found = [_hip_at_hinge(sheet)]
    for slide in SLIDES:
        found.extend(_under_the_body(places, sheet, unit, slide))
    if case.placement.line_offset is None:
        found.append(to_measure(MEASURES["line-offset"], needed_for="how far the body will roll"))
    return list(dict.fromkeys(found))


def _hip_at_hinge(sheet: FitSheet) -> Finding:
    away = sheet.hip_from_hinge
    if away is None:
        return to_measure(MEASURES["hip-place"], needed_for="whether the body bends where it can")
    numbers = (Quantity("hip from the hinge", cm_from_metres(away), "cm"),)
    if abs(away) <= AT_THE_HINGE.value:
        sentence = "The hip lies at the hinge of back and seat."
        return Finding("hip-at-hinge", Outcome.NO_LIMIT_BROKEN, sentence, "", numbers)
    towards = "head" if away > 0.0 else "foot"
    return Finding(
        "hip-off-hinge",
        Outcome.WITH_MEASURE,
        f"The hip lies {cm_from_metres(abs(away)):.0f} cm towards the {towards} end from the hinge "
        "of back and seat: the backrest pushes the body along as it rises.",
        "Move the person so that the hip lies at the hinge.",
        numbers,
    )


def _under_the_body(
    places: BodyPlaces, sheet: FitSheet, unit: Equipment, slide: float
) -> list[Finding]:
    layout, foot = unit.layout, sheet.unit_foot_end
    if foot is None:
        return [to_measure(MEASURES["unit-place"], needed_for="what the unit lies under")]
    if places.hip is None:
        return []
    head = foot + unit.geometry.length
    hip = places.hip - slide
    found = [
        _distance(
            ("hip", "the unit's foot end", slide),
            (hip - foot, hip - foot),
            (layout.hip_least, layout.hip_greatest),
        )
    ]
    if places.shoulder_low is None or places.shoulder_high is None:
        found.append(to_measure(MEASURES["shoulder-place"], needed_for="what the unit lies under"))
        return found
    low, high = places.shoulder_low - slide - head, places.shoulder_high - slide - head
    shoulder = _distance(
        ("shoulder tip", "the unit's head end", slide),
        (low, high),
        (layout.shoulder_least, layout.shoulder_greatest),
    )
    return [*found, shoulder]


def _distance(
    names: tuple[str, str, float],
    found: tuple[float, float],
    asked: tuple[float | None, float | None],
) -> Finding:
    """Hold a distance, or the range in which it lies, against the unit's instructions."""
    part, end, slide = names
    code = part.replace(" ", "-")
    after = f", after sliding down {cm_from_metres(slide):.0f} cm" if slide else ""
    shown = (
        f"From {part} down to {end}{after}: {cm_from_metres(found[0]):.0f} cm"
        if found[1] - found[0] < 1e-9
        else f"From {part} down to {end}{after}: {cm_from_metres(found[0]):.0f} to "
        f"{cm_from_metres(found[1]):.0f} cm, told from the stature"
    )
    numbers = (
        Quantity(f"{part} to {end}, least", round(cm_from_metres(found[0]), 1), "cm"),
        Quantity(f"{part} to {end}, most", round(cm_from_metres(found[1]), 1), "cm"),
    )
    if asked[0] is None or asked[1] is None:
        sentence = f"{shown}; the unit's file does not say what its instructions ask for."
        remedy = "Read it in the unit's instructions, and write it into its file."
        return Finding(f"{code}-rule", Outcome.CANNOT_TELL, sentence, remedy, numbers)
    rule = f"{cm_from_metres(asked[0]):.0f} to {cm_from_metres(asked[1]):.0f} cm are asked"
    if asked[0] - 1e-9 <= found[0] and found[1] <= asked[1] + 1e-9:
        sentence = f"{shown}; {rule}."
        return Finding(f"{code}-place", Outcome.NO_LIMIT_BROKEN, sentence, "", numbers)
    if found[1] < asked[0] or found[0] > asked[1]:
        remedy = (
            f"Lay the person up again before the body lies {cm_from_metres(slide):.0f} cm lower."
            if slide
            else "Move the unit, or the person on it."
        )
        return Finding(f"{code}-place", Outcome.WITH_MEASURE, f"{shown}; {rule}.", remedy, numbers)
    measure = MEASURES["shoulder-place"]
    remedy = f"Measure {measure.what}: {measure.how}."
    return Finding(f"{code}-place", Outcome.CANNOT_TELL, f"{shown}; {rule}.", remedy, numbers)
