"""Body and foam in balance together: what the front door gives."""

from dataclasses import replace

import numpy as np
import pytest

from leeward.contact import coupled_pressure as front_door
from leeward.contact.balance import find_balance
from leeward.contact.continuation import follow_turns
from leeward.contact.coupled_bed import mattress_table, tissue_tables
from leeward.contact.coupled_foam import GRID_STEP, LATERAL_STIFFNESS
from leeward.contact.coupled_local import settle_locally
from leeward.contact.coupled_pressure import (
    balance_jointly,
    coupled_map,
    coupled_pressure,
    lie_down,
)
from leeward.contact.foam import pressure_at_depth
from leeward.contact.loads import posture_loads
from leeward.contact.pressure_map import LOCAL_CELL, PEAK_CELL, PressureMap
from leeward.contact.readings import roll_of, segment_shares
from leeward.contact.setting import Room, lay_down, with_anchors
from leeward.contact.stand import Stand
from leeward.terms.bed import Bed, Layer, LayerKind
from leeward.terms.body import Body, Limb, Sex
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Support
from leeward.terms.site import Side, Site
from leeward.terms.units import pascal_from_mmhg
from tests.unit.contact.bodies import BENT, MAN, SPLIT, WHOLE, request, turned

WEIGHT = 80.0 * 9.80665


def coupled(degrees: float, body=MAN, surface=SPLIT, **others) -> PressureMap:
    """The map of one posture of one body, at the likeliest."""
    posture = turned(degrees, **others)
    room, stand = lie_down(request(body, surface, (posture,)), 0, posture)
    return coupled_map(room, posture, stand)


@pytest.fixture(scope="module")
def lain() -> tuple[Room, Stand]:
    """The body flat and level, before foam is coupled."""
    return lie_down(request(MAN, SPLIT, (turned(0),)), 0, turned(0))


@pytest.fixture(scope="module")
def level(lain: tuple[Room, Stand]) -> PressureMap:
    return coupled_map(lain[0], turned(0), lain[1])


@pytest.fixture(scope="module")
def left() -> PressureMap:
    return coupled(20)


@pytest.mark.parametrize(
    ("degrees", "others"),
    [(0, {}), (30, {}), (10, {"backrest": 0.5}), (0, {"backrest": 0.8})],
)
def test_body_and_foam_are_in_balance_together(degrees: float, others: dict):
    """1e-6 of body weight each, as promised; the weight itself far within 0.01 %."""
    found = coupled(degrees, **others)
    assert found.state is EquilibriumState.STABLE
    assert found.body_residual < 1e-6
    assert found.foam_residual < 1e-6
    assert found.weight_error < 1e-5


def test_the_squares_of_a_level_map_bear_the_weight(level: PressureMap):
    """0.01 % of weight."""
    assert level.normal_force == pytest.approx(WEIGHT, rel=1e-4)


def test_what_the_squares_bear_the_foam_bears(lain, level: PressureMap):
    """Pasternak's shear layer moves load about; what columns bear adds up to the weight."""
    room, _ = lain
    table = mattress_table(room.bed, room.scenarios[0].foam_scale)
    sunk = level.deflection.ravel()
    pressure, _ = pressure_at_depth(table, np.zeros(sunk.size, dtype=np.intp), sunk)
    # the rim of the grid is held: it takes a little
    assert pressure.sum() * level.cell**2 == pytest.approx(WEIGHT, rel=0.005)


@pytest.mark.parametrize("body", [MAN, Body(1.70, 130.0, Sex.FEMALE)])
def test_skin_covers_the_squares_under_it_evenly(body: Body):
    """Well inside the print half of the squares are covered to within 5 %: no lines in a map."""
    room, stand = lie_down(request(body, SPLIT, (turned(0),)), 0, turned(0))
    bed, joint = balance_jointly(room, turned(0), stand, LATERAL_STIFFNESS.value, GRID_STEP)
    covered = joint.touch.under.to_nodes(joint.touch.met.facing, bed.grid.count) / GRID_STEP**2
    whole = np.zeros((2, *bed.grid.shape))
    whole.reshape(2, -1)[:, bed.grid.active] = joint.deflection, covered
    deep = whole[0] > 0.015
    middle = deep[1:-1, 1:-1] & deep[:-2, 1:-1] & deep[2:, 1:-1] & deep[1:-1, :-2] & deep[1:-1, 2:]
    inside = whole[1, 1:-1, 1:-1][middle]
    assert inside.size > 100
    assert np.all(np.abs(np.percentile(inside, [25, 50, 75]) - 1.0) < 0.05)


