"""Whether the unit can really be set to a programme, by its own instructions."""

from collections.abc import Iterator

from leeward.programme.programme import Window
from leeward.programme.recheck_day import Examined, is_exempt
from leeward.programme.recheck_finding import (
    SLACK,
    degrees_of,
    finding,
    is_same,
    is_within,
    minutes_of,
    number_of,
)
from leeward.terms.equipment import Ability, Order
from leeward.terms.posture import turn_in_words
from leeward.terms.regime import Stay
from leeward.terms.verdict import Quantity, Reason

_LEFT, _LEVEL, _RIGHT = "left", "level", "right"


def not_settable(seen: Examined) -> Iterator[Reason]:
    """Find turns, stays, orders and windows that the unit cannot be set to.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Yields
    ------
    Reason
        One for each setting that does not exist.
    """
    if seen.programme.turned_by_hand:
        return
    windows = [w for w in seen.programme.windows if not is_exempt(w, seen.case)]
    if seen.case.equipment is None:
        yield finding("no-unit", "No tilting unit is named that the programme could be set on.")
        return
    ability = seen.case.equipment.ability
    yield from _wrong_person_or_bed(seen, ability)
    for window in windows:
        for stay in window.cycle:
            yield from _turn_not_settable(window, stay.posture.turn, ability)
            yield from _stay_not_settable(window, stay.duration, ability)
        yield from _order_not_settable(window, ability)
        yield from _turns_not_apart(window, ability)
        yield from _stays_not_apart(window, ability)
        yield from _moves_too_slowly(window, ability)
    cycles = {tuple((s.posture.turn, s.duration) for s in window.cycle) for window in windows}
    if len(cycles) > ability.programmes_per_day:
        yield finding(
            "too-many-cycles",
            "The programme needs more different cycles a day than the unit can run by the clock.",
            number_of("cycles", len(cycles)),
            number_of("the unit runs", ability.programmes_per_day),
        )


def _wrong_person_or_bed(seen: Examined, ability: Ability) -> Iterator[Reason]:
    body, bed, unit = seen.case.person.body, seen.case.bed, seen.case.equipment
    if not ability.least_mass <= body.mass <= ability.greatest_mass:
        yield finding(
            "unit-not-for-this-mass",
            "The unit is not made for a person of this mass.",
            Quantity("mass", body.mass, "kg"),
            Quantity("least", ability.least_mass, "kg"),
            Quantity("greatest", ability.greatest_mass, "kg"),
        )
    width = bed.platform.width
    if not (is_within(ability.least_width, width) and is_within(width, ability.greatest_width)):
        yield finding(
            "unit-not-for-this-bed",
            "The unit does not fit a bed of this width.",
            Quantity("width", width, "m"),
            Quantity("least", ability.least_width, "m"),
            Quantity("greatest", ability.greatest_width, "m"),
        )
    carried = body.mass + (unit.geometry.mass if unit is not None else 0.0)
    if bed.safe_working_load is not None and not carried <= bed.safe_working_load:
        yield finding(
            "bed-overloaded",
            "Person and unit together weigh more than the bed may carry.",
            Quantity("person and unit", carried, "kg"),
            Quantity("safe working load", bed.safe_working_load, "kg"),
        )


def _turn_not_settable(window: Window, turn: float, ability: Ability) -> Iterator[Reason]:
    if turn == 0.0:
        return
    reach = ability.largest_turn_left if turn > 0.0 else ability.largest_turn_right
    if not is_within(abs(turn), reach) or not _is_on_scale(
        abs(turn), ability.smallest_turn, ability.turn_step
    ):
        yield finding(
            "turn-not-settable",
            f"{window.name.capitalize()}: the unit cannot be set to {turn_in_words(turn)}.",
            degrees_of("turn", abs(turn)),
            degrees_of("smallest", ability.smallest_turn),
            degrees_of("largest", reach),
            degrees_of("step", ability.turn_step),
        )


def _stay_not_settable(window: Window, stay: float, ability: Ability) -> Iterator[Reason]:
    if not is_within(stay, ability.longest_stay) or not _is_on_scale(
        stay, ability.shortest_stay, ability.stay_step
    ):
        yield finding(
            "stay-not-settable",
            f"{window.name.capitalize()}: the unit cannot be set to a stay of this length.",
            minutes_of("stay", stay),
            minutes_of("shortest", ability.shortest_stay),
            minutes_of("longest", ability.longest_stay),
            minutes_of("step", ability.stay_step),
        )


def _is_on_scale(value: float, least: float, step: float) -> bool:
    above = value - least
    if step <= 0.0 or is_same(value, least):
        return is_same(value, least)
    if not above > 0.0:
        return False
    return abs(above / step - round(above / step)) <= SLACK * max(1.0, above / step)


def _directions(cycle: tuple[Stay, ...]) -> tuple[str, ...]:
    turns = [stay.posture.turn for stay in cycle]
    return tuple(_LEFT if t > 0.0 else _RIGHT if t < 0.0 else _LEVEL for t in turns)


def _order_not_settable(window: Window, ability: Ability) -> Iterator[Reason]:
    directions = _directions(window.cycle)
    known = {order: tuple(order.value.split(", ")) for order in Order}
    if directions not in [known[order] for order in ability.orders]:
        yield finding(
            "order-not-settable",
            f"{window.name.capitalize()}: the unit cannot run the order {', '.join(directions)}.",
        )


def _turns_not_apart(window: Window, ability: Ability) -> Iterator[Reason]:
    turns = [abs(stay.posture.turn) for stay in window.cycle if stay.posture.turn != 0.0]
    if not (ability.turns_may_differ or _are_same(turns)):
        yield finding(
            "turns-differ",
            f"{window.name.capitalize()}: the unit has one turn for both sides.",
            *(degrees_of("turn", turn) for turn in turns),
        )


def _lengths(window: Window, *, level: bool) -> list[float]:
    return [s.duration for s in window.cycle if (s.posture.turn == 0.0) is level]


def _stays_not_apart(window: Window, ability: Ability) -> Iterator[Reason]:
    name = window.name.capitalize()
    stays, level = _lengths(window, level=False), _lengths(window, level=True)
    if not (ability.stays_may_differ or (_are_same(stays) and _are_same(level))):
        shown = (minutes_of("stay", stay) for stay in stays)
        yield finding("stays-differ", f"{name}: the unit has one stay for both sides.", *shown)
    if not (ability.level_stay_may_differ or all(_is_among(one, stays) for one in level)):
        shown = (minutes_of("level stay", stay) for stay in level)
        yield finding(
            "level-stay-differs", f"{name}: the unit has no level stay of its own.", *shown
        )


def _is_among(value: float, values: list[float]) -> bool:
    return not values or any(is_same(value, other) for other in values)


def _are_same(values: list[float]) -> bool:
    return all(is_same(value, values[0]) for value in values)


def _moves_too_slowly(window: Window, ability: Ability) -> Iterator[Reason]:
    """A stay includes the movement into it, so it must be the longer of the two."""
    largest = max(ability.largest_turn_left, ability.largest_turn_right)
    turns = [stay.posture.turn for stay in window.cycle]
    for before, stay in zip([turns[-1], *turns[:-1]], window.cycle, strict=True):
        moving = ability.rise_time * abs(stay.posture.turn - before) / largest if largest else 0.0
        if not moving < stay.duration:
            yield finding(
                "stay-shorter-than-movement",
                f"{window.name.capitalize()}: the unit is still moving when the stay is over.",
                minutes_of("movement", moving),
                minutes_of("stay", stay.duration),
            )
