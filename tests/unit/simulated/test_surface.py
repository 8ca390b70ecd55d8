"""The invented surface goes where it is told, at its speed, and its faults do what they say."""

import math

import numpy as np
import pytest

from examples.simulated.faults import (
    ExchangedSides,
    Fault,
    FrozenSensor,
    Offset,
    Pause,
    PowerLoss,
    SilentSensor,
    StoppedForCare,
)
from examples.simulated.log import Unit, simulate
from examples.simulated.sensor import Readings, Sensor
from examples.simulated.surface import Command, Stay, commands_of, course_of

HOUR = 3600.0
THIRTY = math.radians(30.0)
SPEED = THIRTY / 600.0
DAY = [Stay(turn, HOUR) for turn in (THIRTY, 0.0, -THIRTY, 0.0)] * 6
EXACT = Sensor(interval=60.0, noise=0.0, quantum=0.0)


def log(*faults: Fault, sensor: Sensor = EXACT, seed: int = 1) -> Readings:
    return simulate(DAY, np.random.default_rng(seed), unit=Unit(SPEED, sensor), faults=faults)


def turn_at(readings: Readings, time: float) -> float:
    return float(np.interp(time, readings.times, readings.turns))


def test_the_surface_moves_at_its_speed_and_waits():
    course = course_of(commands_of(DAY), 24 * HOUR, SPEED)
    assert course.at(np.array([0.0, 300.0, 600.0, HOUR])) == pytest.approx(
        [0.0, THIRTY / 2, THIRTY, THIRTY]
    )
    assert course.at(np.array([2.5 * HOUR])) == pytest.approx([-THIRTY])


def test_a_stay_shorter_than_the_movement_is_never_reached():
    course = course_of((Command(0.0, THIRTY), Command(300.0, 0.0)), HOUR, SPEED)
    assert float(course.turns.max()) == pytest.approx(THIRTY / 2)


def test_a_pause_makes_everything_later():
    paused = log(Pause(0.5 * HOUR, 2 * HOUR))
    assert turn_at(paused, 2.4 * HOUR) == pytest.approx(THIRTY)
    assert turn_at(paused, 3.5 * HOUR) == pytest.approx(0.0)
    assert turn_at(paused, 4.9 * HOUR) == pytest.approx(-THIRTY)


def test_a_pause_in_mid_movement_waits_half_way():
    assert turn_at(log(Pause(300.0, HOUR)), 0.9 * HOUR) == pytest.approx(THIRTY / 2)


def test_stopped_for_care_stays_level_until_somebody_starts_it():
    never = log(StoppedForCare(4.5 * HOUR))
    assert np.abs(never.turns[never.times > 5 * HOUR]).max() == 0.0
    late = log(StoppedForCare(4.5 * HOUR, restarted=10.5 * HOUR))
    assert turn_at(late, 10.4 * HOUR) == pytest.approx(0.0)
    assert turn_at(late, 10.9 * HOUR) == pytest.approx(-THIRTY)


@pytest.mark.parametrize(("goes_on", "after"), [(True, -THIRTY), (False, 0.0)])
def test_a_power_loss_is_silent_and_then_goes_on_or_stays_level(goes_on: bool, after: float):
    lost = log(PowerLoss(4.5 * HOUR, 2 * HOUR, goes_on=goes_on))
    assert not np.any((lost.times >= 4.5 * HOUR) & (lost.times < 6.5 * HOUR))
    assert turn_at(lost, 6.5 * HOUR) == pytest.approx(THIRTY, abs=0.01)
    assert turn_at(lost, 10.9 * HOUR) == pytest.approx(after)


def test_a_silent_sensor_leaves_out_lines_or_readings():
    silent = log(SilentSensor(HOUR, HOUR))
    assert len(silent.times) == len(log().times) - 60
    empty = log(SilentSensor(HOUR, HOUR, writes_empty_lines=True))
    assert int(np.isnan(empty.turns).sum()) == 60


def test_exchanged_sides_change_the_sign_from_their_start_on():
    exchanged = log(ExchangedSides(HOUR))
    assert turn_at(exchanged, 0.5 * HOUR) == pytest.approx(THIRTY)
    assert turn_at(exchanged, 2.5 * HOUR) == pytest.approx(THIRTY)


def test_an_offset_moves_every_reading_after_it():
    assert log(Offset(0.0, 0.1)).turns == pytest.approx(log().turns + 0.1)


def test_a_frozen_sensor_repeats_one_reading():
    frozen = log(FrozenSensor(HOUR, 3 * HOUR), sensor=Sensor(interval=60.0))
    during = frozen.turns[(frozen.times >= HOUR) & (frozen.times < 4 * HOUR)]
    assert len(set(during.tolist())) == 1
    assert log(FrozenSensor(48 * HOUR, HOUR)).turns == pytest.approx(log().turns)


def test_faults_add_up():
    both = log(StoppedForCare(4.5 * HOUR), Offset(0.0, 0.1))
    assert turn_at(both, 12.5 * HOUR) == pytest.approx(0.1)


def test_noise_drift_and_rounding_are_those_asked_for():
    sensor = Sensor(interval=10.0, noise=0.02, quantum=0.0, drift=1e-6)
    spoiled = log(sensor=sensor).turns - log(sensor=Sensor(10.0, noise=0.0, quantum=0.0)).turns
    times = np.arange(0.0, 24 * HOUR, 10.0)
    slope, zero = np.polyfit(times, spoiled, 1)
    # Of 8640 readings: the slope is known to 1e-8 rad/s, the deviation to 1 %.
    assert slope == pytest.approx(1e-6, abs=5e-8)
    assert float(np.std(spoiled - slope * times - zero)) == pytest.approx(0.02, rel=0.04)
    steps = log(sensor=Sensor(quantum=0.01)).turns / 0.01
    assert steps == pytest.approx(np.round(steps))


def test_irregular_sampling_keeps_its_order_and_loses_its_share():
    shaken = log(sensor=Sensor(interval=10.0, jitter=0.45, lost=0.2))
    assert bool((np.diff(shaken.times) > 0.0).all())
    # Of 8640 lines, 1728 lost: 3 % is four standard deviations.
    assert len(shaken.times) == pytest.approx(8640 * 0.8, rel=0.03)
    assert float(np.diff(shaken.times).std()) > 2.0


def test_one_seed_gives_one_log():
    ordinary = Sensor(jitter=0.3, lost=0.1)
    one, same, other = (log(sensor=ordinary, seed=seed) for seed in (1, 1, 2))
    assert one.turns.tolist() == same.turns.tolist()
    assert one.times.tolist() == same.times.tolist()
    assert one.turns.tolist() != other.turns.tolist()
