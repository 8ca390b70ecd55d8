"""The guards over one written-out programme, in every draw and in words."""

import numpy as np
from numpy.typing import NDArray

from leeward.programme.moved_days import guarded_segments
from leeward.programme.problem import Problem
from leeward.programme.programme import Programme
from leeward.programme.programmes import DaySegments
from leeward.programme.runs_over_day import stay_runs
from leeward.terms.verdict import Reason
from leeward.tissue.guards import (
    is_loaded_too_long,
    lacks_relief,
    loaded_reasons,
    relief_reasons,
    stay_reasons,
)


def guards_hold(given: Problem, programme: Programme, day: DaySegments) -> NDArray[np.bool_]:
    """Judge the guards in every draw.

    Parameters
    ----------
    given : Problem
        The search.
    programme : Programme
        The programme.
    day : DaySegments
        The same, unrolled.

    Returns
    -------
    ndarray of bool, shape (d,)
        True where every guarded site is relieved once per cycle and long window, and none is
        loaded too long.
    """
    ratio = given.table.ratio[:, :, given.guarded]
    allowed = given.compared.longest_loaded[:, given.guarded]
    broken = is_loaded_too_long(day.durations, ratio[:, day.rows], allowed, day.exempt)
    for durations, rows, repeats in _owed(given, programme, day):
        heaviest = ratio[:, rows].max(axis=-2)
        broken = broken | lacks_relief(durations, heaviest, repeats=repeats)
    return np.asarray(~broken.any(axis=1))


def guard_reasons(given: Problem, programme: Programme, day: DaySegments) -> tuple[Reason, ...]:
    """Say which guards a programme breaks on central values.

    Parameters
    ----------
    given : Problem
        The search.
    programme : Programme
        The programme.
    day : DaySegments
        The same, unrolled.

    Returns
    -------
    tuple of Reason
        Empty when all of them hold.
    """
    sites = [given.table.sites[column] for column in given.guarded]
    ratio = given.central[:, given.guarded]
    allowed = given.compared.longest_loaded[0, given.guarded]
    reasons: list[Reason] = []
    for number, (durations, rows, repeats) in enumerate(_owed(given, programme, day)):
        where = _named(given, programme)[number]
        heaviest = ratio[rows].max(axis=-2)
        reasons.extend(relief_reasons(where, durations, heaviest, sites, repeats=repeats))
    reasons.extend(
        loaded_reasons(day.durations, ratio[day.rows], allowed, sites, exempt=day.exempt)
    )
    reasons.extend(stay_reasons(_longest_stay(day), given.compared.stay_limit))
    return tuple(reasons)


def _owed(
    given: Problem, programme: Programme, day: DaySegments
) -> list[tuple[NDArray[np.float64], NDArray[np.intp], bool]]:
    """Every cycle, and every turning window longer than the interval, movements taken off."""
    interval = given.compared.stay_limit.value
    owed = []
    lengths, ends = _guarded(given, day.durations, day.rows)
    for number, window in enumerate(programme.windows):
        if len(window.cycle) == 1:
            continue
        stays = np.array([stay.duration for stay in window.cycle])
        rows = np.array([given.table.row(stay.posture) for stay in window.cycle], dtype=np.intp)
        owed.append((*_guarded(given, stays, rows), True))
        if window.span.duration > interval:
            inside = np.repeat(day.window == number, 2)
            owed.append((lengths[inside], ends[inside], False))
    return owed


def _guarded(
    given: Problem, durations: NDArray[np.float64], rows: NDArray[np.intp]
) -> tuple[NDArray[np.float64], NDArray[np.intp]]:
    lengths, ends = guarded_segments(
        durations[np.newaxis], rows[np.newaxis], rows[-1:], given.table
    )
    return lengths[0], ends[0]


def _named(given: Problem, programme: Programme) -> list[str]:
    interval = given.compared.stay_limit.value
    names = []
    for window in programme.windows:
        if len(window.cycle) > 1:
            names.append(f"the cycle of the window {window.name!r}")
            if window.span.duration > interval:
                names.append(f"the window {window.name!r}")
    return names


def _longest_stay(day: DaySegments) -> float:
    """Longest time in one posture; a prescribed posture ends a stay and is not one."""
    runs = stay_runs(day.durations[np.newaxis], day.rows[np.newaxis], day.exempt)
    across = runs.trail + runs.lead if runs.first == runs.last else runs.longest
    return float(np.maximum(runs.longest, across)[0])
