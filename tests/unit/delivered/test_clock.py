"""Time that runs forwards is used; all else is named and nothing is sorted again."""

import numpy as np
import pytest

from leeward.delivered.delivered import read_delivered
from leeward.delivered.findings import FindingKind
from leeward.terms.series import Validity
from tests.unit.delivered.logs import NOW, START, epoch_map, readings, written


def read(times, angles):
    return read_delivered(written(times, angles), epoch_map(), now=NOW)


def kinds(delivered):
    return {finding.kind for finding in delivered.findings}


def test_a_clean_log_has_nothing_to_find():
    assert read(*readings(12.0)).findings == ()


def test_one_late_line_is_left_out_and_named():
    times, angles = readings(12.0)
    times[100], times[101] = times[101], times[100]
    delivered = read(times, angles)
    assert kinds(delivered) == {FindingKind.OUT_OF_ORDER}
    assert delivered.coverage == 1.0


def test_a_clock_set_back_leaves_the_doubled_hour_unknown():
    times, angles = readings(12.0)
    times[300:] -= 3600.0
    delivered = read(times, angles)
    assert FindingKind.CLOCK_SET_BACK in kinds(delivered)
    unknown = delivered.series.durations[
        [validity is Validity.UNKNOWN for validity in delivered.series.validity]
    ]
    assert unknown.sum() == pytest.approx(3600.0, abs=120.0)


def test_two_units_in_one_file_leave_no_known_time():
    times, angles = readings(6.0)
    delivered = read(np.concatenate([times, times]), np.concatenate([angles, -angles]))
    assert FindingKind.CLOCK_SET_BACK in kinds(delivered)
    assert delivered.coverage < 0.01


def test_two_units_line_by_line_leave_hardly_any_known_time():
    times, angles = readings(6.0)
    delivered = read(np.repeat(times, 2), np.column_stack([angles, angles + 30.0]).ravel())
    assert FindingKind.CONTRADICTING in kinds(delivered)
    assert delivered.coverage < 0.01


def test_many_lines_a_second_with_a_clock_of_seconds_are_no_trouble():
    times, angles = readings(3.0, every_s=0.5)
    assert read(np.floor(times), angles).findings == ()


def test_a_few_lines_ahead_of_the_others_are_left_out():
    times, angles = readings(12.0)
    times[200:202] += 86400.0 * 30
    delivered = read(times, angles)
    assert kinds(delivered) == {FindingKind.CLOCK_AHEAD}
    assert delivered.series.edges[-1] == pytest.approx(12 * 3600.0)


def test_times_before_the_clock_was_set_are_left_out():
    times, angles = readings(12.0)
    times[:50] -= START
    assert kinds(read(times, angles)) == {FindingKind.CLOCK_UNSET}


def test_times_that_have_not_come_yet_are_left_out():
    times, angles = readings(12.0)
    late = times + (NOW.timestamp() - times[600])
    delivered = read(late, angles)
    assert FindingKind.IN_THE_FUTURE in kinds(delivered)
    assert delivered.series.edges[-1] <= 605 * 60.0


def test_a_log_from_new_to_old_shows_nothing_and_says_so():
    times, angles = readings(6.0)
    delivered = read(times[::-1], angles[::-1])
    assert delivered.coverage == 0.0
    assert FindingKind.CLOCK_AHEAD in kinds(delivered)
