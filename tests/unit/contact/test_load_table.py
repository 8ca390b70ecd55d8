"""Loads between the turns that were solved."""

from dataclasses import replace

import numpy as np
import pytest

from leeward.contact.load_table import LoadTable, interpolation_error
from leeward.contact.loads import posture_loads
from leeward.terms.errors import InvalidInput
from leeward.terms.site import REFERENCE_SITES, Site
from tests.unit.contact.bodies import MAN, SPLIT, request, turned

SITES = tuple(Site)
REFERENCE = [SITES.index(site) for site in REFERENCE_SITES]


def test_a_solved_turn_comes_back_as_it_was(split_table: LoadTable):
    found = split_table.interpolated(np.radians([10.0, -20.0]))
    wanted = split_table.patch_load[
        :, [split_table.position(turned(10)), split_table.position(turned(-20))]
    ]
    np.testing.assert_allclose(found, wanted, atol=1e-9)


def test_nothing_is_known_outside_the_solved_turns(split_table: LoadTable):
    assert np.all(np.isnan(split_table.interpolated(np.radians([31.0, -21.0]))))


def test_nothing_is_known_between_a_stable_and_an_unstable_turn(whole_table: LoadTable):
    found = whole_table.interpolated(np.radians([15.0, 25.0]))[0]
    assert np.isfinite(found[0, SITES.index(Site.SACRUM)])
    assert np.all(np.isnan(found[1]))


def test_rounding_never_makes_a_load_negative(split_table: LoadTable):
    """A site that comes free near the largest turn, its load falling to nothing there."""
    turns = [posture.turn for posture in split_table.postures]
    falling = np.where(turns == np.max(turns), 0.0, 10.0 ** -np.argsort(np.argsort(turns)))
    spread = np.random.default_rng(1).uniform(0.5, 1.5, split_table.patch_load.shape)
    table = replace(split_table, patch_load=falling[:, np.newaxis] * spread)
    found = table.interpolated(np.array([max(turns)]))
    assert np.nanmin(found) == 0.0


def test_scenarios_can_be_chosen(split_table: LoadTable):
    found = split_table.interpolated(np.array([0.1]), np.array([2]))
    assert found.shape == (1, 1, 30)
    np.testing.assert_array_equal(found[0], split_table.interpolated(np.array([0.1]))[2])


def test_interpolating_from_5_degree_steps_costs_less_than_half_a_percent():
    """0.005 of the reference load: below that, load ratios are told apart nowhere."""
    knots = posture_loads(request(MAN, SPLIT, tuple(turned(a) for a in range(0, 45, 5)), 2))
    between = tuple(turned(a) for a in (2.5, 7.0, 12.5, 17.0, 22.5, 28.0, 33.0, 37.5))
    direct = posture_loads(request(MAN, SPLIT, between, 2))
    error = interpolation_error(knots, direct)
    reference = np.mean(knots.patch_load[:, 0, REFERENCE])
    assert np.isfinite(error).any()
    assert np.nanmax(np.abs(error)) < 0.005 * reference


def test_loads_vary_smoothly_with_the_turn():
    """Second differences over 1 degree stay below 0.005 of the reference load."""
    table = posture_loads(request(MAN, SPLIT, tuple(turned(a) for a in range(8, 28)), 2))
    reference = np.mean(table.patch_load[:, 0, REFERENCE])
    jumps = np.diff(table.patch_load, n=2, axis=1) / reference
    assert np.nanmax(np.abs(jumps)) < 0.005


def test_tables_over_different_scenarios_are_not_compared(
    split_table: LoadTable, whole_table: LoadTable
):
    with pytest.raises(InvalidInput, match="different scenarios"):
        interpolation_error(split_table, whole_table)


def test_a_posture_that_was_not_asked_for_is_refused(split_table: LoadTable):
    with pytest.raises(InvalidInput, match="no loads were computed"):
        split_table.position(turned(11))
