"""Every cycle by itself, run for ever: which are worth laying into the day."""

import numpy as np
from numpy.typing import NDArray

from leeward.programme.day_layout import Cycles
from leeward.programme.loads import RatioTable
from leeward.programme.moved_days import last_rows, moved
from leeward.tissue.allowance import steady_peak

Array = NDArray[np.float64]
Rows = NDArray[np.intp]

#: Candidates computed at once: their arrays stay inside the processor's nearer memory.
_AT_ONCE = 2048


def cycle_index(
    cycles: Cycles,
    rows: Rows,
    columns: Rows,
    allowed: Array,
    table: RatioTable,
    *,
    with_movements: bool = True,
) -> Array:
    """Index of each cycle as if it ran day and night.

    Parameters
    ----------
    cycles : Cycles
        Candidates.
    rows : ndarray of int, shape (options,)
        Row of each turn option in the load table. [-]
    columns : ndarray of int, shape (s,)
        Columns of the compared sites. [-]
    allowed : ndarray, shape (s,)
        Largest allowance that may be reached at each site. [-]
    table : RatioTable
        Load ratios and movements.
    with_movements : bool
        False counts every turn as reached at once: an eighth of the work, near enough to
        put many cycles in order before the best are counted whole.

    Returns
    -------
    ndarray, shape (n,)
        Largest peak allowance over the one allowed; a cycle that runs only part of the day
        may do better or, after a heavier one, worse. [-]
    """
    index = np.empty(len(cycles))
    ratio = table.ratio[0][:, columns]
    for start in range(0, len(cycles), _AT_ONCE):
        part = slice(start, start + _AT_ONCE)
        stays, places = cycles.stays[part], rows[cycles.options[part]]
        durations, counted = stays, places
        if with_movements:
            durations, counted = moved(stays, places, last_rows(stays, places), table)
        peak = steady_peak(durations, ratio[counted])
        index[part] = (peak / allowed).max(axis=-1, initial=0.0)
    return index


def kept_for_joining(index: Array, disturbance: NDArray[np.float64], most: int) -> NDArray[np.intp]:
    """Pick the cycles that are laid into the day, when there are too many for all.

    Parameters
    ----------
    index : ndarray, shape (n,)
        Index of each cycle run for ever. [-]
    disturbance : ndarray, shape (n, k)
        What each costs, most weighty first; equal rows are one kind of disturbance. [-]
    most : int
        How many may be kept. [-]

    Returns
    -------
    ndarray of int, shape (m,)
        Positions, in ascending order; all of them where there are few enough. Otherwise half
        of them the least disturbing kinds that hold the index by themselves, each by its best
        cycle, and the rest by rank: the best of every kind, then the second best, and so on. [-]
    """
    if len(index) <= most:
        return np.arange(len(index))
    _, kind = np.unique(np.round(disturbance, 9), axis=0, return_inverse=True)
    by_kind = np.lexsort((index, kind.ravel()))
    ordered = kind.ravel()[by_kind]
    begins = np.flatnonzero(np.diff(ordered, prepend=-1))
    counts = np.diff(np.append(begins, len(ordered)))
    rank = np.arange(len(ordered)) - np.repeat(begins, counts)
    best = by_kind[begins]
    gentle = best[index[best] <= 1.0][: most // 2]
    by_rank = by_kind[np.lexsort((index[by_kind], rank))]
    others = by_rank[~np.isin(by_rank, gentle)][: most - len(gentle)]
    return np.sort(np.concatenate((gentle, others)))
