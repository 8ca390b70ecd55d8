"""A log as read: postures kept, turns, findings, and how much of the time is known."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TextIO

import numpy as np

from leeward.delivered.clock import Clock
from leeward.delivered.column_map import ColumnMap, PositiveMeans
from leeward.delivered.conventions import MOST_IDLE_LINES
from leeward.delivered.findings import Finding, FindingKind
from leeward.delivered.log_findings import (
    belief_findings,
    clock_findings,
    line_findings,
    shape_findings,
)
from leeward.delivered.reading import LineReader, Reading, bounded_lines
from leeward.delivered.segments import Segment, Segmenter, with_unknown
from leeward.delivered.turns import Turn, find_turns
from leeward.delivered.validity import Believed
from leeward.terms.errors import InvalidInput, UnreadableLog
from leeward.terms.posture import Posture
from leeward.terms.series import PostureSeries, Validity


@dataclass(frozen=True, slots=True, eq=False)
class Delivered:
    """What a log shows of the surface; the person on it was not measured.

    Parameters
    ----------
    series : PostureSeries
        Postures kept, from the log's first line to its last; no segment for an empty log.
    turns : tuple of Turn
        Turns seen.
    findings : tuple of Finding
        What was noticed.
    coverage : float
        Share of the time from first to last line that is known or moving. [-]
    side_known : bool
        Whether the sign of a turn says left or right; where it does not, no turn may be
        called either.
    has_backrest : bool
        Whether the backrest was measured.
    simulated : bool
        Whether the log is invented.
    unit_name : str
        Which unit or sensor it is of.
    origin : datetime
        Second zero, in the zone in which times are shown.
    """

    series: PostureSeries
    turns: tuple[Turn, ...]
    findings: tuple[Finding, ...]
    coverage: float
    side_known: bool
    has_backrest: bool
    simulated: bool
    unit_name: str
    origin: datetime


class DeliveredReader:
    """Reads a log as it arrives; the answer does not depend on how it was cut up.

    Parameters
    ----------
    column_map : ColumnMap
        What the columns mean.
    now : datetime
        The present, aware.
    """

    def __init__(self, column_map: ColumnMap, *, now: datetime) -> None:
        if now.tzinfo is None:
            raise InvalidInput(
                f"the present {now.isoformat()} without a zone",
                where="now",
                expected="a time with its zone",
                remedy="give an aware datetime",
            )
        self._map = column_map
        self._now = now
        self._lines = LineReader(column_map)
        self._clock = Clock(now.timestamp(), column_map.largest_gap)
        self._believed = Believed(column_map.largest_gap)
        self._segmenter = Segmenter(column_map.largest_gap)
        self._last_reading = 0

    def feed(self, lines: Iterable[str]) -> None:
        """Take further whole lines.

        Parameters
        ----------
        lines : iterable of str
            The next lines.
        """
        for text in lines:
            reading = self._lines.read(text)
            if reading is not None:
                self._last_reading = reading.line
                self._take(self._clock.admit(reading))
            elif self._lines.line - self._last_reading > MOST_IDLE_LINES.value:
                raise self._idle()

    def _idle(self) -> UnreadableLog:
        return UnreadableLog(
            f"more than {MOST_IDLE_LINES.value:.0f} lines in a row hold no reading",
            where=f"log, line {self._last_reading + 1}",
            expected="a table of readings, as the column map describes it",
            remedy="check that this is the log you mean, and that the column map fits it",
        )

    def finish(self) -> Delivered:
        """End the log.

        Returns
        -------
        Delivered
            The log as read.

        Raises
        ------
        UnreadableLog
            If there were lines and none of them could be read as the map says.
        """
        if self._lines.tried and self._lines.unreadable == self._lines.tried:
            raise UnreadableLog(
                f"none of {self._lines.tried} lines has a time as declared, the first holds "
                f"{self._lines.first_reason}",
                where=f"log, line {self._lines.first_unreadable}",
                expected=f"{self._map.time.kind.value} in column {self._map.time.column!r}",
                remedy="correct the time column, its kind or the delimiter in the column map",
            )
        self._take(self._clock.finish())
        self._believed.finish()
        segments = self._segments()
        zero = segments[0].start if segments else self._zero_without_segments()
        origin = datetime.fromtimestamp(zero, tz=self._lines.zone)
        series = _series(segments, zero)
        turns = tuple(
            Turn(t.start - zero, t.end - zero, t.before, t.after) for t in find_turns(segments)
        )
        return Delivered(
            series=series,
            turns=turns,
            findings=tuple(self._findings(segments, zero, origin)),
            coverage=series.known_fraction,
            side_known=self._map.positive_means is not PositiveMeans.UNDECLARED,
            has_backrest=self._map.backrest is not None,
            simulated=self._map.simulated or self._lines.is_labelled_simulated,
            unit_name=self._map.unit_name,
            origin=origin,
        )

    def _zero_without_segments(self) -> float:
        start = self._believed.start
        return self._now.timestamp() if math.isnan(start) else start

    def _take(self, readings: list[Reading]) -> None:
        for reading in readings:
            if self._believed.admit(reading):
                self._segmenter.add(reading)

    def _segments(self) -> tuple[Segment, ...]:
        believed = self._believed
        found = self._segmenter.finish()
        if math.isnan(believed.start):
            return ()
        first = found[0].start if found else believed.end
        last = found[-1].end if found else believed.end
        outside = [
            Segment(low, high, Validity.UNKNOWN, math.nan, math.nan, 0.0)
            for low, high in ((believed.start, first), (last, believed.end))
        ]
        spans = [(run.start, run.end) for run in believed.frozen()]
        return with_unknown((outside[0], *found, outside[1]), [*self._clock.doubtful, *spans])

    def _findings(
        self, segments: tuple[Segment, ...], zero: float, origin: datetime
    ) -> Iterable[Finding]:
        end = segments[-1].end - zero if segments else 0.0
        if not any(s.validity is not Validity.UNKNOWN for s in segments):
            yield Finding(
                FindingKind.EMPTY,
                0.0,
                end,
                "no readings: the log shows no time in which the angle of the surface is known",
                "was the right log exported, over the right days?",
            )
        if self._map.positive_means is PositiveMeans.UNDECLARED:
            yield Finding(
                FindingKind.SIDE_UNKNOWN,
                0.0,
                end,
                "side not declared: which side is raised at a positive angle is not known, so no "
                "turn can be called left or right",
                "watch the unit raise the person's right side and note the sign of the reading",
            )
        if self._map.simulated or self._lines.is_labelled_simulated:
            yield Finding(
                FindingKind.SIMULATED,
                0.0,
                end,
                "simulated: this log is invented and tells nothing about a person",
                "nothing",
            )
        yield from line_findings(self._lines, end)
        yield from clock_findings(self._clock, zero, origin)
        yield from belief_findings(self._believed, zero, origin)
        yield from shape_findings(segments, zero)


def read_delivered(
    lines: Iterable[str] | TextIO, column_map: ColumnMap, *, now: datetime
) -> Delivered:
    """Read a log.

    Parameters
    ----------
    lines : iterable of str or open text stream
        Lines of the log.
    column_map : ColumnMap
        What the columns mean.
    now : datetime
        The present, aware.

    Returns
    -------
    Delivered
        Postures kept, turns and findings.

    Raises
    ------
    UnreadableLog
        If the log is no text table, or the map fits none of its lines.

    Notes
    -----
    Holds for a surface whose smallest turn is 5 degrees or more, readings from ten a second to
    one in two minutes with a noise of up to 2 degrees, and drift of up to 2 degrees an hour.
    Movements slower than about a quarter of a degree a minute cannot be told from drift.
    Memory grows with the number of postures, not with the number of lines.
    """
    reader = DeliveredReader(column_map, now=now)
    reader.feed(bounded_lines(lines))
    return reader.finish()


def _series(segments: tuple[Segment, ...], zero: float) -> PostureSeries:
    postures: list[Posture] = []
    last = Posture()
    for segment in segments:
        if segment.validity is not Validity.UNKNOWN:
            backrest = 0.0 if math.isnan(segment.backrest) else segment.backrest
            last = Posture(turn=segment.turn, backrest=backrest)
        postures.append(last)
    edges = [segment.start - zero for segment in segments] + [
        segments[-1].end - zero if segments else 0.0
    ]
    return PostureSeries(
        edges=np.array(edges),
        postures=tuple(postures),
        validity=tuple(segment.validity for segment in segments),
        origin=datetime.fromtimestamp(zero, tz=UTC).isoformat(),
    )
