"""Which settable cycles are laid into the day: all that keep the guards and may qualify."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from leeward.programme.cycles import CycleFamily, cycle_count, families
from leeward.programme.day_layout import Cycles, Segments, unroll
from leeward.programme.guard_filter import GuardedWindow, keeps_guards
from leeward.programme.least_index import least_index
from leeward.programme.moved_days import guarded_segments, last_rows
from leeward.programme.problem import Problem
from leeward.programme.screening import cycle_index, kept_for_joining
from leeward.programme.windows import DayWindow, WindowKind
from leeward.tissue.guards import lacks_relief, relief_needed

Array = NDArray[np.float64]
Rows = NDArray[np.intp]

#: Cycles of each chain that are paired with those of the other. [-] Convention.
MOST_A_CHAIN = 400
#: Cycles that are laid into the day where day and night share one. [-] Convention.
MOST_ALONE = 4000
#: Times as many are counted with their movements before the final pick. [-] Convention.
_AT_FIRST = 3
#: Cycles of a chain whose least index is computed. [-] Convention.
MOST_BOUNDED = 4000
#: Candidates computed at once.
_AT_ONCE = 256


@dataclass(frozen=True, slots=True, eq=False)
class Pool:
    """Cycles of one chain that may be laid into the day.

    Parameters
    ----------
    cycles : Cycles
        The cycles kept.
    segments : Segments
        The same, unrolled over the chain.
    settable, usable, guarded : int
        How many could be set, used no posture that may not be offered, kept the guards. [-]
    least_left_out : float
        An index that no day with one of the cycles left out falls below; infinite where none
        was left out, NaN where it was not computed. [-]
    """

    cycles: Cycles
    segments: Segments
    settable: int
    usable: int
    guarded: int
    least_left_out: float


@dataclass(frozen=True, slots=True, eq=False)
class _Chain:
    """Every cycle of a chain that keeps the guards.

    With its least index, NaN where that was not computed, and whether it may qualify.
    """

    windows: tuple[DayWindow, ...]
    cycles: Cycles
    usable: int
    least: Array
    may_qualify: NDArray[np.bool_]


def pools_of(given: Problem, largest: float, *, with_guards: bool) -> tuple[Pool, ...] | None:
    """Pick the cycles of every chain that are laid into the day.

    Parameters
    ----------
    given : Problem
        The search.
    largest : float
        Largest index that qualifies. [-]
    with_guards : bool
        False only to find what comes closest where nothing keeps the guards.

    Returns
    -------
    tuple of Pool or None
        None where no cycle is left for some chain.

    Notes
    -----
    Where there are few enough cycles all of them are picked. Else their least index is computed,
    and where those that may qualify are few enough, all of those are: then nothing that could
    qualify is left out. The rest, and the whole where they are too many, are picked by
    `leeward.programme.screening.kept_for_joining`.
    """
    found = [_guarded_chain(given, chain, with_guards=with_guards) for chain in given.chains]
    if not found or any(len(one.cycles) == 0 for one in found):
        return None
    most = MOST_ALONE if len(found) == 1 else MOST_A_CHAIN
    if all(len(one.cycles) <= most for one in found):
        return tuple(_pool(given, one, np.arange(len(one.cycles))) for one in found)
    bounded = _bounded(given, found, largest)
    rooms = zip(bounded, _rooms(bounded, most), strict=True)
    return tuple(_pool(given, one, _picked(given, one, room)) for one, room in rooms)


def _guarded_chain(given: Problem, chain: tuple[DayWindow, ...], *, with_guards: bool) -> _Chain:
    usable = families(given.settings, given.usable(chain))
    cycles = (
        _guarded_cycles(given, usable, _turning(chain))
        if with_guards
        else _flattened(usable, [np.ones((len(f.turns), len(f.stays)), dtype=bool) for f in usable])
    )
    count = sum(family.count for family in usable)
    not_known = np.full(len(cycles), np.nan)
    return _Chain(chain, cycles, count, not_known, np.ones(len(cycles), dtype=bool))


def _turning(chain: tuple[DayWindow, ...]) -> list[DayWindow]:
    return [window for window in chain if window.kind is WindowKind.TURNING]


def _bounded(given: Problem, found: list[_Chain], largest: float) -> list[_Chain]:
    """The same with their least indices, where there are not too many for it."""
    if any(len(one.cycles) > MOST_BOUNDED for one in found):
        return found
    chains = tuple(unroll(one.windows, one.cycles, given.turns, given.table) for one in found)
    pairs = zip(found, least_index(given, chains), strict=True)
    return [replace(one, least=least, may_qualify=least <= largest) for one, least in pairs]


def _rooms(found: list[_Chain], most: int) -> list[int]:
    """How many cycles of each chain are picked: all that may qualify, if few enough days."""
    able = [int(one.may_qualify.sum()) for one in found]
    if len(found) == 1 or min(able) == 0 or able[0] * able[1] > most**2:
        return [most for _ in found]
    first = max(able[0], min(most, most**2 // able[1]))
    return [first, max(able[1], min(most, most**2 // first))]


def _picked(given: Problem, one: _Chain, room: int) -> Rows:
    """Positions of the cycles that are laid into the day, those that may qualify first."""
    able = np.flatnonzero(one.may_qualify)
    if len(able) > room:
        return able[_kept(given, one, able, room)]
    others = np.flatnonzero(~one.may_qualify)
    filling = others[_kept(given, one, others, room - len(able))]
    return np.sort(np.concatenate((able, filling)))


def _kept(given: Problem, one: _Chain, which: Rows, most: int) -> Rows:
    """Positions among some cycles of those worth laying into the day."""
    if len(which) <= most:
        return np.arange(len(which))
    if most == 0:
        return np.zeros(0, dtype=np.intp)
    turning = _turning(one.windows)
    windows = _unlike(given, turning)
    length = sum(window.span.duration for window in turning)
    cycles, picked = one.cycles.taken(which), np.arange(len(which))
    if len(cycles) > _AT_FIRST * most:
        rough = _own_index(given, cycles, windows, with_movements=False)
        picked = kept_for_joining(rough, _rough_cost(given, cycles, length), _AT_FIRST * most)
    some = cycles.taken(picked)
    index = _own_index(given, some, windows, with_movements=True)
    return picked[kept_for_joining(index, _rough_cost(given, some, length), most)]


def _pool(given: Problem, one: _Chain, picked: Rows) -> Pool:
    chosen = one.cycles.taken(picked)
    left_out = np.delete(one.least, picked)
    return Pool(
        chosen,
        unroll(one.windows, chosen, given.turns, given.table),
        cycle_count(given.settings),
        one.usable,
        len(one.cycles),
        float(left_out.min(initial=np.inf)),
    )


def _own_index(
    given: Problem, cycles: Cycles, windows: tuple[DayWindow, ...], *, with_movements: bool
) -> Array:
    """Index of each cycle run for ever, in the window where it is largest."""
    allowed = given.compared.allowed()[0, given.indexed]
    index = np.zeros(len(cycles))
    for window in windows:
        rows = given.table.rows(window, given.turns)
        found = cycle_index(
            cycles, rows, given.indexed, allowed, given.table, with_movements=with_movements
        )
        index = np.maximum(index, found)
    return index


def _guarded_cycles(
    given: Problem, usable: tuple[CycleFamily, ...], turning: list[DayWindow]
) -> Cycles:
    cycles = _flattened(usable, [_guarded(given, family, turning) for family in usable])
    return cycles.taken(_relieving(given, cycles, _unlike(given, turning)))


def _unlike(given: Problem, turning: list[DayWindow]) -> tuple[DayWindow, ...]:
    """One window for each set of loads that the turns have in them."""
    return tuple({given.table.rows(w, given.turns).tobytes(): w for w in turning}.values())


def _guarded(given: Problem, family: CycleFamily, turning: list[DayWindow]) -> NDArray[np.bool_]:
    kept = np.ones((len(family.turns), len(family.stays)), dtype=bool)
    interval = given.compared.stay_limit.value
    longest = given.compared.longest_loaded[0, given.guarded]
    by_rows: dict[bytes, tuple[Array, set[GuardedWindow]]] = {}
    for window in turning:
        rows = given.table.rows(window, given.turns)
        ratio = given.central[rows][:, given.guarded]
        length = window.span.duration
        _, lengths = by_rows.setdefault(rows.tobytes(), (ratio, set()))
        lengths.add(GuardedWindow(length, length > interval))
    for ratio, lengths in by_rows.values():
        kept &= keeps_guards(family, ratio, longest, tuple(sorted(lengths)))
    return kept


def _relieving(given: Problem, cycles: Cycles, windows: tuple[DayWindow, ...]) -> NDArray[np.intp]:
    """Cycles that relieve every guarded site for long enough with their movements taken off."""
    slowest = float(given.table.movements.time.max())
    shortest = np.where(cycles.stays > 0.0, cycles.stays, np.inf).min(axis=1)
    relieves = np.ones(len(cycles), dtype=bool)
    tight = np.flatnonzero(shortest - slowest < relief_needed())
    for window in windows:
        table_rows = given.table.rows(window, given.turns)
        for start in range(0, len(tight), _AT_ONCE):
            part = tight[start : start + _AT_ONCE]
            stays, rows = cycles.stays[part], table_rows[cycles.options[part]]
            lengths, ends = guarded_segments(stays, rows, last_rows(stays, rows), given.table)
            ratio = given.central[:, given.guarded][ends].max(axis=-2)
            relieves[part] &= ~lacks_relief(lengths, ratio, repeats=True).any(axis=-1)
    return np.flatnonzero(relieves)


def _flattened(usable: tuple[CycleFamily, ...], kept: list[NDArray[np.bool_]]) -> Cycles:
    options, stays, places = [], [], []
    for family, mask in zip(usable, kept, strict=True):
        turn, stay = np.nonzero(mask)
        width = family.turns.shape[1]
        padding = ((0, 0), (0, 4 - width))
        options.append(np.pad(family.turns[turn], padding))
        stays.append(np.pad(family.stays[stay], padding))
        places.append(np.full(len(turn), width, dtype=np.intp))
    if not options:
        empty = np.zeros((0, 4))
        return Cycles(empty.astype(np.intp), empty, np.zeros(0, dtype=np.intp))
    return Cycles(np.concatenate(options), np.concatenate(stays), np.concatenate(places))


def _rough_cost(given: Problem, cycles: Cycles, length: float) -> Array:
    """Movements, largest turn and angle moved through, from the cycle alone."""
    angles = np.array(given.turns)[cycles.options]
    used = np.arange(4) < cycles.places[:, np.newaxis]
    rounds = length / cycles.stays.sum(axis=1)
    largest = np.abs(np.where(used, angles, 0.0)).max(axis=1)
    spread = np.where(used, angles, -np.inf).max(axis=1) - np.where(used, angles, np.inf).min(
        axis=1
    )
    return np.stack((np.floor(rounds * cycles.places), largest, 2.0 * spread * rounds), axis=1)
