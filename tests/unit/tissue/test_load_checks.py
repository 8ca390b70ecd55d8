"""How far load ratios can be trusted as numbers: noise and interpolation, measured."""

from dataclasses import replace
from functools import cache

import pytest

from leeward.terms.units import radians_from_deg
from leeward.tissue.demand import KNOTS_A_SIDE, demand
from leeward.tissue.load_checks import interpolation_error, load_noise
from tests.unit.tissue.lain import ASKED, CASE, COMPARED, found, turned

#: Noise of a load ratio that no comparison may rest on. [-] Convention of this project.
BOUND = 0.005


@cache
def many_turns():
    """More turns than are solved: some are interpolated."""
    postures = tuple(turned(2.5 * number) for number in range(2 * KNOTS_A_SIDE + 1))
    return demand(CASE, COMPARED, [], postures[: KNOTS_A_SIDE + 5])


def test_the_noise_is_measured_and_below_its_bound():
    assert 0.0 < load_noise(CASE, found()) < BOUND


def test_nothing_that_turns_has_no_noise_to_measure():
    level = replace(found(), ratios=replace(found().ratios, postures=(ASKED[0],) * len(ASKED)))
    assert load_noise(CASE, level) == 0.0


def test_where_every_turn_was_solved_nothing_was_interpolated():
    assert interpolation_error(CASE, found()) == 0.0


def test_the_error_of_interpolated_turns_is_measured_against_direct_solves():
    error = interpolation_error(CASE, many_turns())
    assert 0.0 < error < 0.05


def test_a_spoiled_table_is_noticed():
    table = many_turns().tables[0]
    knot = table.postures.index(turned(0.0))
    load = table.patch_load.copy()
    load[:, knot] *= 1.3
    spoiled = replace(many_turns(), tables=(replace(table, patch_load=load),))
    assert interpolation_error(CASE, spoiled) > 2.0 * interpolation_error(CASE, many_turns())


def test_the_neighbours_lie_within_what_is_turned():
    assert radians_from_deg(0.5) < 0.5 * max(p.turn for p in found().ratios.postures)


@pytest.mark.parametrize("check", [load_noise, interpolation_error])
def test_a_check_gives_the_same_twice(check):
    assert check(CASE, found()) == check(CASE, found())
