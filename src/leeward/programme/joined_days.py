r"""Index of every pairing of a day cycle with a night cycle, through one affine map per chain.

The allowance at the end of a chain is affine in that at its start, so the repeating day of
each pair is one linear equation. Only the first minutes of a chain depend on which posture came
before it (the lag): they are a table over pairs of postures. The largest allowance inside a
chain is the largest of affine functions of its start; of these the ones that rule at the
lower end, at the upper end and, twice over, where neighbours of those cross are kept,
which leaves less than 0.0001 of the index where the peak shifts little by little with the start.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from leeward.programme.loads import LoadTable
from leeward.programme.moved_days import is_stay, last_rows, moved
from leeward.tissue.allowance import affine_map
from leeward.tissue.lag import settled
from leeward.tissue.law import STANDARD_LAW
from leeward.tissue.movement import PIECES

#: How often the functions that rule are looked for between those found: 2, 3, 5 of them.
_ROUNDS = 2

#: Candidates computed at once: their arrays stay inside the processor's nearer memory.
_AT_ONCE = 8

Array = NDArray[np.float64]
Rows = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class ChainMap:
    """Candidates of one chain as affine maps from the end of their first minutes.

    Parameters
    ----------
    entry, leaving : ndarray of int, shape (n,)
        Rows of the first and the last posture. [-]
    first_minutes : float
        Length of the part that depends on what came before. [s]
    gain, offset : ndarray, shape (n, e, s)
        Allowance at every edge after that part, as affine in that at its end. [-]
    """

    entry: Rows
    leaving: Rows
    first_minutes: float
    gain: Array
    offset: Array


def chain_map(
    durations: Array, rows: Rows, ratio: Array, table: LoadTable, known: NDArray[np.bool_]
) -> ChainMap:
    """Reduce the candidates of a chain to affine maps.

    Parameters
    ----------
    durations : ndarray, shape (n, m)
        Length of each segment; the first lasts. [s]
    rows : ndarray of int, shape (n, m)
        Row of each segment's posture. [-]
    ratio : ndarray, shape (rows, s)
        Load ratio of each row at each site. [-]
    table : LoadTable
        The movements between postures.
    known : ndarray of bool, shape (m,)
        Segments that are counted; of the others only their movements are.

    Returns
    -------
    ChainMap
        One map for each candidate.
    """
    longest = float(table.movements.time[:, np.unique(rows[:, 0])].max())
    first = min(STANDARD_LAW.lag + longest, float(durations[:, 0].min()))
    lengths, counted = moved(durations, rows, rows[:, 0], table)
    lengths[:, PIECES] -= first
    rest = np.where(is_stay(~known), 0.0, lengths)
    found = affine_map(rest, ratio[counted], before=settled(ratio[rows[:, 0]], STANDARD_LAW))
    leaving = last_rows(durations, rows)
    return ChainMap(rows[:, 0], leaving, first, found.gain, found.offset)


def joined_index(
    first: ChainMap, second: ChainMap, ratio: Array, allowed: Array, table: LoadTable
) -> Array:
    """Largest index over the repeating day of every pair of candidates.

    Parameters
    ----------
    first, second : ChainMap
        Candidates of the two chains that make the day.
    ratio : ndarray, shape (p, s)
        Load ratio of each row at each site. [-]
    allowed : ndarray, shape (s,)
        Largest allowance that may be reached at each site. [-]
    table : LoadTable
        The movements between postures.

    Returns
    -------
    ndarray, shape (first, second)
        Largest peak allowance over the one allowed. [-]
    """
    into_first, into_second = (
        _entry(first, second, ratio, table),
        _entry(second, first, ratio, table),
    )
    ends_first, ends_second = into_first.end(), [one.swapaxes(0, 1) for one in into_second.end()]
    first_gain, first_offset = first.gain[:, np.newaxis, -1], first.offset[:, np.newaxis, -1]
    second_gain, second_offset = second.gain[np.newaxis, :, -1], second.offset[np.newaxis, :, -1]
    # Once round the day: into the first chain, through it, into the second, through it.
    gain = ends_first[0] * first_gain * ends_second[0] * second_gain
    offset = ends_first[1] * first_gain + first_offset
    offset = (offset * ends_second[0] + ends_second[1]) * second_gain + second_offset
    start = offset / (1.0 - gain)
    in_first = ends_first[0] * start + ends_first[1]
    middle = first_gain * in_first + first_offset
    in_second = ends_second[0] * middle + ends_second[1]
    peak = np.maximum(_peaks(first, in_first), into_first.peak(start))
    later = _peaks(second, in_second.swapaxes(0, 1))
    later = np.maximum(later, into_second.peak(middle.swapaxes(0, 1))).swapaxes(0, 1)
    return np.asarray((np.maximum(peak, later) / allowed).max(axis=-1, initial=0.0))


@dataclass(frozen=True, slots=True, eq=False)
class _Entry:
    """First minutes of a chain after each posture it may follow, (postures into, before, e, s)."""

    gain: Array
    offset: Array
    pick: tuple[Rows, ...]

    def end(self) -> tuple[Array, Array]:
        """Gain and offset of the whole, (candidate, candidate of the chain before, s)."""
        return self.gain[:, :, -1][self.pick], self.offset[:, :, -1][self.pick]

    def peak(self, start: Array) -> Array:
        """Largest allowance in them, for the one at their start."""
        peak = np.empty(np.broadcast_shapes(start.shape, self.end()[0].shape))
        # Where nothing happens between two edges, the later one tells nothing more.
        told = [
            number
            for number in range(self.gain.shape[2])
            if not number
            or not np.array_equal(self.offset[:, :, number], self.offset[:, :, number - 1])
        ]
        into, before = self.pick
        for first in range(0, len(into), _AT_ONCE):
            rows = slice(first, first + _AT_ONCE)
            pick = (into[rows], before)
            largest = start[rows]
            for number in told:
                gain, offset = self.gain[:, :, number][pick], self.offset[:, :, number][pick]
                largest = np.maximum(largest, gain * start[rows] + offset)
            peak[rows] = largest
        return peak


def _entry(chain: ChainMap, before: ChainMap, ratio: Array, table: LoadTable) -> _Entry:
    """The movement into a chain's first posture and the minutes after it."""
    froms, from_place = np.unique(before.leaving, return_inverse=True)
    intos, into_place = np.unique(chain.entry, return_inverse=True)
    into = np.repeat(intos, len(froms))[:, np.newaxis]
    previous = np.tile(froms, len(intos))
    lengths, rows = moved(np.full(into.shape, chain.first_minutes), into, previous, table)
    found = affine_map(lengths, ratio[rows], before=settled(ratio[previous], STANDARD_LAW))
    size = (len(intos), len(froms), *found.gain.shape[1:])
    pick = np.ix_(into_place.ravel(), from_place.ravel())
    return _Entry(found.gain.reshape(size), found.offset.reshape(size), pick)


