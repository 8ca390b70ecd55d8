"""A chain of windows as affine maps of the allowance at its start, and its lines that matter.

The allowance at any minute of a chain is a line over that at its start: gain times start, plus
offset. The largest allowance of a day is the largest of its lines at the start which the day comes
to. That start lies between a least and a largest one, whatever the chain is joined with, and a line
that is below another one at both ends of that span is never the largest: of 0.9 A + 0.1 and
0.2 A + 0.3, with starts from 0.4 to 0.8, the first is 0.46 and 0.82, the second 0.38 and 0.46, so
the second is left out. In the measured draws 1.8 lines are left for each candidate and column.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from leeward.programme.passage_maps import Loads, PassageMaps
from leeward.programme.passages import Passages

Array = NDArray[np.float64]
Rows = NDArray[np.intp]
Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class ChainCourse:
    """Candidates of a chain from the end of the passage into it.

    Parameters
    ----------
    passages : Passages
        The candidates.
    inner : PassageMaps
        Maps of their inner passages.
    gain, offset : ndarray, shape (k + 1, n, c)
        From the start to the start of every step, and to the end. [-]
    """

    passages: Passages
    inner: PassageMaps
    gain: Array
    offset: Array


@dataclass(frozen=True, slots=True, eq=False)
class Span:
    """Allowance at the start of each candidate.

    Parameters
    ----------
    low, high : ndarray, shape (n, c)
        Its least and its largest. [-]
    """

    low: Array
    high: Array


@dataclass(frozen=True, slots=True, eq=False)
class ChainLines:
    """Lines that can be the largest of their draw, in order of candidate, group and draw.

    Parameters
    ----------
    candidate, group, column : ndarray of int, shape (l,)
        Candidate, passage that follows or -1 for whichever, and column. [-]
    gain, offset : ndarray, shape (l,)
        From the start of the candidate. [-]
    """

    candidate: Rows
    group: Rows
    column: Rows
    gain: Array
    offset: Array


def chain_course(passages: Passages, inner: PassageMaps, loads: Loads) -> ChainCourse:
    """Follow candidates through a chain.

    Parameters
    ----------
    passages : Passages
        The candidates.
    inner : PassageMaps
        Maps of their inner passages.
    loads : Loads
        Loads of the rows.

    Returns
    -------
    ChainCourse
        Affine maps of the allowance over the one allowed.
    """
    count, steps = passages.step.shape
    shape = (steps + 1, count, loads.ratio.shape[1])
    gain, offset = np.empty(shape), np.empty(shape)
    gain[0], offset[0] = 1.0, 0.0
    rate, steady = loads.rate, loads.steady
    for number in range(steps):
        which, row = passages.step[:, number], passages.row[:, number]
        rest = passages.rest[:, number, np.newaxis]
        fades = np.expm1(-rate[row] * rest)
        fades[rest[:, 0] == 0.0] = 0.0
        kept = 1.0 + fades
        through, added = inner.gain[which], inner.offset[which]
        np.multiply(gain[number], through * kept, out=gain[number + 1])
        moved_on = offset[number] * through + added
        towards = np.where(rest > 0.0, steady[row], 0.0)
        offset[number + 1] = moved_on * kept - fades * towards
    return ChainCourse(passages, inner, gain, offset)


def chain_lines(
    course: ChainCourse, follows: tuple[PassageMaps, Rows], span: Span, draws: int
) -> ChainLines:
    """Pick the lines that can be the largest: inside the chain, and in what follows on it.

    Parameters
    ----------
    course : ChainCourse
        The candidates.
    follows : tuple of PassageMaps and ndarray of int, shape (h, n)
        Passages into the chain that follows, and which of them each head is after each
        candidate. [-]
    span : Span
        Where the candidates begin.
    draws : int
        Draws side by side in the columns. [-]

    Returns
    -------
    ChainLines
        What is left out lies, from every start, below the largest of its draw or below that
        start, which is the end of the other chain.
    """
    bounds = _bounds(course, span, draws)
    found = [
        *_stays(course, bounds),
        *_inside(course, bounds),
        *_following(course, follows, bounds),
    ]
    candidate, group, column, gain, offset = (
        np.concatenate(one) for one in zip(*found, strict=True)
    )
    order = np.lexsort((column, group, candidate))
    return ChainLines(*(one[order] for one in (candidate, group, column, gain, offset)))


#: Candidate, group, column, gain and offset of lines.
_Some = tuple[Rows, Rows, Rows, Array, Array]


class _Bounds(NamedTuple):
    """What a line must pass to be the largest anywhere, (n, c).

    The least and the largest start; what the largest line of the draw is at least; the end of
    a stay that is the largest at the least start, there and at the largest start.
    """

    low: Array
    high: Array
    least: Array
    best_low: Array
    best_high: Array

    def may_rule(self, gain: Array, offset: Array, at: tuple[Rows, ...] | None = None) -> Mask:
        """Whether a line is above its start and, somewhere, no less than those known."""
        low, high, least, best_low, best_high = (
            self if at is None else tuple(one[at] for one in self)
        )
        at_high = gain * high + offset
        passes = (at_high >= least) & (offset >= least * (1.0 - gain))
        return passes & ((at_high >= best_high) | (gain * low + offset >= best_low))


def _bounds(course: ChainCourse, span: Span, draws: int) -> _Bounds:
    """Look at the ends of stays from the least start."""
    best_low = np.full_like(span.low, -np.inf)
    best_high = best_low.copy()
    for gain, offset in zip(course.gain[1:], course.offset[1:], strict=True):
        low, high = gain * span.low + offset, gain * span.high + offset
        is_best = low > best_low
        np.copyto(best_low, low, where=is_best)
        np.copyto(best_high, high, where=is_best)
    sites = best_low.shape[1] // draws
    known = np.maximum(best_low, span.low).reshape(len(best_low), draws, sites).max(axis=-1)
    # A line that a rounding puts below itself is kept.
    best_low, best_high, least = (
        one * (1.0 - 1e-12) for one in (best_low, best_high, np.repeat(known, sites, axis=1))
    )
    return _Bounds(span.low, span.high, least, best_low, best_high)


def _stays(course: ChainCourse, bounds: _Bounds) -> list[_Some]:
    """Ends of stays."""
    found: list[_Some] = []
    for gain, offset in zip(course.gain[1:], course.offset[1:], strict=True):
        at = np.nonzero(bounds.may_rule(gain, offset))
        found.append((*_any(at[0]), at[1], gain[at], offset[at]))
    return found


def _any(candidate: Rows) -> tuple[Rows, Rows]:
    return candidate, np.full(len(candidate), -1, dtype=np.intp)


def _inside(course: ChainCourse, bounds: _Bounds) -> Iterator[_Some]:
    """Parts of inner passages."""
    for number in range(course.passages.step.shape[1]):
        which = course.passages.step[:, number]
        before = course.gain[number], course.offset[number]
        may = bounds.may_rule(before[0], before[1] + course.inner.rise[which])
        at = np.nonzero(may & (which > 0)[:, np.newaxis])
        for one in _composed(course.inner, which[at[0]], at, before, bounds):
            yield (*_any(one[0]), *one[1:])


def _following(
    course: ChainCourse, follows: tuple[PassageMaps, Rows], bounds: _Bounds
) -> Iterator[_Some]:
    """Parts of the passages into the chain that follows."""
    maps, passage = follows
    before = course.gain[-1], course.offset[-1]
    for group, which in enumerate(passage):
        at = np.nonzero(bounds.may_rule(before[0], before[1] + maps.rise[which]))
        for one in _composed(maps, which[at[0]], at, before, bounds):
            yield (one[0], np.full(len(one[0]), group, dtype=np.intp), *one[1:])


def _composed(
    maps: PassageMaps,
    which: Rows,
    at: tuple[Rows, ...],
    before: tuple[Array, Array],
    bounds: _Bounds,
) -> Iterator[tuple[Rows, Rows, Array, Array]]:
    """Lines of passages after what came before, of those that can be the largest."""
    for some, onward, added in maps.lines(which, at[1]):
        places = at[0][some], at[1][some]
        offset = added + onward * before[1][places]
        gain = onward * before[0][places]
        line, asked = np.nonzero(_is_upper(gain, offset, bounds.low[places], bounds.high[places]))
        kept = gain[line, asked], offset[line, asked]
        candidate, column = places[0][asked], places[1][asked]
        rules = np.flatnonzero(bounds.may_rule(*kept, (candidate, column)))
        yield candidate[rules], column[rules], kept[0][rules], kept[1][rules]


def _is_upper(gain: Array, offset: Array, low: Array, high: Array) -> Mask:
    """Which of the lines in each column are at no end below the one largest at the least start."""
    at_low, at_high = gain * low + offset, gain * high + offset
    best = at_low.argmax(axis=0)
    upper = at_high > at_high[best, np.arange(len(best))]
    upper[best, np.arange(len(best))] = True
    return np.asarray(upper)
