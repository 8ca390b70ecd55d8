"""A column map says what it must, or is refused with one sentence."""

from dataclasses import replace

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
from leeward.terms.errors import InvalidInput
from tests.unit.delivered.logs import epoch_map

ANGLE = AngleColumn("angle", AngleUnit.DEG)


def test_the_side_is_unknown_until_somebody_declares_it():
    declared = ColumnMap(TimeColumn("t", TimeKind.EPOCH), ANGLE)
    assert declared.positive_means is PositiveMeans.UNDECLARED


def test_wall_time_needs_its_zone():
    with pytest.raises(InvalidInput, match="IANA name"):
        TimeColumn("t", TimeKind.WALL)


@pytest.mark.parametrize("zone", ["Atlantis/Centre", "../etc/passwd", "/etc", "UTC\0"])
def test_an_unknown_zone_is_refused(zone):
    with pytest.raises(InvalidInput, match="time zone"):
        TimeColumn("t", TimeKind.WALL, zone=zone)


@pytest.mark.parametrize("gap", [0.0, -5.0, 900.1, float("nan"), float("inf")])
def test_no_map_lets_long_silence_count_as_watched(gap):
    with pytest.raises(InvalidInput, match="largest_gap"):
        replace(epoch_map(), largest_gap=gap)


def test_the_longest_gap_itself_is_allowed():
    assert replace(epoch_map(), largest_gap=900.0).largest_gap == 900.0


def test_time_and_angle_cannot_be_one_column():
    with pytest.raises(InvalidInput, match="different column"):
        ColumnMap(TimeColumn("angle", TimeKind.EPOCH), ANGLE)


def test_a_table_without_header_is_read_by_number():
    with pytest.raises(InvalidInput, match="counted from 1"):
        replace(epoch_map(), layout=Layout(has_header=False))


@pytest.mark.parametrize("wrong", [{"delimiter": ""}, {"delimiter": ";;"}, {"decimal_mark": ":"}])
def test_a_layout_that_cannot_be_is_refused(wrong):
    with pytest.raises(InvalidInput, match="layout"):
        Layout(**wrong)
