"""Blocks, pillows and the tilt of the whole bed change where a body comes to rest."""

import math
from dataclasses import replace

import numpy as np
import pytest

from leeward.contact.loads import posture_loads
from leeward.contact.setting import lay_down, make_room
from leeward.contact.side_supports import block_faces, blocks_used, knees_apart
from leeward.terms.bed import Bed, Pillows
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.equipment import SurfaceGeometry
from leeward.terms.errors import CannotCompute
from leeward.terms.posture import Posture, Support
from leeward.terms.site import Site
from leeward.terms.supports import Block, FixedTo
from tests.unit.contact.bodies import MAN, SPLIT, WHOLE, request, turned

TRUNK = (Support.TRUNK_BLOCK_LEFT, Support.TRUNK_BLOCK_RIGHT)
LEGS = (Support.LEG_BLOCK_LEFT, Support.LEG_BLOCK_RIGHT)
CALVES = frozenset({Support.PILLOW_UNDER_CALVES})


def with_blocks(fixed_to: FixedTo = FixedTo.SURFACE, **sizes: float) -> Bed:
    return Bed(blocks=tuple(Block(one, fixed_to, **sizes) for one in (*TRUNK, *LEGS)))


def solved(surface: SurfaceGeometry | None, *postures: Posture, bed: Bed | None = None):
    return posture_loads(request(MAN, surface, postures, 1, with_blocks() if bed is None else bed))


def load(table, site: Site, posture: int = 0) -> float:
    return float(table.patch_load[0, posture, table.sites.index(site)])


def test_blocks_hold_a_body_that_would_roll_and_slide():
    bare, held = turned(25), turned(25, supports=frozenset(TRUNK + LEGS))
    table = solved(WHOLE, bare, held)
    assert table.state[0, 0] != EquilibriumState.STABLE
    assert table.state[0, 1] == EquilibriumState.STABLE


def test_a_body_beside_blocks_lies_as_without_them_until_it_is_turned():
    bare, held = turned(0), turned(0, supports=frozenset(TRUNK))
    table = solved(SPLIT, bare, held)
    np.testing.assert_allclose(table.patch_load[0, 1], table.patch_load[0, 0], atol=1.0)


def test_a_block_on_the_left_does_for_a_left_turn_what_one_on_the_right_does_for_a_right_turn():
    """1 Pa: both are solved, by steps that stop at 1e-8 of body weight."""
    left = turned(20, supports=frozenset({Support.TRUNK_BLOCK_LEFT}))
    right = turned(-20, supports=frozenset({Support.TRUNK_BLOCK_RIGHT}))
    table = solved(WHOLE, left, right)
    mirrored = [table.sites.index(site.mirrored) for site in table.sites]
    np.testing.assert_allclose(table.patch_load[0, 0], table.patch_load[0, 1][mirrored], atol=1.0)
    assert load(table, Site.LEFT_TROCHANTER, 0) > 0.0


@pytest.mark.parametrize(
    ("fixed_to", "rises"), [(FixedTo.SURFACE, True), (FixedTo.PLATFORM, False)]
)
def test_a_block_rises_with_the_raised_half_only_where_it_is_fixed_to_it(
    fixed_to: FixedTo, rises: bool
):
    """Turned to the left the right half rises; the left block stands where it stood."""
    turn, line = np.array([0.4]), np.zeros(1)
    blocks = with_blocks(fixed_to, distance=0.25, height=0.3).blocks[:2]
    layout = make_room(MAN, Bed(), SPLIT, request(MAN, SPLIT, ()).scenarios).figure.layout
    (_, left), (_, right) = block_faces(blocks, layout, turn, line)
    assert left.depth(np.array([[[0.30], [0.0], [0.1]]]))[0, 0] > 0.01
    across, up = -0.30 * math.cos(0.4), 0.30 * math.sin(0.4)
    lifted = np.array([[[across + 0.1 * math.sin(0.4)], [0.0], [up + 0.1 * math.cos(0.4)]]])
    assert bool(right.depth(lifted)[0, 0] > 0.01) is rises


