"""Programmes made of the cycles that were found, with their build-up and manual work."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from leeward.programme.build_up import build_up
from leeward.programme.loads import RatioTable
from leeward.programme.moved_days import is_stay, moved
from leeward.programme.offloading import manual_tasks
from leeward.programme.problem import Problem
from leeward.programme.programme import ManualTask, Programme, Window
from leeward.programme.search import Looked
from leeward.programme.windows import DayWindow, WindowKind
from leeward.terms.regime import Stay
from leeward.terms.units import SECONDS_PER_DAY
from leeward.tissue.movement import PIECES


def programme_at(given: Problem, looked: Looked, place: int) -> Programme:
    """Write out one of the programmes looked at.

    Parameters
    ----------
    given : Problem
        The search.
    looked : Looked
        What was looked at.
    place : int
        Which. [-]

    Returns
    -------
    Programme
        With windows, build-up and manual tasks.
    """
    cycle_of: dict[str, tuple[Stay, ...]] = {}
    for chain, pool, which in zip(
        given.chains, looked.pools, looked.cycle[place].tolist(), strict=True
    ):
        used = int(pool.cycles.places[which])
        options = pool.cycles.options[which, :used].tolist()
        stays = pool.cycles.stays[which, :used].tolist()
        for window in chain:
            cycle_of[window.name] = _cycle(window, given.turns, options, stays)
    windows = tuple(_written(window, cycle_of[window.name]) for window in given.windows)
    return Programme(
        windows=windows,
        build_up=build_up(_turning(windows), given.unit.ability, given.table.may_offer),
        tasks=tasks_for(given),
    )


def tasks_for(given: Problem) -> tuple[ManualTask, ...]:
    """List the manual work that goes with every programme of a search.

    Parameters
    ----------
    given : Problem
        The search.

    Returns
    -------
    tuple of ManualTask
        Sites no turn relieves, and first looks at untried ones.
    """
    return manual_tasks(given.case, given.compared.untried)


def _turning(windows: tuple[Window, ...]) -> tuple[tuple[Stay, ...], ...]:
    return tuple(window.cycle for window in windows if len(window.cycle) > 1)


def _cycle(
    window: DayWindow, turns: tuple[float, ...], options: list[int], stays: list[float]
) -> tuple[Stay, ...]:
    if window.kind is not WindowKind.TURNING:
        return _kept(window)
    pairs = zip(options, stays, strict=True)
    return tuple(Stay(window.posture.with_turn(turns[option]), stay) for option, stay in pairs)


def _kept(window: DayWindow) -> tuple[Stay, ...]:
    return (Stay(window.posture, window.span.duration),)


def _written(window: DayWindow, cycle: tuple[Stay, ...]) -> Window:
    by = "" if window.kind is WindowKind.TURNING else window.prescribed_by
    return Window(window.name, window.span, cycle, by)


@dataclass(frozen=True, slots=True, eq=False)
class DaySegments:
    """One programme unrolled over the day, ready for its loads to be looked up.

    Parameters
    ----------
    durations : ndarray, shape (n,)
        Length of each segment. [s]
    rows : ndarray of int, shape (n,)
        Row of its posture in the load table. [-]
    turns : ndarray, shape (n,)
        Signed turn. [rad]
    starts : ndarray, shape (n,)
        Time of day at which it begins. [s]
    window : ndarray of int, shape (n,)
        Which window it belongs to. [-]
    exempt : ndarray of bool, shape (n,)
        Whether its posture is prescribed.
    """

    durations: NDArray[np.float64]
    rows: NDArray[np.intp]
    turns: NDArray[np.float64]
    starts: NDArray[np.float64]
    window: NDArray[np.intp]
    exempt: NDArray[np.bool_]


def day_segments(programme: Programme, table: RatioTable) -> DaySegments:
    """Unroll a programme.

    Parameters
    ----------
    programme : Programme
        The programme.
    table : RatioTable
        Where each posture's loads are.

    Returns
    -------
    DaySegments
        From the start of its first window for 24 h.
    """
    durations: list[float] = []
    rows: list[int] = []
    turns: list[float] = []
    of_window: list[int] = []
    for number, window in enumerate(programme.windows):
        known = [(table.row(stay.posture), stay) for stay in window.cycle]
        left, step = window.span.duration, 0
        while left > 1e-6:
            row, stay = known[step % len(known)]
            durations.append(min(stay.duration, left))
            rows.append(row)
            turns.append(stay.posture.turn)
            of_window.append(number)
            left -= stay.duration
            step += 1
    lengths = np.array(durations)
    still = np.array([len(window.cycle) == 1 for window in programme.windows])
    starts = programme.windows[0].span.start + np.cumsum(lengths) - lengths
    return DaySegments(
        lengths,
        np.array(rows, dtype=np.intp),
        np.array(turns),
        starts % SECONDS_PER_DAY,
        np.array(of_window, dtype=np.intp),
        still[of_window],
    )


def moved_day(day: DaySegments, table: RatioTable) -> DaySegments:
    """Write the movements into an unrolled programme.

    Parameters
    ----------
    day : DaySegments
        Stays, each with the movement that leads into it.
    table : RatioTable
        Load ratios and movements.

    Returns
    -------
    DaySegments
        What the allowance is counted over: pieces of movements and what is left of the stays.
        A movement bears the turn it leads to, and only what is left of a prescribed stay is
        exempt.
    """
    lengths, rows = moved(day.durations[np.newaxis], day.rows[np.newaxis], day.rows[-1:], table)
    starts = day.starts[0] + np.cumsum(lengths[0]) - lengths[0]
    count = PIECES + 1
    return replace(
        day,
        durations=lengths[0],
        rows=rows[0],
        turns=np.repeat(day.turns, count),
        starts=starts % SECONDS_PER_DAY,
        window=np.repeat(day.window, count),
        exempt=is_stay(day.exempt),
    )
