import math
from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from leeward.programme.cycles import cycle_count, families, turn_options
from leeward.programme.settable import (
    TURN_BEYOND_THE_UNIT,
    beyond_the_unit,
    grid,
    needed_postures,
    settable,
    stay_edges,
)
from leeward.programme.turn_limits import is_barred, largest_turn
from leeward.programme.windows import day_windows
from leeward.terms.equipment import Order, SurfaceKind
from leeward.terms.limits import Limit
from leeward.terms.person import Line, SignedReason, TurnLimit
from leeward.terms.posture import Posture, Support
from leeward.terms.posture_limits import PostureLimits
from leeward.terms.regime import Policy
from leeward.terms.site import Side
from leeward.terms.units import deg_from_radians, radians_from_deg
from tests.unit.programme import invented

SIGNED = SignedReason("Invented nurse", date(2026, 3, 1), "open sacral wound")


def settings(given, *edges: Limit):
    windows = day_windows(given, given.equipment.ability)
    return settable(given, given.equipment, windows, edges)


def in_deg(turns):
    return [round(deg_from_radians(turn), 6) for turn in turns]


def test_a_grid_ends_at_the_last_value_inside_its_range():
    assert grid(5.0, 29.0, 10.0) == (5.0, 15.0, 25.0)
    assert grid(5.0, 4.0, 1.0) == ()
    assert grid(5.0, 30.0, 0.0) == (5.0,)


def test_a_grid_does_not_lose_its_end_to_rounding():
    assert len(grid(radians_from_deg(10.0), radians_from_deg(30.0), radians_from_deg(0.1))) == 201


def test_the_plain_unit_offers_its_whole_range():
    found = settings(invented.case())
    assert in_deg(found.left) == in_deg(found.right) == [10.0, 20.0, 30.0]
    assert found.stays == (1800.0, 3600.0, 5400.0, 7200.0)


@pytest.mark.parametrize("side", Side)
def test_the_persons_limit_cuts_one_side_only(side):
    limited = invented.person(turn_limits=(TurnLimit(side, radians_from_deg(20.0), "sore hip"),))
    given = invented.case(invented.unit(turns_may_differ=True), person=limited)
    found = settings(given)
    cut, whole = (found.left, found.right) if side is Side.LEFT else (found.right, found.left)
    assert in_deg(cut) == [10.0, 20.0]
    assert in_deg(whole) == [10.0, 20.0, 30.0]


def test_where_turns_must_be_equal_the_smaller_side_rules_both():
    limited = invented.person(
        turn_limits=(TurnLimit(Side.LEFT, radians_from_deg(20.0), "sore hip"),)
    )
    found = settings(invented.case(person=limited))
    assert in_deg(found.left) == in_deg(found.right) == [10.0, 20.0]


def test_a_barred_side_leaves_one_sided_orders_only():
    barred = invented.person(turn_limits=(TurnLimit(Side.RIGHT, 0.0, "unstable right hip"),))
    given = invented.case(person=barred)
    assert is_barred(given, Side.RIGHT)
    assert not is_barred(given, Side.LEFT)
    assert [family.order for family in families(settings(given))] == [Order.LEFT_LEVEL]


def test_one_sided_orders_are_not_offered_while_both_sides_can_be_turned_to():
    orders = [family.order for family in families(settings(invented.case()))]
    assert orders == [Order.LEFT_LEVEL_RIGHT_LEVEL, Order.LEFT_RIGHT]


def test_the_slack_of_a_line_cuts_the_turn_it_was_checked_for():
    tube = Line("catheter", Side.LEFT, radians_from_deg(15.0), None)
    given = invented.case(person=invented.person(lines=(tube,)))
    edge = largest_turn(given, given.equipment, Side.LEFT, Posture())
    assert "catheter" in edge.source
    free = largest_turn(given, given.equipment, Side.RIGHT, Posture())
    assert "catheter" not in free.source


def test_a_limit_found_at_the_bed_is_obeyed_with_its_edge():
    inside = Limit(radians_from_deg(20.0), "rad", "rail", inclusive=False)
    given = invented.case(posture_limits=PostureLimits(turn_left=(inside,)))
    assert in_deg(settings(given).left) == [10.0]


