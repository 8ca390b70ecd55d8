"""What a large search leaves out: no day with it falls below what is said of it."""

from dataclasses import replace

import numpy as np
import pytest

from leeward.programme import pools
from leeward.programme.least_index import least_index
from leeward.programme.problem import Problem
from leeward.programme.ruled_out import not_joined
from leeward.programme.search import LARGEST_INDEX, Looked, look
from leeward.terms.units import seconds_from_min
from tests.unit.programme import invented
from tests.unit.programme.test_search import DAYS


def some_search(prescribed=(), programmes: int = 2, rise_time: float = 60.0) -> Problem:
    unit = invented.unit(
        programmes_per_day=programmes,
        shortest_stay=seconds_from_min(40.0),
        stay_step=seconds_from_min(40.0),
        rise_time=rise_time,
        turns_may_differ=True,
    )
    case = invented.case(unit)
    return invented.searched(replace(case, day=replace(case.day, prescribed=prescribed)))


def exhaustive(given: Problem) -> Looked:
    """Every day of cycles that keep the guards: nothing left out."""
    looked = look(given)
    assert looked is not None
    assert all(pool.guarded == len(pool.cycles) for pool in looked.pools)
    return looked


def days(looked: Looked) -> set[tuple[bytes, ...]]:
    """What is set in each day that qualifies."""
    able = np.flatnonzero(looked.fits & (looked.index <= LARGEST_INDEX))
    return {
        tuple(
            pool.cycles.options[which].tobytes() + pool.cycles.stays[which].tobytes()
            for pool, which in zip(looked.pools, looked.cycle[place].tolist(), strict=True)
        )
        for place in able
    }


@pytest.mark.parametrize("rise_time", [30.0, 300.0])
@pytest.mark.parametrize("prescribed", DAYS.values(), ids=DAYS)
@pytest.mark.parametrize("programmes", [1, 2])
def test_no_day_falls_below_the_least_index_of_its_cycles(prescribed, programmes, rise_time):
    given = some_search(prescribed, programmes, rise_time)
    looked = exhaustive(given)
    least = least_index(given, tuple(pool.segments for pool in looked.pools))
    bound = np.max([one[looked.cycle[:, n]] for n, one in enumerate(least)], axis=0)
    assert (looked.index >= bound - 1e-12).all()
    # Near enough to tell most of what cannot qualify.
    over = looked.index > LARGEST_INDEX
    assert (bound[over] > LARGEST_INDEX).mean() > 0.5


def test_a_large_search_leaves_out_only_what_cannot_qualify(monkeypatch: pytest.MonkeyPatch):
    given = some_search()
    whole = exhaustive(given)
    able = len(days(whole))
    assert able > 10
    monkeypatch.setattr(pools, "MOST_A_CHAIN", len(whole.pools[0].cycles) - 10)
    limited = look(given)
    assert limited is not None
    assert 0 < len(limited.index) < len(whole.index)
    assert days(limited) == days(whole)
    assert min(pool.least_left_out for pool in limited.pools) > LARGEST_INDEX
    said = not_joined(limited)
    assert said.count > 0
    assert "None of them can qualify" in said.example.sentence


def test_where_even_those_that_may_qualify_are_too_many_the_bound_holds(
    monkeypatch: pytest.MonkeyPatch,
):
    given = some_search()
    whole = exhaustive(given)
    monkeypatch.setattr(pools, "MOST_A_CHAIN", 6)
    limited = look(given)
    assert limited is not None
    assert [len(pool.cycles) for pool in limited.pools] == [6, 6]
    least = min(pool.least_left_out for pool in limited.pools)
    missed = days(whole) - days(limited)
    assert missed
    lowest = whole.index[whole.fits].min()
    assert least <= lowest or limited.index[limited.fits].min() == pytest.approx(lowest)
    assert f"below {least:.3f}" in not_joined(limited).example.sentence


def test_what_was_not_bounded_is_said_to_be_unknown(monkeypatch: pytest.MonkeyPatch):
    given = some_search()
    monkeypatch.setattr(pools, "MOST_A_CHAIN", 6)
    monkeypatch.setattr(pools, "MOST_BOUNDED", 5)
    limited = look(given)
    assert limited is not None
    assert np.isnan([pool.least_left_out for pool in limited.pools]).all()
    assert "was not computed" in not_joined(limited).example.sentence


def test_without_a_day_that_qualifies_the_search_still_has_its_fill(
    monkeypatch: pytest.MonkeyPatch,
):
    given = some_search()
    peaks = given.compared.peaks
    bears_less = replace(peaks, tolerance=0.2 * peaks.tolerance)
    strict = replace(given, compared=replace(given.compared, peaks=bears_less))
    assert not days(exhaustive(strict))
    monkeypatch.setattr(pools, "MOST_A_CHAIN", 6)
    limited = look(strict)
    assert limited is not None
    assert [len(pool.cycles) for pool in limited.pools] == [6, 6]
