"""What a site's load is measured against."""

import numpy as np
import pytest

from leeward.terms.errors import InvalidInput
from leeward.terms.site import REFERENCE_SITES, Site
from leeward.tissue.reference_load import common_reference, load_ratios, reference_load

SITES = (*REFERENCE_SITES, Site.LEFT_TROCHANTER)


def test_level_on_the_regimes_mattress_every_well_loaded_site_has_ratio_one():
    level = np.array([[5000.0, 4000.0, 4000.0, 3500.0, 3500.0, 0.0]])
    ratio = load_ratios(level[:, np.newaxis, :], level, SITES)
    np.testing.assert_allclose(ratio[0, 0, :5], 1.0)


def test_a_site_unloaded_at_level_is_measured_against_the_common_load():
    level = np.array([[5000.0, 4000.0, 4000.0, 3500.0, 3500.0, 0.0]])
    ratio = load_ratios([[[0.0, 0.0, 0.0, 0.0, 0.0, 8000.0]]], level, SITES)
    assert ratio[0, 0, 5] == pytest.approx(2.0)


def test_the_reference_has_no_jump():
    own = np.linspace(0.0, 8000.0, 4001)
    assert np.abs(np.diff(reference_load(own, 4000.0))).max() < 6.0


def test_the_common_load_is_the_mean_of_the_sites_that_are_known():
    level = [[5000.0, np.nan, 4000.0, np.nan, 3000.0, 9000.0]]
    assert common_reference(level, SITES).tolist() == [4000.0]


def test_without_any_known_level_load_no_ratio_is_known():
    ratio = load_ratios(np.full((1, 1, 6), 100.0), np.full((1, 6), np.nan), SITES)
    assert np.isnan(ratio).all()


def test_an_unknown_load_stays_unknown():
    level = np.full((1, 6), 4000.0)
    load = level[:, np.newaxis, :].copy()
    load[0, 0, 2] = np.nan
    assert np.isnan(load_ratios(load, level, SITES)[0, 0]).tolist() == [0, 0, 1, 0, 0, 0]


def test_every_draw_has_its_own_reference():
    level = np.array([[4000.0] * 6, [2000.0] * 6])
    ratio = load_ratios(np.full((2, 1, 6), 2000.0), level, SITES)
    assert ratio[:, 0, 0].tolist() == [0.5, 1.0]


@pytest.mark.parametrize(
    "level",
    [
        np.zeros((1, 6)),
        np.full((1, 6), -1.0),
        np.array([[1.0, 1.0, 1.0, 1.0, 1.0, -1.0]]),
        np.array([[1.0, 1.0, 1.0, 1.0, 1.0, np.inf]]),
        np.ones((2, 6)),
        np.ones((1, 5)),
    ],
)
def test_levels_that_cannot_be_a_reference_are_refused(level: np.ndarray):
    with pytest.raises(InvalidInput):
        load_ratios(np.ones((1, 1, 6)), level, SITES)


def test_one_draw_that_bears_on_nothing_is_refused():
    with pytest.raises(InvalidInput):
        load_ratios(np.ones((2, 1, 6)), np.array([[1.0] * 6, [0.0] * 6]), SITES)


@pytest.mark.parametrize("load", [np.ones((1, 1, 5)), np.ones((1, 6)), np.full((1, 1, 6), -1.0)])
def test_loads_that_do_not_fit_are_refused(load: np.ndarray):
    with pytest.raises(InvalidInput):
        load_ratios(load, np.ones((1, 6)), SITES)
