"""What must hold of the allowance whatever the day."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from leeward.tissue.allowance import affine_map, day_map, join, steady_peak
from leeward.tissue.law import STANDARD_LAW, AllowanceLaw, use_rate
from leeward.tissue.sensitivity import law_draws


def steady_course(durations, ratio):
    days = day_map(durations, ratio)
    return days.at_edges(days.steady_start())


def propagate(durations, ratio, start):
    return affine_map(durations, ratio).at_edges(start)


@st.composite
def days(draw: st.DrawFn, shortest: float = 60.0) -> tuple[np.ndarray, np.ndarray]:
    count = draw(st.integers(1, 8))
    lengths = st.lists(st.floats(shortest, 20000.0), min_size=count, max_size=count)
    ratios = st.lists(st.floats(0.0, 1.6), min_size=count, max_size=count)
    return np.array(draw(lengths)), np.array(draw(ratios))[:, np.newaxis]


@st.composite
def relieved_days(draw: st.DrawFn) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    durations, ratio = draw(days())
    shares = st.lists(st.floats(0.0, 1.0), min_size=len(ratio), max_size=len(ratio))
    return durations, ratio, ratio * np.array(draw(shares))[:, np.newaxis]


@given(relieved_days())
def test_more_relief_never_raises_the_peak(day):
    durations, ratio, relieved = day
    before = steady_peak(durations, ratio)
    assert (steady_peak(durations, relieved) <= before + 1e-12).all()


@given(days())
def test_the_allowance_is_never_negative_nor_above_what_the_heaviest_load_allows(day):
    durations, ratio = day
    most = use_rate(ratio.max()) / STANDARD_LAW.loaded_recovery
    assert (steady_course(durations, ratio) >= 0.0).all()
    assert (steady_peak(durations, ratio) <= most + 1e-12).all()


@given(days())
def test_no_edge_of_the_course_is_above_the_peak(day):
    # Course and peak are added up in another order: some hundred roundings of 1e-16 each.
    assert (steady_course(*day).max(axis=0) <= steady_peak(*day) * (1.0 + 1e-13)).all()


@given(days(), st.integers(0, 7), st.sampled_from(law_draws(6)))
def test_one_day_alone_has_the_peak_it_has_among_others(day, number: int, law: AllowanceLaw):
    durations, ratio = day
    durations = np.append(durations, 0.0)
    ratio = np.concatenate((np.hstack((ratio, 0.7 * ratio)), [[np.nan, np.nan]]))
    ratio[number % len(durations), 1] = np.nan
    among_others = steady_peak(durations[np.newaxis], ratio[np.newaxis], law)[0]
    np.testing.assert_allclose(steady_peak(durations, ratio, law), among_others, rtol=1e-12)


@given(days(), st.floats(0.1, 10.0))
def test_only_times_relative_to_the_time_constant_matter(day, factor: float):
    durations, ratio = day
    law = AllowanceLaw(
        time_constant=factor * STANDARD_LAW.time_constant, lag=factor * STANDARD_LAW.lag
    )
    scaled = steady_peak(factor * durations, ratio, law)
    np.testing.assert_allclose(scaled, steady_peak(durations, ratio), rtol=1e-9)


@given(days(), st.integers(0, 7))
def test_a_repeating_day_may_begin_at_any_stay(day, shift: int):
    durations, ratio = day
    rotated = steady_peak(np.roll(durations, shift), np.roll(ratio, shift, axis=0))
    np.testing.assert_allclose(rotated, steady_peak(durations, ratio), rtol=1e-12, atol=1e-12)


@given(days(), st.integers(0, 7), st.floats(0.01, 0.99))
def test_cutting_a_stay_in_two_changes_nothing(day, place: int, share: float):
    durations, ratio = day
    place %= len(durations)
    cut = np.insert(durations, place, share * durations[place])
    cut[place + 1] = (1.0 - share) * durations[place]
    twice = np.insert(ratio, place, ratio[place], axis=0)
    np.testing.assert_allclose(steady_peak(cut, twice), steady_peak(durations, ratio), rtol=1e-9)


@given(days(), st.integers(1, 7), st.floats(0.0, 4.0))
def test_two_windows_joined_are_one_longer_window(day, place: int, start: float):
    durations, ratio = day
    place = min(place, len(durations) - 1)
    if place == 0:
        return
    whole = affine_map(durations, ratio)
    first = affine_map(durations[:place], ratio[:place])
    second = affine_map(durations[place:], ratio[place:], before=first.after)
    joined = join(first, second)
    np.testing.assert_allclose(joined.course([start]), whole.course([start]), atol=1e-12)
    np.testing.assert_allclose(joined.peak([start]), whole.peak([start]), atol=1e-12)


@given(days(), st.floats(0.0, 4.0), st.floats(0.0, 4.0))
def test_two_beginnings_draw_together(day, one: float, other: float):
    durations, ratio = day
    ends = [propagate(durations, ratio, [start])[-1, 0] for start in (one, other)]
    most = np.exp(-STANDARD_LAW.loaded_recovery * durations.sum() / STANDARD_LAW.time_constant)
    assert abs(ends[0] - ends[1]) <= abs(one - other) * most + 1e-12


@given(days(), st.integers(0, 7))
def test_an_unknown_load_never_gives_a_number(day, place: int):
    durations, ratio = day
    ratio[place % len(ratio)] = np.nan
    assert np.isnan(steady_peak(durations, ratio)).all()
    assert np.isnan(steady_course(durations, ratio)).all()


@given(days(shortest=300.0))
def test_the_peak_lies_at_the_end_of_a_part(day):
    """Cut finely, no instant of the day is found above the closed form's peak."""
    durations, ratio = day
    fine = np.repeat(durations / 50, 50)
    course = steady_course(fine, np.repeat(ratio, 50, axis=0))
    assert (course.max(axis=0) <= steady_peak(durations, ratio) + 1e-9).all()
