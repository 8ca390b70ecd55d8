"""One day that repeats, at many sites and in many draws: every part of it at once.

The stays of one day begin and end together at all sites. So it is known beforehand where recovery
goes over to another load, and the whole day is a few operations on large arrays.
"""

import math

import numpy as np
from numpy.typing import NDArray

from leeward.tissue.fading import faded_away
from leeward.tissue.law import AllowanceLaw, recovery, use_rate

Array = NDArray[np.float64]
Rows = NDArray[np.intp]


def repeating_peak(durations: Array, ratio: Array, law: AllowanceLaw) -> Array:
    r"""Largest allowance over one day that repeats for ever.

    Parameters
    ----------
    durations : ndarray, shape (n,)
        Length of each segment, each above 0, together longer than the lag. [s]
    ratio : ndarray, shape (n, c)
        Load ratio of each segment in each column; NaN where unknown. [-]
    law : AllowanceLaw
        Conventions.

    Returns
    -------
    ndarray, shape (c,)
        Largest allowance; NaN in every column with an unknown load. [-]

    Notes
    -----
    The day is cut where a segment ends, and where one has been over for the lag. In part i of
    length t, with the use s of its segment and the recovery k of the heaviest load of the last
    minutes,

    .. math:: A_{i+1} = A_i + (e^{-k t / T} - 1) (A_i - s / k)

    The same day as `leeward.tissue.allowance.day_map`, up to rounding.

    Examples
    --------
    >>> from leeward.tissue.law import STANDARD_LAW
    >>> day, ratio = np.array([43200.0, 43200.0]), np.array([[1.0], [0.0]])
    >>> float(repeating_peak(day, ratio, STANDARD_LAW).round(3)[0])
    3.107
    """
    lengths, now, first, last = _parts(durations, law.lag)
    rate = recovery(_heaviest(ratio, first, last), law.loaded_recovery, law.relief_recovery)
    change = faded_away(rate * (-lengths[:, np.newaxis] / law.time_constant))
    return _largest(change, use_rate(ratio, law)[now] / rate)


def _parts(durations: Array, lag: float) -> tuple[Array, Rows, Rows, Rows]:
    """Lengths of the parts, the segment of each, and the first and last of its last minutes.

    Those of the last minutes are counted from the day before: its segments come first.
    """
    count = len(durations)
    ends = np.cumsum(durations)
    total = float(ends[-1])
    edges = np.sort(np.concatenate(((0.0,), ends, (ends + lag) % total)))
    lengths = np.diff(edges)
    lasts = lengths > 0.0
    lengths, middle = lengths[lasts], (edges[:-1] + 0.5 * np.diff(edges))[lasts]
    # In a part too short to have a middle any segment beside it will do.
    now = np.minimum(np.searchsorted(ends, middle, side="right"), count - 1)
    both = np.concatenate((ends - total, ends))
    first = np.searchsorted(both, middle - lag, side="right")
    return lengths, now, np.minimum(first, now + count), now + count


def _heaviest(ratio: Array, first: Rows, last: Rows) -> Array:
    """Heaviest load from one segment to another of two days, for each part."""
    spans = last - first + 1
    level = np.frexp(spans)[1].astype(np.intp) - 1
    runs = [np.concatenate((ratio, ratio))]
    for number in range(int(level.max())):
        shorter, step = runs[-1], 1 << number
        longer = shorter.copy()
        np.maximum(shorter[:-step], shorter[step:], out=longer[:-step])
        runs.append(longer)
    found = np.empty((len(first), ratio.shape[1]))
    for number, run in enumerate(runs):
        at = np.flatnonzero(level == number)
        found[at] = np.maximum(run[first[at]], run[last[at] + 1 - (1 << number)])
    return found


def _largest(change: Array, towards: Array) -> Array:
    """Largest allowance, the parts divided into runs that are followed side by side."""
    parts, columns = change.shape
    length = math.isqrt(parts - 1) + 1
    runs = -(-parts // length)
    shape = (runs, length, columns)
    # Parts that fill the last run up change nothing.
    filled = np.zeros((2, runs * length, columns))
    filled[0, :parts], filled[1, :parts] = change, towards
    change, towards = filled[0].reshape(shape), filled[1].reshape(shape)
    gain, offset = np.empty(shape), np.empty(shape)
    kept, added = np.ones((runs, columns)), np.zeros((runs, columns))
    for number in range(length):
        added = added + change[:, number] * (added - towards[:, number])
        kept = kept + change[:, number] * kept
        gain[:, number], offset[:, number] = kept, added
    whole, sum_ = np.ones(columns), np.zeros(columns)
    for run in range(runs):
        whole, sum_ = whole * kept[run], sum_ * kept[run] + added[run]
    start = np.empty((runs, columns))
    begin = sum_ / (1.0 - whole)
    for run in range(runs):
        start[run] = begin
        begin = begin * kept[run] + added[run]
    gain *= start[:, np.newaxis]
    gain += offset
    return np.asarray(gain.max(axis=(0, 1)))
