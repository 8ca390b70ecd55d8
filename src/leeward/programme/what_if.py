"""A change somebody asks about, and the programme that has it."""

from dataclasses import dataclass, replace

from leeward.programme.build_up import build_up
from leeward.programme.ground import SAME_TURN, Ground
from leeward.programme.problem import Problem
from leeward.programme.programme import Programme, Window
from leeward.programme.quantities import minutes_in_words
from leeward.programme.windows import DayWindow, WindowKind
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Posture, turn_in_words
from leeward.terms.regime import Stay
from leeward.terms.site import Side


@dataclass(frozen=True, slots=True)
class WhatIf:
    """A change to the cycles of a programme; what is not said stays as it is.

    Parameters
    ----------
    turn : float or None
        Turn, positive, towards the side named or each side. [rad]
    towards : Side or None
        The side the person is turned to in the stays that change; None for each side.
    stay : float or None
        How long the stays on that side, or on each side, last. [s]
    level_stay : float or None
        How long level stays last; 0 leaves them out. [s]
    window : str
        ``"day"``, ``"night"``, the name of a window, or empty for all that turn.
    """

    turn: float | None = None
    towards: Side | None = None
    stay: float | None = None
    level_stay: float | None = None
    window: str = ""

    def in_words(self) -> str:
        """Say the change.

        Returns
        -------
        str
            With the side turned to and the side raised wherever a turn is named.
        """
        where = {"": "in every window that turns", "day": "by day", "night": "by night"}
        said = [
            self._turns_and_stays(),
            self._level_stays(),
            where.get(self.window, f"in the window {self.window!r}"),
        ]
        return ", ".join(one for one in said if one)

    def _turns_and_stays(self) -> str:
        turn = self._turn_in_words()
        if self.stay is None:
            return turn
        length = minutes_in_words(self.stay)
        if turn:
            return f"{turn}, for {length}"
        if self.towards is None:
            return f"stays of {length} on each side"
        side = self.towards
        return f"stays of {length} turned to the {side.value}, {side.other.value} side raised"

    def _level_stays(self) -> str:
        if self.level_stay is None:
            return ""
        if self.level_stay == 0.0:
            return "no level stays"
        return f"level stays of {minutes_in_words(self.level_stay)}"

    def _turn_in_words(self) -> str:
        if self.turn is None:
            return ""
        if self.towards is not None:
            return turn_in_words(self.turn if self.towards is Side.LEFT else -self.turn)
        return f"{turn_in_words(self.turn)}, and {turn_in_words(-self.turn)}"


def with_change(stands: Ground, programme: Programme, asked: WhatIf) -> Programme:
    """Change the cycles of a programme.

    Parameters
    ----------
    stands : Ground
        What the plan stands on.
    programme : Programme
        One of its choices.
    asked : WhatIf
        The change.

    Returns
    -------
    Programme
        The same with that change, and with a build-up of its own.

    Raises
    ------
    InvalidInput
        If no window that turns is meant, or a window would be left with a single posture.
    """
    given = stands.problem
    meant = _windows_meant(given, asked.window)
    changed = tuple(
        replace(window, cycle=_cycle(given, window, asked)) if place in meant else window
        for place, window in enumerate(programme.windows)
    )
    cycles = tuple(window.cycle for window in changed if len(window.cycle) > 1)
    steps = build_up(cycles, given.unit.ability, given.table.may_offer)
    return replace(programme, windows=changed, build_up=steps)


def _windows_meant(given: Problem, name: str) -> set[int]:
    turning = [n for n, one in enumerate(given.windows) if one.kind is WindowKind.TURNING]
    meant = {n for n in turning if _is_meant(given, given.windows[n], name)}
    if not meant and name in ("day", "night") and given.unit.ability.programmes_per_day == 1:
        raise InvalidInput(
            f"the {name} by itself",
            where="what-if, window",
            expected="all windows together: the unit runs one cycle by day and by night",
            remedy="leave the window out",
        )
    if not meant:
        known = [given.windows[n].name for n in turning]
        raise InvalidInput(
            f"no window that turns is called {name!r}" if name else "nothing turns in this plan",
            where="what-if, window",
            expected=f"one of: {', '.join(known)}" if known else "a window in which the unit turns",
            remedy="name one of them, or leave the window out to change all of them",
        )
    return meant


def _is_meant(given: Problem, window: DayWindow, name: str) -> bool:
    if name in ("", window.name):
        return True
    is_divided = given.unit.ability.programmes_per_day > 1
    return is_divided and name in ("day", "night") and window.is_sleep == (name == "night")


def _cycle(given: Problem, window: Window, asked: WhatIf) -> tuple[Stay, ...]:
    cycle = _with_side(window.cycle, asked)
    cycle = _with_level_stays(cycle, asked)
    cycle = tuple(_stay(given, one, asked) for one in cycle)
    if len({one.posture for one in cycle}) < 2:
        raise InvalidInput(
            f"one posture all through the window {window.name!r}",
            where="what-if",
            expected="a cycle of at least two postures",
            remedy="keep the level stays, or ask about both sides",
        )
    return cycle


def _with_side(cycle: tuple[Stay, ...], asked: WhatIf) -> tuple[Stay, ...]:
    """Where the side asked about is not turned to at all, add a stay that does, before level."""
    if asked.towards is None or any(s.posture.turned_to is asked.towards for s in cycle):
        return cycle
    turned = next((s for s in cycle if s.posture.turned_to is not None), None)
    if turned is None or asked.turn is None:
        return cycle
    mirrored = replace(turned, posture=turned.posture.with_turn(-turned.posture.turn))
    level = tuple(s for s in cycle if s.posture.turned_to is None)[:1]
    return (mirrored, *level, turned, *level)


def _with_level_stays(cycle: tuple[Stay, ...], asked: WhatIf) -> tuple[Stay, ...]:
    if asked.level_stay is None:
        return cycle
    turned = tuple(one for one in cycle if one.posture.turned_to is not None)
    if asked.level_stay == 0.0:
        return turned
    length = asked.level_stay
    return tuple(stay for one in turned for stay in (one, Stay(one.posture.with_turn(0.0), length)))


def _stay(given: Problem, one: Stay, asked: WhatIf) -> Stay:
    side = one.posture.turned_to
    if side is None:
        # A unit without a level stay of its own keeps level as long as it keeps the sides.
        ability = given.unit.ability
        is_tied = not (ability.level_stay_may_differ or ability.stays_may_differ)
        if asked.level_stay is None and asked.stay is not None and is_tied:
            return replace(one, duration=asked.stay)
        return one
    if asked.towards not in (None, side):
        return one
    duration = one.duration if asked.stay is None else asked.stay
    if asked.turn is None:
        return Stay(one.posture, duration)
    sign = 1.0 if side is Side.LEFT else -1.0
    return Stay(known_posture(given, one.posture.with_turn(sign * asked.turn)), duration)


def known_posture(given: Problem, posture: Posture) -> Posture:
    """Find the posture whose loads were computed and that differs by rounding alone.

    Parameters
    ----------
    given : Problem
        The search.
    posture : Posture
        A posture.

    Returns
    -------
    Posture
        The known one; the given one where there is none.
    """
    setting = posture.with_turn(0.0)
    near = (
        one
        for one in given.table.ratios.postures
        if abs(one.turn - posture.turn) < SAME_TURN and one.with_turn(0.0) == setting
    )
    return next(near, posture)
