"""Masses, sizes and company: what bed, unit and mattress are made for."""

from typing import Final

from leeward.fitting.finding import Finding, Outcome, to_measure
from leeward.fitting.measures import MEASURES
from leeward.terms.bed import Layer
from leeward.terms.case import Case
from leeward.terms.equipment import Equipment
from leeward.terms.fit_sheet import FitSheet
from leeward.terms.limits import Limit
from leeward.terms.units import cm_from_metres, mm_from_metres
from leeward.terms.verdict import Quantity, Reason

#: Taller people need their own look at the bed's length. [m]
TALLEST: Final = Limit(
    1.85, "m", "IEC 60601-2-52:2009/A1:2015, 201.4.2, as reported by a regulator"
)


def burden_findings(
    case: Case, sheet: FitSheet, unit: Equipment, outside: tuple[Reason, ...]
) -> list[Finding]:
    """Judge masses, sizes and what may lie together.

    Parameters
    ----------
    case : Case
        The case.
    sheet : FitSheet
        Measured at the bed.
    unit : Equipment
        The unit.
    outside : tuple of Reason
        Edges of the adult tables that the body lies beyond.

    Returns
    -------
    list of Finding
        One for each question.
    """
    return [
        *_working_load(case, sheet, unit),
        *_unit_range(case, sheet, unit),
        *_size(case, outside),
        *_together(case, sheet, unit),
        *_under_the_bed(sheet),
    ]


def _working_load(case: Case, sheet: FitSheet, unit: Equipment) -> list[Finding]:
    parts = (
        ("safe-working-load", sheet.bed.safe_working_load),
        ("mattress-mass", sheet.mattress_mass),
        ("accessory-mass", sheet.accessory_mass),
    )
    known = [mass for _, mass in parts[1:] if mass is not None]
    total = case.person.body.mass + unit.geometry.mass + sum(known)
    limit = sheet.bed.safe_working_load
    numbers = (Quantity("person, unit and what was weighed", round(total, 1), "kg"),)
    if limit is not None and total > limit:
        return [
            Finding(
                "overloaded",
                Outcome.NOT_TO_BE_USED,
                f"Person, unit and what was weighed make {total:.1f} kg; the bed's safe working "
                f"load is {limit:g} kg.",
                "Use a bed that carries them.",
                numbers,
            )
        ]
    asked = [code for code, value in parts if value is None]
    if asked:
        needed_for = "whether the bed carries all that lies on it"
        return [to_measure(MEASURES[code], needed_for=needed_for) for code in asked]
    sentence = f"All that lies on the bed makes {total:.1f} kg; it may carry {limit:g} kg."
    return [Finding("working-load", Outcome.NO_LIMIT_BROKEN, sentence, "", numbers)]


def _unit_range(case: Case, sheet: FitSheet, unit: Equipment) -> list[Finding]:
    ability, mass = unit.ability, case.person.body.mass
    found = []
    if not ability.least_mass <= mass <= ability.greatest_mass:
        found.append(
            Finding(
                "unit-mass",
                Outcome.NOT_TO_BE_USED,
                f"The person weighs {mass:g} kg; the unit is made for {ability.least_mass:g} to "
                f"{ability.greatest_mass:g} kg.",
                "Use a unit made for this mass.",
                (Quantity("mass", mass, "kg"),),
            )
        )
    width = sheet.mattress_width
    if width is None:
        found.append(to_measure(MEASURES["mattress-width"], needed_for="whether the unit fits it"))
    elif not ability.least_width <= width <= ability.greatest_width:
        found.append(
            Finding(
                "unit-width",
                Outcome.NOT_TO_BE_USED,
                f"The mattress is {cm_from_metres(width):g} cm wide; the unit is made for "
                f"{cm_from_metres(ability.least_width):g} to "
                f"{cm_from_metres(ability.greatest_width):g} cm.",
                "Use a unit made for this width.",
                (Quantity("mattress width", cm_from_metres(width), "cm"),),
            )
        )
    return found


