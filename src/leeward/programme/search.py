"""All settable programmes on central values: who keeps limits and guards, and at what index."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leeward.programme.cycles import CycleFamily, cycle_count, families
from leeward.programme.day_layout import Cycles, Movements, Segments, movements, unroll
from leeward.programme.guard_filter import GuardedWindow, keeps_guards
from leeward.programme.joined_days import joined_index
from leeward.programme.moved_days import guarded_segments, is_stay, last_rows, moved
from leeward.programme.passages import passages
from leeward.programme.problem import Problem
from leeward.programme.runs_over_day import (
    LoadRuns,
    StayRuns,
    load_runs,
    own_runs_are_short,
    own_stays_are_short,
    runs_are_short,
    stay_runs,
    stays_are_short,
)
from leeward.programme.screening import cycle_index, kept_for_joining
from leeward.programme.windows import DayWindow, WindowKind
from leeward.tissue.allowance import steady_peak
from leeward.tissue.guards import lacks_relief, relief_needed

Array = NDArray[np.float64]

#: Largest index that qualifies: 1, passed by no more than rounding. [-]
LARGEST_INDEX = 1.0 + 1e-9

#: Cycles of each chain that are paired with those of the other. [-] Convention.
MOST_A_CHAIN = 400
#: Cycles that are laid into the day where day and night share one. [-] Convention.
MOST_ALONE = 4000
#: Times as many are counted with their movements before the final pick. [-] Convention.
_AT_FIRST = 3
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
    """

    cycles: Cycles
    segments: Segments
    settable: int
    usable: int
    guarded: int


@dataclass(frozen=True, slots=True, eq=False)
class Looked:
    """Every programme looked at.

    Parameters
    ----------
    pools : tuple of Pool
        One for each chain.
    cycle : ndarray of int, shape (m, chains)
        Which cycle of each pool each programme runs. [-]
    index : ndarray, shape (m,)
        Largest index on central values, on the known part of the day. [-]
    fits : ndarray of bool, shape (m,)
        Whether no site is loaded and no posture kept too long across the edges of chains.
    cost : ndarray, shape (m, 4)
        Movements in sleep, largest turn [rad], angle moved through in a day [rad], movements. [-]
    """

    pools: tuple[Pool, ...]
    cycle: NDArray[np.intp]
    index: Array
    fits: NDArray[np.bool_]
    cost: Array


def look(given: Problem, *, with_guards: bool = True) -> Looked | None:
    """Look at every settable programme.

    Parameters
    ----------
    given : Problem
        The search.
    with_guards : bool
        False only to find what comes closest where nothing keeps the guards; what is found
        then is never said to qualify.

    Returns
    -------
    Looked or None
        None where no cycle is left for some chain.
    """
    found = [_pool(given, chain, with_guards=with_guards) for chain in given.chains]
    pools = tuple(pool for pool in found if pool is not None)
    if not pools or len(pools) != len(given.chains):
        return None
    return _alone(given, pools[0]) if len(pools) == 1 else _paired(given, pools)


