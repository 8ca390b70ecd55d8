r"""Index of every pairing of a day cycle with a night cycle, through one affine map per chain.

The allowance at the end of a chain is affine in that at its start, so the repeating day of
each pair is one linear equation. Only the first minutes of a chain depend on which posture came
before it (the lag): they are a table over pairs of postures. The largest allowance inside a
chain is the largest of affine functions of its start; of these the ones that rule at the
lower end, at the upper end and where those two cross are kept, which is exact unless a
fourth one rises between them by more than they differ.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leeward.tissue.allowance import affine_map
from leeward.tissue.lag import settled
from leeward.tissue.law import STANDARD_LAW

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


def chain_map(durations: Array, rows: Rows, ratio: Array) -> ChainMap:
    """Reduce the candidates of a chain to affine maps.

    Parameters
    ----------
    durations : ndarray, shape (n, m)
        Length of each segment; the first lasts. [s]
    rows : ndarray of int, shape (n, m)
        Row of each segment's posture. [-]
    ratio : ndarray, shape (p, s)
        Load ratio of each row at each site. [-]

    Returns
    -------
    ChainMap
        One map for each candidate.
    """
    first = min(STANDARD_LAW.lag, float(durations[:, 0].min()))
    rest = durations.copy()
    rest[:, 0] -= first
    found = affine_map(rest, ratio[rows], before=settled(ratio[rows[:, 0]]))
    last = durations.shape[1] - 1 - np.argmax(durations[:, ::-1] > 0.0, axis=1)
    leaving = rows[np.arange(len(rows)), last]
    return ChainMap(rows[:, 0], leaving, first, found.gain, found.offset)


def joined_index(first: ChainMap, second: ChainMap, ratio: Array, allowed: Array) -> Array:
    """Largest index over the repeating day of every pair of candidates.

    Parameters
    ----------
    first, second : ChainMap
        Candidates of the two chains that make the day.
    ratio : ndarray, shape (p, s)
        Load ratio of each row at each site. [-]
    allowed : ndarray, shape (s,)
        Largest allowance that may be reached at each site. [-]

    Returns
    -------
    ndarray, shape (first, second)
        Largest peak allowance over the one allowed. [-]
    """
    into_first = _entries(first, second, ratio)
    into_second = tuple(table.swapaxes(0, 1) for table in _entries(second, first, ratio))
    first_gain, first_offset = first.gain[:, np.newaxis, -1], first.offset[:, np.newaxis, -1]
    second_gain, second_offset = second.gain[np.newaxis, :, -1], second.offset[np.newaxis, :, -1]
    # Once round the day: into the first chain, through it, into the second, through it.
    gain = into_first[0] * first_gain * into_second[0] * second_gain
    offset = into_first[1] * first_gain + first_offset
    offset = (offset * into_second[0] + into_second[1]) * second_gain + second_offset
    start = offset / (1.0 - gain)
    in_first = into_first[0] * start + into_first[1]
    middle = first_gain * in_first + first_offset
    in_second = into_second[0] * middle + into_second[1]
    peak = np.maximum(_peaks(first, in_first), start)
    later = _peaks(second, in_second.swapaxes(0, 1)).swapaxes(0, 1)
    return np.asarray((np.maximum(peak, later) / allowed).max(axis=-1, initial=0.0))


def _entries(chain: ChainMap, before: ChainMap, ratio: Array) -> tuple[Array, Array]:
    """Gain and offset of the first minutes for (candidate, candidate of the chain before)."""
    froms, from_place = np.unique(before.leaving, return_inverse=True)
    intos, into_place = np.unique(chain.entry, return_inverse=True)
    shape = (len(intos), len(froms), 1, ratio.shape[1])
    now = np.broadcast_to(ratio[intos][:, np.newaxis, np.newaxis], shape)
    previous = np.broadcast_to(ratio[froms], (shape[0], shape[1], shape[3]))
    found = affine_map([chain.first_minutes], now, before=settled(previous))
    pick = np.ix_(into_place.ravel(), from_place.ravel())
    return found.gain[:, :, -1][pick], found.offset[:, :, -1][pick]


def _peaks(chain: ChainMap, start: Array) -> Array:
    """Largest allowance of each candidate for each of its starts, (n, partners, s)."""
    low, high = start.min(axis=1), start.max(axis=1)
    ruling = [_ruling(chain, low), _ruling(chain, high)]
    (gain_low, offset_low), (gain_high, offset_high) = ruling
    steeper = gain_high - gain_low
    crossing = np.divide(
        offset_low - offset_high, steeper, out=low.copy(), where=np.abs(steeper) > 1e-15
    )
    ruling.append(_ruling(chain, np.clip(crossing, low, high)))
    peak = start
    for gain, offset in ruling:
        peak = np.maximum(peak, gain[:, np.newaxis] * start + offset[:, np.newaxis])
    return peak


def _ruling(chain: ChainMap, start: Array) -> tuple[Array, Array]:
    course = chain.gain * start[:, np.newaxis] + chain.offset
    which = course.argmax(axis=1)[:, np.newaxis]
    gain = np.take_along_axis(chain.gain, which, axis=1)[:, 0]
    return gain, np.take_along_axis(chain.offset, which, axis=1)[:, 0]
