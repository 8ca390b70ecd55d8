"""One step more and one step less in every setting of a choice, and what each would do."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import NamedTuple

import numpy as np

from leeward.programme.decision import Choice
from leeward.programme.ground import SAME_TURN, Ground
from leeward.programme.judged_anew import JudgedAnew, judge_anew
from leeward.programme.problem import Problem
from leeward.programme.quantities import minutes_in_words
from leeward.programme.settable import stay_grid, turn_grid
from leeward.programme.turn_limits import largest_turn
from leeward.programme.what_if import WhatIf, with_change
from leeward.programme.windows import WindowKind
from leeward.terms.equipment import Order
from leeward.terms.limits import Limit
from leeward.terms.posture import turn_in_words
from leeward.terms.regime import Stay
from leeward.terms.site import Side, Site
from leeward.terms.units import deg_from_radians
from leeward.terms.verdict import Reason

_NO_EDGE = Limit(float("inf"), "rad", "none")
#: Stays closer than this are one stay. [s]
_SAME_STAY = 1.0


class _Asked(NamedTuple):
    """A setting, what it becomes, and the change; or why it can go no further."""

    setting: str
    becomes: str
    change: WhatIf | None
    blocked: str = ""


_AS_IT_IS = _Asked("as it is", "", None)


@dataclass(frozen=True, slots=True)
class OneStep:
    """One setting moved by one step.

    Parameters
    ----------
    setting : str
        Which setting, in which part of the day.
    becomes : str
        What it becomes; what it is where it can go no further.
    blocked : str
        Why it can go no further; empty where it was tried.
    qualifies : bool or None
        Whether the programme would qualify; None where it was not tried.
    index, index_low, index_high : float or None
        Largest index with band; None where unknown or not tried. [-]
    limiting_site : Site or None
        Where.
    turns_in_sleep, turns_per_day : int or None
        Movements of the surface. [-]
    against : tuple of Reason
        What would stop it.
    """

    setting: str
    becomes: str
    blocked: str = ""
    qualifies: bool | None = None
    index: float | None = None
    index_low: float | None = None
    index_high: float | None = None
    limiting_site: Site | None = None
    turns_in_sleep: int | None = None
    turns_per_day: int | None = None
    against: tuple[Reason, ...] = ()


def steps_either_way(stands: Ground, choice: Choice) -> tuple[OneStep, ...]:
    """Move every setting of a choice by one step of the unit, either way.

    Parameters
    ----------
    stands : Ground
        What the plan stands on.
    choice : Choice
        One of its choices.

    Returns
    -------
    tuple of OneStep
        The choice as it is; then turns, stays and level stays, for day and night apart where
        the unit runs two cycles.
        Where a limit or the end of the unit's range stops a step, that is said instead.
    """
    asked = [_AS_IT_IS, *_all_asked(stands.problem, choice)]
    programmes = [
        with_change(stands, choice.programme, one.change) for one in asked if one.change is not None
    ]
    found = iter(judge_anew(stands, [choice.programme, *programmes]))
    return tuple(
        OneStep(one.setting, one.becomes, one.blocked) if one.blocked else _told(one, next(found))
        for one in asked
    )


def _told(asked: _Asked, found: JudgedAnew) -> OneStep:
    index, low, high = found.band
    cost = found.assessment.disturbance
    return OneStep(
        setting=asked.setting,
        becomes=asked.becomes,
        qualifies=found.qualifies,
        index=_or_none(index),
        index_low=_or_none(low),
        index_high=_or_none(high),
        limiting_site=found.assessment.limiting_site,
        turns_in_sleep=cost.turns_in_sleep,
        turns_per_day=cost.turns_per_day,
        against=found.against,
    )


def _or_none(value: float) -> float | None:
    return value if np.isfinite(value) else None


def _all_asked(given: Problem, choice: Choice) -> Iterator[_Asked]:
    for name in ("day", "night") if len(given.chains) > 1 else ("",):
        places = [
            n
            for n, window in enumerate(given.windows)
            if window.kind is WindowKind.TURNING
            and (not name or window.is_sleep == (name == "night"))
        ]
        if places:
            cycle = choice.programme.windows[places[0]].cycle
            yield from _turns(given, cycle, name, places)
            yield from _stays(given, cycle, name)
            yield from _level_stays(given, cycle, name)


def _when(name: str) -> str:
    return f", {name}" if name else ""


def _sides(cycle: tuple[Stay, ...], *, apart: bool) -> Iterator[tuple[Side | None, list[Stay]]]:
    """The stays that are set together: each side's where they may differ, else all turned."""
    turned = [one for one in cycle if one.posture.turned_to is not None]
    by_side = [(side, [s for s in turned if s.posture.turned_to is side]) for side in Side]
    present = [(side, stays) for side, stays in by_side if stays]
    yield from present if apart or len(present) == 1 else [(None, turned)]


