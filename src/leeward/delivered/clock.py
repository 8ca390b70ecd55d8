"""The order of time in a log: what is late, doubled, ahead or unset is named, never re-sorted."""

from dataclasses import dataclass

from leeward.delivered.conventions import (
    CLOCK_ALLOWANCE,
    CLOCK_UNSET_BEFORE,
    CONTRADICTION,
    MOST_PIECES,
)
from leeward.delivered.reading import Reading
from leeward.terms.errors import UnreadableLog
from leeward.terms.units import SECONDS_PER_DAY

_CONFIRMING = 3  # readings in a row that make a jump of the clock believable


@dataclass(slots=True)
class Tally:
    """How often something was met, and between which times.

    Parameters
    ----------
    count : int
        How often. [-]
    line : int
        Line where it was met first. [-]
    first, last : float
        Times of the first and last, since 1970-01-01T00:00:00Z. [s]
    largest : float
        Largest size met, where it has one, in the size's own unit. [s]
    """

    count: int = 0
    line: int = 0
    first: float = 0.0
    last: float = 0.0
    largest: float = 0.0

    def add(self, reading: Reading, size: float = 0.0) -> None:
        """Count one more.

        Parameters
        ----------
        reading : Reading
            Where it was met.
        size : float
            Its size. [s]
        """
        if self.count == 0:
            self.line, self.first, self.last = reading.line, reading.time, reading.time
        self.count += 1
        self.first = min(self.first, reading.time)
        self.last = max(self.last, reading.time)
        self.largest = max(self.largest, size)


class Clock:
    """Lets through readings whose time does not run backwards.

    Parameters
    ----------
    now : float
        The present, since 1970-01-01T00:00:00Z. [s]
    largest_gap : float
        Longest time between two readings that counts as watched. [s]
    """

    def __init__(self, now: float, largest_gap: float) -> None:
        self.now = now
        self.largest_gap = largest_gap
        self.future = Tally()
        self.unset = Tally()
        self.same_time = Tally()
        self.contradicting = Tally()
        self.late = Tally()
        self.set_back = Tally()
        self.ahead = Tally()
        self.doubtful: list[tuple[float, float]] = []
        self._last: Reading | None = None
        self._pending: list[Reading] = []
        self._late_run = 0
        self._late_first = 0.0
        self._late_last = 0.0

    def admit(self, reading: Reading) -> list[Reading]:
        """Take one reading in.

        Parameters
        ----------
        reading : Reading
            The next one as it stands in the log.

        Returns
        -------
        list of Reading
            Those that may now be used, in order of time; none while a jump of the clock is
            not confirmed.
        """
        if reading.time > self.now + CLOCK_ALLOWANCE.value:
            self.future.add(reading, reading.time - self.now)
            return []
        if reading.time < CLOCK_UNSET_BEFORE.value:
            self.unset.add(reading)
            return []
        if self._last is not None and reading.time < self._last.time:
            self._note_late(reading, self._last.time)
            return []
        if self._pending:
            return self._confirm(reading)
        if self._last is None or reading.time > self._last.time + self.largest_gap:
            self._pending = [reading]
            return []
        return self._accept(reading)

    def finish(self) -> list[Reading]:
        """End the log.

        Returns
        -------
        list of Reading
            Readings that were still waiting and may be used.
        """
        waiting, self._pending = self._pending, []
        last = self._last
        if last is not None and waiting and waiting[0].time > last.time + SECONDS_PER_DAY:
            for reading in waiting:
                self.ahead.add(reading, reading.time - last.time)
            return []
        return [usable for one in waiting for usable in self._accept(one)]

    def _confirm(self, reading: Reading) -> list[Reading]:
        if reading.time >= self._pending[-1].time:
            self._pending.append(reading)
            if len(self._pending) < _CONFIRMING:
                return []
            released, self._pending = self._pending, []
            return [usable for one in released for usable in self._accept(one)]
        # The new reading follows the clock from before the jump: those waiting were ahead of it.
        known = self._last.time if self._last is not None else reading.time
        for waiting in self._pending:
            self.ahead.add(waiting, waiting.time - known)
        self._pending = []
        return self.admit(reading)

    def _accept(self, reading: Reading) -> list[Reading]:
        self._late_run = 0
        last = self._last
        if last is not None and reading.time == last.time:
            self.same_time.add(reading)
            if abs(reading.turn - last.turn) > CONTRADICTION.value:
                self.contradicting.add(reading)
                self._doubt(reading.time, reading.time)
                return []
        self._last = reading
        return [reading]

    def _note_late(self, reading: Reading, last: float) -> None:
        if self._late_run == 0 or reading.time < self._late_last:
            self._late_run, self._late_first = 0, reading.time
        self._late_run += 1
        self._late_last = reading.time
        self.late.add(reading, last - reading.time)
        if self._late_run == _CONFIRMING:
            self.set_back.add(reading, last - self._late_first)
            self._doubt(self._late_first, last)

    def _doubt(self, start: float, end: float) -> None:
        spans = self.doubtful
        if spans and start <= spans[-1][1] + self.largest_gap and end >= spans[-1][0]:
            spans[-1] = (min(start, spans[-1][0]), max(end, spans[-1][1]))
        elif len(spans) < MOST_PIECES.value:
            spans.append((start, end))
        else:
            raise UnreadableLog(
                f"a clock that contradicts itself more than {MOST_PIECES.value:g} times",
                where="log",
                expected="times that run forwards",
                remedy="export the log of one unit only",
            )