def _pool(given: Problem, chain: tuple[DayWindow, ...], *, with_guards: bool) -> Pool | None:
    usable = families(given.settings, given.usable(chain))
    turning = [window for window in chain if window.kind is WindowKind.TURNING]
    templates = {given.table.rows(w, given.turns).tobytes(): w for w in turning}
    cycles = (
        _guarded_cycles(given, usable, turning)
        if with_guards
        else _flattened(usable, [np.ones((len(f.turns), len(f.stays)), dtype=bool) for f in usable])
    )
    if len(cycles) == 0:
        return None
    most = MOST_ALONE if len(given.chains) == 1 else MOST_A_CHAIN
    length = sum(window.span.duration for window in turning)
    windows = tuple(templates.values())
    picked = np.arange(len(cycles))
    if len(cycles) > _AT_FIRST * most:
        rough = _own_index(given, cycles, windows, with_movements=False)
        picked = kept_for_joining(rough, _rough_cost(given, cycles, length), _AT_FIRST * most)
    some = cycles.taken(picked)
    index = _own_index(given, some, windows, with_movements=True)
    picked = picked[kept_for_joining(index, _rough_cost(given, some, length), most)]
    chosen = cycles.taken(picked)
    return Pool(
        chosen,
        unroll(chain, chosen, given.turns, given.table),
        cycle_count(given.settings),
        sum(family.count for family in usable),
        len(cycles),
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
    templates = {given.table.rows(w, given.turns).tobytes(): w for w in turning}
    return cycles.taken(_relieving(given, cycles, tuple(templates.values())))


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


def _alone(given: Problem, pool: Pool) -> Looked:
    turning = movements(pool.segments, given.case.day.sleep)
    ratio = given.central[:, given.indexed]
    allowed = given.compared.allowed()[0, given.indexed]
    index = np.zeros(len(pool.cycles))
    for columns, known in _known_parts(given, (pool,)):
        for start in range(0, len(index), _AT_ONCE):
            part = slice(start, start + _AT_ONCE)
            stays, postures = pool.segments.durations[part], pool.segments.rows[part]
            lengths, rows = moved(stays, postures, last_rows(stays, postures), given.table)
            lengths = np.where(is_stay(~known[0]), 0.0, lengths)
            peak = steady_peak(lengths, ratio[rows][..., columns]) / allowed[columns]
            index[part] = np.maximum(index[part], peak.max(axis=-1))
    carried, kept = _runs(given, pool)
    stay_limit = given.compared.stay_limit.value
    fits = own_runs_are_short(carried, given.compared.longest_loaded[0, given.guarded])
    fits &= own_stays_are_short(kept, stay_limit)
    across = _edge(turning, turning)
    return Looked(
        (pool,),
        np.arange(len(index))[:, np.newaxis],
        index,
        fits,
        np.stack(
            (
                turning.in_sleep + ((across > 0.0) & turning.starts_in_sleep),
                turning.largest,
                turning.through + across,
                turning.count + (across > 0.0),
            ),
            axis=1,
        ).astype(np.float64),
    )


def _runs(given: Problem, pool: Pool) -> tuple[LoadRuns, StayRuns]:
    segments = pool.segments
    loads = given.central[:, given.guarded][segments.rows]
    return (
        load_runs(segments.durations, loads, segments.exempt),
        stay_runs(segments.durations, segments.rows, segments.exempt),
    )


def _edge(before: Movements, after: Movements) -> Array:
    return np.abs(after.first - before.last)


def _paired(given: Problem, pools: tuple[Pool, ...]) -> Looked:
    first, second = pools
    ratio = given.central[:, given.indexed]
    allowed = given.compared.allowed()[0, given.indexed]
    index = np.zeros((len(first.cycles), len(second.cycles)))
    for columns, known in _known_parts(given, pools):
        ways = [
            passages(pool.segments.durations, pool.segments.rows, given.table, part)
            for pool, part in zip(pools, known, strict=True)
        ]
        loads = ratio[np.newaxis, :, columns]
        found = joined_index(ways[0], ways[1], loads, allowed[np.newaxis, columns], given.table)
        index = np.maximum(index, found[0])
    (carried, stays), (later, later_stays) = _runs(given, first), _runs(given, second)
    limit = given.compared.stay_limit.value
    short = runs_are_short(carried, later, given.compared.longest_loaded[0, given.guarded])
    short &= stays_are_short(stays, later_stays, limit)
    short &= stays_are_short(later_stays, stays, limit).T
    places = np.indices(index.shape).reshape(2, -1).T
    return Looked(pools, places, index.ravel(), short.ravel(), _paired_cost(given, pools))


def _paired_cost(given: Problem, pools: tuple[Pool, ...]) -> Array:
    first, second = (movements(pool.segments, given.case.day.sleep) for pool in pools)
    into_second = np.abs(second.first - first.last[:, np.newaxis])
    into_first = np.abs(first.first[:, np.newaxis] - second.last)
    count = (into_second > 0.0).astype(np.intp) + (into_first > 0.0)
    asleep = ((into_second > 0.0) & second.starts_in_sleep).astype(np.intp)
    asleep += (into_first > 0.0) & first.starts_in_sleep[:, np.newaxis]
    cost = (
        first.in_sleep[:, np.newaxis] + second.in_sleep + asleep,
        np.maximum(first.largest[:, np.newaxis], second.largest),
        first.through[:, np.newaxis] + second.through + into_second + into_first,
        first.count[:, np.newaxis] + second.count + count,
    )
    return np.stack([one.ravel().astype(np.float64) for one in cost], axis=1)


def _known_parts(
    given: Problem, pools: tuple[Pool, ...]
) -> list[tuple[NDArray[np.intp], list[NDArray[np.bool_]]]]:
    """Group the compared sites by the prescribed windows whose load nobody knows.

    For those sites the windows are left out of the day: the rest of it is ranked. With the
    columns of the sites goes, for each pool, which segments are counted.
    """
    is_unknown = given.table.is_unknown[:, given.indexed]
    unknown = np.concatenate(
        [is_unknown[pool.segments.rows[0]] & pool.segments.exempt[:, np.newaxis] for pool in pools]
    ).T
    patterns, of_column = np.unique(unknown, axis=0, return_inverse=True)
    widths = np.cumsum([pool.segments.durations.shape[1] for pool in pools])[:-1]
    return [
        (np.flatnonzero(of_column.ravel() == number), np.split(~pattern, widths))
        for number, pattern in enumerate(patterns)
    ]
