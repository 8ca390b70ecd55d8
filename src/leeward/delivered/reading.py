"""From the lines of a table to readings: one line at a time, whatever a line holds."""

import csv
import math
from collections.abc import Iterable, Iterator
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from typing import NamedTuple, TextIO
from zoneinfo import ZoneInfo

from leeward.delivered.column_map import (
    AngleColumn,
    AngleUnit,
    ColumnMap,
    PositiveMeans,
    TimeColumn,
    TimeKind,
)
from leeward.delivered.conventions import LONGEST_LINE
from leeward.terms.errors import UnreadableLog
from leeward.terms.units import radians_from_deg

_LONGEST_LINE = int(LONGEST_LINE.value)
_ALLOWED_CONTROL = {"\t", "\r", "\n"}
_LABELS_OF_INVENTION = ("simulated", "invented")


class Reading(NamedTuple):
    """One line of a log in our own terms.

    Parameters
    ----------
    line : int
        Number of the line, counted from 1. [-]
    time : float
        Seconds since 1970-01-01T00:00:00Z. [s]
    turn : float
        Tilt, positive to the person's left where the side is declared; NaN is missing. [rad]
    backrest : float
        Backrest above level; NaN is missing. [rad]
    """

    line: int
    time: float
    turn: float
    backrest: float


def bounded_lines(stream: Iterable[str] | TextIO) -> Iterator[str]:
    """Give the lines of a stream, none longer than a line of readings can be.

    Parameters
    ----------
    stream : text stream or iterable of str
        An open stream or any lines.

    Yields
    ------
    str
        One line each.

    Raises
    ------
    UnreadableLog
        If a line is too long or the bytes behind it are no text.
    """
    readline = getattr(stream, "readline", None)
    source = iter(lambda: readline(_LONGEST_LINE + 1), "") if readline else iter(stream)
    number = 0
    while True:
        try:
            line = next(source)
        except StopIteration:
            return
        except UnicodeDecodeError:
            raise _refusal(number + 1, "bytes that are no UTF-8 text") from None
        number += 1
        if len(line) > _LONGEST_LINE:
            raise _refusal(number, f"a line of more than {_LONGEST_LINE} characters")
        yield line


