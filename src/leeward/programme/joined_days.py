r"""Index of every pairing of a day cycle with a night cycle, through one affine map per chain.

The allowance at the end of a chain is affine in that at its start, so the repeating day of
each pair is one linear equation. What comes before a chain is heeded up to the minute in which
it is settled, see `leeward.programme.passages`. The largest allowance of a day is the largest of
affine functions of its start; those that lie below another one from every start are not looked
at, which changes nothing.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leeward.programme.chain_lines import ChainCourse, ChainLines, Span, chain_course, chain_lines
from leeward.programme.loads import RatioTable
from leeward.programme.passage_maps import Loads, PassageMaps, entry_maps, inner_maps
from leeward.programme.passages import Passages, in_common

Array = NDArray[np.float64]
Rows = NDArray[np.intp]

#: Columns computed at once: sites of several draws.
_AT_ONCE = 1500


def joined_index(
    first: Passages, second: Passages, ratio: Array, allowed: Array, table: RatioTable
) -> Array:
    """Largest index over the repeating day of every pair of candidates.

    Parameters
    ----------
    first, second : Passages
        Candidates of the two chains that make the day.
    ratio : ndarray, shape (d, p, s)
        Load ratio of each row at each site in each draw. [-]
    allowed : ndarray, shape (d, s)
        Largest allowance that may be reached at each site. [-]
    table : RatioTable
        The movements between postures.

    Returns
    -------
    ndarray, shape (d, first, second)
        Largest peak allowance over the one allowed. [-]
    """
    draws, rows, sites = ratio.shape
    index = np.empty((draws, len(first.head), len(second.head)))
    for start in range(0, draws, max(1, _AT_ONCE // sites)):
        part = slice(start, start + max(1, _AT_ONCE // sites))
        columns = ratio[part].swapaxes(0, 1).reshape(rows, -1)
        loads = Loads(columns, allowed[part].ravel(), table)
        index[part] = _joined(first, second, loads, len(ratio[part]))
    return index


@dataclass(frozen=True, slots=True, eq=False)
class _Side:
    """One chain of the day with what it needs to know of the other.

    Of the other chain and the passage from it, (own heads, c, other): `before`. Of this chain
    and the passage to the other, (other heads, c, own): `through`.
    """

    course: ChainCourse
    other: Passages
    before: tuple[Array, Array]
    through: tuple[Array, Array]
    follows: tuple[PassageMaps, Rows]

    def span(self) -> Span:
        """Least and largest start of every candidate whatever it is paired with."""
        ends = []
        for narrow in (np.min, np.max):
            pre_gain, pre_offset = (
                narrow(one, axis=2)[self.course.passages.head] for one in self.before
            )
            gain, offset = (narrow(one, axis=0).T for one in self.through)
            ends.append((pre_gain * offset + pre_offset) / (1.0 - pre_gain * gain))
        return Span(*ends)

    def peaks(self, draws: int) -> Array:
        """Largest line of this side in every pair, (own, draws, other)."""
        sites = self.before[0].shape[1] // draws
        lines = chain_lines(self.course, self.follows, self.span(), draws)
        blocks = _Blocks(lines, len(self.course.passages.head), sites)
        order = np.argsort(self.other.head, kind="stable")
        head = self.other.head[order]
        groups = np.searchsorted(head, np.arange(len(self.other.heads) + 1))
        before = tuple(one[:, :, order] for one in self.before)
        found = np.zeros((len(self.course.passages.head), draws, len(order)))
        for number, own_head in enumerate(self.course.passages.head.tolist()):
            columns = blocks.columns(number)
            gain, offset = (one[own_head, columns] for one in before)
            after, added = (one[head, :, number][:, columns].T for one in self.through)
            start = (gain * added + offset) / (1.0 - gain * after)
            blocks.raise_(found[number], number, start, groups)
        back = np.empty_like(order)
        back[order] = np.arange(len(order))
        return found[:, :, back]


class _Blocks:
    """Lines of every candidate, by the passage that follows and by draw."""

    def __init__(self, lines: ChainLines, count: int, sites: int) -> None:
        self.lines, self.draw = lines, lines.column // sites
        is_new = np.ones(len(self.draw), dtype=bool)
        is_new[1:] = (np.diff(lines.candidate) != 0) | (np.diff(lines.group) != 0)
        self.begins = [*np.flatnonzero(is_new).tolist(), len(is_new)]
        is_new[1:] |= np.diff(self.draw) != 0
        self.firsts = np.flatnonzero(is_new)
        candidates = lines.candidate[self.begins[:-1]]
        self.block = np.searchsorted(candidates, np.arange(count + 1)).tolist()
        self.first = np.searchsorted(self.firsts, self.begins).tolist()
        self.place = np.empty_like(lines.column)

    def columns(self, number: int) -> Rows:
        """Columns of one candidate that have lines."""
        some = slice(self.begins[self.block[number]], self.begins[self.block[number + 1]])
        columns, self.place[some] = np.unique(self.lines.column[some], return_inverse=True)
        return columns

    def raise_(self, peak: Array, number: int, start: Array, groups: Rows) -> None:
        """Raise peaks, (draws, other), to the lines of one candidate at its columns' starts."""
        for block in range(self.block[number], self.block[number + 1]):
            some = slice(self.begins[block], self.begins[block + 1])
            group = int(self.lines.group[some.start])
            others = slice(None) if group < 0 else slice(groups[group], groups[group + 1])
            value = start[self.place[some], others]
            value *= self.lines.gain[some, np.newaxis]
            value += self.lines.offset[some, np.newaxis]
            firsts = self.firsts[self.first[block] : self.first[block + 1]]
            if len(peak) == 1:
                np.maximum(peak[0, others], value.max(axis=0), out=peak[0, others])
                continue
            largest = np.maximum.reduceat(value, firsts - some.start, axis=0)
            draws = self.draw[firsts]
            peak[draws, others] = np.maximum(peak[draws, others], largest)


def _joined(first: Passages, second: Passages, loads: Loads, draws: int) -> Array:
    first, second, numbers = in_common(first, second, loads.table)
    inner = inner_maps(first.inner, loads)
    courses = chain_course(first, inner, loads), chain_course(second, inner, loads)
    into_first = entry_maps(first.heads, second.tails, loads, inner, numbers)
    into_second = entry_maps(second.heads, first.tails, loads, inner, numbers)
    which_first = _which(first, second)
    which_second = _which(second, first)
    through_second = _through(courses[1], into_first, which_first)
    through_first = _through(courses[0], into_second, which_second)
    sides = (
        _Side(courses[0], second, through_second, through_first, (into_second, which_second)),
        _Side(courses[1], first, through_first, through_second, (into_first, which_first)),
    )
    peaks = sides[0].peaks(draws).swapaxes(0, 1), sides[1].peaks(draws)
    return np.maximum(peaks[0], np.moveaxis(peaks[1], 0, 2))


def _which(into: Passages, after: Passages) -> Rows:
    """Number of each passage into a chain after each candidate of the other, (heads, after)."""
    heads = np.arange(len(into.heads))[:, np.newaxis]
    return np.asarray(heads * len(after.tails) + after.tail)


def _through(course: ChainCourse, into: PassageMaps, which: Rows) -> tuple[Array, Array]:
    """Through a chain and into the other, (heads, c, n)."""
    gain = into.gain[which]
    through = gain * course.gain[-1], gain * course.offset[-1] + into.offset[which]
    return np.ascontiguousarray(through[0].swapaxes(1, 2)), np.ascontiguousarray(
        through[1].swapaxes(1, 2)
    )
