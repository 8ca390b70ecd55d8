"""Lines of a log, tame and hostile."""

import io
import math
from dataclasses import replace
from itertools import chain, pairwise, repeat

import pytest

from leeward.delivered.column_map import (
    AngleColumn,
    AngleUnit,
    ColumnMap,
    Layout,
    PositiveMeans,
    TimeColumn,
    TimeKind,
)
from leeward.delivered.delivered import read_delivered
from leeward.delivered.findings import FindingKind
from leeward.delivered.reading import LineReader, bounded_lines
from leeward.terms.errors import InvalidInput, UnreadableLog
from leeward.terms.units import radians_from_deg
from tests.unit.delivered.logs import NOW, epoch_map, log


def read_all(lines, column_map):
    reader = LineReader(column_map)
    return [r for r in map(reader.read, lines) if r is not None], reader


def kinds(lines, column_map=None):
    found = read_delivered(lines, column_map or epoch_map(), now=NOW).findings
    return {finding.kind for finding in found}


def wall_map(zone="Europe/Amsterdam", pattern=""):
    return replace(epoch_map(), time=TimeColumn("time", TimeKind.WALL, zone, pattern))


def test_degrees_become_radians_and_left_is_positive():
    (one,), _ = read_all(["time,angle", "1772409600,20"], epoch_map())
    assert one.turn == pytest.approx(radians_from_deg(20.0))
    (one,), _ = read_all(["time,angle", "1772409600,20"], epoch_map(PositiveMeans.RIGHT))
    assert one.turn == pytest.approx(radians_from_deg(-20.0))


def test_decimal_comma_semicolon_quotes_and_lines_above_the_header_are_read():
    written = replace(
        epoch_map(), layout=Layout(delimiter=";", decimal_mark=",", lines_before_header=2)
    )
    lines = ["Unit export", "", 'n;"time";angle', '1;"1772409600,5";"-7,25"']
    (one,), _ = read_all(lines, written)
    assert one.time == 1772409600.5
    assert one.turn == pytest.approx(radians_from_deg(-7.25))


def test_columns_are_found_by_number_where_there_is_no_header():
    by_number = ColumnMap(
        TimeColumn("2", TimeKind.EPOCH),
        AngleColumn("1", AngleUnit.RAD),
        layout=Layout(has_header=False),
    )
    (one,), _ = read_all(["0.25,1772409600"], by_number)
    assert (one.time, one.turn) == (1772409600.0, 0.25)


@pytest.mark.parametrize("text", ["", "NA", "nan", "inf", "-Infinity", "1e999", "1_0", "12;5"])
def test_what_is_no_number_is_a_missing_reading(text):
    (one,), _ = read_all(["time,angle", f"1772409600,{text}"], epoch_map())
    assert math.isnan(one.turn)


def test_offsets_are_read_as_written():
    mapped = replace(epoch_map(), time=TimeColumn("time", TimeKind.OFFSET))
    lines = ["time,angle", "2026-03-02T01:00:00+01:00,0", "2026-03-02T00:00:10Z,0"]
    (first, second), _ = read_all(lines, mapped)
    assert second.time - first.time == 10.0


def test_time_without_its_offset_is_no_time():
    mapped = replace(epoch_map(), time=TimeColumn("time", TimeKind.OFFSET))
    with pytest.raises(UnreadableLog, match="offset"):
        read_delivered(["time,angle", "2026-03-02T01:00:00,0"], mapped, now=NOW)


def test_wall_time_follows_a_pattern():
    lines = ["time,angle", "02.03.2026 01:00,0"]
    (one,), _ = read_all(lines, wall_map(pattern="%d.%m.%Y %H:%M"))
    assert one.time == 1772409600.0


def test_the_hour_that_comes_twice_is_read_in_order():
    walls = ["2025-10-26T02:30", "2025-10-26T02:50", "2025-10-26T02:10", "2025-10-26T02:40"]
    found, reader = read_all(["time,angle", *(f"{w},0" for w in walls)], wall_map())
    steps = [b.time - a.time for a, b in pairwise(found)]
    assert steps == [1200.0, 1200.0, 1800.0]
    assert reader.repeated_hour == 4


def test_a_wall_time_that_was_left_out_is_named():
    walls = [f"2026-03-29T02:{minute:02d}" for minute in range(0, 60, 5)]
    assert FindingKind.DAYLIGHT_SAVING in kinds(
        ["time,angle", *(f"{w},0" for w in walls)], wall_map()
    )


@pytest.mark.parametrize("line", ["1772409600,\0", "PK\x03\x04", "a\x1bb"])
def test_binary_is_refused_with_its_line(line):
    with pytest.raises(UnreadableLog, match="line 2"):
        read_delivered(["time,angle", line], epoch_map(), now=NOW)


def test_bytes_that_are_no_text_are_refused():
    stream = io.TextIOWrapper(io.BytesIO(b"time,angle\n\xff\xfe\x9c\n"), encoding="utf-8")
    with pytest.raises(UnreadableLog, match="UTF-8"):
        read_delivered(stream, epoch_map(), now=NOW)


def test_a_line_without_end_is_refused_before_it_is_read_whole():
    class Endless(io.StringIO):
        def readline(self, size=-1):
            assert 0 < size < 10_000
            return "9" * size

    with pytest.raises(UnreadableLog, match="line 1"):
        next(bounded_lines(Endless()))


def test_a_promise_of_many_rows_costs_nothing():
    lines = ["# rows: 1000000000", *log(1.0)]
    assert read_delivered(lines, epoch_map(), now=NOW).coverage == 1.0


def test_a_missing_column_is_named_with_those_that_are_there():
    with pytest.raises(UnreadableLog, match=r"'angle' stands 0 times.*'tilt'"):
        read_delivered(["time,tilt", "1,2"], epoch_map(), now=NOW)


def test_a_log_that_fits_no_line_of_its_map_is_refused():
    with pytest.raises(UnreadableLog, match="none of 3 lines"):
        read_delivered(["time,angle", *repeat("noon,1", 3)], epoch_map(), now=NOW)


def test_a_few_torn_lines_are_counted_and_named():
    lines = log(2.0)
    lines[10] = "17724"
    found = read_delivered(lines, epoch_map(), now=NOW).findings
    (torn,) = [f for f in found if f.kind is FindingKind.UNREADABLE_LINES]
    assert "1 of 121 lines" in torn.sentence
    assert "line 11" in torn.sentence


def test_a_label_makes_the_log_simulated():
    assert read_delivered(["# SIMULATED", *log(1.0)], epoch_map(), now=NOW).simulated
    assert not read_delivered(log(1.0), epoch_map(), now=NOW).simulated


@pytest.mark.parametrize("line", ["\n", "# nothing\n", "no,reading\n"])
def test_a_log_that_goes_on_without_a_reading_is_given_up(line: str):
    lines = chain(["time,angle\n"], repeat(line))
    with pytest.raises(UnreadableLog, match="lines in a row hold no reading"):
        read_delivered(lines, epoch_map(), now=NOW)


@pytest.mark.parametrize("pattern", ["%Y %Y", "%z%z"])
def test_a_pattern_that_names_a_part_twice_is_refused(pattern: str):
    with pytest.raises(InvalidInput, match="twice"):
        wall_map(pattern=pattern)
