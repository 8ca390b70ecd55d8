"""Loads of a body on a bed."""

from dataclasses import replace

import numpy as np
import pytest

from leeward.contact.load_table import LoadTable
from leeward.contact.loads import posture_loads
from leeward.contact.segments import INDEX
from leeward.terms.bed import Bed, Layer, LayerKind
from leeward.terms.body import Limb
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Place, Posture, Support
from leeward.terms.site import Site
from tests.unit.contact.bodies import BENT, MAN, SPLIT, WHOLE, request, turned

SITES = tuple(Site)


def load(table: LoadTable, posture: Posture, site: Site, scenario: int = 0) -> float:
    return float(table.patch_load[scenario, table.position(posture), SITES.index(site)])


def test_every_asked_posture_and_scenario_has_a_place(split_table: LoadTable):
    assert split_table.patch_load.shape == (3, 6, 30)
    assert split_table.state.shape == (3, 6)
    assert np.all(split_table.state == EquilibriumState.STABLE)


def test_turning_to_the_left_unloads_the_right_side(split_table: LoadTable):
    level, left = turned(0), turned(30)
    assert load(split_table, left, Site.RIGHT_BUTTOCK) < load(
        split_table, level, Site.RIGHT_BUTTOCK
    )
    assert load(split_table, left, Site.RIGHT_SCAPULA) < load(split_table, left, Site.LEFT_SCAPULA)
    assert load(split_table, left, Site.LEFT_TROCHANTER) > 0.0


def test_turning_to_the_right_is_the_mirror_image(split_table: LoadTable):
    for site in (Site.LEFT_BUTTOCK, Site.LEFT_TROCHANTER, Site.SACRUM):
        left = load(split_table, turned(20), site)
        assert load(split_table, turned(-20), site.mirrored) == pytest.approx(left, rel=1e-9)


def test_a_site_the_model_does_not_have_is_unknown_and_not_zero(split_table: LoadTable):
    for site in (Site.LEFT_EAR, Site.RIGHT_TOES, Site.LEFT_INNER_KNEE):
        assert np.isnan(load(split_table, turned(0), site))


def test_shares_of_the_segments_add_up(split_table: LoadTable):
    np.testing.assert_allclose(split_table.segment_share.sum(axis=-1), 1.0)


def test_a_body_rolls_more_than_a_whole_surface_and_less_than_a_split_one(
    split_table: LoadTable, whole_table: LoadTable
):
    whole = whole_table.pelvis_roll_room[0, whole_table.position(turned(20))]
    split = split_table.pelvis_roll_room[0, split_table.position(turned(20))]
    assert split < np.radians(20) < whole


def test_on_a_whole_surface_bed_and_room_differ_by_the_turn(whole_table: LoadTable):
    number = whole_table.position(turned(20))
    apart = whole_table.pelvis_roll_room[0, number] - whole_table.pelvis_roll_bed[0, number]
    assert apart == pytest.approx(np.radians(20), abs=np.radians(1))


def test_what_is_not_stable_has_a_named_state_and_no_loads(whole_table: LoadTable):
    number = whole_table.position(turned(40))
    assert whole_table.state[0, number] == EquilibriumState.SLIDES
    assert np.all(np.isnan(whole_table.patch_load[0, number]))
    assert whole_table.state_everywhere(turned(40)) is EquilibriumState.SLIDES


def test_stable_means_stable_in_every_scenario():
    table = posture_loads(request(MAN, WHOLE, (turned(15),), 17))
    assert table.state[0, 0] == EquilibriumState.STABLE
    # at a friction of 0.2 it slides, or tips just before
    grips = np.array([scenario.friction > 0.3 for scenario in table.scenarios])
    assert np.all(table.state[grips, 0] == EquilibriumState.STABLE)
    assert np.all(table.state[~grips, 0] != EquilibriumState.STABLE)
    assert table.state_everywhere(turned(15)) is not EquilibriumState.STABLE


def test_out_of_bed_is_not_modelled():
    chair = Posture(place=Place.CHAIR)
    table = posture_loads(request(MAN, SPLIT, (chair, turned(0))))
    assert table.state[0].tolist() == [EquilibriumState.NOT_MODELLED, EquilibriumState.STABLE]
    assert np.all(np.isnan(table.patch_load[0, 0]))


