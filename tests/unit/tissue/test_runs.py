"""Longest unbroken times."""

import numpy as np
import pytest

from leeward.tissue.runs import longest_loaded, longest_relief, longest_seen_loaded

HOUR = 3600.0
DAY = 24 * HOUR


def column(*ratios: float) -> np.ndarray:
    return np.array(ratios)[:, np.newaxis]


def test_relief_in_neighbouring_stays_adds_up():
    found = longest_relief([HOUR] * 4, column(1.0, 0.5, 0.9, 1.0), repeats=False)
    assert found.tolist() == [2 * HOUR]


def test_relief_runs_on_from_the_end_of_a_cycle_into_its_start():
    ratios = column(0.5, 1.0, 0.5)
    assert longest_relief([HOUR] * 3, ratios, repeats=True).tolist() == [2 * HOUR]
    assert longest_relief([HOUR] * 3, ratios, repeats=False).tolist() == [HOUR]


def test_a_site_never_loaded_is_relieved_all_day_and_never_longer():
    assert longest_relief([DAY], column(0.0), repeats=True).tolist() == [DAY]
    assert longest_relief([HOUR], column(0.0), repeats=True).tolist() == [DAY]


def test_an_unknown_load_is_neither_relief_nor_proof_of_load():
    ratios = column(1.0, np.nan, 0.5)
    assert longest_relief([HOUR] * 3, ratios, repeats=True).tolist() == [HOUR]
    assert longest_loaded([HOUR] * 3, ratios).tolist() == [2 * HOUR]
    assert longest_seen_loaded([HOUR] * 3, ratios).tolist() == [HOUR]


def test_a_site_never_relieved_is_loaded_all_day_however_short_the_cycle():
    assert longest_loaded([2 * HOUR, 2 * HOUR], column(1.0, 0.95)).tolist() == [DAY]
    assert longest_seen_loaded([2 * HOUR, 2 * HOUR], column(1.0, 0.95)).tolist() == [DAY]


def test_a_prescribed_posture_neither_counts_nor_breaks_a_run():
    found = longest_loaded([HOUR] * 4, column(1.0, 1.0, 1.0, 0.2), exempt=[0, 1, 0, 0])
    assert found.tolist() == [2 * HOUR]


def test_a_prescribed_posture_that_relieves_does_break_a_run():
    found = longest_loaded([HOUR] * 4, column(1.0, 0.2, 1.0, 0.2), exempt=[0, 1, 0, 0])
    assert found.tolist() == [HOUR]


def test_padding_neither_counts_nor_breaks_a_run():
    found = longest_loaded([HOUR, 0.0, HOUR, HOUR], column(1.0, 0.0, 1.0, 0.0))
    assert found.tolist() == [2 * HOUR]


@pytest.mark.parametrize(("ratio", "relieved"), [(0.9, True), (0.9 + 1e-9, False)])
def test_the_edge_itself_is_relief(ratio: float, relieved: bool):
    found = longest_relief([HOUR, HOUR], column(1.0, ratio), repeats=True)
    assert bool(found[0] > 0.0) is relieved
    assert bool(longest_seen_loaded([HOUR, HOUR], column(0.1, ratio))[0] > 0.0) is not relieved


def test_padding_does_not_end_what_never_ends():
    assert longest_loaded([HOUR, 0.0, HOUR], column(1.0, 0.0, 1.0)).tolist() == [DAY]


def test_many_candidates_at_once_are_each_one_apart():
    ratios = np.random.default_rng(1).uniform(0.5, 1.2, (6, 9, 3))
    durations = np.random.default_rng(2).uniform(0.0, HOUR, (6, 9))
    together = longest_loaded(durations, ratios)
    apart = [longest_loaded(d, q) for d, q in zip(durations, ratios, strict=True)]
    np.testing.assert_allclose(together, apart)