def _size(case: Case, outside: tuple[Reason, ...]) -> list[Finding]:
    remedy = "A named specialist decides whether this bed and its rails suit a body of this size."
    found = [
        Finding("bed-size", Outcome.WITH_MEASURE, one.sentence, remedy, one.numbers)
        for one in outside
    ]
    stature = case.person.body.stature
    if stature > TALLEST.value:
        found.append(
            Finding(
                "tall",
                Outcome.WITH_MEASURE,
                f"The person is {cm_from_metres(stature):.1f} cm tall; above 185 cm the bed "
                "standard asks for a look of its own at length and ends of the bed.",
                "Look at feet and head in every posture; lengthen the bed where it can be done.",
                (Quantity("stature", cm_from_metres(stature), "cm"),),
            )
        )
    return found


def _together(case: Case, sheet: FitSheet, unit: Equipment) -> list[Finding]:
    permitted = (
        ("the bed's instructions", sheet.is_unit_permitted_on_bed),
        ("the mattress's instructions", sheet.is_unit_permitted_by_mattress),
    )
    found = [_permission(whose, answer) for whose, answer in permitted]
    mattress = case.bed.mattress
    if unit.layout.mattresses and mattress.kind not in unit.layout.mattresses:
        found.append(
            Finding(
                "mattress-kind",
                Outcome.NOT_TO_BE_USED,
                f"The unit's instructions do not permit this mattress: {mattress.kind.value}.",
                "Use a mattress that they permit.",
            )
        )
    thickest = unit.layout.thickest_mattress
    if thickest is not None and mattress.thickness is not None and mattress.thickness > thickest:
        found.append(
            Finding(
                "mattress-thickness",
                Outcome.NOT_TO_BE_USED,
                f"The mattress is {mm_from_metres(mattress.thickness):.0f} mm thick; the unit's "
                f"instructions permit {mm_from_metres(thickest):.0f} mm.",
                "Use a thinner mattress that both instructions permit.",
            )
        )
    return found + _layers(case.bed.layers, unit)


def _permission(whose: str, answer: bool | None) -> Finding:
    if answer is None:
        return Finding(
            "permission-unread",
            Outcome.CANNOT_TELL,
            f"Cannot tell whether {whose} permit a unit under the mattress.",
            f"Read {whose}.",
        )
    if answer:
        sentence = f"By what was read, {whose} permit it."
        return Finding("permission", Outcome.NO_LIMIT_BROKEN, sentence)
    return Finding(
        "permission-refused",
        Outcome.NOT_TO_BE_USED,
        f"By what was read, {whose} do not permit a unit under the mattress.",
        "Use parts whose instructions permit each other.",
    )


def _layers(layers: tuple[Layer, ...] | None, unit: Equipment) -> list[Finding]:
    if layers is None:
        return [
            Finding(
                "layers-unseen",
                Outcome.CANNOT_TELL,
                "Cannot tell what lies between person and mattress: nobody looked.",
                "Lift the sheet and write down every layer, or that there is none.",
            )
        ]
    return [
        Finding(
            "layer",
            Outcome.WITH_MEASURE,
            f"Between person and mattress: {layer.kind.value}, of which the unit's instructions "
            "say nothing.",
            "Take it out, or find out whether it may stay.",
        )
        for layer in layers
        if layer.kind not in unit.layout.layers
    ]


def _under_the_bed(sheet: FitSheet) -> list[Finding]:
    free, legs = sheet.bed.clearance, sheet.hoist_leg_height
    needed_for = "whether the hoist's legs pass under the bed"
    asked = [("clearance", free), ("hoist-legs", legs)]
    if free is None or legs is None:
        return [
            to_measure(MEASURES[code], needed_for=needed_for)
            for code, value in asked
            if value is None
        ]
    numbers = (
        Quantity("free under the frame", round(mm_from_metres(free)), "mm"),
        Quantity("height of the legs", round(mm_from_metres(legs)), "mm"),
    )
    if legs < free:
        sentence = f"The hoist's legs ({numbers[1].value:g} mm) pass under the frame "
        return [Finding("hoist", Outcome.NO_LIMIT_BROKEN, sentence + "at its lowest.", "", numbers)]
    return [
        Finding(
            "hoist",
            Outcome.WITH_MEASURE,
            f"The hoist's legs ({numbers[1].value:g} mm) do not pass under the frame at its lowest "
            f"({numbers[0].value:g} mm).",
            "Raise the bed before hoisting, and look under it first.",
            numbers,
        )
    ]
