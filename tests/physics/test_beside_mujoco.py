"""MuJoCo finds no acceleration where leeward finds a balance.

MuJoCo (mujoco.org) has its own tree of bodies, joints and inertias; the forces of foam, friction
and joints put on it are ours.
"""

import mujoco
import numpy as np
import pytest

from bench.contact_mujoco import Beside, man_on_a_plane
from leeward.contact.inertia import mass_matrix
from leeward.contact.pose import joint_places, motion_of_segments
from tests.physics.lying import lying_of, turned


@pytest.mark.parametrize("degrees", [0.0, 15.0, 24.0])
def test_nothing_accelerates_in_our_balance(degrees: float):
    """0.01 m/s^2 or rad/s^2, where letting go of the bed alone would give 9.8."""
    room = man_on_a_plane()
    stand = turned(room, degrees)
    beside = Beside(lying_of(room, stand), stand.pose)
    beside.push()
    mujoco.mj_forward(beside.model, beside.data)
    assert np.abs(beside.data.qacc).max() < 0.01


def test_kinetic_energy_is_the_same():
    """1e-9 of itself, at a random speed."""
    room = man_on_a_plane()
    stand = turned(room, 15.0)
    beside = Beside(lying_of(room, stand), stand.pose)
    beside.data.qvel[:] = np.random.default_rng(5).normal(0.0, 1.0, 45)
    mujoco.mj_forward(beside.model, beside.data)
    mujoco.mj_energyVel(beside.model, beside.data)
    found = beside.speeds()
    speed = np.concatenate([found[0, :3], found[:, 3:].ravel()])
    motion = motion_of_segments(joint_places(stand.pose, room.figure.link)[1])
    mass = mass_matrix(room.figure, stand.pose, motion)[0]
    assert 0.5 * speed @ mass @ speed == pytest.approx(beside.data.energy[1], rel=1e-9)
