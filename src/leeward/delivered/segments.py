"""From readings to stays and movements, in one pass: a stay ends when its angle is left for good.

A change is looked for by two one-sided sums of what exceeds half the smallest change that
matters [1]_. The expected angle follows slow drift. The beginning of the change is where the
sum last stood at zero, so the readings since then belong to what follows.

References
----------
.. [1] E. S. Page, "Continuous inspection schemes", Biometrika 41 (1954) 100-115 (from memory).
"""

import math
from collections import deque
from dataclasses import dataclass
from statistics import median

from leeward.delivered.conventions import (
    BIN_TIME,
    CHANGE_ADDED,
    CHANGE_ALLOWED,
    CHANGE_SUM,
    DRIFT_TIME,
    MOST_PIECES,
    MOVING_RATE,
    READING_NOISE,
    SAME_ANGLE,
    SHORTEST_STAY,
)
from leeward.delivered.reading import Reading
from leeward.terms.errors import UnreadableLog
from leeward.terms.series import Validity

_MOST_IN_BIN = 1000
_MOST_WAITING = 500
_LEAST_FRAGMENT = 60.0  # seconds; a shorter piece cut out by silence shows no stay


@dataclass(frozen=True, slots=True)
class Segment:
    """A time in which the surface stayed, moved, or nothing is known.

    Parameters
    ----------
    start, end : float
        Between which times, since 1970-01-01T00:00:00Z. [s]
    validity : Validity
        Known (a stay), moving or unknown.
    turn : float
        Mean tilt; NaN where unknown. [rad]
    backrest : float
        Mean backrest; NaN where the log has none. [rad]
    drift : float
        Slope of the tilt within the segment. [rad/s]
    """

    start: float
    end: float
    validity: Validity
    turn: float
    backrest: float
    drift: float


@dataclass(frozen=True, slots=True)
class _Bin:
    first: float
    last: float
    turn: float
    backrest: float


@dataclass(slots=True)
class _Watch:
    """Watches one angle for a change that lasts."""

    level: float = math.nan
    count: int = 0
    up: float = 0.0
    down: float = 0.0
    up_count: int = 0
    down_count: int = 0

    def follow(self, angle: float, wait: float) -> int:
        """Return over how many readings a change is now certain; 0 while it is not."""
        if math.isnan(angle):
            return 0
        if self.count == 0:
            self.level, self.count = angle, 1
            return 0
        added = CHANGE_ADDED.value
        residual = max(-added, min(added, angle - self.level))
        self.up = max(0.0, self.up + residual - CHANGE_ALLOWED.value)
        self.down = max(0.0, self.down - residual - CHANGE_ALLOWED.value)
        self.up_count = self.up_count + 1 if self.up else 0
        self.down_count = self.down_count + 1 if self.down else 0
        self.count += 1
        self.level += residual * max(1.0 / self.count, -math.expm1(-wait / DRIFT_TIME.value))
        if self.up > CHANGE_SUM.value:
            return self.up_count
        return self.down_count if self.down > CHANGE_SUM.value else 0


@dataclass(slots=True)
class _Piece:
    """Readings between two changes, kept as sums."""

    start: float
    end: float = 0.0
    is_cut: bool = False
    count: int = 0
    sum_time: float = 0.0
    sum_time_squared: float = 0.0
    sum_turn: float = 0.0
    sum_product: float = 0.0
    backrest_count: int = 0
    sum_backrest: float = 0.0
    is_stay: bool = False

    def take(self, one: _Bin, origin: float) -> None:
        """Add one reading; times are kept from the log's origin so that sums can be joined."""
        time = one.first - origin
        self.count += 1
        self.sum_time += time
        self.sum_time_squared += time * time
        self.sum_turn += one.turn
        self.sum_product += time * one.turn
        if not math.isnan(one.backrest):
            self.backrest_count += 1
            self.sum_backrest += one.backrest

    def join(self, other: "_Piece") -> None:
        """Add what followed at once."""
        self.end = other.end
        self.is_cut |= other.is_cut
        self.count += other.count
        self.sum_time += other.sum_time
        self.sum_time_squared += other.sum_time_squared
        self.sum_turn += other.sum_turn
        self.sum_product += other.sum_product
        self.backrest_count += other.backrest_count
        self.sum_backrest += other.sum_backrest

    @property
    def length(self) -> float:
        return self.end - self.start

    @property
    def turn(self) -> float:
        return self.sum_turn / self.count

    @property
    def backrest(self) -> float:
        return self.sum_backrest / self.backrest_count if self.backrest_count else math.nan

    @property
    def spread(self) -> float:
        """Sum of squared distances of the times from their mean."""
        return max(0.0, self.sum_time_squared - self.sum_time**2 / self.count)

    @property
    def drift(self) -> float:
        spread = self.spread
        if self.count < 3 or spread <= 1e-6 * max(1.0, self.sum_time_squared * 1e-6):
            return 0.0
        return (self.sum_product - self.sum_time * self.sum_turn / self.count) / spread

    def at(self, time: float, origin: float) -> float:
        """Angle of the straight line through the readings."""
        return self.turn + self.drift * (time - origin - self.sum_time / self.count)

    def judge(self) -> None:
        """Tell a stay from a part of a movement."""
        drift, spread = self.drift, self.spread
        doubt = 2.0 * READING_NOISE.value / math.sqrt(spread) if spread > 0.0 else math.inf
        is_sloped = abs(drift) - doubt > MOVING_RATE.value
        least = _LEAST_FRAGMENT if self.is_cut else SHORTEST_STAY.value
        self.is_stay = self.length >= least and self.count >= 3 and not is_sloped


