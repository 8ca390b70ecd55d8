"""What the columns of a log mean: declared by whoever knows the sensor, never guessed."""

import re
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from leeward.delivered.conventions import GREATEST_GAP
from leeward.terms.errors import InvalidInput


class TimeKind(StrEnum):
    """How a log writes time."""

    OFFSET = "ISO 8601 with offset"
    WALL = "local wall time"
    EPOCH = "seconds since 1970-01-01T00:00:00Z"


class AngleUnit(StrEnum):
    """Unit of an angle column."""

    DEG = "deg"
    RAD = "rad"


class PositiveMeans(StrEnum):
    """What a positive angle in the log stands for; the person's own side."""

    LEFT = "turned to the left, right side raised"
    RIGHT = "turned to the right, left side raised"
    UNDECLARED = "side unknown"


@dataclass(frozen=True, slots=True)
class TimeColumn:
    """Where the time stands and how it is written.

    Parameters
    ----------
    column : str
        Name in the header; where there is none, its number counted from 1.
    kind : TimeKind
        How time is written.
    zone : str
        IANA name of the zone; needed for local wall time, else only used to show times.
    pattern : str
        Pattern of local wall time in the signs of ``strptime``; empty for ISO 8601.
    """

    column: str
    kind: TimeKind
    zone: str = ""
    pattern: str = ""

    def __post_init__(self) -> None:
        if self.kind is TimeKind.WALL and not self.zone:
            raise InvalidInput(
                "local wall time without a time zone",
                where="column map, time",
                expected="the IANA name of a zone, for example Europe/Amsterdam",
                remedy="name the zone the unit's clock was set to",
            )
        if self.zone:
            _known_zone(self.zone)
        if self.pattern and self.kind is not TimeKind.WALL:
            raise InvalidInput(
                f"a pattern {self.pattern!r} for time written as {self.kind.value}",
                where="column map, time",
                expected="a pattern only for local wall time",
                remedy="leave the pattern out",
            )
        _check_pattern(self.pattern)


@dataclass(frozen=True, slots=True)
class AngleColumn:
    """Where an angle stands and how it is written.

    Parameters
    ----------
    column : str
        Name in the header; where there is none, its number counted from 1.
    unit : AngleUnit
        Unit of the readings.
    """

    column: str
    unit: AngleUnit


@dataclass(frozen=True, slots=True)
class Layout:
    """How the table is written.

    Parameters
    ----------
    delimiter : str
        One sign between columns.
    decimal_mark : str
        ``"."`` or ``","``.
    has_header : bool
        Whether a line names the columns.
    lines_before_header : int
        Lines before the header, or before the first reading where there is none. [-]
    """

    delimiter: str = ","
    decimal_mark: str = "."
    has_header: bool = True
    lines_before_header: int = 0

    def __post_init__(self) -> None:
        if len(self.delimiter) != 1 or self.delimiter in "\r\n\"'":
            raise InvalidInput(
                f"delimiter {self.delimiter!r}",
                where="column map, layout",
                expected="one sign such as a comma, a semicolon or a tab",
                remedy="give the sign that stands between the columns",
            )
        if self.decimal_mark not in (".", ","):
            raise InvalidInput(
                f"decimal mark {self.decimal_mark!r}",
                where="column map, layout",
                expected="a full stop or a comma",
                remedy="give the sign before the decimals",
            )
        if not 0 <= self.lines_before_header <= 1000:
            raise InvalidInput(
                f"{self.lines_before_header} lines before the header",
                where="column map, layout",
                expected="0 to 1000 [-]",
                remedy="count the lines above the header",
            )


@dataclass(frozen=True, slots=True)
class ColumnMap:
    """What a log says in which column, and what is known of its sensor.

    Parameters
    ----------
    time : TimeColumn
        The time.
    angle : AngleColumn
        Tilt of the surface.
    positive_means : PositiveMeans
        What a positive angle stands for; undeclared leaves the side unknown.
    largest_gap : float
        Longest time between two readings that still counts as watched, at most 900. [s]
    backrest : AngleColumn or None
        Backrest above level, where the log has it.
    layout : Layout
        How the table is written.
    unit_name : str
        Which unit or sensor the log is of.
    simulated : bool
        Whether the log is invented; shown wherever anything of it is shown.
    """

    time: TimeColumn
    angle: AngleColumn
    positive_means: PositiveMeans = PositiveMeans.UNDECLARED
    largest_gap: float = 300.0
    backrest: AngleColumn | None = None
    layout: Layout = Layout()
    unit_name: str = ""
    simulated: bool = False

    def __post_init__(self) -> None:
        if not 0.0 < self.largest_gap <= GREATEST_GAP.value:
            raise InvalidInput(
                f"largest gap of {self.largest_gap:g} s",
                where="column map, largest_gap",
                expected=f"more than 0 and at most {GREATEST_GAP.value:g} s, for longer "
                "silence cannot count as watched",
                remedy="give a little more than the time between two readings",
            )
        self._check_columns()

    def _check_columns(self) -> None:
        names = [column.strip() for column in self._columns()]
        if len(set(names)) != len(names) or "" in names:
            raise InvalidInput(
                f"columns {', '.join(repr(name) for name in names)}",
                where="column map",
                expected="a different column for each quantity",
                remedy="name the column of the time and the column of the angle",
            )
        if not self.layout.has_header and not all(map(_is_position, names)):
            raise InvalidInput(
                f"columns {', '.join(repr(name) for name in names)} in a table without header",
                where="column map",
                expected="the number of each column, counted from 1",
                remedy="give numbers, or say that there is a header",
            )

    def _columns(self) -> tuple[str, ...]:
        own = (self.time.column, self.angle.column)
        return own if self.backrest is None else (*own, self.backrest.column)


def _is_position(name: str) -> bool:
    return name.isascii() and name.isdigit() and int(name) > 0


def _check_pattern(pattern: str) -> None:
    try:
        datetime.strptime("", pattern)  # noqa: DTZ007
    except re.error:
        # What `strptime` lets through of the search it builds: one sign given twice.
        raise InvalidInput(
            f"a pattern {pattern!r} that names one part of the time twice",
            where="column map, time",
            expected="each part once, for example %d.%m.%Y %H:%M:%S",
            remedy="correct the pattern",
        ) from None
    except ValueError:
        return  # an empty text is no time: the pattern itself could be used


def _known_zone(name: str) -> ZoneInfo:
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise InvalidInput(
            f"time zone {name!r}",
            where="column map, time",
            expected="an IANA name, for example Europe/Amsterdam",
            remedy="name the zone the unit's clock was set to",
        ) from None
