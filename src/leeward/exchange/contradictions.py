"""Statements in one case that cannot both be right, or that defeat each other."""

from collections.abc import Iterator

from leeward.exchange.bed_contradictions import BED_RULES, Rule
from leeward.exchange.case_file import CaseDocument
from leeward.exchange.findings import CaseFinding, CaseFindingKind
from leeward.exchange.problems import Place, field_path
from leeward.terms.bed import MattressKind
from leeward.terms.posture import Place as Whereabouts
from leeward.terms.posture import Posture, turn_in_words
from leeward.terms.regime import Regime, RegimeStanding
from leeward.terms.sourced import Sourced
from leeward.terms.units import (
    cm_from_metres,
    deg_from_radians,
    min_from_seconds,
)
from leeward.tissue.skin_evidence import contradicting

#: What a bed carries beside the person and the unit.
MATTRESS_MASS = Sourced(20.0, "kg", "IEC 60601-2-52 practice", "hospital beds", from_memory=True)
ACCESSORIES_MASS = Sourced(15.0, "kg", "IEC 60601-2-52 practice", "hospital beds", from_memory=True)

#: Angles closer than this are the same: written in whole or half degrees. [rad]
_SAME_ANGLE = 1e-6


def contradictions(document: CaseDocument) -> Iterator[CaseFinding]:
    """Name every pair of statements that do not fit each other.

    Parameters
    ----------
    document : CaseDocument
        The case as read.

    Yields
    ------
    CaseFinding
        Contradictions, by field and line.
    """
    for rule in _RULES:
        for place, sentence in rule(document):
            line = document.line(place)
            yield CaseFinding(CaseFindingKind.CONTRADICTORY, field_path(place), line, sentence)


def _load_on_bed(document: CaseDocument) -> Iterator[tuple[Place, str]]:
    case = document.case
    most = case.bed.safe_working_load
    if most is None:
        return
    unit = 0.0 if case.equipment is None else case.equipment.geometry.mass
    beside = MATTRESS_MASS.value + ACCESSORIES_MASS.value
    total = case.person.body.mass + unit + beside
    if total > most:
        yield (
            ("bed", "safe_working_load_kg"),
            f"the bed may carry {most:g} kg, but person {case.person.body.mass:g} kg, unit "
            f"{unit:g} kg, mattress and accessories {beside:g} kg (assumed, from memory) make "
            f"{total:g} kg; read the plate again or use a stronger bed",
        )


def _mass_for_unit(document: CaseDocument) -> Iterator[tuple[Place, str]]:
    case = document.case
    if case.equipment is None:
        return
    ability, mass = case.equipment.ability, case.person.body.mass
    if not ability.least_mass <= mass <= ability.greatest_mass:
        yield (
            ("person", "mass_kg"),
            f"the person weighs {mass:g} kg and {case.equipment.name} is made for "
            f"{ability.least_mass:g} to {ability.greatest_mass:g} kg; another unit is needed",
        )


def _width_for_unit(document: CaseDocument) -> Iterator[tuple[Place, str]]:
    case = document.case
    written = document.plain.get("bed")
    if case.equipment is None or not isinstance(written, dict) or not written.get("platform"):
        return
    ability, width = case.equipment.ability, case.bed.platform.width
    if not ability.least_width <= width <= ability.greatest_width:
        yield (
            ("bed", "platform", "platform_width_cm"),
            f"the platform is {cm_from_metres(width):g} cm wide and {case.equipment.name} fits "
            f"mattresses of {cm_from_metres(ability.least_width):g} to "
            f"{cm_from_metres(ability.greatest_width):g} cm; measure the mattress",
        )


def _backrests(document: CaseDocument) -> Iterator[tuple[Place, str]]:
    case = document.case
    low, high = case.person.least_backrest, case.person.greatest_backrest
    if low is not None and high is not None and low > high:
        yield (
            ("person", "least_backrest_deg"),
            f"the backrest must be at least {_deg(low)} and at most {_deg(high)} degrees; correct "
            "one of the two",
        )
        return
    places: list[tuple[Place, str, float]] = [
        (("day", "usual_backrest_deg"), "the usual backrest", case.day.usual_backrest)
    ]
    places += [
        (("day", "prescribed", number, "backrest_deg"), window.name, window.posture.backrest)
        for number, window in enumerate(case.day.prescribed)
        if window.posture.place is Whereabouts.BED
    ]
    for place, name, angle in places:
        yield from _backrest(document, place, name, angle)


def _backrest(
    document: CaseDocument, place: Place, name: str, angle: float
) -> Iterator[tuple[Place, str]]:
    person, bed = document.case.person, document.case.bed
    written = f"{name} has the backrest at {_deg(angle)} degrees"
    if person.least_backrest is not None and angle < person.least_backrest - _SAME_ANGLE:
        yield place, f"{written}, yet the person needs at least {_deg(person.least_backrest)}"
    if person.greatest_backrest is not None and angle > person.greatest_backrest + _SAME_ANGLE:
        yield place, f"{written}, yet the person bears at most {_deg(person.greatest_backrest)}"
    if angle > bed.platform.largest_backrest + _SAME_ANGLE:
        yield place, f"{written}, yet the bed rises to {_deg(bed.platform.largest_backrest)}"


