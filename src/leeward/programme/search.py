"""All settable programmes on central values: who keeps limits and guards, and at what index."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leeward.programme.day_layout import Movements, movements
from leeward.programme.joined_days import joined_index
from leeward.programme.least_index import known_parts
from leeward.programme.moved_days import is_stay, last_rows, moved
from leeward.programme.passages import passages
from leeward.programme.pools import Pool, pools_of
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
from leeward.tissue.allowance import steady_peak

Array = NDArray[np.float64]

#: Largest index that qualifies: 1, passed by no more than rounding. [-]
LARGEST_INDEX = 1.0 + 1e-9

#: Candidates computed at once.
_AT_ONCE = 256


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
    pools = pools_of(given, LARGEST_INDEX, with_guards=with_guards)
    if pools is None:
        return None
    return _alone(given, pools[0]) if len(pools) == 1 else _paired(given, pools)


def _alone(given: Problem, pool: Pool) -> Looked:
    turning = movements(pool.segments, given.case.day.sleep)
    ratio = given.central[:, given.indexed]
    allowed = given.compared.allowed()[0, given.indexed]
    index = np.zeros(len(pool.cycles))
    for columns, known in known_parts(given, (pool.segments,)):
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
    for columns, known in known_parts(given, (first.segments, second.segments)):
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
