"""The closed form of the allowance against a plain loop, day after day."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from leeward.terms.errors import InvalidInput
from leeward.tissue.allowance import affine_map, day_map, join, steady_peak
from leeward.tissue.lag import settled
from leeward.tissue.law import STANDARD_LAW, AllowanceLaw

HOUR = 3600.0
T, RHO, K0, LAG = 7200.0, 0.25, math.log(10.0) / 0.75, 300.0


def plain_rate(q: float) -> float:
    """The rate of use, written a second time."""
    if q < 0.05:
        return math.sqrt(0.05) * q / 0.05
    return math.sqrt(q) if q < 1.0 else q**1.1


def plain_cycling(durations: list[float], ratios: list[float], days: int) -> float:
    """Largest allowance of the last of many equal days, every load looked up in the past."""
    edges = np.concatenate(([0.0], np.cumsum(durations * (days + 1))))
    loads = ratios * (days + 1)
    allowance, peaks = 0.0, [0.0] * (days + 1)
    for number, q in enumerate(loads):
        begin, end = edges[number], edges[number + 1]
        recent = int(np.searchsorted(edges, begin - LAG, side="right"))
        ended = {float(t) + LAG for t in edges[recent : number + 1] if t + LAG < end}
        for stop in sorted({*ended, float(end)}):
            middle = (begin + stop) / 2.0
            first = int(np.searchsorted(edges, max(middle - LAG, 0.0), side="right")) - 1
            k = RHO + K0 * max(0.0, 1.0 - max(loads[first : number + 1]))
            target = plain_rate(q) / k
            allowance = target + (allowance - target) * math.exp(-k * (stop - begin) / T)
            day = number // len(ratios)
            begin, peaks[day] = stop, max(peaks[day], allowance)
    return peaks[-1]


def steady_course(durations, ratios):
    days = day_map(durations, ratios)
    return days.at_edges(days.steady_start())


def propagate(durations, ratios, start):
    return affine_map(durations, ratios).at_edges(start)


DAYS = {
    "two-hourly sides": ([7200.0] * 12, [1.0, 0.3, 0.95] * 4),
    "one stay": ([24 * HOUR], [1.0]),
    "a cut stay shorter than the lag": ([7200.0] * 11 + [7080.0, 120.0], [1.2, 0.5] * 6 + [0.1]),
    "steps down within one lag": ([7000.0, 100.0, 100.0, 7200.0] * 6, [1.0, 0.6, 0.3, 0.0] * 6),
    "a day of 23 h": ([2 * HOUR] * 11 + [HOUR], [0.9, 0.2, 1.4] * 4),
    "a day of 25 h": ([2.5 * HOUR] * 10, [0.9, 0.03] * 5),
    "a last stay much heavier than the first": ([10 * HOUR, 14 * HOUR], [0.1, 1.3]),
}


@pytest.mark.parametrize("name", DAYS)
def test_the_closed_form_equals_cycling_day_after_day(name: str):
    durations, ratios = DAYS[name]
    closed = steady_peak(durations, np.array(ratios)[:, np.newaxis])
    assert closed[0] == pytest.approx(plain_cycling(durations, ratios, days=60), abs=1e-9)


@given(st.lists(st.tuples(st.floats(30.0, 20000.0), st.floats(0.0, 1.5)), min_size=1, max_size=7))
def test_the_closed_form_equals_cycling_whatever_the_day(segments: list[tuple[float, float]]):
    durations, ratios = map(list, zip(*segments, strict=True))
    days = math.ceil(26.0 * T / RHO / sum(durations)) + 3
    closed = steady_peak(durations, np.array(ratios)[:, np.newaxis])
    assert closed[0] == pytest.approx(plain_cycling(durations, ratios, days), abs=1e-9)


def test_a_segment_obeys_the_law_as_a_differential_equation():
    q, start = 0.4, 2.0

    def slope(_: float, allowance: np.ndarray) -> np.ndarray:
        return (math.sqrt(q) - allowance * (RHO + K0 * (1.0 - q))) / T

    solved = solve_ivp(slope, (0.0, 5400.0), [start], rtol=1e-11, atol=1e-12).y[0, -1]
    assert propagate([5400.0], [[q]], [start])[-1, 0] == pytest.approx(solved, abs=1e-9)


def test_level_for_ever_uses_four_times_what_one_time_constant_of_it_uses():
    assert steady_peak([24 * HOUR], [[1.0]])[0] == pytest.approx(1.0 / RHO, abs=1e-12)


def test_the_peak_of_a_lag_is_not_missed():
    """Just after a step down a site barely recovers yet still bears: the peak is at its end."""
    durations, ratios = [600.0, 86400.0 - 600.0], np.array([[1.0], [0.9]])
    course = steady_course(durations, ratios)
    assert steady_peak(durations, ratios)[0] > course.max() + 1e-3


def test_windows_join_to_the_day_they_make_up():
    durations = np.array([3000.0, 4000.0, 200.0, 5000.0])
    ratios = np.array([[1.0], [0.4], [0.2], [0.9]])
    first = affine_map(durations[:3], ratios[:3])
    whole = affine_map(durations, ratios)
    joined = join(first, affine_map(durations[3:], ratios[3:], before=first.after))
    np.testing.assert_allclose(joined.course([0.7]), whole.course([0.7]), rtol=0, atol=1e-12)


def test_one_evening_joins_many_nights_at_once():
    evening = affine_map([3600.0], [[1.0, 0.5]])
    nights = affine_map([1800.0, 1800.0], np.full((5, 2, 2), 0.6), before=evening.after)
    assert join(evening, nights).at_edges([1.0, 1.0]).shape == (5, 4, 2)


def test_a_split_stay_is_the_same_stay():
    whole = steady_peak([7200.0, 7200.0], [[1.0], [0.3]])
    split = steady_peak([7200.0, 120.0, 7080.0], [[1.0], [0.3], [0.3]])
    np.testing.assert_allclose(split, whole, rtol=0, atol=1e-12)


def test_padding_changes_nothing_even_where_its_load_is_unknown():
    plain = steady_peak([7200.0, 7200.0], [[1.0], [0.3]])
    padded = steady_peak([7200.0, 0.0, 7200.0, 0.0], [[1.0], [np.nan], [0.3], [0.0]])
    np.testing.assert_allclose(padded, plain, rtol=0, atol=1e-12)


@pytest.mark.parametrize("place", range(5))
def test_padding_is_no_predecessor_wherever_it_stands(place: int):
    """Each stay but one is a step down from the one before; padding must not come between."""
    durations, ratio = np.array([7200.0, 6000.0, 5000.0, 4000.0]), np.array([0.6, 0.4, 0.2, 0.9])
    padded = steady_peak(
        np.insert(durations, place, 0.0), np.insert(ratio, place, 1.5)[:, np.newaxis]
    )
    plain = steady_peak(durations, ratio[:, np.newaxis])
    np.testing.assert_allclose(padded, plain, rtol=0, atol=1e-12)
    course = propagate(np.insert(durations, place, 0.0), np.insert(ratio, place, 1.5)[:, None], [1])
    kept = np.delete(course, place + 1, axis=0)
    np.testing.assert_allclose(kept, propagate(durations, ratio[:, None], [1]), rtol=0, atol=1e-12)


def test_recovery_goes_by_the_heaviest_load_of_the_last_minutes():
    """A movement in small steps is late by the lag, just as one in a single step is."""
    moving = np.linspace(1.0, 0.2, 61)[1:]
    durations, loads = np.full(60, 10.0), moving[:, np.newaxis]
    course = affine_map(durations, loads, before=settled(np.array([1.0]), STANDARD_LAW))
    allowance = 2.0
    for number, q in enumerate(moving):
        held = 1.0 if number < 30 else moving[number - 30]
        k = RHO + K0 * (1.0 - held)
        target = plain_rate(q) / k
        allowance = target + (allowance - target) * math.exp(-k * 10.0 / T)
    assert course.end([2.0])[0] == pytest.approx(allowance, abs=1e-12)


def test_an_unknown_load_leaves_no_number_at_its_site_and_spares_the_others():
    peak = steady_peak([7200.0, 7200.0], [[1.0, 1.0], [np.nan, 0.3]])
    assert np.isnan(peak[0])
    assert np.isfinite(peak[1])


def test_after_an_unknown_load_a_real_day_is_unknown():
    course = propagate([3600.0, 3600.0, 3600.0], [[1.0], [np.nan], [0.2]], [0.0])
    assert np.isfinite(course[:2, 0]).all()
    assert np.isnan(course[2:, 0]).all()


def test_a_real_row_of_days_settles_into_the_repeating_day():
    durations, ratios = [7200.0, 7200.0, 7200.0], [[1.0], [0.3], [0.8]]
    repeated = propagate(durations * 40, ratios * 40, [0.0])[-4:]
    np.testing.assert_allclose(repeated, steady_course(durations, ratios), rtol=0, atol=1e-12)


def test_days_of_many_candidates_are_computed_at_once():
    ratios = np.random.default_rng(3).uniform(0.0, 1.3, (4, 5, 2))
    durations = np.random.default_rng(4).uniform(600.0, 9000.0, (4, 5))
    together = steady_peak(durations, ratios)
    apart = [steady_peak(d, q) for d, q in zip(durations, ratios, strict=True)]
    np.testing.assert_allclose(together, apart, rtol=0, atol=1e-13)


def test_the_steady_start_comes_back_at_the_end():
    whole = day_map([7200.0, 3600.0], [[1.1], [0.4]])
    start = whole.steady_start()
    np.testing.assert_allclose(whole.end(start), start, rtol=0, atol=1e-13)


@pytest.mark.parametrize(
    ("durations", "ratios"),
    [
        ([-1.0], [[1.0]]),
        ([np.nan], [[1.0]]),
        ([60.0], [[-0.1]]),
        ([60.0], [[np.inf]]),
        ([60.0, 60.0], [[1.0]]),
        ([0.0], [[1.0]]),
        ([60.0, np.inf], [[1.0], [1.0]]),
        ([60.0, -1.0], [[1.0], [1.0]]),
        ([60.0, 60.0], [[1.0], [-0.1]]),
        ([60.0, 60.0], [[1.0], [np.inf]]),
        ([], np.empty((0, 1))),
        ([60.0], [1.0]),
        ([[60.0], [0.0]], [[[1.0]], [[1.0]]]),
    ],
)
def test_what_cannot_be_a_day_is_refused(durations: list[float], ratios: list[list[float]]):
    with pytest.raises(InvalidInput):
        steady_peak(durations, ratios)


@pytest.mark.parametrize(
    "numbers",
    [
        {"time_constant": 0.0},
        {"loaded_recovery": 0.0},
        {"relief_recovery": -0.1},
        {"lag": -1.0},
        {"loaded_recovery": math.nan},
    ],
)
def test_a_law_that_does_not_recover_is_refused(numbers: dict[str, float]):
    with pytest.raises(InvalidInput):
        AllowanceLaw(**numbers)
