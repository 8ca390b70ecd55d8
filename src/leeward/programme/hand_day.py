"""A programme with turns by hand laid into it, judged at every site by the loads of both."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from leeward.programme.hand_turns import HandTurns, turned_by_hand_in
from leeward.programme.moved_days import guarded_segments
from leeward.programme.peaks import unknown_patterns
from leeward.programme.problem import Problem
from leeward.programme.programme import Programme, Window
from leeward.programme.programmes import DaySegments, moved_day
from leeward.programme.search import LARGEST_INDEX
from leeward.terms.site import Side
from leeward.terms.units import SECONDS_PER_DAY
from leeward.tissue.allowance import steady_peak
from leeward.tissue.guards import is_loaded_too_long, lacks_relief
from leeward.tissue.movement import PIECES

Array = NDArray[np.float64]

#: Nobody has turned the person by hand: the unit has them.
_UNIT = -1


@dataclass(frozen=True, slots=True)
class HandStay:
    """A turn by hand and how long it is left.

    Parameters
    ----------
    start : float
        Time of day. [s]
    duration : float
        How long, unless the window ends or the next turn comes first. [s]
    side : Side
        Side the person is turned to.
    """

    start: float
    duration: float
    side: Side


@dataclass(frozen=True, slots=True, eq=False)
class HandDay:
    """A programme unrolled with its turns by hand.

    Parameters
    ----------
    programme : Programme
        What the unit runs; its cycle begins afresh after each turn by hand.
    day : DaySegments
        Segments; while people have turned the person the unit is level.
    place : ndarray of int, shape (n,)
        Position among the turns by hand; -1 where the unit has the person. [-]
    """

    programme: Programme
    day: DaySegments
    place: NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class HandJudged:
    """What turns by hand make of a programme.

    Parameters
    ----------
    index : ndarray, shape (d, s)
        Peak allowance over the one allowed; 0 where nothing limits it, NaN unknown. [-]
    breaks_guard : ndarray of bool, shape (d, g)
        Guarded sites loaded in one piece for too long, or not relieved in some long window.
    """

    index: Array
    breaks_guard: NDArray[np.bool_]

    @property
    def worst(self) -> Array:
        """Largest index in each draw. [-]"""
        return np.asarray(self.index.max(axis=1))

    @property
    def agrees(self) -> NDArray[np.bool_]:
        """Draws in which no index passes 1 and the guards hold."""
        return np.asarray(~self.breaks_guard.any(axis=1) & (self.worst <= LARGEST_INDEX))


def with_hand_stays(
    given: Problem, hands: HandTurns, programme: Programme, stays: list[HandStay]
) -> HandDay:
    """Lay turns by hand into a programme.

    Parameters
    ----------
    given : Problem
        The search.
    hands : HandTurns
        Loads of turns by hand.
    programme : Programme
        A programme of that search.
    stays : list of HandStay
        Turns by hand; those outside windows in which people may turn are left out.

    Returns
    -------
    HandDay
        From the start of the first window for 24 h.
    """
    may = turned_by_hand_in(given.windows, given.compared.stay_limit.value)
    pieces = [
        piece
        for number, laid in enumerate(given.windows)
        for piece in _pieces(given, hands, programme, number, stays if laid in may else [])
    ]
    lengths = np.array([one.length for one in pieces])
    starts = programme.windows[0].span.start + np.cumsum(lengths) - lengths
    day = DaySegments(
        lengths,
        np.array([one.row for one in pieces], dtype=np.intp),
        np.array([one.turn for one in pieces]),
        starts % SECONDS_PER_DAY,
        np.array([one.window for one in pieces], dtype=np.intp),
        np.array([one.is_still for one in pieces]),
    )
    return HandDay(programme, day, np.array([one.place for one in pieces], dtype=np.intp))


class _Piece(NamedTuple):
    """A segment: length [s], row, turn of the unit [rad], window, and place among turns by hand."""

    length: float
    row: int
    turn: float
    window: int
    is_still: bool
    place: int = _UNIT


def _inside(window: Window, stays: list[HandStay]) -> list[tuple[float, HandStay]]:
    """Turns by hand that begin in a window, by the time since its start."""
    since = [((stay.start - window.span.start) % SECONDS_PER_DAY, stay) for stay in stays]
    return sorted(
        (one for one in since if window.span.contains(one[1].start)), key=lambda one: one[0]
    )


def _pieces(
    given: Problem, hands: HandTurns, programme: Programme, number: int, stays: list[HandStay]
) -> list[_Piece]:
    window, setting = programme.windows[number], given.windows[number].posture.with_turn(0.0)
    inside = _inside(window, stays)
    ends = [*(at for at, _ in inside[1:]), window.span.duration]
    found: list[_Piece] = []
    clock = 0.0
    for (at, stay), end in zip(inside, ends, strict=False):
        place = hands.place(setting, stay.side)
        if place is None:
            continue
        found.extend(_by_unit(given, window, number, at - clock))
        length = min(stay.duration, end - at)
        found.append(_Piece(length, given.table.row(setting), 0.0, number, False, place))
        clock = at + length
    return [*found, *_by_unit(given, window, number, window.span.duration - clock)]


def _by_unit(given: Problem, window: Window, number: int, length: float) -> list[_Piece]:
    found: list[_Piece] = []
    left, step = length, 0
    while left > 1e-6:
        stay = window.cycle[step % len(window.cycle)]
        kept, row = min(stay.duration, left), given.table.row(stay.posture)
        is_still = len(window.cycle) == 1
        found.append(_Piece(kept, row, stay.posture.turn, number, is_still))
        left, step = left - stay.duration, step + 1
    return found


def judged_by_hand(
    given: Problem, found: HandDay, ratio: Array, *, draws: slice = slice(None)
) -> HandJudged:
    """Judge a programme with its turns by hand.

    Parameters
    ----------
    given : Problem
        The search.
    found : HandDay
        The day.
    ratio : ndarray, shape (d, p, s)
        Load ratios of the turns by hand. [-]
    draws : slice
        Which draws; by default all.

    Returns
    -------
    HandJudged
        The allowance counts the unit's way to level and back; a turn by hand itself is over
        within seconds. The guards are those of a programme but for the relief of a cycle,
        which the turns by hand divide: every window that turns and is longer than the interval
        must relieve each guarded site, and none is loaded for longer than was seen clear.
    """
    counted = moved_day(found.day, given.table)
    place = np.repeat(found.place, PIECES + 1)
    loads = _loads(given.table.ratio[draws], counted.rows, place, ratio[draws])
    peak = np.empty((len(loads), loads.shape[-1]))
    for draw, column, unknown in unknown_patterns(found.day, given.table, draws):
        left_out = np.isin(counted.rows, unknown) & counted.exempt
        lengths = np.where(left_out, 0.0, counted.durations)
        peak[draw, column] = steady_peak(lengths, loads[draw, :, column].T)
    allowed = given.compared.allowed()[draws]
    index = np.where(np.isposinf(allowed), 0.0, peak / np.where(allowed > 0.0, allowed, np.nan))
    return HandJudged(np.asarray(index), _guards(given, found, ratio, draws))


def _loads(table: Array, rows: NDArray[np.intp], place: NDArray[np.intp], ratio: Array) -> Array:
    loads = table[:, rows]
    by_hand = place >= 0
    loads[:, by_hand] = ratio[:, place[by_hand]]
    return loads


def _guards(given: Problem, found: HandDay, ratio: Array, draws: slice) -> NDArray[np.bool_]:
    day, guarded = found.day, given.guarded
    table, by_hand = given.table.ratio[draws][:, :, guarded], ratio[draws][:, :, guarded]
    stays = _loads(table, day.rows, found.place, by_hand)
    longest = given.compared.longest_loaded[draws][:, guarded]
    broken = is_loaded_too_long(day.durations, stays, longest, day.exempt)
    lengths, ends = guarded_segments(
        day.durations[np.newaxis], day.rows[np.newaxis], day.rows[-1:], given.table
    )
    heaviest = table[:, ends[0]].max(axis=-2)
    # a movement is followed by what is left of its stay
    turned = np.flatnonzero(found.place >= 0)
    heaviest[:, 2 * turned + 1] = by_hand[:, found.place[turned]]
    for number, window in enumerate(found.programme.windows):
        if len(window.cycle) > 1 and window.span.duration > given.compared.stay_limit.value:
            inside = np.repeat(day.window == number, 2)
            broken = broken | lacks_relief(lengths[0, inside], heaviest[:, inside], repeats=False)
    return np.asarray(broken)
