"""How an invented surface moves: it goes to each turn it is told at one speed, and waits there."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Stay:
    """Time kept at one turn, the movement into it included.

    Parameters
    ----------
    turn : float
        Turn of the surface, positive to the person's left. [rad]
    duration : float
        How long. [s]
    backrest : float
        Angle of the back section. [rad]
    """

    turn: float
    duration: float
    backrest: float = 0.0


@dataclass(frozen=True, slots=True)
class Command:
    """What the surface is told at a time.

    Parameters
    ----------
    at : float
        When, from the start of the log. [s]
    turn : float or None
        Where to go; None: stop where it is. [rad]
    """

    at: float
    turn: float | None


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """Where the surface really was: straight between corners.

    Parameters
    ----------
    times : ndarray, shape (n,)
        Corners, increasing. [s]
    turns : ndarray, shape (n,)
        Turn at each corner. [rad]
    """

    times: Array
    turns: Array

    def at(self, times: Array) -> Array:
        """Look up the turn.

        Parameters
        ----------
        times : ndarray, shape (m,)
            When. [s]

        Returns
        -------
        ndarray, shape (m,)
            Turn. [rad]
        """
        return np.interp(times, self.times, self.turns)


def commands_of(stays: Iterable[Stay]) -> tuple[Command, ...]:
    """Tell the surface every stay at the time it begins.

    Parameters
    ----------
    stays : iterable of Stay
        Stays in order.

    Returns
    -------
    tuple of Command
        One for each.
    """
    commands, begins = [], 0.0
    for stay in stays:
        commands.append(Command(begins, stay.turn))
        begins += stay.duration
    return tuple(commands)


def course_of(commands: Sequence[Command], end: float, speed: float) -> Course:
    """Move the surface as it is told.

    Parameters
    ----------
    commands : sequence of Command
        In order of time; before the first one the surface is level.
    end : float
        End of the log. [s]
    speed : float
        How fast it moves. [rad/s]

    Returns
    -------
    Course
        Where it was; a movement that a later command interrupts is left unfinished.
    """
    corners = [(0.0, 0.0)]
    told = [command for command in commands if command.at < end]
    for command, until in zip(told, [*(c.at for c in told[1:]), end], strict=True):
        here = corners[-1][1]
        corners.append((command.at, here))
        if command.turn is None:
            continue
        way = command.turn - here
        moving = min(abs(way) / speed, until - command.at)
        reached = here + float(np.sign(way)) * speed * moving
        corners.append((command.at + moving, reached))
    corners.append((end, corners[-1][1]))
    times, turns = np.array(corners).T
    return Course(times, turns)


def backrest_at(stays: Sequence[Stay], times: Array) -> Array:
    """Look up the backrest of the stay that lasts at each time.

    Parameters
    ----------
    stays : sequence of Stay
        Stays in order.
    times : ndarray, shape (m,)
        When. [s]

    Returns
    -------
    ndarray, shape (m,)
        Backrest. [rad]
    """
    ends = np.cumsum([stay.duration for stay in stays])
    which = np.minimum(np.searchsorted(ends, times, side="right"), len(stays) - 1)
    return np.array([stay.backrest for stay in stays])[which]
