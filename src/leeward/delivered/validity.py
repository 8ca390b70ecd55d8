"""Which readings are believed: missing, out of range, too fast, silent and frozen ones are not."""

import math
from dataclasses import dataclass
from enum import StrEnum

from leeward.delivered.clock import Tally
from leeward.delivered.conventions import (
    FAST_STEP,
    FAST_TIME,
    FROZEN_COUNT,
    FROZEN_TIME,
    GREATEST_ANGLE,
    LONGEST_EQUAL,
    MOST_PIECES,
    NOISY_SHARE,
)
from leeward.delivered.reading import Reading
from leeward.terms.errors import UnreadableLog

#: Fewer neighbouring readings than this do not show a sensor's habit.
_LEAST_PAIRS = 30


class GapCause(StrEnum):
    """Why nothing is known of a time."""

    SILENT = "no line"
    MISSING = "lines without a reading"
    OUT_OF_RANGE = "readings no surface can have"


@dataclass(frozen=True, slots=True)
class Gap:
    """A time longer than the largest gap without a believed reading.

    Parameters
    ----------
    start, end : float
        Last believed reading before and first after, since 1970-01-01T00:00:00Z. [s]
    cause : GapCause
        What the log held instead.
    """

    start: float
    end: float
    cause: GapCause


@dataclass(frozen=True, slots=True)
class EqualRun:
    """A long run of one and the same reading.

    Parameters
    ----------
    start, end : float
        Between which times, since 1970-01-01T00:00:00Z. [s]
    count : int
        Readings in it. [-]
    turn : float
        The reading. [rad]
    ended_by_jump : bool
        Whether the next reading lay elsewhere sooner than a surface moves.
    """

    start: float
    end: float
    count: int
    turn: float
    ended_by_jump: bool


class Believed:
    """Lets through readings a surface can have and keeps book of the others.

    Parameters
    ----------
    largest_gap : float
        Longest time between two readings that counts as watched. [s]
    """

    def __init__(self, largest_gap: float) -> None:
        self.largest_gap = largest_gap
        self.start = math.nan
        self.end = math.nan
        self.missing = Tally()
        self.out_of_range = Tally()
        self.fast = Tally()
        self.gaps: list[Gap] = []
        self.equal_runs: list[EqualRun] = []
        self.reversals = 0
        self.equal_outside_runs = 0
        self._last: Reading | None = None
        self._rejected: dict[GapCause, int] = {}
        self._was_fast = False
        self._rose: bool | None = None
        self._run_start = 0.0
        self._run_count = 0

    def admit(self, reading: Reading) -> bool:
        """Take one reading in, in order of time.

        Parameters
        ----------
        reading : Reading
            The next one.

        Returns
        -------
        bool
            Whether it is believed.
        """
        if math.isnan(self.start):
            self.start = reading.time
        self.end = reading.time
        if math.isnan(reading.turn):
            self.missing.add(reading)
            return self._reject(GapCause.MISSING)
        if abs(reading.turn) > GREATEST_ANGLE.value:
            self.out_of_range.add(reading)
            return self._reject(GapCause.OUT_OF_RANGE)
        last = self._last
        if last is not None:
            step, wait = abs(reading.turn - last.turn), reading.time - last.time
            # A sensor that was knocked and stays there is believed again once the time passed.
            if step > FAST_STEP.value and wait <= FAST_TIME.value:
                self.fast.add(reading)
                self._was_fast = True
                return False
            if wait > self.largest_gap:
                self._open_gap(last.time, reading.time)
                self._end_run(last, None)
        self._follow_run(reading)
        self._last = reading
        self._was_fast = False
        self._rejected.clear()
        return True

    def finish(self) -> None:
        """End the log."""
        last = self._last
        if last is None:
            if not math.isnan(self.start) and self.end > self.start:
                self._open_gap(self.start, self.end)
            return
        self._end_run(last, None)
        if self.end > last.time + self.largest_gap:
            self._open_gap(last.time, self.end)

    def frozen(self) -> tuple[EqualRun, ...]:
        """Runs of equal readings that a live sensor would not give.

        Returns
        -------
        tuple of EqualRun
            Those not believed. A stay at level read by a quiet sensor is not among them: the
            sensor's readings elsewhere show whether it repeats itself while alive.
        """
        return tuple(run for run in self.equal_runs if not self._is_believable(run))

    def _is_believable(self, run: EqualRun) -> bool:
        pairs = self.reversals + self.equal_outside_runs
        pairs += sum(other.count - 1 for other in self.equal_runs)
        if self.equal_outside_runs > max(_LEAST_PAIRS, self.reversals):
            repeats = True
        elif self.reversals >= max(_LEAST_PAIRS, NOISY_SHARE.value * pairs):
            repeats = False
        else:
            # Little between the runs: a live quiet sensor has stood still at other angles too.
            angles = {other.turn for other in self.equal_runs}
            repeats = len(self.equal_runs) >= 3 and len(angles) >= 2
        if not repeats:
            return False
        return run.end - run.start <= LONGEST_EQUAL.value and not run.ended_by_jump

    def _reject(self, cause: GapCause) -> bool:
        self._rejected[cause] = self._rejected.get(cause, 0) + 1
        return False

    def _open_gap(self, start: float, end: float) -> None:
        if len(self.gaps) >= MOST_PIECES.value:
            raise UnreadableLog(
                f"more than {MOST_PIECES.value:g} silences",
                where="log",
                expected="readings closer together than the largest gap",
                remedy="check largest_gap in the column map",
            )
        cause = max(self._rejected, key=self._rejected.__getitem__, default=GapCause.SILENT)
        self.gaps.append(Gap(start, end, cause))

    def _follow_run(self, reading: Reading) -> None:
        last = self._last
        if last is not None and self._run_count and reading.turn == last.turn:
            self._run_count += 1
            return
        if last is not None and self._run_count:
            self._end_run(last, reading)
            # Noise goes to and fro, a movement goes one way.
            rises = reading.turn > last.turn
            self.reversals += self._rose is not None and rises != self._rose
            self._rose = rises
        self._run_start, self._run_count = reading.time, 1

    def _end_run(self, last: Reading, following: Reading | None) -> None:
        count, length = self._run_count, last.time - self._run_start
        self._run_count = 0
        if count >= FROZEN_COUNT.value and length >= FROZEN_TIME.value:
            jumped = following is not None and (
                abs(following.turn - last.turn) > FAST_STEP.value / 2
                and (self._was_fast or following.time - last.time <= FAST_TIME.value)
            )
            if len(self.equal_runs) < MOST_PIECES.value:
                self.equal_runs.append(
                    EqualRun(self._run_start, last.time, count, last.turn, jumped)
                )
        elif count > 1:
            self.equal_outside_runs += count - 1