def _is_excursion(stay: _Piece, after: _Piece) -> bool:
    """Whether a movement is no more than noise beside the stay before it."""
    is_short = not after.is_stay and after.length < SHORTEST_STAY.value
    return is_short and abs(after.turn - stay.turn) < 2.0 * SAME_ANGLE.value


class Segmenter:
    """Turns readings in order of time into segments; memory does not grow with readings.

    Parameters
    ----------
    largest_gap : float
        Longest time between two readings that counts as watched. [s]
    """

    def __init__(self, largest_gap: float) -> None:
        self.largest_gap = largest_gap
        self.segments: list[Segment] = []
        self._origin = math.nan
        self._bin: list[Reading] = []
        self._bin_number = 0
        self._last = math.nan
        self._piece: _Piece | None = None
        self._waiting: list[_Bin] = []
        self._watches = (_Watch(), _Watch())
        self._tail: list[_Piece] = []

    def add(self, reading: Reading) -> None:
        """Take the next believed reading.

        Parameters
        ----------
        reading : Reading
            The reading.
        """
        if math.isnan(self._origin):
            self._origin = reading.time
        number = int((reading.time - self._origin) // BIN_TIME.value)
        is_far = bool(self._bin) and reading.time - self._bin[-1].time > self.largest_gap
        if self._bin and (number != self._bin_number or is_far):
            self._close_bin()
        self._bin_number = number
        if len(self._bin) < _MOST_IN_BIN:
            self._bin.append(reading)
        else:
            self._bin[-1] = self._bin[-1]._replace(time=reading.time)

    def finish(self) -> tuple[Segment, ...]:
        """End the log.

        Returns
        -------
        tuple of Segment
            Segments in order of time, without gap and without overlap.
        """
        if self._bin:
            self._close_bin()
        self._cut(self._last)
        return tuple(self.segments)

    def _close_bin(self) -> None:
        readings, self._bin = self._bin, []
        backrests = [r.backrest for r in readings if not math.isnan(r.backrest)]
        one = _Bin(
            first=readings[0].time,
            last=readings[-1].time,
            turn=median(r.turn for r in readings),
            backrest=median(backrests) if backrests else math.nan,
        )
        if one.first - self._last > self.largest_gap:
            silent_from = self._last
            self._cut(silent_from)
            self._emit_unknown(silent_from, one.first)
        queue = deque([one])
        while queue:
            queue.extendleft(reversed(self._follow(queue.popleft())))
        self._last = one.last

    def _follow(self, one: _Bin) -> list[_Bin]:
        """Follow one reading; return those that begin a new piece when a change is certain."""
        if self._piece is None:
            self._begin(one)
            return []
        turned, raised = self._watches
        wait = max(one.first - (self._waiting[-1].first if self._waiting else self._last), 0.0)
        changed = max(turned.follow(one.turn, wait), raised.follow(one.backrest, wait))
        self._waiting.append(one)
        if changed:
            split = max(0, len(self._waiting) - changed)
            before, after = self._waiting[:split], self._waiting[split:]
            self._take(before)
            self._close_piece(after[0].first)
            self._begin(after[0])
            return after[1:]
        still = turned.up == turned.down == raised.up == raised.down == 0.0
        if still or len(self._waiting) > _MOST_WAITING:
            self._take(self._waiting)
            self._waiting = []
        return []

    def _begin(self, one: _Bin) -> None:
        self._watches = (_Watch(), _Watch())
        self._waiting = []
        self._piece = _Piece(start=one.first, is_cut=not self._tail)
        self._take([one])
        self._watches[0].follow(one.turn, 0.0)
        self._watches[1].follow(one.backrest, 0.0)

    def _take(self, bins: list[_Bin]) -> None:
        assert self._piece is not None
        for one in bins:
            self._piece.take(one, self._origin)

    def _cut(self, end: float) -> None:
        """End everything at a silence or at the end of the log."""
        if self._piece is not None:
            self._take(self._waiting)
            self._piece.is_cut = True
            self._close_piece(end)
        self._piece, self._waiting = None, []
        for piece in self._tail:
            self._emit(piece)
        self._tail = []

    def _close_piece(self, end: float) -> None:
        piece = self._piece
        assert piece is not None
        piece.end = end
        piece.judge()
        self._tail.append(piece)
        self._judge_steps()
        while self._joined():
            pass
        while len(self._tail) > 3:
            self._emit(self._tail.pop(0))

    def _judge_steps(self) -> None:
        """A short step of a staircase that itself leans the staircase's way is a slow movement."""
        if len(self._tail) < 3:
            return
        before, step, after = self._tail[-3:]
        is_staircase = (step.turn - before.turn) * (after.turn - step.turn) > 0.0
        covered = step.drift * step.length * math.copysign(1.0, after.turn - before.turn)
        if is_staircase and step.length < 3.0 * SHORTEST_STAY.value:
            step.is_stay &= covered < CHANGE_ALLOWED.value

    def _joined(self) -> bool:
        """Join what belongs together in the tail, one place at a time."""
        tail = self._tail
        for place in range(len(tail) - 1):
            one, other = tail[place], tail[place + 1]
            if one.is_stay == other.is_stay and (not one.is_stay or self._are_near(one, other)):
                one.join(tail.pop(place + 1))
                return True
        for place in range(len(tail) - 2):
            one, between, other = tail[place : place + 3]
            if one.is_stay and _is_excursion(one, between) and self._are_near(one, other):
                one.join(tail.pop(place + 1))
                one.join(tail.pop(place + 1))
                return True
        return False

    def _are_near(self, one: _Piece, other: _Piece) -> bool:
        if abs(one.backrest - other.backrest) >= SAME_ANGLE.value:
            return False
        if abs(one.turn - other.turn) < SAME_ANGLE.value:
            return True
        # One long drifting stay: both parts lean towards each other by as much as they differ.
        gap = abs(one.at(one.end, self._origin) - other.at(other.start, self._origin))
        apart = (other.turn - one.turn) / (0.5 * (one.length + other.length))
        lean = min(one.drift / apart, other.drift / apart)
        return gap < SAME_ANGLE.value / 2.0 and lean > 0.5

    def _emit(self, piece: _Piece) -> None:
        if piece.length <= 0.0:
            return
        validity = Validity.KNOWN if piece.is_stay else Validity.MOVING
        self._append(
            Segment(piece.start, piece.end, validity, piece.turn, piece.backrest, piece.drift)
        )

    def _emit_unknown(self, start: float, end: float) -> None:
        self._append(Segment(start, end, Validity.UNKNOWN, math.nan, math.nan, 0.0))

    def _append(self, segment: Segment) -> None:
        if len(self.segments) >= MOST_PIECES.value:
            raise UnreadableLog(
                f"more than {MOST_PIECES.value:g} changes of posture",
                where="log",
                expected="the angle of a surface that stays and turns",
                remedy="check the angle column and its unit in the column map",
            )
        self.segments.append(segment)


def with_unknown(
    segments: tuple[Segment, ...], spans: list[tuple[float, float]]
) -> tuple[Segment, ...]:
    """Mark times as unknown, whatever was found there.

    Parameters
    ----------
    segments : tuple of Segment
        Segments in order of time.
    spans : list of tuple
        Start and end of each time not believed, since 1970-01-01T00:00:00Z. [s]

    Returns
    -------
    tuple of Segment
        The same time, cut where belief begins and ends.
    """
    result: list[Segment] = []
    marked = _union(spans)
    first = 0
    for segment in segments:
        at = segment.start
        while first < len(marked) and marked[first][1] <= segment.start:
            first += 1
        place = first
        while place < len(marked) and marked[place][0] < segment.end:
            low, high = marked[place]
            place += 1
            if low > at:
                result.append(_part(segment, at, low, is_known=True))
            result.append(_part(segment, max(low, at), min(high, segment.end), is_known=False))
            at = min(high, segment.end)
        if at < segment.end:
            result.append(_part(segment, at, segment.end, is_known=True))
    return _unknown_joined(result)


def _union(spans: list[tuple[float, float]]) -> list[tuple[float, float]]:
    joined: list[tuple[float, float]] = []
    for low, high in sorted(spans):
        if high <= low:
            continue
        if joined and low <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(high, joined[-1][1]))
        else:
            joined.append((low, high))
    return joined


def _part(segment: Segment, start: float, end: float, *, is_known: bool) -> Segment:
    if is_known:
        return Segment(start, end, segment.validity, segment.turn, segment.backrest, segment.drift)
    return Segment(start, end, Validity.UNKNOWN, math.nan, math.nan, 0.0)


def _unknown_joined(segments: list[Segment]) -> tuple[Segment, ...]:
    joined: list[Segment] = []
    for segment in segments:
        if segment.end <= segment.start:
            continue
        both = joined and joined[-1].validity is segment.validity is Validity.UNKNOWN
        if both:
            joined[-1] = _part(joined[-1], joined[-1].start, segment.end, is_known=False)
        else:
            joined.append(segment)
    return tuple(joined)
