"""Silence, missing, impossible and frozen readings are unknown time, not stays."""

import numpy as np
import pytest

from leeward.delivered.delivered import read_delivered
from leeward.delivered.findings import FindingKind
from leeward.terms.series import Validity
from tests.unit.delivered.logs import NOW, START, angle_at, epoch_map, readings, written


def read(times, angles):
    return read_delivered(written(times, angles), epoch_map(), now=NOW)


def kinds(delivered):
    return {finding.kind for finding in delivered.findings}


def unknown_time(delivered):
    is_unknown = [validity is Validity.UNKNOWN for validity in delivered.series.validity]
    return delivered.series.durations[is_unknown].sum()


def between(times, first_h, last_h):
    return (times > START + first_h * 3600.0) & (times < START + last_h * 3600.0)


def test_silence_is_not_a_kept_stay():
    times, angles = readings(12.0)
    heard = ~between(times, 4.0, 6.0)
    delivered = read(times[heard], angles[heard])
    assert kinds(delivered) == {FindingKind.SILENT}
    assert unknown_time(delivered) == pytest.approx(7200.0, abs=120.0)


def test_silence_up_to_the_largest_gap_is_bridged():
    times, angles = readings(12.0)
    heard = ~between(times, 4.2, 4.28)
    assert read(times[heard], angles[heard]).coverage == 1.0


def test_lines_without_a_reading_are_told_from_silence():
    times, angles = readings(12.0)
    angles[between(times, 4.0, 6.0)] = np.nan
    delivered = read(times, angles)
    assert kinds(delivered) == {FindingKind.MISSING}
    assert unknown_time(delivered) == pytest.approx(7200.0, abs=120.0)


def test_missing_readings_at_both_ends_are_unknown_time():
    times, angles = readings(12.0)
    angles[~between(times, 3.0, 9.0)] = np.nan
    assert read(times, angles).coverage == pytest.approx(0.5, abs=0.01)


def test_angles_no_surface_can_have_are_not_believed():
    times, angles = readings(12.0)
    angles[between(times, 4.0, 6.0)] = 170.0
    delivered = read(times, angles)
    assert kinds(delivered) == {FindingKind.OUT_OF_RANGE}
    assert unknown_time(delivered) == pytest.approx(7200.0, abs=120.0)


def test_a_spike_is_left_out():
    times, angles = readings(2.0, every_s=1.0)
    angles[[1000, 3000, 5000]] += 60.0
    delivered = read(times, angles)
    assert kinds(delivered) == {FindingKind.TOO_FAST}
    assert len(delivered.turns) == 1


def test_a_live_sensor_that_stands_still_is_frozen():
    times, angles = readings(12.0)
    stuck = between(times, 4.1, 8.1)
    angles[stuck] = angles[stuck][0]
    delivered = read(times, angles)
    assert kinds(delivered) == {FindingKind.FROZEN}
    assert unknown_time(delivered) == pytest.approx(4 * 3600.0, abs=300.0)


def test_a_quiet_sensor_at_level_is_a_level_stay():
    times, angles = readings(24.0, noise_deg=0.0)
    delivered = read(times, np.round(angles))
    assert delivered.findings == ()
    assert delivered.coverage == 1.0


@pytest.mark.parametrize("step", [0.1, 0.5, 1.0, 2.0])
@pytest.mark.parametrize("noise_deg", [0.02, 0.1, 0.3, 1.0])
def test_a_coarse_sensor_is_not_taken_for_a_frozen_one(step, noise_deg):
    times, angles = readings(72.0, noise_deg=noise_deg)
    delivered = read(times, np.round(angles / step) * step)
    assert delivered.findings == ()
    assert len(delivered.turns) == 71


def test_a_quiet_sensor_for_longer_than_any_stay_is_not_believed():
    times, angles = readings(24.0, noise_deg=0.0)
    stuck = between(times, 4.5, 12.1)
    angles[stuck] = 0.0
    assert FindingKind.FROZEN in kinds(read(times, angles))


def test_one_value_all_day_is_not_called_a_stay():
    times, _ = readings(24.0)
    delivered = read(times, np.zeros_like(times))
    assert FindingKind.FROZEN in kinds(delivered)
    assert delivered.coverage == 0.0


def test_a_quiet_sensor_that_jumps_when_it_wakes_was_frozen():
    seconds = np.arange(0.0, 12 * 3600.0, 2.0)
    angles = np.round(angle_at()(seconds))
    stuck = (seconds > 4.1 * 3600.0) & (seconds < 6.5 * 3600.0)
    angles[stuck] = angles[stuck][0]
    delivered = read(START + seconds, angles)
    assert FindingKind.FROZEN in kinds(delivered)
    assert unknown_time(delivered) > 2.0 * 3600.0


def test_an_empty_log_has_no_segment_and_says_so():
    delivered = read(np.array([]), np.array([]))
    assert delivered.series.postures == ()
    assert FindingKind.EMPTY in kinds(delivered)
    assert delivered.coverage == 0.0
