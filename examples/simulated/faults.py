"""What can go wrong between a plan and its log: with the surface, with the sensor, with both."""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from examples.simulated.sensor import Readings
from examples.simulated.surface import Command


@dataclass(frozen=True, slots=True)
class Fault:
    """Nothing wrong: what the real faults change is told by them.

    Parameters
    ----------
    start : float
        When it begins, from the start of the log. [s]
    """

    start: float

    def told(self, commands: Sequence[Command]) -> tuple[Command, ...]:
        """What the surface is told instead.

        Parameters
        ----------
        commands : sequence of Command
            What it should have been told.

        Returns
        -------
        tuple of Command
            What it is told.
        """
        return tuple(commands)

    def written(self, readings: Readings) -> Readings:
        """What the log holds instead.

        Parameters
        ----------
        readings : Readings
            What it should have held.

        Returns
        -------
        Readings
            What it holds.
        """
        return readings


@dataclass(frozen=True, slots=True)
class SilentSensor(Fault):
    """Nothing is written for a while, or lines without a reading.

    Parameters
    ----------
    start, duration : float
        When and how long. [s]
    writes_empty_lines : bool
        Whether the lines go on without a reading.
    """

    duration: float
    writes_empty_lines: bool = False

    def written(self, readings: Readings) -> Readings:
        """Leave out the lines or their readings; see `Fault`."""
        silent = _during(readings, self.start, self.duration)
        if not self.writes_empty_lines:
            return readings.kept(~silent)
        return replace(readings, turns=np.where(silent, np.nan, readings.turns))


@dataclass(frozen=True, slots=True)
class Pause(Fault):
    """The surface stops where it is, and everything after comes later by as much.

    Parameters
    ----------
    start, duration : float
        When and how long. [s]
    """

    duration: float

    def told(self, commands: Sequence[Command]) -> tuple[Command, ...]:
        """Stop, then go on; see `Fault`."""
        before = [c for c in commands if c.at < self.start]
        later = [replace(c, at=c.at + self.duration) for c in commands if c.at >= self.start]
        goes_on = Command(self.start + self.duration, _last_turn(commands, self.start))
        return (*before, Command(self.start, None), goes_on, *later)


@dataclass(frozen=True, slots=True)
class StoppedForCare(Fault):
    """Someone puts the surface level for care, and it is started again late or never.

    Parameters
    ----------
    start : float
        When it is stopped. [s]
    restarted : float or None
        When somebody starts it again, which then runs as planned by the clock. [s]
    """

    restarted: float | None = None

    def told(self, commands: Sequence[Command]) -> tuple[Command, ...]:
        """Go level and wait; see `Fault`."""
        level = Command(self.start, 0.0)
        return (*_before(commands, self.start), level, *_from(commands, self.restarted))


@dataclass(frozen=True, slots=True)
class PowerLoss(Fault):
    """Without power nothing moves and nothing is written.

    Parameters
    ----------
    start, duration : float
        When and how long. [s]
    goes_on : bool
        Whether the unit then runs as planned by the clock; else it goes level and stays.
    """

    duration: float
    goes_on: bool = False

    def told(self, commands: Sequence[Command]) -> tuple[Command, ...]:
        """Stop where it is, then go on or go level; see `Fault`."""
        ends = self.start + self.duration
        after = _from(commands, ends) if self.goes_on else (Command(ends, 0.0),)
        return (*_before(commands, self.start), Command(self.start, None), *after)

    def written(self, readings: Readings) -> Readings:
        """Leave out the lines; see `Fault`."""
        return readings.kept(~_during(readings, self.start, self.duration))


@dataclass(frozen=True, slots=True)
class ExchangedSides(Fault):
    """From some time on the sensor, or the surface, is mounted the other way round.

    Parameters
    ----------
    start : float
        From when. [s]
    """

    def written(self, readings: Readings) -> Readings:
        """Change the sign; see `Fault`."""
        exchanged = readings.times >= self.start
        return replace(readings, turns=np.where(exchanged, -readings.turns, readings.turns))


@dataclass(frozen=True, slots=True)
class Offset(Fault):
    """The sensor's zero jumps.

    Parameters
    ----------
    start : float
        From when. [s]
    by : float
        By how much, positive to the person's left. [rad]
    """

    by: float

    def written(self, readings: Readings) -> Readings:
        """Move the zero; see `Fault`."""
        moved = readings.times >= self.start
        return replace(readings, turns=readings.turns + np.where(moved, self.by, 0.0))


@dataclass(frozen=True, slots=True)
class FrozenSensor(Fault):
    """The same reading is written again and again.

    Parameters
    ----------
    start, duration : float
        When and how long. [s]
    """

    duration: float

    def written(self, readings: Readings) -> Readings:
        """Repeat the first reading; see `Fault`."""
        frozen = _during(readings, self.start, self.duration)
        if not bool(frozen.any()):
            return readings
        repeated = readings.turns[int(np.argmax(frozen))]
        return replace(readings, turns=np.where(frozen, repeated, readings.turns))


def _during(readings: Readings, start: float, duration: float) -> np.ndarray:
    return (readings.times >= start) & (readings.times < start + duration)


def _last_turn(commands: Sequence[Command], time: float) -> float | None:
    """The turn told last, level before anything was."""
    told = [0.0, *(command.turn for command in commands)]
    return told[bisect_right([command.at for command in commands], time)]


def _before(commands: Sequence[Command], time: float) -> tuple[Command, ...]:
    return tuple(command for command in commands if command.at < time)


def _from(commands: Sequence[Command], time: float | None) -> tuple[Command, ...]:
    """What is told from a time on, beginning with what is due then."""
    if time is None:
        return ()
    due = Command(time, _last_turn(commands, time))
    return (due, *(command for command in commands if command.at > time))