class LineReader:
    """Reads line after line of one log and remembers what could not be read.

    Parameters
    ----------
    column_map : ColumnMap
        What the columns mean.
    """

    def __init__(self, column_map: ColumnMap) -> None:
        self.line = 0
        self.tried = 0
        self.unreadable = 0
        self.first_unreadable = 0
        self.first_reason = ""
        self.is_labelled_simulated = False
        self.nonexistent = 0
        self.repeated_hour = 0
        self.offsets: list[timedelta] = []
        self._map = column_map
        self._positions: tuple[int, ...] | None = None
        self._before = column_map.layout.lines_before_header
        self._zone: tzinfo = ZoneInfo(column_map.time.zone) if column_map.time.zone else UTC
        self._previous = -math.inf
        self._sign = -1.0 if column_map.positive_means is PositiveMeans.RIGHT else 1.0

    @property
    def zone(self) -> tzinfo:
        """The zone in which times of this log are shown."""
        if not self._map.time.zone and self.offsets:
            return timezone(self.offsets[0])
        return self._zone

    def read(self, text: str) -> Reading | None:
        """Read one line.

        Parameters
        ----------
        text : str
            The line.

        Returns
        -------
        Reading or None
            None for a line that holds no reading; such lines are counted.

        Raises
        ------
        UnreadableLog
            If the line is no text, or the header does not name the declared columns.
        """
        self.line += 1
        if self.line == 1:
            text = text.removeprefix("\ufeff")
        self._refuse_binary(text)
        text = text.rstrip("\r\n")
        if self.line <= self._before or text.lstrip().startswith("#"):
            self._look_for_label(text)
            return None
        if not text.strip():
            return None
        cells = self._cells(text)
        if self._positions is None:
            self._positions = self._find_columns(cells)
            if self._map.layout.has_header:
                return None
        self.tried += 1
        return self._reading(cells, self._positions)

    def _refuse_binary(self, text: str) -> None:
        if len(text) > _LONGEST_LINE:
            raise _refusal(self.line, f"a line of more than {_LONGEST_LINE} characters")
        if not text.isprintable():
            strange = {c for c in text if c < " " or c == "\x7f"} - _ALLOWED_CONTROL
            if strange:
                raise _refusal(self.line, f"control character {min(strange)!r}")

    def _look_for_label(self, text: str) -> None:
        if any(label in text.lower() for label in _LABELS_OF_INVENTION):
            self.is_labelled_simulated = True

    def _cells(self, text: str) -> list[str]:
        delimiter = self._map.layout.delimiter
        if '"' not in text:
            return text.split(delimiter)
        try:
            return next(csv.reader([text], delimiter=delimiter))
        except (csv.Error, StopIteration):
            return []

    def _find_columns(self, cells: list[str]) -> tuple[int, ...]:
        declared = [self._map.time.column, self._map.angle.column]
        if self._map.backrest is not None:
            declared.append(self._map.backrest.column)
        if not self._map.layout.has_header:
            return tuple(int(name) - 1 for name in declared)
        present = [cell.strip() for cell in cells]
        for name in declared:
            if present.count(name.strip()) != 1:
                seen = ", ".join(repr(cell[:40]) for cell in present[:12])
                raise UnreadableLog(
                    f"column {name!r} stands {present.count(name.strip())} times in the header",
                    where=f"log, line {self.line}",
                    expected=f"it once among the columns there: {seen}",
                    remedy="correct the column name, the delimiter or the number of lines before "
                    "the header in the column map",
                )
        return tuple(present.index(name.strip()) for name in declared)

    def _reading(self, cells: list[str], positions: tuple[int, ...]) -> Reading | None:
        if max(positions[:2]) >= len(cells):
            self.count_unreadable(f"{len(cells)} columns")
            return None
        time = self._time(cells[positions[0]].strip(), self._map.time)
        if time is None or not math.isfinite(time):
            self.count_unreadable(f"time {cells[positions[0]].strip()[:40]!r}")
            return None
        self._previous = time
        turn = self._angle(cells[positions[1]], self._map.angle)
        backrest = math.nan
        if self._map.backrest is not None and positions[2] < len(cells):
            backrest = self._angle(cells[positions[2]], self._map.backrest)
        return Reading(self.line, time, self._sign * turn, backrest)

    def count_unreadable(self, reason: str) -> None:
        """Count a line that holds no reading.

        Parameters
        ----------
        reason : str
            What it holds instead.
        """
        if self.unreadable == 0:
            self.first_unreadable, self.first_reason = self.line, reason
        self.unreadable += 1

    def _angle(self, text: str, column: AngleColumn) -> float:
        value = _number(text, self._map.layout.decimal_mark)
        return radians_from_deg(value) if column.unit is AngleUnit.DEG else value

    def _time(self, text: str, column: TimeColumn) -> float | None:
        if column.kind is TimeKind.EPOCH:
            return _number(text, self._map.layout.decimal_mark)
        try:
            if column.pattern:
                # The zone is put on in `_wall_time`, once it is known which hour is meant.
                written = datetime.strptime(text, column.pattern)  # noqa: DTZ007
            else:
                written = datetime.fromisoformat(text)
            if column.kind is TimeKind.WALL:
                return self._wall_time(written) if written.tzinfo is None else None
            return self._offset_time(written)
        except (ValueError, OverflowError):
            return None

    def _offset_time(self, written: datetime) -> float | None:
        offset = written.utcoffset()
        if offset is None:
            return None
        if (not self.offsets or offset != self.offsets[-1]) and len(self.offsets) < 1000:
            self.offsets.append(offset)
        return written.timestamp()

    def _wall_time(self, written: datetime) -> float:
        first = written.replace(tzinfo=self._zone).timestamp()
        second = written.replace(tzinfo=self._zone, fold=1).timestamp()
        if first == second:
            return first
        if first > second:
            self.nonexistent += 1
            return first
        # Within the hour that comes twice only the order of the lines tells which one it is.
        self.repeated_hour += 1
        return first if first >= self._previous else second


def _number(text: str, decimal_mark: str) -> float:
    text = text.strip()
    if decimal_mark == ",":
        if "." in text:
            return math.nan
        text = text.replace(",", ".")
    if "_" in text:
        return math.nan
    try:
        value = float(text)
    except ValueError:
        return math.nan
    return value if math.isfinite(value) else math.nan


def _refusal(line: int, what: str) -> UnreadableLog:
    return UnreadableLog(
        what,
        where=f"log, line {line}",
        expected="a table of readings written as UTF-8 text",
        remedy="export the log as a text table (CSV) and try again",
    )
