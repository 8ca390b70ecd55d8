r"""Index of every pairing of a day cycle with a night cycle, through one affine map per chain.

The allowance at the end of a chain is affine in that at its start, so the repeating day of
each pair is one linear equation. Only the first minutes of a chain depend on which posture came
before it (the lag): they are a table over pairs of postures. The largest allowance inside a
chain is the largest of affine functions of its start; of these only the few that rule somewhere
are looked at, see `leeward.programme.ruling_lines`. No index is found too large by it, nor too
small by more than is left out there.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from leeward.programme.loads import RatioTable
from leeward.programme.moved_days import is_stay, last_rows, moved
from leeward.programme.ruling_lines import ruling_lines
from leeward.tissue.allowance import affine_map
from leeward.tissue.lag import settled
from leeward.tissue.law import STANDARD_LAW
from leeward.tissue.movement import PIECES

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
    durations: Array, rows: Rows, ratio: Array, table: RatioTable, known: NDArray[np.bool_]
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
    table : RatioTable
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
    first: ChainMap, second: ChainMap, ratio: Array, allowed: Array, table: RatioTable
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
    table : RatioTable
        The movements between postures.

    Returns
    -------
    ndarray, shape (first, second)
        Largest peak allowance over the one allowed. [-]
    """
    pairs = _pairs(first, second, ratio, table)
    lines = _lines(pairs)
    index = np.empty((len(first.entry), len(second.entry)))
    for number in range(len(index)):
        starts = pairs.starts(number)
        peak = starts[0].copy()
        for start, some in zip(starts, lines.after(pairs, number), strict=True):
            _raise(peak, start, some)
        index[number] = (peak / allowed[:, np.newaxis]).max(axis=0, initial=0.0)
    return index


@dataclass(frozen=True, slots=True, eq=False)
class _Entry:
    """First minutes of a chain after each posture it may follow, (postures into, before, e, s)."""

    gain: Array
    offset: Array
    into: Rows
    before: Rows


def _entry(chain: ChainMap, before: ChainMap, ratio: Array, table: RatioTable) -> _Entry:
    """The movement into a chain's first posture and the minutes after it."""
    froms, from_place = np.unique(before.leaving, return_inverse=True)
    intos, into_place = np.unique(chain.entry, return_inverse=True)
    into = np.repeat(intos, len(froms))[:, np.newaxis]
    previous = np.tile(froms, len(intos))
    lengths, rows = moved(np.full(into.shape, chain.first_minutes), into, previous, table)
    found = affine_map(lengths, ratio[rows], before=settled(ratio[previous], STANDARD_LAW))
    size = (len(intos), len(froms), *found.gain.shape[1:])
    gain, offset = found.gain.reshape(size), found.offset.reshape(size)
    return _Entry(gain, offset, into_place.ravel(), from_place.ravel())


@dataclass(frozen=True, slots=True, eq=False)
class _Pairs:
    """Each candidate of the first chain with all of the second, as arrays (s, second).

    Gain and offset, (2, s, second), of the four parts of a day: into the first chain, by the
    posture entered; through it, by the candidate; into the second, by the posture left; through
    it.
    """

    first: ChainMap
    second: ChainMap
    into_first: _Entry
    into_second: _Entry
    parts: tuple[list[Array], list[Array], list[Array], Array]

    def starts(self, number: int) -> list[Array]:
        """Allowance at the start of every part of the day."""
        parts = (
            self.parts[0][self.into_first.into[number]],
            self.parts[1][number],
            self.parts[2][self.into_second.before[number]],
            self.parts[3],
        )
        gain, offset = parts[0]
        for more, added in parts[1:]:
            gain, offset = gain * more, offset * more + added
        found = [offset / (1.0 - gain)]
        for more, added in parts[:3]:
            found.append(found[-1] * more + added)
        return found


def _pairs(first: ChainMap, second: ChainMap, ratio: Array, table: RatioTable) -> _Pairs:
    enter, again = _entry(first, second, ratio, table), _entry(second, first, ratio, table)
    through = [np.stack((chain.gain[:, -1], chain.offset[:, -1])) for chain in (first, second)]
    into = np.stack((enter.gain[:, :, -1], enter.offset[:, :, -1]))[:, :, enter.before]
    out_of = np.stack((again.gain[:, :, -1], again.offset[:, :, -1]))[:, again.into]
    return _Pairs(
        first,
        second,
        enter,
        again,
        (
            list(_sites_first(into.swapaxes(0, 1))),
            list(through[0].swapaxes(0, 1)[..., np.newaxis]),
            list(_sites_first(np.moveaxis(out_of, 2, 0))),
            _sites_first(through[1]),
        ),
    )