def test_a_pillow_under_the_calves_floats_the_heels():
    pillow = Posture(supports=frozenset({Support.PILLOW_UNDER_CALVES}))
    table = posture_loads(request(MAN, SPLIT, (turned(0), pillow)))
    assert load(table, pillow, Site.LEFT_HEEL) == 0.0 < load(table, turned(0), Site.LEFT_HEEL)
    assert load(table, pillow, Site.LEFT_CALF) > 0.0


def test_what_a_heel_device_leaves_on_the_heel_is_unknown():
    bed = Bed(layers=(Layer(LayerKind.HEEL_DEVICE, 0.1),))
    table = posture_loads(request(MAN, SPLIT, (turned(0),), bed=bed))
    assert np.isnan(load(table, turned(0), Site.LEFT_HEEL))
    assert load(table, turned(0), Site.SACRUM) > 0.0


def test_raising_the_backrest_moves_load_from_the_trunk_to_the_thighs():
    up = Posture(backrest=0.7, knee_raise=0.2)
    table = posture_loads(request(MAN, SPLIT, (turned(0), up)))
    legs = [INDEX["left thigh"], INDEX["right thigh"]]
    share = table.segment_share[0][:, legs].sum(axis=-1)
    assert share[1] > share[0] + 0.03
    assert table.segment_share[0, 1, INDEX["abdomen"]] < table.segment_share[0, 0, INDEX["abdomen"]]


def test_a_bolster_on_the_low_side_keeps_the_body_on_a_steeper_plane():
    propped = replace(turned(30), supports=frozenset({Support.BOLSTER_LEFT}))
    bed = Bed(friction=0.6)
    table = posture_loads(request(MAN, WHOLE, (turned(30), propped), bed=bed))
    assert table.state[0].tolist() == [EquilibriumState.TIPS, EquilibriumState.STABLE]


def test_a_contracted_body_is_not_mirrored():
    table = posture_loads(request(BENT, SPLIT, (turned(20), turned(-20))))
    left, right = table.patch_load[0]
    assert load(table, turned(20), Site.LEFT_BUTTOCK) != pytest.approx(
        load(table, turned(-20), Site.RIGHT_BUTTOCK), rel=1e-3
    )
    assert np.isfinite(left).sum() == np.isfinite(right).sum()


def test_a_person_turned_by_hand_rolls_by_about_the_turn():
    """3 degrees: the wedge's slope is set once for all bodies."""
    table = posture_loads(request(MAN, None, (turned(30),)))
    assert np.degrees(table.pelvis_roll_room[0, 0]) == pytest.approx(30.0, abs=3.0)


def test_a_person_without_arms_or_a_leg_still_lies():
    lost = frozenset({Limb.LEFT_ARM, Limb.RIGHT_ARM, Limb.RIGHT_LEG_ABOVE_KNEE})
    table = posture_loads(request(replace(MAN, missing=lost), SPLIT, (turned(0), turned(20)), 3))
    assert np.all(table.state == EquilibriumState.STABLE)
    assert np.isnan(load(table, turned(0), Site.RIGHT_HEEL))
    assert load(table, turned(0), Site.LEFT_HEEL) > 0.0


def test_two_requests_for_one_thing_give_the_same_answer(split_table: LoadTable):
    again = posture_loads(request(MAN, SPLIT, split_table.postures, 3))
    np.testing.assert_array_equal(again.patch_load, split_table.patch_load)


def test_the_answer_to_one_turn_does_not_depend_on_others_asked_with_it(split_table: LoadTable):
    """0.1 Pa: the solver stops at a millionth of body weight."""
    alone = posture_loads(request(MAN, SPLIT, (turned(20),), 3))
    together = split_table.patch_load[:, split_table.position(turned(20))]
    np.testing.assert_allclose(alone.patch_load[:, 0], together, atol=0.1)


def test_a_posture_no_bed_can_make_is_refused():
    with pytest.raises(InvalidInput, match="a bed can make"):
        posture_loads(request(MAN, SPLIT, (turned(80),)))


def test_no_scenario_is_refused():
    with pytest.raises(InvalidInput, match="no scenario"):
        posture_loads(request(MAN, SPLIT, (turned(0),), 0))


def test_turns_that_are_the_same_but_for_rounding_share_an_answer():
    five = turned(5)
    other = five.with_turn(float(np.nextafter(five.turn, 1.0)))
    tiny = five.with_turn(5e-324)
    table = posture_loads(request(MAN, SPLIT, (turned(0), five, other, tiny)))
    np.testing.assert_array_equal(table.patch_load[0, 1], table.patch_load[0, 2])
    np.testing.assert_array_equal(table.patch_load[0, 0], table.patch_load[0, 3])
