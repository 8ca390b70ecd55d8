"""What stops planning until somebody with a name answers for it."""

from leeward.programme.adult_tables import outside_the_tables
from leeward.terms.case import Case
from leeward.terms.equipment import Equipment
from leeward.terms.person import ConsentKind, Contraindication, SignedReason
from leeward.terms.units import mm_from_metres
from leeward.terms.verdict import Quantity, Reason


def stops(case: Case) -> tuple[Reason, ...]:
    """Collect everything that stops planning.

    Parameters
    ----------
    case : Case
        The case.

    Returns
    -------
    tuple of Reason
        Empty when planning may go on. A contraindication, or a body outside the tables,
        stops until a named practitioner's written reason is in the case; refusal, a person
        too heavy or too light for the unit and an overloaded bed stop without exception.

    References
    ----------
    .. [1] Conditions common to rotation protocols: common practice, from memory.
    """
    person = case.person
    reasons = [*_refused(case)]
    reasons.extend(
        _contraindicated(one) for one in person.contraindications if not _is_signed(one.continues)
    )
    if not _is_signed(person.specialist_continues):
        reasons.extend(outside_the_tables(person.body))
    if case.equipment is None:
        reasons.append(
            Reason(
                "no-unit",
                "No tilting unit is named: leeward plans what a unit can be set to, so name one "
                "or go on turning by hand.",
            )
        )
    else:
        reasons.extend(_unit_not_made_for(case, case.equipment))
    return tuple(reasons)


def signed_in_spite(case: Case) -> tuple[Reason, ...]:
    """Repeat every written reason by which a practitioner went on in spite of a stop.

    Parameters
    ----------
    case : Case
        The case.

    Returns
    -------
    tuple of Reason
        One for each signature that was needed; shown wherever the plan is shown.
    """
    reasons = [
        Reason(
            "continued-in-spite",
            f"{one.kind.value.capitalize()}: {one.continues.by} continues all the same, "
            f"{one.continues.when.isoformat()}: {one.continues.reason}",
        )
        for one in case.person.contraindications
        if one.continues is not None and _is_signed(one.continues)
    ]
    signed = case.person.specialist_continues
    if signed is not None and _is_signed(signed):
        reasons.extend(
            Reason(
                "outside-the-tables-in-spite",
                f"{beyond.sentence} {signed.by} continues, {signed.when.isoformat()}: "
                f"{signed.reason}",
                beyond.numbers,
            )
            for beyond in outside_the_tables(case.person.body)
        )
    return tuple(reasons)


def _is_signed(signed: SignedReason | None) -> bool:
    return signed is not None and bool(signed.by.strip()) and bool(signed.reason.strip())


def _refused(case: Case) -> list[Reason]:
    consent = case.person.consent
    if consent is None or consent.kind is not ConsentKind.REFUSED:
        return []
    return [
        Reason(
            "refused",
            f"The person refused turning ({consent.by}, {consent.when.isoformat()}): nothing is "
            "planned; talk with them about what they would accept.",
        )
    ]


def _contraindicated(one: Contraindication) -> Reason:
    return Reason(
        "contraindicated",
        f"{one.kind.value.capitalize()}: turning could do harm, so planning stops until a named "
        "practitioner says in writing why it goes on all the same.",
    )


def _unit_not_made_for(case: Case, unit: Equipment) -> list[Reason]:
    ability = unit.ability
    mass = case.person.body.mass
    reasons = []
    if not ability.least_mass <= mass <= ability.greatest_mass:
        reasons.append(
            Reason(
                "mass-outside-unit",
                f"{unit.name} is made for {ability.least_mass:g} to {ability.greatest_mass:g} kg "
                f"and the person weighs {mass:g} kg: it may not be used.",
                (
                    Quantity("mass", mass, "kg"),
                    Quantity("least mass", ability.least_mass, "kg"),
                    Quantity("greatest mass", ability.greatest_mass, "kg"),
                ),
            )
        )
    return reasons + _width_outside(case, unit) + _overloaded(case, unit)


def _width_outside(case: Case, unit: Equipment) -> list[Reason]:
    width = round(mm_from_metres(case.bed.platform.width))
    least = round(mm_from_metres(unit.ability.least_width))
    greatest = round(mm_from_metres(unit.ability.greatest_width))
    if least <= width <= greatest:
        return []
    return [
        Reason(
            "width-outside-unit",
            f"{unit.name} fits mattresses {least} to {greatest} mm wide and the bed has {width} "
            "mm: it may not be used on this bed.",
            (
                Quantity("width", width, "mm"),
                Quantity("least width", least, "mm"),
                Quantity("greatest width", greatest, "mm"),
            ),
        )
    ]


def _overloaded(case: Case, unit: Equipment) -> list[Reason]:
    allowed = case.bed.safe_working_load
    carried = case.person.body.mass + unit.geometry.mass
    if allowed is None or carried <= allowed:
        return []
    return [
        Reason(
            "bed-overloaded",
            f"Person and unit weigh {carried:.0f} kg together, before mattress and accessories, "
            f"and the bed may carry {allowed:.0f} kg: another bed is needed.",
            (
                Quantity("person and unit", round(carried, 1), "kg"),
                Quantity("safe working load", allowed, "kg"),
            ),
        )
    ]
