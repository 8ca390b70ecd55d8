"""What passages do to the allowance: affine maps from their start to every part of them.

Along a passage the load is given, so the allowance at the end of each of its parts is a gain times
that at its start, plus an offset. A gain of 0.97 and an offset of 0.04 say: of 1.00 at the start
1.01 is there at the end. Every column, a site in a draw, has its own; gains and offsets are over
the allowance that counts as 1. Of a passage are kept the map to its end, how far it rises anywhere
inside (enough to leave most of them out), and the maps to all its parts for those that are not.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from typing import NamedTuple, Self

import numpy as np
from numpy.typing import NDArray

from leeward.programme.loads import RatioTable
from leeward.programme.moved_days import is_stay, moved
from leeward.programme.passages import Passage, between_chains
from leeward.tissue.allowance import AllowanceMap, followed
from leeward.tissue.fading import faded_away
from leeward.tissue.lag import Lag, at_wrap, settled
from leeward.tissue.law import STANDARD_LAW, recovery, use_rate

Array = NDArray[np.float64]
Rows = NDArray[np.intp]
Mask = NDArray[np.bool_]

#: Numbers computed at once: they stay inside the processor's nearer memory.
_AT_ONCE = 2**13


@dataclass(frozen=True, eq=False)
class Loads:
    """Loads of every row at every column: the sites of one draw after those of the other.

    Parameters
    ----------
    ratio : ndarray, shape (rows, c)
        Load ratio. [-]
    allowed : ndarray, shape (c,)
        Allowance that counts as 1. [-]
    table : RatioTable
        The movements between postures.
    """

    ratio: Array
    allowed: Array
    table: RatioTable

    @cached_property
    def use(self) -> Array:
        """Rate at which each row uses the allowance, (rows, c). [-]"""
        return use_rate(self.ratio)

    @cached_property
    def rate(self) -> Array:
        """Recovery of each row over the time constant, (rows, c). [1/s]"""
        law = STANDARD_LAW
        found = recovery(self.ratio, law.loaded_recovery, law.relief_recovery)
        return np.asarray(found / law.time_constant)

    @cached_property
    def steady(self) -> Array:
        """What each row leads to for ever, over the one allowed, (rows, c). [-]"""
        return np.asarray(self.use / (self.rate * STANDARD_LAW.time_constant * self.allowed))

    def followed(self, lengths: Array, rows: Rows, before: Lag) -> AllowanceMap:
        """Map of rows of segments.

        Parameters
        ----------
        lengths : ndarray, shape (..., n)
            Length of each segment. [s]
        rows : ndarray of int, shape (..., n)
            Row of each. [-]
        before : Lag
            The loads of the last minutes before.

        Returns
        -------
        AllowanceMap
            Of the allowance itself.
        """
        ratio, use = self.ratio[rows], self.use[rows]
        lasts = lengths > 0.0
        if not bool(lasts.all()):
            # What has no length may be of an unknown load.
            ratio[~lasts], use[~lasts] = 1.0, 1.0
        return followed(lengths, ratio, use, before, STANDARD_LAW)


class _Part(NamedTuple):
    """Some passages followed together: where they stand, and lines (parts, some, c)."""

    places: Rows
    gain: Array
    offset: Array


@dataclass(frozen=True, slots=True, eq=False)
class PassageMaps:
    """Passages as maps of the allowance over the one allowed.

    Parameters
    ----------
    gain, offset : ndarray, shape (k, c)
        From the start to the end. [-]
    rise : ndarray, shape (k, c)
        Inside a passage the allowance is nowhere further above that at its start. [-]
    parts : tuple of _Part
        From the start to the end of every part.
    inner : PassageMaps, optional
        Passages that some of these begin with, settled time after it.
    number : ndarray of int, shape (k,)
        Which of those; -1 where there is none. [-]
    """

    gain: Array
    offset: Array
    rise: Array
    parts: tuple[_Part, ...]
    inner: "PassageMaps | None" = None
    number: Rows | None = None

    def lines(self, which: Rows, column: Rows) -> Iterator[tuple[Rows, Array, Array]]:
        """Lines of some passages at some columns, those of as many parts together.

        Parameters
        ----------
        which, column : ndarray of int, shape (q,)
            Passage and column of each question. [-]

        Yields
        ------
        some : ndarray of int, shape (r,)
            Which of the questions. [-]
        gain, offset : ndarray, shape (parts, r)
            Of each part. [-]
        """
        part_of = np.full(len(self.gain), -1, dtype=np.intp)
        place_in = np.zeros(len(self.gain), dtype=np.intp)
        for number, part in enumerate(self.parts):
            part_of[part.places] = number
            place_in[part.places] = np.arange(len(part.places))
        asked = part_of[which]
        for number, part in enumerate(self.parts):
            some = np.flatnonzero(asked == number)
            if len(some):
                at = place_in[which[some]], column[some]
                yield some, part.gain[:, *at], part.offset[:, *at]
        if self.inner is None or self.number is None:
            return
        begun = np.flatnonzero(self.number[which] >= 0)
        for some, gain, offset in self.inner.lines(self.number[which[begun]], column[begun]):
            yield begun[some], gain, offset
        at = which[begun], column[begun]
        yield begun, self.gain[at][np.newaxis], self.offset[at][np.newaxis]


def inner_maps(inner: Sequence[Passage], loads: Loads) -> PassageMaps:
    """Follow passages that begin settled.

    Parameters
    ----------
    inner : sequence of Passage, length k
        The passages.
    loads : Loads
        Loads of the rows.

    Returns
    -------
    PassageMaps
        One map for each.
    """
    columns = loads.ratio.shape[1]
    maps = _Made(len(inner), loads)
    for some in _alike(inner, columns):
        if not inner[some[0]].lengths:
            continue
        before = np.array([inner[n].rows[0] for n in some], dtype=np.intp)
        lengths, places = _Laid.of([inner[n] for n in some]).moved(before, loads.table)
        start = settled(loads.ratio[before], STANDARD_LAW)
        maps.put(np.array(some, dtype=np.intp), loads.followed(lengths, places, start))
    return maps.done()


def entry_maps(
    heads: Sequence[Passage],
    tails: Sequence[Passage],
    loads: Loads,
    inner: PassageMaps,
    numbers: Mapping[Passage, int],
) -> PassageMaps:
    """Follow every passage into a chain after every end of the chain before.

    Parameters
    ----------
    heads : sequence of Passage, length h
        Passages into the chain.
    tails : sequence of Passage, length t
        What has followed on the last settled minute of the other.
    loads : Loads
        Loads of the rows.
    inner : PassageMaps
        Maps of inner passages, those of one stay between the chains among them.
    numbers : mapping of Passage to int
        Which of them each is. [-]

    Returns
    -------
    PassageMaps
        One map for each pair, k = h t, those of one head together.
    """
    maps = _Made(len(heads) * len(tails), loads)
    begun: list[tuple[int, int, int, float]] = []
    for place, (head, tail) in enumerate(product(heads, tails)):
        between = between_chains(head, tail, loads.table)
        if between is not None:
            rest = head.lengths[0] - between.lengths[0]
            begun.append((place, numbers[between], head.rows[1], rest))
    maps.begin(begun, inner, loads)
    simple = {place for place, *_ in begun}
    for ends in _alike(tails, loads.ratio.shape[1]):
        last = np.array([tails[n].rows[-1] for n in ends], dtype=np.intp)
        lag = _lag([tails[n] for n in ends], loads)
        for some in _alike(heads, loads.ratio.shape[1] * len(ends)):
            number = np.array(some, dtype=np.intp)[:, np.newaxis] * len(tails) + ends
            if simple.issuperset(number.ravel().tolist()):
                continue
            laid = _Laid.of([heads[n] for n in some]).repeated(len(ends))
            lengths, places = laid.moved(np.tile(last, len(some)), loads.table)
            found = loads.followed(lengths, places, _tiled(lag, len(some)))
            maps.put(number.ravel(), found)
    return maps.done()


def _alike(some: Sequence[Passage], columns: int) -> Iterator[list[int]]:
    """Places of passages with as many stays, few enough to be followed at once."""
    by_count: dict[int, list[int]] = {}
    for place, passage in enumerate(some):
        by_count.setdefault(len(passage.lengths), []).append(place)
    most = max(1, _AT_ONCE // columns)
    for places in by_count.values():
        for start in range(0, len(places), most):
            yield places[start : start + most]


class _Laid(NamedTuple):
    """Passages with as many stays side by side, (some, stays)."""

    stays: Array
    rows: Rows
    known: Mask

    @classmethod
    def of(cls, some: Sequence[Passage]) -> Self:
        """Lay passages side by side."""
        return cls(
            np.array([passage.lengths for passage in some], dtype=np.float64),
            np.array([passage.rows[1:] for passage in some], dtype=np.intp),
            np.array([passage.known for passage in some], dtype=np.bool_),
        )

    def repeated(self, count: int) -> Self:
        """Lay each side by side with itself, so many times."""
        number = np.repeat(np.arange(len(self.stays)), count)
        return type(self)(self.stays[number], self.rows[number], self.known[number])

    def moved(self, before: Rows, table: RatioTable) -> tuple[Array, Rows]:
        """Write their movements out."""
        lengths, rows = moved(self.stays, self.rows, before, table)
        return np.where(is_stay(~self.known), 0.0, lengths), rows


def _lag(tails: list[Passage], loads: Loads) -> Lag:
    """Loads of the last minutes at the end of tails that are alike."""
    if not tails[0].lengths:
        last = np.array([passage.rows[-1] for passage in tails], dtype=np.intp)
        return settled(loads.ratio[last], STANDARD_LAW)
    laid = _Laid.of(tails)
    # A chain settled nowhere is longer than the lag: what came before it does not matter.
    first = np.array([one.rows[0 if one.rows[0] >= 0 else 1] for one in tails], dtype=np.intp)
    lengths, places = laid.moved(first, loads.table)
    minutes = np.full((len(tails), 1), 2.0 * STANDARD_LAW.lag)
    lengths = np.concatenate((minutes, lengths), axis=1)
    places = np.concatenate((first[:, np.newaxis], places), axis=1)
    ratio = np.where(lengths[..., np.newaxis] > 0.0, loads.ratio[places], 1.0)
    return at_wrap(lengths, ratio, STANDARD_LAW)


def _tiled(lag: Lag, count: int) -> Lag:
    return Lag(
        tuple(np.tile(load, (count, 1)) for load in lag.loads),
        tuple(np.tile(left, (count, 1)) for left in lag.left),
    )


class _Made:
    """Maps as they are made, in any order."""

    def __init__(self, count: int, loads: Loads) -> None:
        size = (count, loads.ratio.shape[1])
        self.allowed = loads.allowed
        self.gain, self.offset, self.rise = np.ones(size), np.zeros(size), np.zeros(size)
        self.parts: list[_Part] = []
        self.inner: PassageMaps | None = None
        self.number = np.full(count, -1, dtype=np.intp)

    def begin(
        self, begun: list[tuple[int, int, int, float]], inner: PassageMaps, loads: Loads
    ) -> None:
        """Maps that begin with an inner passage: place, its number, the row after it, its rest."""
        if not begun:
            return
        self.inner = inner
        places, numbers, rows = (
            np.array(one, dtype=np.intp) for one in list(zip(*begun, strict=True))[:3]
        )
        rest = np.array([one[3] for one in begun])[:, np.newaxis]
        fades = faded_away(-loads.rate[rows] * rest)
        self.number[places] = numbers
        self.gain[places] = inner.gain[numbers] * (1.0 + fades)
        offset = inner.offset[numbers]
        self.offset[places] = offset + fades * (offset - loads.steady[rows])
        self.rise[places] = np.maximum(inner.rise[numbers], self.offset[places])

    def put(self, places: Rows, found: AllowanceMap) -> None:
        """Maps of some passages, whatever they were before."""
        gain = np.moveaxis(found.gain, -2, 0)
        offset = np.moveaxis(found.offset, -2, 0) / self.allowed
        self.number[places] = -1
        self.gain[places], self.offset[places] = gain[-1], offset[-1]
        self.rise[places] = offset.max(axis=0)
        self.parts.append(_Part(places, gain, offset))

    def done(self) -> PassageMaps:
        """All of them."""
        parts = tuple(self.parts)
        return PassageMaps(self.gain, self.offset, self.rise, parts, self.inner, self.number)
