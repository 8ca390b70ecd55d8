"""Column maps as files: what the columns of a log mean."""

from pathlib import Path
from typing import Annotated

from pydantic import AfterValidator, Field

from leeward.delivered.column_map import (
    AngleColumn,
    AngleUnit,
    ColumnMap,
    Layout,
    PositiveMeans,
    TimeColumn,
    TimeKind,
)
from leeward.exchange.field_types import Group, Line, Prose, Words
from leeward.exchange.form_file import read_form
from leeward.exchange.problems import FileRefused, Problem
from leeward.exchange.time_zones import known_zone
from leeward.terms.errors import InvalidInput

#: Version of the map's form that this leeward reads.
MAP_VERSION = 1

ColumnName = Annotated[
    str,
    Field(
        min_length=1,
        max_length=200,
        description="Name in the header; without a header its number in quotes, counted from 1.",
    ),
]


def _zone(name: str) -> str:
    return known_zone(name) if name else ""


class TimeFields(Group):
    """Where the time stands and how it is written."""

    column: ColumnName
    kind: Annotated[
        TimeKind,
        Words(),
        Field(
            description="`offset`: ISO 8601 with offset; `wall`: the clock on the wall; `epoch`: "
            "seconds since 1970."
        ),
    ]
    zone: Annotated[
        str,
        Field(max_length=100, description="Zone of the clock, such as Europe/London."),
        AfterValidator(_zone),
    ] = ""
    pattern: Annotated[
        str,
        Field(max_length=100, description="Pattern of wall time, such as %d.%m.%Y %H:%M:%S."),
    ] = ""


class AngleFields(Group):
    """Where an angle stands and its unit."""

    column: ColumnName
    unit: Annotated[AngleUnit, Words(), Field(description="`deg` or `rad`.")]

    def record(self) -> AngleColumn:
        """The record the other rooms use."""
        return AngleColumn(self.column, self.unit)


class LayoutFields(Group):
    """How the table is written."""

    delimiter: Annotated[
        str, Field(min_length=1, max_length=1, description="Sign between columns.")
    ] = ","
    decimal_mark: Annotated[
        str, Field(min_length=1, max_length=1, description="Sign before decimals.")
    ] = "."
    has_header: Annotated[bool, Field(description="Whether a line names the columns.")] = True
    lines_before_header: Annotated[
        int, Field(ge=0, le=1000, description="Lines above the header or the first reading.")
    ] = 0

    def record(self) -> Layout:
        """The record the other rooms use."""
        return Layout(self.delimiter, self.decimal_mark, self.has_header, self.lines_before_header)


class ColumnMapFields(Group):
    """A column map: what a log says where, and what is known of its sensor."""

    schema_version: Annotated[int, Field(description="Version of this form.")]
    unit_name: Annotated[Line, Field(description="Which unit or sensor the log is of.")]
    simulated: Annotated[
        bool, Field(description="Whether the log is invented; said wherever it is shown.")
    ] = False
    note: Annotated[Prose, Field(description="Anything a reader should know.")] = ""
    time: Annotated[TimeFields, Field(description="The time.")]
    angle: Annotated[AngleFields, Field(description="Tilt of the surface.")]
    positive_means: Annotated[
        PositiveMeans,
        Words(),
        Field(
            description="What a reading above zero stands for: `left` (turned to the person's "
            "left, right side raised), `right`, or `undeclared`."
        ),
    ]
    largest_gap_s: Annotated[
        float,
        Field(gt=0, description="Longest time between readings that counts as watched."),
    ]
    backrest: Annotated[
        AngleFields | None, Field(description="Backrest, where the log has it.")
    ] = None
    layout: Annotated[LayoutFields, Field(description="How the table is written.")] = LayoutFields()

    def record(self) -> ColumnMap:
        """The record the other rooms use."""
        return ColumnMap(
            time=TimeColumn(self.time.column, self.time.kind, self.time.zone, self.time.pattern),
            angle=self.angle.record(),
            positive_means=self.positive_means,
            largest_gap=self.largest_gap_s,
            backrest=None if self.backrest is None else self.backrest.record(),
            layout=self.layout.record(),
            unit_name=self.unit_name,
            simulated=self.simulated,
        )


def read_column_map(path: Path) -> ColumnMap:
    """Read a column map in YAML 1.2 or JSON.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    ColumnMap
        What the columns of the log mean.

    Raises
    ------
    FileRefused
        If anything is wrong with it, with every problem found.
    SchemaTooNew
        If it was written for a newer leeward.
    """
    form = read_form(ColumnMapFields, path, "a column map", version=MAP_VERSION)
    try:
        return form.record()
    except InvalidInput as error:
        problem = Problem(path.name, None, error.where, error.what, error.expected, error.remedy)
        raise FileRefused([problem]) from error