def test_a_body_may_roll_over_a_low_block():
    over = np.array([[[0.30], [0.0], [0.12]]])
    layout = make_room(MAN, Bed(), SPLIT, request(MAN, SPLIT, ()).scenarios).figure.layout
    for height, is_inside in ((0.10, False), (0.20, True)):
        block = Block(Support.TRUNK_BLOCK_LEFT, FixedTo.PLATFORM, 0.25, height)
        ((_, face),) = block_faces((block,), layout, np.zeros(1), np.zeros(1))
        assert bool(face.depth(over)[0, 0] > 0.0) is is_inside


@pytest.mark.parametrize(
    ("bed", "said"),
    [(Bed(), "nobody wrote what holds it"), (with_blocks(FixedTo.NOTHING), "laid loosely")],
)
def test_a_block_nothing_is_known_to_hold_gives_no_loads(bed: Bed, said: str):
    posture = turned(10, supports=frozenset(TRUNK))
    with pytest.raises(CannotCompute, match=said):
        posture_loads(request(MAN, SPLIT, (posture,), 1, bed))


def test_only_the_blocks_a_posture_uses_are_put_up():
    used = blocks_used(with_blocks(), turned(0, supports=frozenset({LEGS[0]})))
    assert [block.support for block in used] == [LEGS[0]]


def test_heels_float_only_on_a_pillow_that_is_thick_enough_and_the_calves_then_bear_more():
    plain = solved(SPLIT, turned(0), bed=Bed())
    thin, thick = (
        solved(SPLIT, turned(0, supports=CALVES), bed=Bed(pillows=Pillows(calves=height)))
        for height in (0.01, 0.10)
    )
    heel, calf = Site.LEFT_HEEL, Site.LEFT_CALF
    assert 0.0 < load(thin, heel) < load(plain, heel)
    assert load(thick, heel) == 0.0
    assert load(thick, calf) > load(plain, calf)


def test_a_thicker_head_pillow_is_felt_at_the_head():
    flat, high = (
        solved(SPLIT, turned(0), bed=Bed(pillows=Pillows(head=height))) for height in (0.0, 0.15)
    )
    assert load(flat, Site.OCCIPUT) != pytest.approx(load(high, Site.OCCIPUT), rel=0.01)


def test_a_pillow_between_the_knees_holds_them_apart_by_its_thickness():
    posture = turned(0, supports=frozenset({Support.PILLOW_BETWEEN_KNEES}))
    bed = Bed(pillows=Pillows(knees=0.16))
    asked = request(MAN, SPLIT, (posture,), 1, bed)
    room = make_room(MAN, bed, SPLIT, asked.scenarios)
    apart = knees_apart(bed, posture, room.figure.layout)
    assert 0.0 < apart < 0.2
    none, one = np.zeros(1), np.zeros(1, dtype=np.intp)
    held = lay_down(room, posture, none, one).joints.rest
    free = lay_down(room, turned(0), none, one).joints.rest
    assert not np.allclose(held, free)
    assert knees_apart(bed, turned(0), room.figure.layout) == 0.0


def test_tilting_the_whole_bed_carries_the_hips_down_its_slope_or_slides():
    up, down = Posture(head_up=0.2), Posture(head_up=-0.2)
    gripping = solved(SPLIT, up, down, bed=Bed(friction=0.5))
    along = gripping.pose.place[0, :, 1]
    assert along[0] < -0.003
    assert along[1] > 0.003
    slippery = solved(SPLIT, up, down, bed=Bed(friction=0.15))
    assert set(slippery.state[0]) == {EquilibriumState.SLIDES}


def test_a_backrest_slides_a_person_down_on_a_slippery_sheet():
    raised = Posture(backrest=0.7)
    slippery = solved(SPLIT, raised, bed=Bed(friction=0.12))
    gripping = solved(SPLIT, raised, bed=Bed(friction=0.8))
    assert slippery.state[0, 0] == EquilibriumState.SLIDES
    assert gripping.state[0, 0] == EquilibriumState.STABLE
    assert replace(raised, head_up=0.0) in gripping.postures
