"""The choices of a plan while the conventions change one by one, on both sides of the comparison.

Whether a programme lies just below or just above the regime compared hangs on conventions; which
of two programmes is used less mostly does not. Here both are looked at for one case.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from leeward.programme.decision import Choice
from leeward.programme.front import NOT_TOLD_APART
from leeward.programme.other_conventions import (
    ConventionChanged,
    IndexThen,
    OrderOfTwo,
    Sensitivity,
)
from leeward.programme.peaks import peaks_over_draws
from leeward.programme.problem import Problem
from leeward.programme.programme import Programme, Window
from leeward.programme.programmes import day_segments
from leeward.programme.windows import WindowKind
from leeward.terms.clock import DaySpan
from leeward.terms.sourced import Sourced
from leeward.terms.units import SECONDS_PER_DAY, SECONDS_PER_HOUR
from leeward.tissue import constants
from leeward.tissue.law import STANDARD_LAW, AllowanceLaw
from leeward.tissue.law_ends import LAW_ENDS

Array = NDArray[np.float64]

#: How much earlier and later the night's turns are tried. [s]
NIGHT_SHIFT = Sourced(
    SECONDS_PER_HOUR, "s", "convention of this project: a round that comes late", "not applicable"
)


@dataclass(frozen=True, slots=True, eq=False)
class _Found:
    """Index of every choice at every site under one change, (k, s); NaN unknown, 0 not limited."""

    code: str
    sentence: str
    index: Array


def sensitivity(given: Problem, choices: tuple[Choice, ...]) -> Sensitivity | None:
    """Count the choices anew while the conventions change one by one.

    Parameters
    ----------
    given : Problem
        The search.
    choices : tuple of Choice
        What it found.

    Returns
    -------
    Sensitivity or None
        On central values; None where there is no choice.

    Notes
    -----
    Changed are the curve by which loads are weighed, the time constant, recovery under load and
    under relief, the lag, the tolerance of the whole skin and of each limiting site alone, and
    the hour at which the night's turns begin. The regime compared is counted under the same
    law; its turns are taken as reached at once. Two choices keep their order unless the one that
    was used less is then used more, both times by more than the noise of an index.
    """
    if not choices:
        return None
    found = list(_found(given, [choice.programme for choice in choices]))
    return Sensitivity(
        names=tuple(choice.name.value for choice in choices),
        changes=tuple(_changed(given, one) for one in found),
        orders=tuple(_order(found, *pair) for pair in combinations(range(len(choices)), 2)),
        compared_with=given.compared.name,
    )


def _found(given: Problem, programmes: list[Programme]) -> Iterator[_Found]:
    allowed = given.compared.allowed()[0]
    as_planned = _peaks(given, programmes, STANDARD_LAW)
    yield _Found("as-planned", "As planned", _index(as_planned, allowed))
    for end, changed in zip(LAW_ENDS, given.compared.at_law_ends, strict=True):
        peaks = _peaks(given, programmes, end.law)
        yield _Found(end.code, end.sentence, _index(peaks, allowed * changed))
    yield from _tolerances(given, as_planned)
    yield from _nights(given, programmes, allowed)


def _peaks(given: Problem, programmes: list[Programme], law: AllowanceLaw) -> Array:
    days = [day_segments(programme, given.table) for programme in programmes]
    return peaks_over_draws(days, given.table, law=law, draws=slice(1))[:, 0]


def _index(peaks: Array, allowed: Array) -> Array:
    # What nothing limits has no index; what is unknown stays unknown.
    known = np.where(allowed > 0.0, allowed, np.nan)
    return np.where(np.isposinf(allowed), 0.0, peaks / known)


def _tolerances(given: Problem, peaks: Array) -> Iterator[_Found]:
    low, high = constants.TOLERANCE.low, constants.TOLERANCE.high
    everywhere = np.ones(len(given.table.sites))
    for code, sentence, theta in (
        ("bears-less", "The skin bears a fifth less than it was seen to", low),
        ("bears-more", "The skin bears a quarter more than it was seen to", high),
    ):
        if theta is not None:
            yield _Found(code, sentence, _index(peaks, _borne(given, theta * everywhere)))
    index = _index(peaks, given.compared.allowed()[0])
    limiting = {int(np.nanargmax(one)) for one in index if bool(np.any(one > 0.0))}
    for column in sorted(limiting):
        theta_there = everywhere.copy()
        theta_there[column] = constants.TOLERANCE.value if low is None else low
        site = given.table.sites[column].value
        yield _Found(
            f"bears-less-{site.replace(' ', '-')}",
            f"The {site} alone bears a fifth less",
            _index(peaks, _borne(given, theta_there)),
        )


def _borne(given: Problem, factor: Array) -> Array:
    """What may be reached where the tolerance is another; failed regimes leave what they leave."""
    peaks = given.compared.peaks
    other = replace(peaks, tolerance=peaks.tolerance * factor)
    return np.asarray(replace(given.compared, peaks=other).allowed()[0])


def _nights(given: Problem, programmes: list[Programme], allowed: Array) -> Iterator[_Found]:
    shift = NIGHT_SHIFT.value
    for code, sentence, later in (
        ("night-earlier", "The night's turns begin an hour earlier", -shift),
        ("night-later", "The night's turns begin an hour later", shift),
    ):
        moved = [_with_night(given, programme, later) for programme in programmes]
        if all(one is not None for one in moved):
            days = [one for one in moved if one is not None]
            yield _Found(code, sentence, _index(_peaks(given, days, STANDARD_LAW), allowed))


def _with_night(given: Problem, programme: Programme, later: float) -> Programme | None:
    """A programme whose night begins later or, below 0, earlier; None where it cannot."""
    for number, window in enumerate(given.windows):
        before = given.windows[number - 1]
        turn = window.kind is WindowKind.TURNING and before.kind is WindowKind.TURNING
        if not (turn and window.is_sleep and not before.is_sleep):
            continue
        if min(window.span.duration - later, before.span.duration + later) <= 0.0:
            return None
        windows = list(programme.windows)
        windows[number - 1] = _between(windows[number - 1], 0.0, later)
        windows[number] = _between(windows[number], later, 0.0)
        return replace(programme, windows=tuple(windows))
    return None


def _between(window: Window, start_later: float, end_later: float) -> Window:
    start, end = window.span.start + start_later, window.span.end + end_later
    return replace(window, span=DaySpan(start % SECONDS_PER_DAY, end % SECONDS_PER_DAY))


def _changed(given: Problem, one: _Found) -> ConventionChanged:
    return ConventionChanged(one.code, one.sentence, tuple(_then(given, row) for row in one.index))


def _then(given: Problem, index: Array) -> IndexThen:
    if bool(np.isnan(index).any()):
        return IndexThen(None, None)
    column = int(np.argmax(index))
    site = given.table.sites[column] if index[column] > 0.0 else None
    return IndexThen(float(index[column]), site)


def _order(found: list[_Found], first: int, second: int) -> OrderOfTwo:
    apart = [float(one.index[first].max() - one.index[second].max()) for one in found]
    told = abs(apart[0]) > NOT_TOLD_APART
    sign = np.sign(apart[0])
    turned = [
        one.code
        for one, gap in zip(found, apart, strict=True)
        if told and gap * sign < -NOT_TOLD_APART
    ]
    return OrderOfTwo(first, second, told, tuple(turned))