def _peaks(chain: ChainMap, start: Array) -> Array:
    """Largest allowance of each candidate for each of its starts, (n, partners, s)."""
    low, high = start.min(axis=1), start.max(axis=1)
    ruling = [_ruling(chain, low), _ruling(chain, high)]
    for _ in range(_ROUNDS):
        between = [_ruling(chain, _crossing(*pair, low, high)) for pair in pairwise(ruling)]
        ruling = [one for pair in zip(ruling, between, strict=False) for one in pair] + ruling[-1:]
    peak = start.copy()
    for number in range(len(start)):
        for gain, offset in ruling:
            np.maximum(
                peak[number], gain[number] * start[number] + offset[number], out=peak[number]
            )
    return peak


def _crossing(
    one: tuple[Array, Array], other: tuple[Array, Array], low: Array, high: Array
) -> Array:
    """Start at which two affine functions are equal, kept between the ends."""
    steeper = other[0] - one[0]
    found = np.divide(one[1] - other[1], steeper, out=low.copy(), where=np.abs(steeper) > 1e-15)
    return np.asarray(np.clip(found, low, high))


def _ruling(chain: ChainMap, start: Array) -> tuple[Array, Array]:
    course = chain.gain * start[:, np.newaxis] + chain.offset
    which = course.argmax(axis=1)[:, np.newaxis]
    gain = np.take_along_axis(chain.gain, which, axis=1)[:, 0]
    return gain, np.take_along_axis(chain.offset, which, axis=1)[:, 0]