def test_a_symmetric_body_has_a_symmetric_map(level: PressureMap):
    assert level.across == pytest.approx(-level.across[::-1])
    assert level.pressure == pytest.approx(level.pressure[:, ::-1], abs=0.5)
    assert level.shear_across == pytest.approx(-level.shear_across[:, ::-1], abs=0.5)


def test_turned_to_the_right_is_the_mirror_image_of_turned_to_the_left(left: PressureMap):
    right = coupled(-20)
    assert right.pelvis_roll == pytest.approx(-left.pelvis_roll, abs=1e-5)
    for site in left.sites:
        image = right.at(site.site.mirrored)
        assert image.patch_load == pytest.approx(site.patch_load, abs=0.5)
        assert image.shear_along == pytest.approx(site.shear_along, abs=0.5)
        assert image.shear_across == pytest.approx(-site.shear_across, abs=0.5)


def test_turned_to_the_left_the_right_scapula_is_relieved(left: PressureMap, level: PressureMap):
    assert left.at(Site.RIGHT_SCAPULA).patch_load < 0.9 * level.at(Site.RIGHT_SCAPULA).patch_load
    assert left.at(Site.LEFT_SCAPULA).patch_load > level.at(Site.LEFT_SCAPULA).patch_load


@pytest.mark.parametrize("bed", [Bed(), Bed(layers=(Layer(LayerKind.OVERLAY, 0.05),))])
def test_mattress_and_tissue_taken_apart_are_the_series_law_taken_together(bed: Bed):
    """20 Pa: each table is interpolated by itself, the tissue's over steep ground."""
    asked = request(MAN, SPLIT, (turned(0),), 1, bed)
    soft = replace(asked.scenarios[0], tissue_thickness=1.2, tissue_stiffness=0.8, pillow=0.9)
    room, _ = lie_down(replace(asked, scenarios=(soft,)), 0, turned(0))
    mattress = mattress_table(room.bed, room.scenarios[0].foam_scale)
    tissues = tissue_tables(room.bed, room.scenarios[0].softness)
    for row in range(len(tissues)):
        which = np.full(40, row)
        sunk, dent = np.linspace(0.002, 0.08, 40), np.zeros(40)
        wanted, _ = pressure_at_depth(mattress, np.zeros(40, dtype=np.intp), sunk)
        for _ in range(60):
            found, slope = pressure_at_depth(tissues, which, dent)
            dent = np.maximum(dent - (found - wanted) / slope, 0.0)
        together, _ = pressure_at_depth(room.tables, which, sunk + dent)
        np.testing.assert_allclose(together, wanted, atol=20.0)


@pytest.mark.parametrize("degrees", [0, 20])
def test_without_lateral_stiffness_the_uncoupled_balance_comes_back(degrees: float):
    """1 point of load, 0.4 degrees, 1.2 mm: foam is shared by a 28 mm point and its neighbours.

    Other spacings of points and squares move the pelvis between -1.2 and 1.5 mm: a newton
    more on it moves it by 0.17 mm.
    """
    posture = turned(degrees)
    room, stand = lie_down(request(MAN, SPLIT, (posture,)), 0, posture)
    lying = with_anchors(lay_down(room, posture, stand.turn, stand.which), stand.anchors)
    uncoupled = segment_shares(find_balance(lying, stand.pose), 1)[0]
    _, joint = balance_jointly(room, posture, stand, 0.1, GRID_STEP)
    assert joint.is_solved
    assert segment_shares(joint.touch.balance, 1)[0] == pytest.approx(uncoupled, abs=0.01)
    assert joint.pose.place[0] == pytest.approx(stand.pose.place[0], abs=1.2e-3)
    roll = roll_of(joint.pose.rotation[0, 0]) - roll_of(stand.pose.rotation[0, 0])
    assert abs(np.degrees(roll)) < 0.4


