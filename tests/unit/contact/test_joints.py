"""Joints at rest and away from it."""

from dataclasses import replace

import numpy as np
import pytest

from leeward.contact.joints import (
    Joints,
    joint_moments,
    joints_at_rest,
    laid_straight,
    relaxed_segments,
)
from leeward.contact.pose import Pose
from leeward.contact.rotation import rotation_from_vector
from leeward.contact.scenarios import corner_scenarios
from leeward.contact.segments import COUNT, INDEX, PARENT
from leeward.contact.setting import first_pose, lay_down, make_room
from leeward.terms.bed import Bed
from leeward.terms.body import Body, RestAngles, Sex
from leeward.terms.posture import Posture
from tests.unit.contact.bodies import BENT, MAN

STRAIGHT = joints_at_rest(MAN, on_trunk=True)


def bent(vectors: np.ndarray) -> tuple[Joints, Pose]:
    rest, stiffness = STRAIGHT
    pose = Pose(np.zeros((1, 3)), rotation_from_vector(vectors)[None])
    return Joints(rest[None], stiffness[None]), pose


def work(vectors: np.ndarray) -> np.ndarray:
    joints, pose = bent(vectors)
    return joint_moments(joints, pose)[0][0]


def test_a_joint_at_rest_does_nothing():
    rest, stiffness = joints_at_rest(BENT, on_trunk=False)
    rotation = np.empty((1, COUNT, 3, 3))
    rotation[:, 0] = np.eye(3)
    for segment in range(1, COUNT):
        rotation[:, segment] = rotation[:, PARENT[segment]] @ rest[segment]
    moment, _, _ = joint_moments(
        Joints(rest[None], stiffness[None]), Pose(np.zeros((1, 3)), rotation)
    )
    np.testing.assert_allclose(moment, 0.0, atol=1e-9)


def test_a_bent_joint_pushes_back():
    vectors = np.zeros((COUNT, 3))
    vectors[INDEX["head"], 0] = 0.1
    moment = work(vectors)[INDEX["head"], 0]
    assert moment == pytest.approx(-24.0 * 0.1 * (1.0 + 8.0 * 0.01))


def test_moments_change_as_their_derivatives_say():
    generator = np.random.default_rng(5)
    vectors = generator.normal(0.0, 0.2, (COUNT, 3))
    joints, pose = bent(vectors)
    _, by_child, by_parent = joint_moments(joints, pose)
    small, child = 1e-6, INDEX["thorax"]
    for segment, slope in ((child, by_child), (PARENT[child], by_parent)):
        turned = []
        for sign in (1.0, -1.0):
            rotation = pose.rotation.copy()
            rotation[0, segment] = (
                rotation_from_vector(np.array([0.0, sign * small, 0.0])) @ rotation[0, segment]
            )
            turned.append(joint_moments(joints, Pose(pose.place, rotation))[0][0, child])
        change = (turned[0] - turned[1]) / (2.0 * small)
        np.testing.assert_allclose(slope[0, child][:, 1], change, atol=1e-6)


@pytest.mark.parametrize("angles", [RestAngles(0.0, 0.0, 1.2, 0.4), RestAngles(0.7, 0.2)])
def test_a_bent_leg_is_laid_with_its_foot_on_the_bed(angles: RestAngles):
    body = Body(1.7, 70.0, Sex.MALE, rest_angles=angles)
    room = make_room(body, Bed(), None, corner_scenarios(Bed(), None, body)[:1])
    lying = lay_down(room, Posture(), np.zeros(1), np.zeros(1, dtype=np.intp))
    pose = first_pose(lying)
    thigh, shank = pose.rotation[0, INDEX["left thigh"]], pose.rotation[0, INDEX["left shank"]]
    figure = room.figure
    ankle = thigh @ figure.link[INDEX["left shank"]] + shank @ figure.link[INDEX["left foot"]]
    assert abs(ankle[2]) < 0.05
    assert (thigh @ figure.link[INDEX["left shank"]])[2] > 0.05


def test_relaxed_legs_are_laid_straight_and_bent_ones_bent():
    body = replace(MAN, rest_angles=RestAngles(left_hip_flexion=0.7))
    rest, stiffness = joints_at_rest(body, True)
    laid = laid_straight(Joints(rest[None], stiffness[None], relaxed_segments(body)))[0]
    np.testing.assert_allclose(laid[INDEX["right thigh"]], np.eye(3))
    assert not np.allclose(rest[INDEX["right thigh"]], np.eye(3))
    np.testing.assert_allclose(laid[INDEX["left thigh"]], rest[INDEX["left thigh"]])


@pytest.mark.parametrize(("hips", "pull"), [(0.25 / 0.39, 3.75), (1.0, 8.65), (0.50 / 0.39, 15.0)])
def test_hips_pull_harder_the_further_bent_they_come_to_rest(hips: float, pull: float):
    """N m on a straight hip: the law of joints at 0.25, 0.39 and 0.50 rad."""
    rest, stiffness = joints_at_rest(Body(1.70, 75.0, Sex.MALE), True, hips)
    straight = Pose(np.zeros((1, 3)), np.tile(np.eye(3), (1, COUNT, 1, 1)))
    moment, _, _ = joint_moments(Joints(rest[None], stiffness[None]), straight)
    assert moment[0, INDEX["left thigh"], 0] == pytest.approx(-pull, abs=0.05)