def _sites_first(values: Array) -> Array:
    """Candidates of the second chain side by side in memory, (..., s, second)."""
    return np.ascontiguousarray(values.swapaxes(-1, -2))


class _Line(NamedTuple):
    """Gain and offset of a line at some of the sites, (some, second or 1)."""

    sites: Rows
    gain: Array
    offset: Array


@dataclass(frozen=True, slots=True, eq=False)
class _Lines:
    """Lines whose largest is the peak: in the first minutes of each chain, and after them.

    Those of `into_first` by the posture entered, of `first` by the candidate, of `into_second`
    by the posture left.
    """

    into_first: list[list[_Line]]
    first: list[list[_Line]]
    into_second: list[list[_Line]]
    second: list[_Line]

    def after(self, pairs: _Pairs, number: int) -> tuple[list[_Line], ...]:
        """Those of each part of the day of one candidate of the first chain."""
        return (
            self.into_first[pairs.into_first.into[number]],
            self.first[number],
            self.into_second[pairs.into_second.before[number]],
            self.second,
        )


def _lines(pairs: _Pairs) -> _Lines:
    """Look at where every part of the day begins, then for the lines that rule there."""
    first, second = pairs.first, pairs.second
    sites = first.gain.shape[2]
    own = np.full((2, len(first.entry), sites), np.nan)
    others = np.full((2, sites, len(second.entry)), np.nan)
    ends = np.full((2, 2, sites), np.nan)
    for number in range(len(first.entry)):
        start, in_first, middle, in_second = pairs.starts(number)
        for place, narrow in enumerate((np.fmin, np.fmax)):
            own[place, number] = narrow.reduce(in_first, axis=1)
            others[place] = narrow(others[place], in_second)
            ends[0, place] = narrow(ends[0, place], narrow.reduce(start, axis=1))
            ends[1, place] = narrow(ends[1, place], narrow.reduce(middle, axis=1))
    enter, again = pairs.into_first, pairs.into_second
    entering, entering_again = _entry_lines(enter, ends[0]), _entry_lines(again, ends[1])
    of_first = ruling_lines(first.gain.swapaxes(0, 1), first.offset.swapaxes(0, 1), *own)
    of_second = ruling_lines(
        second.gain.swapaxes(0, 1), second.offset.swapaxes(0, 1), *others.swapaxes(-1, -2)
    )
    return _Lines(
        [_told(entering[:, :, into, enter.before]) for into in range(len(enter.gain))],
        [_told(of_first[:, :, n : n + 1]) for n in range(len(first.entry))],
        [_told(entering_again[:, :, again.into, b]) for b in range(again.gain.shape[1])],
        _told(of_second),
    )


def _entry_lines(entry: _Entry, ends: Array) -> Array:
    """Lines that rule in the first minutes, (2, lines, postures into, before, s)."""
    into, before, edges, sites = entry.gain.shape
    low, high = np.broadcast_to(ends[:, np.newaxis], (2, into * before, sites))
    gain, offset = (
        np.moveaxis(one, 2, 0).reshape(edges, into * before, sites)
        for one in (entry.gain, entry.offset)
    )
    found = ruling_lines(gain, offset, low, high)
    return found.reshape(2, -1, into, before, sites)


def _told(lines: Array) -> list[_Line]:
    """Leave out of lines, (2, lines, candidates, s), where one is the one before it."""
    is_new = np.ones((lines.shape[1], lines.shape[3]), dtype=bool)
    is_new[1:] = (lines[:, 1:] != lines[:, :-1]).any(axis=(0, 2))
    by_site = _sites_first(lines)
    picked = ((np.flatnonzero(new), by_site[:, n]) for n, new in enumerate(is_new))
    return [_Line(some, *line[:, some]) for some, line in picked if len(some)]


def _raise(peak: Array, start: Array, lines: list[_Line]) -> None:
    """Raise peaks to what follows from these starts."""
    for sites, gain, offset in lines:
        if len(sites) == len(peak):
            np.maximum(peak, gain * start + offset, out=peak)
        else:
            peak[sites] = np.maximum(peak[sites], gain * start[sites] + offset)
