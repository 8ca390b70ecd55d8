"""Stays and turns are found through noise, drift and coarse sampling."""

import numpy as np
import pytest

from leeward.delivered.column_map import AngleColumn, AngleUnit
from leeward.delivered.delivered import read_delivered
from leeward.delivered.findings import FindingKind
from leeward.delivered.segments import Segment, with_unknown
from leeward.terms.series import Validity
from leeward.terms.units import deg_from_radians
from tests.unit.delivered.logs import NOW, START, angle_at, epoch_map, log, readings, written


def read(lines):
    return read_delivered(lines, epoch_map(), now=NOW)


def stays(delivered):
    """Degrees and minutes of each stay."""
    series = delivered.series
    return [
        (deg_from_radians(posture.turn), duration / 60.0)
        for posture, validity, duration in zip(
            series.postures, series.validity, series.durations, strict=True
        )
        if validity is Validity.KNOWN
    ]


@pytest.mark.parametrize("every_s", [0.1, 1.0, 10.0, 60.0, 120.0])
def test_a_day_of_stays_is_found_at_any_sampling(every_s):
    hours = 2.0 if every_s < 1.0 else 24.0
    delivered = read(log(hours, every_s=every_s, noise_deg=2.0))
    found = stays(delivered)
    assert len(delivered.turns) == hours - 1
    assert [angle for angle, _ in found[:2]] == pytest.approx([20.0, 0.0], abs=1.0)
    assert all(minutes == pytest.approx(60.0, abs=5.0) for _, minutes in found)


def test_irregular_sampling_is_no_trouble():
    seconds = np.cumsum(np.random.default_rng(3).exponential(40.0, 2000))
    angles = angle_at()(seconds) + np.random.default_rng(4).normal(0.0, 1.0, seconds.shape)
    delivered = read(written(START + seconds, angles))
    assert len(delivered.turns) == int(seconds[-1] // 3600.0)


@pytest.mark.parametrize("drift", [2.0, -2.0])
def test_drift_does_not_end_a_stay_and_is_named(drift):
    delivered = read(
        log(12.0, noise_deg=1.0, drift_deg_per_hour=drift, stays=((20.0, 180.0), (0.0, 180.0)))
    )
    assert len(delivered.turns) == 3
    assert FindingKind.DRIFT in {finding.kind for finding in delivered.findings}


@pytest.mark.parametrize("seed", range(5))
def test_noise_alone_makes_no_turn(seed):
    delivered = read(log(48.0, stays=((0.0, 60.0),), noise_deg=2.0, seed=seed))
    assert delivered.turns == ()
    assert len(stays(delivered)) == 1


def test_a_small_turn_is_found():
    delivered = read(log(24.0, stays=((5.0, 60.0), (0.0, 60.0)), noise_deg=1.0))
    assert len(delivered.turns) == 23


def test_a_slow_rise_is_a_movement_not_a_row_of_stays():
    delivered = read(log(24.0, rise_s=1200.0, noise_deg=0.5))
    assert len(delivered.turns) == 23
    assert {round(angle / 20.0) * 20.0 for angle, _ in stays(delivered)} == {-20.0, 0.0, 20.0}
    # At one degree a minute each end is blurred by what it takes to be sure of a change:
    # 2.5 degrees allowed and 4.5 added at most, so 7 min of the 20 at either end.
    assert all(6 * 60.0 <= turn.end - turn.start <= 20 * 60.0 for turn in delivered.turns)


def test_a_level_that_reads_beside_zero_is_named():
    times, angles = readings(24.0)
    found = read(written(times, angles + 4.0)).findings
    assert [finding.kind for finding in found] == [FindingKind.OFFSET]


def test_radians_taken_for_degrees_are_noticed():
    times, angles = readings(24.0, noise_deg=0.0)
    noise = np.random.default_rng(1).normal(0.0, 0.05, times.shape)
    found = read(written(times, np.deg2rad(angles) + noise)).findings
    assert [finding.kind for finding in found] == [FindingKind.NEVER_TURNED]


def test_a_raised_backrest_cuts_a_stay_but_makes_no_turn():
    mapped = epoch_map()
    mapped = type(mapped)(
        mapped.time,
        mapped.angle,
        mapped.positive_means,
        backrest=AngleColumn("back", AngleUnit.DEG),
    )
    lines = ["time,angle,back"]
    for minute in range(120):
        raised = 45.0 if 40 <= minute < 80 else 5.0
        lines.append(f"{START + 60 * minute},{0.1 * (minute % 3)},{raised}")
    delivered = read_delivered(lines, mapped, now=NOW)
    backs = [round(deg_from_radians(p.backrest)) for p in delivered.series.postures]
    assert backs == [5, 45, 5]
    assert delivered.turns == ()


def test_a_change_during_silence_is_no_turn_that_was_seen():
    times, angles = readings(4.0)
    heard = ~((times > START + 3000.0) & (times < START + 4200.0))
    assert len(read(written(times[heard], angles[heard])).turns) == 2


def test_unknown_spans_cut_segments_and_touch_nothing_else():
    one = Segment(0.0, 100.0, Validity.KNOWN, 0.3, 0.0, 0.0)
    parts = with_unknown((one,), [(20.0, 30.0), (25.0, 40.0), (90.0, 200.0)])
    shown = [(p.start, p.end, p.validity is Validity.UNKNOWN) for p in parts]
    assert shown == [
        (0.0, 20.0, False),
        (20.0, 40.0, True),
        (40.0, 90.0, False),
        (90.0, 100.0, True),
    ]
