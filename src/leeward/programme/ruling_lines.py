"""The largest of many straight lines over a range, by the few of them that rule somewhere in it."""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Rows = NDArray[np.intp]

#: The lines found lie nowhere in the range further than this below the largest of all. [-]
#: Convention of this project: far below what an index is shown to.
CLOSE = 1e-6

#: Numbers computed at once: they stay inside the processor's nearer memory.
_AT_ONCE = 2**15


def ruling_lines(gain: Array, offset: Array, low: Array, high: Array) -> Array:
    r"""Pick lines whose largest is that of all of them.

    Parameters
    ----------
    gain, offset : ndarray, shape (e, n, s)
        Lines gain x + offset, each a little further along one course than the one before. [-]
    low, high : ndarray, shape (n, s)
        Range of x. [-]

    Returns
    -------
    ndarray, shape (2, lines, n, s)
        Gain and offset of those found; where fewer are needed than elsewhere the last is
        there again. [-]

    Notes
    -----
    The largest of straight lines is convex, so between two of them that rule at the ends of an
    interval

    .. math:: \max_e (g_e x + o_e) - \max(g_1 x + o_1, g_2 x + o_2)

    is largest where the two cross: where nothing lies above them there, nothing does in between.
    """
    lines = _crests(gain, offset, low, high).reshape(2, -1, low.size)
    ends = _ruling(lines, low.ravel()), _ruling(lines, high.ravel())
    found = [one[1:] for one in ends]
    column = np.arange(low.size)
    intervals = _interval(lines, *ends)[np.newaxis]
    while True:
        widest = intervals[:, _GAP].argmax(axis=0)
        gap = intervals[widest, _GAP, np.arange(len(column))]
        is_open = gap > CLOSE
        if not bool(is_open.any()):
            return np.stack(found, axis=1).reshape(2, -1, *low.shape)
        column, lines, intervals = column[is_open], lines[:, :, is_open], intervals[..., is_open]
        new, intervals = _divided(lines, intervals, widest[is_open])
        found.append(found[-1].copy())
        found[-1][:, column] = new


#: What is kept of an interval: of the lines that rule at its ends and of the best where these
#: cross the place, the gain and the offset; how far that one lies above them.
_ONE, _OTHER, _BEST, _GAP = slice(0, 3), slice(3, 6), slice(6, 9), 9


def _divided(lines: Array, intervals: Array, which: Rows) -> tuple[Array, Array]:
    """Divide one interval of every column by the best line in it."""
    column = np.arange(len(which))
    whole = intervals[which, :, column].T
    best = whole[_BEST]
    intervals[which, :, column] = _interval(lines, whole[_ONE], best).T
    rest = _interval(lines, best, whole[_OTHER])
    return best[1:], np.concatenate((intervals, rest[np.newaxis]))


def _interval(lines: Array, one: Array, other: Array) -> Array:
    steeper, rise = other[1] - one[1], one[2] - other[2]
    where = np.divide(rise, steeper, out=one[0].copy(), where=steeper > 1e-15)
    best = _ruling(lines, np.clip(where, one[0], other[0]))
    found = np.maximum(_at(one, best[0]), _at(other, best[0]))
    return np.concatenate((one, other, best, [_at(best, best[0]) - found]))


def _at(line: Array, where: Array) -> Array:
    return np.asarray(line[1] * where + line[2])


def _ruling(lines: Array, where: Array) -> Array:
    """Place, gain and offset of the line that rules at each place, (3, columns)."""
    which = (lines[0] * where + lines[1]).argmax(axis=0)
    return np.stack((where, *lines[:, which, np.arange(len(where))]))


def _crests(gain: Array, offset: Array, low: Array, high: Array) -> Array:
    """Lines that neither neighbour lies above at both ends; of equal neighbours the last."""
    is_crest = np.ones(gain.shape, dtype=bool)
    some = max(1, _AT_ONCE // max(low.size, 1))
    for start in range(0, len(gain) - 1, some):
        part = slice(start, start + some + 1)
        ends = (gain[part] * low + offset[part], gain[part] * high + offset[part])
        is_below = np.logical_and(*(one[:-1] <= one[1:] for one in ends))
        is_above = np.logical_and(*(one[:-1] >= one[1:] for one in ends))
        is_crest[part][:-1] &= ~is_below
        is_crest[part][1:] &= is_below | ~is_above
    line, row, site = np.nonzero(is_crest)
    slot = np.cumsum(is_crest, axis=0, dtype=np.int32)
    count = slot[-1]
    kept = np.empty((2, int(count.max(initial=1)), *low.shape))
    for to, source in zip(kept, (gain, offset), strict=True):
        to[slot[line, row, site] - 1, row, site] = source[line, row, site]
    # The first fills up where there are fewer.
    is_there = np.arange(kept.shape[1])[:, np.newaxis, np.newaxis] < count
    return np.where(is_there, kept, kept[:, :1])
