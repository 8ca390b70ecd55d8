"""A body that finds no rest from its layout is begun again from one that did."""

from dataclasses import replace

import numpy as np

from leeward.contact.equilibrium import settle
from leeward.contact.loads import posture_loads
from leeward.contact.other_starts import FAR, settle_from_layout
from leeward.contact.pose import joint_places
from leeward.contact.scenarios import Arms
from leeward.contact.setting import Room, anchored, first_pose, lay_down, make_room
from leeward.terms.body import RestAngles
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Posture
from leeward.terms.units import radians_from_deg
from tests.unit.contact.bodies import MAN, SPLIT, UNDESCRIBED, request

LEVEL = Posture()
ROUNDED = replace(MAN, rest_angles=RestAngles(trunk_flexion=radians_from_deg(60.0)))


def room_of(body) -> Room:
    asked = request(body, SPLIT, (LEVEL,), scenarios=9)
    return make_room(body, UNDESCRIBED, SPLIT, asked.scenarios)


def laid(room: Room):
    count = len(room.scenarios)
    lying = lay_down(room, LEVEL, np.zeros(count), np.arange(count))
    pose = first_pose(lying)
    joint, _ = joint_places(pose, room.figure.link)
    return anchored(lying, pose, joint, release=True), pose


def test_a_rounded_back_lies_level_however_its_arms_lie():
    table = posture_loads(request(ROUNDED, SPLIT, (LEVEL,), scenarios=9))
    assert {scenario.arms for scenario in table.scenarios} == set(Arms)
    assert (table.state == EquilibriumState.STABLE).all()


def test_bodies_that_do_not_rest_from_the_layout_are_brought_to_rest():
    lying, pose = laid(room_of(ROUNDED))
    from_layout, found = settle(lying, pose, FAR), settle_from_layout(lying, pose)
    assert not from_layout.is_solved.all()
    assert found.is_solved.all()
    at_once = from_layout.is_solved
    assert np.array_equal(found.pose.place[at_once], from_layout.pose.place[at_once])


def test_a_straight_body_is_settled_as_ever():
    lying, pose = laid(room_of(MAN))
    from_layout, found = settle(lying, pose, FAR), settle_from_layout(lying, pose)
    assert np.array_equal(found.pose.rotation, from_layout.pose.rotation)
    assert np.array_equal(found.steps, from_layout.steps)


def test_a_rounded_back_is_laid_on_its_middle_and_the_legs_along_the_bed():
    _, pose = laid(room_of(ROUNDED))
    pelvis, chest = pose.rotation[0, 0], pose.rotation[0, 2]
    assert np.arctan2(pelvis[2, 1], pelvis[2, 2]) < -0.3
    assert np.arctan2(chest[2, 1], chest[2, 2]) > 0.3
    assert abs(pose.rotation[0, 4][2, 1]) < 0.1