def _pauses(document: CaseDocument) -> Iterator[tuple[Place, str]]:
    equipment = document.case.equipment
    if equipment is None or equipment.ability.pauses_above_backrest is None:
        return
    edge = equipment.ability.pauses_above_backrest
    for number, window in enumerate(document.case.day.prescribed):
        if window.may_turn and window.posture.backrest > edge + _SAME_ANGLE:
            yield (
                ("day", "prescribed", number, "may_turn"),
                f"turns are to go on during {window.name}, but {equipment.name} pauses above "
                f"{_deg(edge)} degrees of backrest and this is {_deg(window.posture.backrest)}",
            )


def _standing(document: CaseDocument) -> Iterator[tuple[Place, str]]:
    for number, regime in enumerate(_written(document)):
        sentence = _against_its_standing(regime)
        if sentence is not None:
            yield ("regimes", number, "standing"), sentence


def _against_its_standing(regime: Regime) -> str | None:
    standing = regime.standing
    if standing is RegimeStanding.CLEAR and regime.failed_sites:
        sites = ", ".join(site.value for site in regime.failed_sites)
        return f"skin is said to have stayed clear, yet failed_sites names {sites}"
    if standing is RegimeStanding.CLEAR and regime.looks is None:
        return "skin is said to have stayed clear, yet no looks are given"
    if standing is RegimeStanding.FAILED and not regime.failed_sites:
        return "skin is said to have failed, yet failed_sites names no site"
    if standing is RegimeStanding.ASSUMED and not regime.assumed_by:
        return "assumed, yet assumed_by names nobody: it cannot count"
    return None


def _looks_within(document: CaseDocument) -> Iterator[tuple[Place, str]]:
    for number, regime in enumerate(_written(document)):
        looks = regime.looks
        place: Place = ("regimes", number, "looks")
        if looks is None:
            continue
        if regime.first is not None and looks.first < regime.first:
            yield (
                place,
                f"the first look, {looks.first}, is before the first day, {regime.first}",
            )
        if regime.last is not None and looks.last > regime.last:
            yield place, f"the last look, {looks.last}, is after the last day, {regime.last}"


def _damage_under_clear(document: CaseDocument) -> Iterator[tuple[Place, str]]:
    for number, regime in enumerate(_written(document)):
        if regime.standing is not RegimeStanding.CLEAR:
            continue
        damage = contradicting(regime, document.case)
        if damage:
            first = damage[0]
            yield (
                ("regimes", number, "standing"),
                f"skin is said to have stayed clear, yet {first.by} found {first.finding.value} at "
                f"the {first.site.value} on {first.when:%Y-%m-%d}; if it was there before the "
                "regime began, add the look that found it",
            )


def _another_mattress(document: CaseDocument) -> Iterator[tuple[Place, str]]:
    bed = document.case.bed
    for number, regime in enumerate(_written(document)):
        if regime.standing is not RegimeStanding.CLEAR:
            continue
        if MattressKind.UNDESCRIBED in (regime.mattress.kind, bed.mattress.kind):
            continue
        if regime.mattress != bed.mattress:
            yield (
                ("regimes", number, "mattress"),
                "the mattress was another than the one under `bed`: what the skin took then does "
                "not speak for the present one",
            )


def _stays_beyond_policy(document: CaseDocument) -> Iterator[tuple[Place, str]]:
    policy = document.case.policy
    if policy is None:
        return
    for number, regime in enumerate(_written(document)):
        for cycle, stays in (("cycle", regime.cycle), ("night_cycle", regime.night_cycle)):
            for entry, stay in enumerate(stays):
                if stay.duration > policy.interval:
                    yield (
                        ("regimes", number, cycle, entry, "stay_min"),
                        f"a stay of {min_from_seconds(stay.duration):g} min is longer than the "
                        f"policy's {min_from_seconds(policy.interval):g} min ({policy.name})",
                    )


def _turns_beyond_limits(document: CaseDocument) -> Iterator[tuple[Place, str]]:
    limits = {limit.towards: limit for limit in document.case.person.turn_limits}
    for number, window in enumerate(document.case.day.prescribed):
        posture: Posture = window.posture
        side = posture.turned_to
        if side in limits and abs(posture.turn) > limits[side].largest + _SAME_ANGLE:
            yield (
                ("day", "prescribed", number, "turn_deg"),
                f"{window.name} is prescribed {turn_in_words(posture.turn)}, yet turns to the "
                f"{side.value} are limited to {_deg(limits[side].largest)} degrees",
            )


def _named_twice(document: CaseDocument) -> Iterator[tuple[Place, str]]:
    seen = set()
    for number, protected in enumerate(document.case.person.protected_sites):
        place: Place = ("person", "protected_sites", number)
        if protected.site in seen:
            yield place, f"the {protected.site.value} is protected twice; keep one entry"
        seen.add(protected.site)
        if (protected.ceiling is None) != (protected.ceiling_by is None):
            yield place, "a ceiling needs the practitioner who allows it, and the other way round"


def _written(document: CaseDocument) -> tuple[Regime, ...]:
    # A regime assumed from a policy is not written under `regimes` and stands last.
    written = document.plain.get("regimes")
    return document.case.regimes[: len(written) if isinstance(written, list) else 0]


def _deg(angle: float) -> str:
    return f"{round(deg_from_radians(angle), 1):g}"


_RULES: tuple[Rule, ...] = (
    _load_on_bed,
    _mass_for_unit,
    _width_for_unit,
    *BED_RULES,
    _backrests,
    _pauses,
    _standing,
    _looks_within,
    _damage_under_clear,
    _another_mattress,
    _stays_beyond_policy,
    _turns_beyond_limits,
    _named_twice,
)
