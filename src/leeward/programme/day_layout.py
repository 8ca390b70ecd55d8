"""A day as chains of windows, and candidate cycles laid into them as segments."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leeward.programme.loads import RatioTable
from leeward.programme.windows import DayWindow, WindowKind
from leeward.terms.clock import DaySpan
from leeward.terms.units import SECONDS_PER_DAY

#: What is left of a window below this is nothing. [s]
_NOTHING_LEFT = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Cycles:
    """Candidate cycles side by side; places a short order does not use last no time.

    Parameters
    ----------
    options : ndarray of int, shape (n, 4)
        Turn option at each place. [-]
    stays : ndarray, shape (n, 4)
        Stay at each place. [s]
    places : ndarray of int, shape (n,)
        Number of places used. [-]
    """

    options: NDArray[np.intp]
    stays: NDArray[np.float64]
    places: NDArray[np.intp]

    def __len__(self) -> int:
        return len(self.places)

    def taken(self, which: NDArray[np.intp]) -> "Cycles":
        """Pick some of the cycles.

        Parameters
        ----------
        which : ndarray of int, shape (m,)
            Their positions. [-]

        Returns
        -------
        Cycles
            Those, in that order.
        """
        return Cycles(self.options[which], self.stays[which], self.places[which])


@dataclass(frozen=True, slots=True, eq=False)
class Segments:
    """Candidates unrolled over a chain of windows, padded with segments of no length.

    Parameters
    ----------
    durations : ndarray, shape (n, m)
        Length. [s]
    rows : ndarray of int, shape (n, m)
        Row of the posture in the load table. [-]
    turns : ndarray, shape (n, m)
        Signed turn. [rad]
    starts : ndarray, shape (n, m)
        Time of day at which each begins. [s]
    window : ndarray of int, shape (m,)
        Number of the window in the chain. [-]
    exempt : ndarray of bool, shape (m,)
        Whether its posture is prescribed.
    """

    durations: NDArray[np.float64]
    rows: NDArray[np.intp]
    turns: NDArray[np.float64]
    starts: NDArray[np.float64]
    window: NDArray[np.intp]
    exempt: NDArray[np.bool_]


def chains(
    windows: tuple[DayWindow, ...], *, is_one_cycle: bool
) -> tuple[tuple[DayWindow, ...], ...]:
    """Divide a day into the runs of windows that follow one cycle each.

    Parameters
    ----------
    windows : tuple of DayWindow
        Windows that cover the day, in order.
    is_one_cycle : bool
        Whether day and night share their cycle.

    Returns
    -------
    tuple of tuple of DayWindow
        None where nothing turns, one where every turning window shares its cycle, else day and
        night, in the order in which they follow one another. Each begins with a turning window
        and holds the still windows after it.
    """
    turning = [n for n, window in enumerate(windows) if window.kind is WindowKind.TURNING]
    if not turning:
        return ()
    asleep = [windows[n].is_sleep for n in turning]
    if is_one_cycle or all(asleep) or not any(asleep):
        return (windows[turning[0] :] + windows[: turning[0]],)
    begins = [n for place, n in enumerate(turning) if asleep[place] != asleep[place - 1]]
    first, second = begins
    return (windows[first:second], windows[second:] + windows[:first])


def unroll(
    chain: tuple[DayWindow, ...], cycles: Cycles, turns: tuple[float, ...], table: RatioTable
) -> Segments:
    """Lay every candidate cycle into a chain of windows.

    Parameters
    ----------
    chain : tuple of DayWindow
        Windows one after another.
    cycles : Cycles
        Candidates.
    turns : tuple of float
        The turn options. [rad]
    table : RatioTable
        Where each posture's loads are.

    Returns
    -------
    Segments
        In each window the cycle begins afresh, repeats, and is cut at the end.
    """
    count = len(cycles)
    angles = np.array(turns)
    columns: list[tuple[NDArray[np.float64], NDArray[np.intp], NDArray[np.float64]]] = []
    window_of: list[int] = []
    for number, window in enumerate(chain):
        if window.kind is not WindowKind.TURNING:
            columns.append(
                (
                    np.full(count, window.span.duration),
                    np.full(count, table.row(window.posture), dtype=np.intp),
                    np.full(count, window.posture.turn),
                )
            )
            window_of.append(number)
            continue
        rows = table.rows(window, turns)
        for options, lengths in _repeated(cycles, window.span.duration):
            columns.append((lengths, rows[options], angles[options]))
            window_of.append(number)
    durations = np.stack([column[0] for column in columns], axis=1)
    starts = chain[0].span.start + np.cumsum(durations, axis=1) - durations
    still = np.array([window.kind is not WindowKind.TURNING for window in chain])
    return Segments(
        durations,
        np.stack([column[1] for column in columns], axis=1),
        np.stack([column[2] for column in columns], axis=1),
        starts % SECONDS_PER_DAY,
        np.array(window_of, dtype=np.intp),
        still[window_of],
    )


def _repeated(cycles: Cycles, length: float) -> list[tuple[NDArray[np.intp], NDArray[np.float64]]]:
    every = np.arange(len(cycles))
    left = np.full(len(cycles), length)
    columns = []
    step = 0
    while bool(np.any(left > _NOTHING_LEFT)):
        place = step % cycles.places
        lengths = np.where(left > _NOTHING_LEFT, np.minimum(cycles.stays[every, place], left), 0.0)
        columns.append((cycles.options[every, place], lengths))
        left = left - lengths
        step += 1
    return columns


@dataclass(frozen=True, slots=True, eq=False)
class Movements:
    """What the movements of each candidate cost over its chain.

    Parameters
    ----------
    count, in_sleep : ndarray of int, shape (n,)
        Movements inside the chain; those during sleep. [-]
    through : ndarray, shape (n,)
        Sum of the angles moved through. [rad]
    largest : ndarray, shape (n,)
        Largest turn either side. [rad]
    first, last : ndarray, shape (n,)
        Turn at the start and at the end. [rad]
    starts_in_sleep : ndarray of bool, shape (n,)
        Whether the chain begins during sleep.
    """

    count: NDArray[np.intp]
    in_sleep: NDArray[np.intp]
    through: NDArray[np.float64]
    largest: NDArray[np.float64]
    first: NDArray[np.float64]
    last: NDArray[np.float64]
    starts_in_sleep: NDArray[np.bool_]


def movements(segments: Segments, sleep: DaySpan) -> Movements:
    """Count what moves inside a chain.

    Parameters
    ----------
    segments : Segments
        Unrolled candidates.
    sleep : DaySpan
        When the person sleeps.

    Returns
    -------
    Movements
        A movement belongs to the time at which the new posture begins.
    """
    lasts = segments.durations > 0.0
    turn = segments.turns[:, 0]
    through = np.zeros(len(turn))
    count = np.zeros(len(turn), dtype=np.intp)
    in_sleep = np.zeros(len(turn), dtype=np.intp)
    asleep = (segments.starts - sleep.start) % SECONDS_PER_DAY < sleep.duration
    for column in range(1, segments.turns.shape[1]):
        moves = lasts[:, column] & (segments.turns[:, column] != turn)
        through += np.where(moves, np.abs(segments.turns[:, column] - turn), 0.0)
        count += moves
        in_sleep += moves & asleep[:, column]
        turn = np.where(lasts[:, column], segments.turns[:, column], turn)
    return Movements(
        count,
        in_sleep,
        through,
        np.abs(np.where(lasts, segments.turns, 0.0)).max(axis=1),
        segments.turns[:, 0],
        turn,
        asleep[:, 0],
    )