def test_stiffer_sideways_presses_harder_on_less_skin(lain, level: PressureMap):
    room, stand = lain
    stiff = coupled_map(room, turned(0), stand, lateral=LATERAL_STIFFNESS.high)
    assert stiff.at(Site.SACRUM).peak.pressure > 1.02 * level.at(Site.SACRUM).peak.pressure
    assert stiff.contact_area <= level.contact_area


def test_a_grid_twice_as_fine_moves_a_site_by_a_thirtieth_and_a_heel_by_a_sixteenth(lain, level):
    """Measured: 2.6 %; a heel is small for the squares: 5.4 %, 3.8 to 5.6 at other spacings."""
    room, stand = lain
    fine = coupled_map(room, turned(0), stand, step=0.5 * GRID_STEP)
    loaded = [site for site in level.sites if site.patch_load > 1000.0]
    assert len(loaded) > 8
    for site in loaded:
        within = 1 / 16 if "heel" in site.site else 1 / 30
        assert fine.at(site.site).patch_load == pytest.approx(site.patch_load, rel=within)
        assert fine.at(site.site).peak.pressure == pytest.approx(site.peak.pressure, rel=within)


@pytest.mark.parametrize("site", [Site.LEFT_HEEL, Site.OCCIPUT])
def test_a_local_grid_twice_as_fine_moves_a_small_bones_peak_by_a_fiftieth(lain, site: Site):
    (room, stand), posture = lain, turned(0)
    bed, joint = balance_jointly(room, posture, stand, LATERAL_STIFFNESS.value, GRID_STEP)
    patch = next(patch for patch in room.figure.patches if patch.site is site)
    peaks = [
        settle_locally((room, posture), bed, joint, (patch,), step)[0]
        .peak(LOCAL_CELL.value)
        .pressure
        for step in (0.010, 0.005)
    ]
    assert peaks[0] == pytest.approx(peaks[1], rel=0.02)


def test_every_peak_has_its_cell(level: PressureMap):
    small = {
        Site.OCCIPUT, Site.LEFT_HEEL, Site.RIGHT_HEEL, Site.LEFT_OUTER_ANKLE,
        Site.RIGHT_OUTER_ANKLE,
    }  # fmt: skip
    for site in level.sites:
        assert site.peak.cell == PEAK_CELL.value
        assert (site.local_peak is not None) == (site.site in small)
        if site.local_peak is not None:
            assert site.local_peak.cell == LOCAL_CELL.value


def test_over_a_small_cell_a_heel_presses_harder_than_over_a_large_one(level: PressureMap):
    """1.38 times: a relaxed knee puts so much on the heel that it sinks in over its whole width."""
    heel = level.at(Site.LEFT_HEEL)
    assert heel.local_peak.pressure > 1.3 * heel.peak.pressure


def test_ears_are_unknown_and_not_zero(level: PressureMap):
    assert level.at(Site.LEFT_EAR) is None


def test_a_heel_in_a_device_is_unknown():
    bed = Bed(layers=(Layer(LayerKind.HEEL_DEVICE),))
    room, stand = lie_down(request(MAN, SPLIT, (turned(0),), 1, bed), 0, turned(0))
    found = coupled_map(room, turned(0), stand)
    assert found.at(Site.LEFT_HEEL) is None
    assert {Site.LEFT_HEEL, Site.RIGHT_HEEL, Site.LEFT_EAR} <= set(found.unknown)


def test_a_pillow_under_the_calves_takes_load_off_the_heels(level: PressureMap):
    found = coupled(0, supports=frozenset({Support.PILLOW_UNDER_CALVES}))
    assert found.body_residual < 1e-6
    assert found.at(Site.LEFT_HEEL).patch_load < 0.5 * level.at(Site.LEFT_HEEL).patch_load


def test_a_bolster_bears_its_part_uncoupled():
    """On a whole surface at 25 degrees; without one the body would not lie there."""
    found = coupled(25, surface=WHOLE, supports=frozenset({Support.BOLSTER_LEFT}))
    assert found.state is EquilibriumState.STABLE
    assert found.body_residual < 1e-6
    assert found.normal_force < 0.98 * WEIGHT * np.cos(np.radians(25))