@pytest.mark.parametrize(("friction", "largest"), [(None, 10.0), (0.4, 30.0)])
def test_a_whole_surface_above_15_degrees_needs_a_measured_friction(friction, largest):
    given = invented.case(invented.unit(SurfaceKind.WHOLE))
    given = replace(given, bed=replace(given.bed, friction=friction))
    assert in_deg(settings(given).left)[-1] == largest


def test_a_whole_surface_above_15_degrees_may_have_a_support_on_the_low_side_instead():
    given = invented.case(invented.unit(SurfaceKind.WHOLE))
    given = replace(given, bed=replace(given.bed, friction=None))
    propped = Posture(supports=frozenset({Support.BOLSTER_LEFT}))
    towards_support = largest_turn(given, given.equipment, Side.LEFT, propped)
    away = largest_turn(given, given.equipment, Side.RIGHT, propped)
    assert in_deg([towards_support.value, away.value]) == [30.0, 15.0]


def test_no_level_stays_leaves_going_from_side_to_side():
    given = invented.case(person=invented.person(no_level_stays=SIGNED))
    assert settings(given).orders == (Order.LEFT_RIGHT,)


def test_the_policy_and_the_longest_stay_seen_clear_cut_the_stays():
    policy = Policy("Invented policy", "invented", 5400.0, 0.5)
    given = invented.case(policy=policy)
    assert settings(given, *stay_edges(given, math.inf)).stays == (1800.0, 3600.0, 5400.0)
    assert settings(given, *stay_edges(given, 3600.0)).stays == (1800.0, 3600.0)
    assert stay_edges(invented.case(), None) == ()


def test_only_a_unit_that_lets_them_differ_gets_different_turns_and_stays():
    alike = cycle_count(settings(invented.case()))
    turns = cycle_count(settings(invented.case(invented.unit(turns_may_differ=True))))
    stays = cycle_count(settings(invented.case(invented.unit(stays_may_differ=True))))
    assert alike == 3 * 4 * 4 + 3 * 4
    assert turns == 9 * 4 * 4 + 9 * 4
    assert stays == 3 * 4 * 4 * 4 + 3 * 4 * 4


def test_without_a_free_level_stay_it_is_as_long_as_the_side_stays():
    given = invented.case(invented.unit(level_stay_may_differ=False))
    (four_places, _) = families(settings(given))
    assert bool((four_places.stays == four_places.stays[:, :1]).all())


def test_an_option_that_may_not_be_used_is_in_no_cycle():
    given = settings(invented.case())
    usable = np.ones(len(turn_options(given)), dtype=bool)
    usable[0] = False
    left = families(given, usable)
    assert [family.order for family in left] == [Order.LEFT_RIGHT]


def test_needed_postures_hold_every_settable_turn_of_every_window_once_and_one_beyond():
    postures = needed_postures(invented.case())
    assert len(postures) == len(set(postures)) == 9
    settable = [-30, -20, -10, 0, 10, 20, 30]
    assert sorted(in_deg(posture.turn for posture in postures)) == [-40, *settable, 40]


def test_one_turn_beyond_a_unit_of_small_reach_is_looked_at():
    small = invented.unit(
        largest_turn_left=radians_from_deg(20.0), largest_turn_right=radians_from_deg(20.0)
    )
    given = invented.case(small)
    assert beyond_the_unit(given, small, Side.LEFT, Posture()) == TURN_BEYOND_THE_UNIT
    assert TURN_BEYOND_THE_UNIT in [posture.turn for posture in needed_postures(given)]


def test_no_turn_beyond_the_unit_is_looked_at_where_the_person_may_not_be_turned_so_far():
    small = invented.unit(
        largest_turn_left=radians_from_deg(20.0), largest_turn_right=radians_from_deg(20.0)
    )
    limited = invented.person(
        turn_limits=(TurnLimit(Side.LEFT, radians_from_deg(25.0), "sore hip"),)
    )
    given = invented.case(small, person=limited)
    assert beyond_the_unit(given, small, Side.LEFT, Posture()) is None