def _turns(
    given: Problem, cycle: tuple[Stay, ...], name: str, places: list[int]
) -> Iterator[_Asked]:
    for side, stays in _sides(cycle, apart=given.unit.ability.turns_may_differ):
        now = abs(stays[0].posture.turn)
        where = "both sides" if side is None else f"to the {side.value}"
        setting = f"turn {where}{_when(name)}"
        sides = tuple(Side) if side is None else (side,)
        common = _settable_turns(given, sides)
        less = [turn for turn in common if turn < now - SAME_TURN]
        more = [turn for turn in common if turn > now + SAME_TURN]
        yield (
            _turned(setting, less[-1], side, name)
            if less
            else _Asked(setting, _degrees(now), None, "the unit has no smaller turn")
        )
        edge = _edge(given, sides, places)
        if more and more[0] <= edge.value + SAME_TURN:
            yield _turned(setting, more[0], side, name)
        else:
            source = edge.source if more else "the unit reaches no further"
            yield _Asked(setting, _degrees(now), None, source)


def _settable_turns(given: Problem, sides: tuple[Side, ...]) -> list[float]:
    """Turns the unit has towards every one of the sides."""
    grids = [turn_grid(given.unit.ability, side, _NO_EDGE) for side in sides]
    return [turn for turn in grids[0] if all(_holds(grid, turn) for grid in grids)]


def _edge(given: Problem, sides: tuple[Side, ...], places: list[int]) -> Limit:
    """The strictest edge of a turn towards any of the sides in any of the windows."""
    windows = [given.windows[place] for place in places]
    edges = [
        largest_turn(given.case, given.unit, side, window.posture)
        for side in sides
        for window in windows
    ]
    return min(edges, key=lambda limit: limit.value)


def _holds(grid: tuple[float, ...], turn: float) -> bool:
    return any(abs(turn - one) < SAME_TURN for one in grid)


def _turned(setting: str, turn: float, side: Side | None, name: str) -> _Asked:
    sign = -1.0 if side is Side.RIGHT else 1.0
    becomes = _degrees(turn) if side is None else turn_in_words(sign * turn)
    return _Asked(setting, becomes, WhatIf(turn=turn, towards=side, window=name))


def _degrees(turn: float) -> str:
    return f"{round(deg_from_radians(turn), 1):g}°"


def _stays(given: Problem, cycle: tuple[Stay, ...], name: str) -> Iterator[_Asked]:
    ability = given.unit.ability
    for side, stays in _sides(cycle, apart=ability.stays_may_differ):
        where = "both sides" if side is None else f"to the {side.value}"
        yield from _longer_and_shorter(
            given,
            stays[0].duration,
            f"stay {where}{_when(name)}",
            partial(_stay_becomes, side, name),
        )


def _stay_becomes(side: Side | None, name: str, stay: float) -> WhatIf:
    return WhatIf(stay=stay, towards=side, window=name)


def _level_stays(given: Problem, cycle: tuple[Stay, ...], name: str) -> Iterator[_Asked]:
    ability = given.unit.ability
    level = [one for one in cycle if one.posture.turned_to is None]
    setting = f"level stays{_when(name)}"
    is_free = ability.level_stay_may_differ or ability.stays_may_differ
    if not level:
        yield from _level_put_in(given, cycle[0].duration, setting, name)
        return
    if is_free:
        yield from _longer_and_shorter(
            given, level[0].duration, setting, partial(_level_stay_becomes, name)
        )
    both = {one.posture.turned_to for one in cycle} >= set(Side)
    if both and Order.LEFT_RIGHT in ability.orders:
        yield _Asked(setting, "none", WhatIf(level_stay=0.0, window=name))


def _level_stay_becomes(name: str, stay: float) -> WhatIf:
    return WhatIf(level_stay=stay, window=name)


def _level_put_in(given: Problem, side_stay: float, setting: str, name: str) -> Iterator[_Asked]:
    ability = given.unit.ability
    signed = given.case.person.no_level_stays
    if signed is not None:
        yield _Asked(setting, "none", None, f"{signed.by} wrote: {signed.reason}")
    elif Order.LEFT_LEVEL_RIGHT_LEVEL in ability.orders:
        is_free = ability.level_stay_may_differ or ability.stays_may_differ
        stay = ability.shortest_stay if is_free else side_stay
        yield _Asked(setting, minutes_in_words(stay), WhatIf(level_stay=stay, window=name))


def _longer_and_shorter(
    given: Problem, now: float, setting: str, change: Callable[[float], WhatIf]
) -> Iterator[_Asked]:
    grid = stay_grid(given.unit.ability, ())
    shorter = [stay for stay in grid if stay < now - _SAME_STAY]
    longer = [stay for stay in grid if stay > now + _SAME_STAY]
    for found, blocked in (
        (shorter[-1:], "the unit has no shorter stay"),
        (longer[:1], "the unit has no longer stay"),
    ):
        if found:
            yield _Asked(setting, minutes_in_words(found[0]), change(found[0]))
        else:
            yield _Asked(setting, minutes_in_words(now), None, blocked)