def test_friction_holds_a_sitting_body_up_the_bed(level: PressureMap):
    """The bed drags the skin of the seat towards the head, more with every step of the backrest."""
    along = [level.at(Site.COCCYX).shear_along]
    along += [coupled(0, backrest=angle).at(Site.COCCYX).shear_along for angle in (0.26, 0.52)]
    assert along[0] < 100.0 < along[1] < along[2]


def test_friction_nowhere_exceeds_what_the_pressure_gives(left: PressureMap):
    friction = request(MAN, SPLIT, (turned(20),)).scenarios[0].friction
    sheared = np.hypot(left.shear_across, left.shear_along)
    assert np.all(sheared <= friction * left.pressure + 1e-6)


def test_load_ratios_of_neighbouring_turns_do_not_jump():
    """Second differences from half degree to half degree stay below 0.005 of the level load."""
    turns = np.radians([12.0, 12.5, 13.0, 13.5])
    room, level = lie_down(request(BENT, SPLIT, (turned(0),)), 0, turned(0))
    stands = follow_turns(room, turned(0), level, turns)
    found = [
        coupled_map(room, turned(np.degrees(turn)), stand)
        for turn, stand in zip(turns, stands, strict=True)
    ]
    loads = np.array([[site.patch_load for site in one.sites] for one in found])
    reference = pascal_from_mmhg(24.0)
    assert np.abs(np.diff(loads, 2, axis=0)).max() / reference < 0.005


def test_the_front_door_gives_the_map_of_a_posture_in_the_table(left: PressureMap):
    asked = request(MAN, SPLIT, (turned(0), turned(20)))
    found = coupled_pressure(asked, posture_loads(asked), 0, turned(20))
    assert found.scenario == "central"
    assert found.pressure == pytest.approx(left.pressure, abs=0.5)
    assert {outline.segment for outline in found.outlines} >= {"pelvis", "left foot"}


@pytest.mark.parametrize("body", [MAN, BENT])
def test_a_table_keeps_what_a_map_starts_from(body: Body, monkeypatch: pytest.MonkeyPatch):
    """To 1e-9 of the load: nothing but the order of sums differs."""
    both = (turned(20), turned(-20))
    asked = request(body, SPLIT, both, 2)
    table = posture_loads(asked)
    walked = []
    for posture in both:
        room, stand = lie_down(asked, 0, posture)
        walked.append(coupled_map(room, posture, stand))
    monkeypatch.setattr(front_door, "lie_down", None)
    for posture, expected in zip(both, walked, strict=True):
        found = coupled_pressure(asked, table.part((posture,)), 0, posture)
        assert np.abs(found.pressure - expected.pressure).max() < 1e-5
        loads = [[site.patch_load for site in one.sites] for one in (found, expected)]
        assert np.allclose(*loads, rtol=1e-9, atol=1e-6)


def test_a_corner_that_a_table_did_not_keep_is_walked_to():
    asked = request(MAN, SPLIT, (turned(0),), 2)
    found = coupled_pressure(asked, posture_loads(asked), 1, turned(0))
    assert found.scenario == asked.scenarios[1].name
    assert found.state is EquilibriumState.STABLE


def test_an_outline_goes_round_its_segment_once(level: PressureMap):
    pelvis = next(one for one in level.outlines if one.segment == "pelvis")
    x, y = np.array(pelvis.corners).T
    sides = np.stack([np.roll(x, -1) - x, np.roll(y, -1) - y])
    before = np.roll(sides, 1, axis=1)
    turns = before[0] * sides[1] - before[1] * sides[0]
    assert len(pelvis.corners) > 20
    assert np.all(turns > 0.0)


def test_a_body_that_slides_has_no_map():
    asked = request(MAN, WHOLE, (turned(40),))
    found = coupled_pressure(asked, posture_loads(asked), 0, turned(40))
    assert found.state is EquilibriumState.SLIDES
    assert found.sites == ()
    assert found.pressure.size == 0
    assert np.isnan(found.body_residual)


def test_a_missing_leg_bears_nothing_and_the_rest_is_in_balance():
    body = replace(MAN, missing=frozenset({Limb.LEFT_LEG_ABOVE_KNEE}))
    found = coupled(10, body)
    assert found.body_residual < 1e-6
    assert found.at(Site.LEFT_HEEL) is None
    assert all(site.site.side is not Side.LEFT or "heel" not in site.site for site in found.sites)
