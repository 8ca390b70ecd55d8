"""What the unit can be set to for this person: turns, stays, orders, and their postures."""

import math
from dataclasses import dataclass, replace

from leeward.programme.turn_limits import largest_turn
from leeward.programme.windows import DayWindow, WindowKind, day_windows
from leeward.terms.case import Case
from leeward.terms.equipment import Ability, Equipment, Order
from leeward.terms.limits import Limit, strictest_greatest
from leeward.terms.posture import Place, Posture
from leeward.terms.site import Side
from leeward.terms.units import radians_from_deg

#: Turn looked at beyond the unit's own reach, so that it can be said what more would change: a
#: surface turned so far rolls the body about as far as a turn by hand of 30 degrees.
TURN_BEYOND_THE_UNIT = radians_from_deg(40.0)

#: A step of a setting may be missed by rounding by this share of it. [-]
_ROUNDING = 1e-6


@dataclass(frozen=True, slots=True)
class Settings:
    """What may be set in every turning window, after all limits.

    Parameters
    ----------
    left, right : tuple of float
        Turns towards each side, positive. [rad]
    stays : tuple of float
        Stays. [s]
    orders : tuple of Order
        Orders without a forbidden level stay; one-sided ones only where a side has no turn.
    turns_may_differ, stays_may_differ, level_stay_may_differ : bool
        What the unit lets differ.
    """

    left: tuple[float, ...]
    right: tuple[float, ...]
    stays: tuple[float, ...]
    orders: tuple[Order, ...]
    turns_may_differ: bool
    stays_may_differ: bool
    level_stay_may_differ: bool


def grid(least: float, greatest: float, step: float) -> tuple[float, ...]:
    """List the values a setting can take.

    Parameters
    ----------
    least, greatest : float
        Ends of its range. [-]
    step : float
        Its step; 0 for a setting with one value. [-]

    Returns
    -------
    tuple of float
        From the least upwards; empty when the range is. [-]

    Examples
    --------
    >>> grid(5.0, 30.0, 10.0)
    (5.0, 15.0, 25.0)
    """
    if least > greatest * (1.0 + _ROUNDING):
        return ()
    count = 1 if step <= 0.0 else int((greatest - least) / step + _ROUNDING) + 1
    return tuple(least + number * step for number in range(count))


def turn_grid(ability: Ability, towards: Side, edge: Limit) -> tuple[float, ...]:
    """List the turns the unit can be set to towards one side, inside an edge.

    Parameters
    ----------
    ability : Ability
        What it can be set to.
    towards : Side
        Side the person would be turned to.
    edge : Limit
        Strictest upper edge of the turn. [rad]

    Returns
    -------
    tuple of float
        Positive angles, smallest first. [rad]
    """
    left = towards is Side.LEFT
    reach = ability.largest_turn_left if left else ability.largest_turn_right
    values = grid(ability.smallest_turn, reach, ability.turn_step)
    return tuple(turn for turn in values if _inside(turn, edge))


def stay_grid(ability: Ability, edges: tuple[Limit, ...]) -> tuple[float, ...]:
    """List the stays the unit can be set to, inside every edge.

    Parameters
    ----------
    ability : Ability
        What it can be set to.
    edges : tuple of Limit
        Upper edges: the policy's interval, the longest stay seen clear. [s]

    Returns
    -------
    tuple of float
        Shortest first. [s]
    """
    values = grid(ability.shortest_stay, ability.longest_stay, ability.stay_step)
    if not edges:
        return values
    return tuple(stay for stay in values if _inside(stay, strictest_greatest(edges)))


def settable(
    case: Case, unit: Equipment, windows: tuple[DayWindow, ...], stay_edges: tuple[Limit, ...]
) -> Settings:
    """Collect what may be set, every limit applied, the strictest of each.

    Parameters
    ----------
    case : Case
        The case.
    unit : Equipment
        The tilting unit.
    windows : tuple of DayWindow
        The turning windows: a turn must be allowed in each of them.
    stay_edges : tuple of Limit
        Upper edges of a stay. [s]

    Returns
    -------
    Settings
        Possibly without any turn, stay or order: then no programme can be set.
    """
    ability = unit.ability
    left = _allowed_everywhere(case, unit, Side.LEFT, windows)
    right = _allowed_everywhere(case, unit, Side.RIGHT, windows)
    if not ability.turns_may_differ and left and right:
        common = min(len(left), len(right))
        left, right = left[:common], right[:common]
    return Settings(
        left=left,
        right=right,
        stays=stay_grid(ability, stay_edges),
        orders=tuple(
            order
            for order in ability.orders
            if not (keeps_level(order) and case.person.no_level_stays is not None)
            and not (is_one_sided(order) and left and right)
        ),
        turns_may_differ=ability.turns_may_differ,
        stays_may_differ=ability.stays_may_differ,
        level_stay_may_differ=ability.level_stay_may_differ,
    )


