"""The stiffness of everything that acts on a body, against central differences."""

import numpy as np
import pytest

from leeward.contact.balance import find_balance
from leeward.terms.posture import Posture, Support
from tests.physics.lying import MAN, SPLIT, WHOLE, lying_of, moved, room_of, turned

BOLSTER = Posture(supports=frozenset({Support.BOLSTER_LEFT, Support.PILLOW_UNDER_CALVES}))


@pytest.mark.parametrize(
    ("surface", "degrees", "posture"),
    [(WHOLE, 15.0, Posture()), (SPLIT, 20.0, Posture()), (WHOLE, 12.0, BOLSTER)],
    ids=["whole", "split", "bolster and pillow"],
)
def test_stiffness_is_the_change_of_the_forces(surface, degrees: float, posture: Posture):
    """1e-5 of the largest entry of each column, away from balance and with friction at work."""
    room = room_of(MAN, surface, 2)
    stand = turned(room, degrees, posture)
    lying = lying_of(room, stand, posture)
    generator = np.random.default_rng(7)
    pose = stand.pose.moved(generator.normal(0.0, 0.004, (2, 45)))
    stiffness = find_balance(lying, pose).stiffness
    for unknown in range(0, 45, 4):
        after = find_balance(lying, moved(pose, unknown, 1e-6)).force
        before = find_balance(lying, moved(pose, unknown, -1e-6)).force
        found = stiffness[:, :, unknown]
        error = np.abs((before - after) / 2e-6 - found).max()
        assert error < 1e-5 * np.abs(found).max()


def test_friction_makes_the_stiffness_unsymmetric():
    room = room_of(MAN, WHOLE)
    lying = lying_of(room, turned(room, 15.0))
    stiffness = find_balance(lying, turned(room, 15.0).pose).stiffness[0]
    assert np.abs(stiffness - stiffness.T).max() > 1e-3 * np.abs(stiffness).max()
