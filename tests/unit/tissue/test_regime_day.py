"""A regime unrolled."""

from dataclasses import replace

import pytest

from leeward.terms.bed import Mattress
from leeward.terms.clock import DaySpan
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Posture
from leeward.terms.regime import Regime, RegimeStanding, Stay, TurnMeans
from leeward.tissue.regime_day import longest_stay, regime_series

HOUR = 3600.0
LEVEL, LEFT, RIGHT = Posture(), Posture(turn=0.5), Posture(turn=-0.5)


def regime(cycle: tuple[Stay, ...], night_cycle: tuple[Stay, ...] = ()) -> Regime:
    night = DaySpan(22 * HOUR, 7 * HOUR) if night_cycle else None
    return Regime(
        "by hand",
        RegimeStanding.CLEAR,
        TurnMeans.BY_HAND,
        cycle,
        Mattress(),
        night_cycle=night_cycle,
        night=night,
    )


def test_a_regime_alike_day_and_night_is_its_own_cycle():
    series = regime_series(regime((Stay(LEFT, 2 * HOUR), Stay(RIGHT, 3 * HOUR))))
    assert series.durations.tolist() == [2 * HOUR, 3 * HOUR]


def test_day_and_night_cycles_are_begun_afresh_and_cut():
    series = regime_series(
        regime((Stay(LEFT, 4 * HOUR), Stay(RIGHT, 4 * HOUR)), (Stay(LEVEL, 6 * HOUR),))
    )
    assert series.edges.tolist() == [h * HOUR for h in (7, 11, 15, 19, 22, 28, 31)]
    assert series.postures == (LEFT, RIGHT, LEFT, RIGHT, LEVEL, LEVEL)


def test_equal_neighbours_are_one_stay():
    series = regime_series(
        regime((Stay(LEFT, 4 * HOUR), Stay(RIGHT, 4 * HOUR)), (Stay(LEVEL, 6 * HOUR),))
    )
    assert longest_stay(series.durations, series.postures) == 9 * HOUR


def test_a_stay_across_the_end_of_the_cycle_is_one_stay():
    assert longest_stay([HOUR, HOUR, 2 * HOUR], (LEFT, RIGHT, LEFT)) == 3 * HOUR


def test_one_posture_for_ever_is_a_stay_of_a_day():
    assert longest_stay([2 * HOUR], (LEVEL,)) == 24 * HOUR


SLIPS = [0.0, 1e-9, 59.0, -HOUR, float("nan"), float("inf")]


@pytest.mark.parametrize("slip", SLIPS)
def test_a_regime_with_a_stay_under_a_minute_or_without_end_cannot_be_written_down(slip: float):
    with pytest.raises(InvalidInput, match=r"regime 'by hand': a stay of .* min; expected"):
        regime((Stay(LEFT, HOUR), Stay(RIGHT, slip)))
    with pytest.raises(InvalidInput, match="say for how long the person has lain so"):
        regime((Stay(LEFT, HOUR),), (Stay(LEFT, slip),))


def test_a_stay_of_a_minute_is_a_stay():
    assert regime_series(regime((Stay(LEFT, 60.0),))).durations.tolist() == [60.0]


def test_a_night_cycle_that_nobody_dated_does_not_run():
    undated = replace(regime((Stay(LEFT, HOUR),), (Stay(RIGHT, HOUR),)), night=None)
    assert regime_series(undated).postures == (LEFT,)


def test_a_night_of_24_hours_runs_alone():
    always = replace(regime((Stay(LEFT, HOUR),), (Stay(RIGHT, HOUR),)), night=DaySpan(0.0, 0.0))
    assert regime_series(always).postures == (RIGHT,)


def test_a_cycle_without_stays_is_refused():
    with pytest.raises(InvalidInput, match="a cycle without stays"):
        regime_series(regime(()))