def keeps_level(order: Order) -> bool:
    """Whether an order keeps the person level for a stay.

    Parameters
    ----------
    order : Order
        The order.

    Returns
    -------
    bool
        False only for going straight from side to side.
    """
    return order is not Order.LEFT_RIGHT


def is_one_sided(order: Order) -> bool:
    """Whether an order turns to one side only.

    Parameters
    ----------
    order : Order
        The order.

    Returns
    -------
    bool
        True for left and level, and for right and level.
    """
    return order in (Order.LEFT_LEVEL, Order.RIGHT_LEVEL)


def stay_edges(case: Case, longest_seen_clear: float | None) -> tuple[Limit, ...]:
    """List the upper edges of a stay.

    Parameters
    ----------
    case : Case
        The case.
    longest_seen_clear : float or None
        Longest stay of the regime compared. [s]

    Returns
    -------
    tuple of Limit
        The policy's interval and the longest stay compared, as far as known. [s]
    """
    edges = []
    if case.policy is not None:
        edges.append(Limit(case.policy.interval, "s", f"policy {case.policy.name}"))
    if longest_seen_clear is not None and math.isfinite(longest_seen_clear):
        edges.append(Limit(longest_seen_clear, "s", "longest stay of the regime compared"))
    return tuple(edges)


def needed_postures(case: Case) -> tuple[Posture, ...]:
    """List every posture whose loads a plan may ask for.

    Parameters
    ----------
    case : Case
        The case.

    Returns
    -------
    tuple of Posture
        Level and every settable turn at the backrest and knee of each turning window, one turn
        beyond the unit's reach where that is below 30°, and every prescribed posture. Each
        once, in a fixed order.
    """
    if case.equipment is None:
        return tuple(dict.fromkeys(one.posture for one in case.day.prescribed))
    postures: list[Posture] = []
    for window in day_windows(case, case.equipment.ability):
        postures.append(window.posture)
        # A prescribed turn is reached through others, and left through them.
        is_turned = window.posture.place is Place.BED and window.posture.turn != 0.0
        if window.kind is WindowKind.TURNING or is_turned:
            turns = _signed_turns(case, case.equipment, window.posture)
            postures.extend(window.posture.with_turn(turn) for turn in turns)
    return tuple(dict.fromkeys(postures))


def beyond_the_unit(case: Case, unit: Equipment, towards: Side, posture: Posture) -> float | None:
    """Pick a turn the unit does not reach though nothing else forbids it.

    Parameters
    ----------
    case : Case
        The case.
    unit : Equipment
        The tilting unit.
    towards : Side
        Side the person would be turned to.
    posture : Posture
        Backrest, knee and supports.

    Returns
    -------
    float or None
        The turn, positive; None when the unit reaches it or something else forbids it. [rad]
    """
    farther = replace(
        unit,
        ability=replace(
            unit.ability,
            largest_turn_left=TURN_BEYOND_THE_UNIT,
            largest_turn_right=TURN_BEYOND_THE_UNIT,
        ),
    )
    left = towards is Side.LEFT
    reach = unit.ability.largest_turn_left if left else unit.ability.largest_turn_right
    edge = largest_turn(case, farther, towards, posture)
    if reach >= TURN_BEYOND_THE_UNIT or not _inside(TURN_BEYOND_THE_UNIT, edge):
        return None
    return TURN_BEYOND_THE_UNIT


def _signed_turns(case: Case, unit: Equipment, posture: Posture) -> tuple[float, ...]:
    turns: list[float] = [0.0]
    for side, sign in ((Side.LEFT, 1.0), (Side.RIGHT, -1.0)):
        edge = largest_turn(case, unit, side, posture)
        turns.extend(sign * turn for turn in turn_grid(unit.ability, side, edge))
        farther = beyond_the_unit(case, unit, side, posture)
        turns.extend([] if farther is None else [sign * farther])
    return tuple(turns)


def _allowed_everywhere(
    case: Case, unit: Equipment, side: Side, windows: tuple[DayWindow, ...]
) -> tuple[float, ...]:
    edges = [largest_turn(case, unit, side, window.posture) for window in windows]
    if not edges:
        return ()
    return turn_grid(unit.ability, side, strictest_greatest(edges))


def _inside(value: float, edge: Limit) -> bool:
    slack = _ROUNDING * abs(edge.value)
    return value <= edge.value + slack if edge.inclusive else value < edge.value - slack
