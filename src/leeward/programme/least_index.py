r"""The least index that any day with a cycle can have, whatever it is joined with.

What comes before a chain of windows can only raise the allowance in it, in two ways: by what it
leaves of the allowance at the start, and by a load that recovery still goes by. So a cycle is
followed from the least allowance that any cycle of the other chain leaves, as if nothing had lain
on the skin before. Cycles whose least index is above 1 cannot qualify and need not be joined.
"""

import numpy as np
from numpy.typing import NDArray

from leeward.programme.day_layout import Segments
from leeward.programme.moved_days import is_stay, moved
from leeward.programme.problem import Problem
from leeward.tissue.allowance import affine_map
from leeward.tissue.lag import settled
from leeward.tissue.law import STANDARD_LAW, recovery
from leeward.tissue.movement import PIECES

Array = NDArray[np.float64]

#: Cycles followed at once.
_AT_ONCE = 256
#: Rounds from chain to chain; each lifts what is known to be left at their starts.
_ROUNDS = 4


def least_index(given: Problem, chains: tuple[Segments, ...]) -> list[Array]:
    r"""Bound the index of every day that a cycle can be part of, from below.

    Parameters
    ----------
    given : Problem
        The search.
    chains : tuple of Segments
        Candidates of the one or two chains of the day, unrolled.

    Returns
    -------
    list of ndarray, shape (n,)
        For each chain and each of its candidates an index that no day with it, and a candidate
        of the other chain, falls below. [-]

    Notes
    -----
    With the ends :math:`A_e = g_i A_s + o_i` of the candidates i of a chain, followed with the
    least recovery-delaying past,

    .. math:: \underline{A}_s' = \min_i (g_i \underline{A}_s + o_i)

    is left at the start of the next chain. The movement into the first stay is left out: in its
    time the allowance falls to no less than :math:`e^{-k(0) t / T}` of what it was. Of the rest
    the allowance at the ends of stays is looked at, which is no more than the largest.
    """
    allowed = given.compared.allowed()[0, given.indexed]
    least = [np.zeros(len(chain.durations)) for chain in chains]
    for columns, known in known_parts(given, chains):
        lines = [
            _lines(given, chain, columns, counted)
            for chain, counted in zip(chains, known, strict=True)
        ]
        starts = _starts(lines)
        for number, ((gain, offset), start) in enumerate(zip(lines, starts, strict=True)):
            course = gain * start[..., np.newaxis, :] + offset
            index = (course / allowed[columns]).max(axis=(1, 2), initial=0.0)
            least[number] = np.maximum(least[number], index)
    # A day has a cycle of the other chain too.
    return [np.maximum(own, max(other.min() for other in least)) for own in least]


def known_parts(
    given: Problem, chains: tuple[Segments, ...]
) -> list[tuple[NDArray[np.intp], list[NDArray[np.bool_]]]]:
    """Group the compared sites by the prescribed windows whose central load nobody knows.

    Parameters
    ----------
    given : Problem
        The search.
    chains : tuple of Segments
        Candidates of the chains of the day, unrolled.

    Returns
    -------
    list of (ndarray of int, list of ndarray of bool)
        Columns of the sites and, for each chain, which of its segments are counted: for those
        sites the others are left out of the day, and the rest of it is ranked. [-]
    """
    is_unknown = np.isnan(given.central[:, given.indexed])
    unknown = np.concatenate(
        [is_unknown[chain.rows[0]] & chain.exempt[:, np.newaxis] for chain in chains]
    ).T
    patterns, of_column = np.unique(unknown, axis=0, return_inverse=True)
    widths = np.cumsum([chain.durations.shape[1] for chain in chains])[:-1]
    return [
        (np.flatnonzero(of_column.ravel() == number), np.split(~pattern, widths))
        for number, pattern in enumerate(patterns)
    ]


def _starts(lines: list[tuple[Array, Array]]) -> list[Array]:
    """Least allowance at the start of each chain."""
    if len(lines) == 1:
        gain, offset = (one[:, -1] for one in lines[0])
        return [offset / (1.0 - gain)]
    columns = lines[0][0].shape[-1]
    starts = [np.zeros(columns) for _ in lines]
    for _ in range(_ROUNDS):
        ends = [
            (gain[:, -1] * start + offset[:, -1]).min(axis=0)
            for (gain, offset), start in zip(lines, starts, strict=True)
        ]
        starts = ends[::-1]
    return starts


def _lines(
    given: Problem, chain: Segments, columns: NDArray[np.intp], counted: NDArray[np.bool_]
) -> tuple[Array, Array]:
    """From the start to the end of every stay: gain and offset, (n, stays, columns)."""
    ratio = given.central[:, given.indexed][:, columns]
    longest = given.table.movements.time.max(axis=0)
    fastest = float(recovery(0.0, STANDARD_LAW.loaded_recovery, STANDARD_LAW.relief_recovery))
    shape = (*chain.durations.shape, len(columns))
    gain, offset = np.empty(shape), np.empty(shape)
    for start in range(0, len(chain.durations), _AT_ONCE):
        part = slice(start, start + _AT_ONCE)
        stays, rows = chain.durations[part], chain.rows[part]
        lengths, places = moved(stays, rows, rows[:, 0], given.table)
        into = np.minimum(longest[rows[:, 0]], lengths[:, PIECES])
        lengths[:, PIECES] -= into
        lengths = np.where(is_stay(~counted), 0.0, lengths)
        before = settled(np.zeros((len(stays), len(columns))), STANDARD_LAW)
        found = affine_map(lengths, ratio[places], STANDARD_LAW, before)
        ends = list(found.ends[PIECES :: PIECES + 1])
        left = np.exp(-fastest * into / STANDARD_LAW.time_constant)[:, np.newaxis, np.newaxis]
        gain[part], offset[part] = found.gain[:, ends] * left, found.offset[:, ends]
    return gain, offset
