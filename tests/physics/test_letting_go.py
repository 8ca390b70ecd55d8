"""An independent way to tell stable from not: let the body move as if in treacle, and watch.

No Newton step, no eigenvalue: every unknown drifts along the force that acts on it. A stable body
pushed a little comes back; a body beyond its limit rolls on.
"""

import numpy as np

from leeward.contact.balance import Lying, find_balance
from leeward.contact.pose import Pose
from leeward.contact.readings import roll_of
from leeward.contact.setting import lay_down, with_anchors
from leeward.terms.equilibrium import EquilibriumState
from tests.physics.lying import LEVEL, MAN, WHOLE, lying_of, room_of, turned


def drift(lying: Lying, pose: Pose, steps: int) -> Pose:
    """Overdamped motion; the step keeps the stiffest contact from overshooting."""
    for _ in range(steps):
        balance = find_balance(lying, pose)
        change = np.linalg.solve(balance.scale, balance.force[..., None])[..., 0]
        largest = np.abs(change).max()
        pose = pose.moved(change * min(0.1, 0.02 / max(float(largest), 1e-9)))
    return pose


def roll(pose: Pose) -> float:
    return float(np.degrees(roll_of(pose.rotation[0, 0])))


def test_a_stable_body_comes_back_when_pushed():
    room = room_of(MAN, WHOLE, friction=0.8)
    stand = turned(room, 15.0)
    assert stand.state[0] == EquilibriumState.STABLE
    pushed = np.zeros((1, 45))
    pushed[0, 3:].reshape(-1, 3)[:, 1] = np.radians(3.0)
    start = stand.pose.moved(pushed)
    end = drift(lying_of(room, stand), start, 300)
    assert abs(roll(end) - roll(stand.pose)) < 0.5 * abs(roll(start) - roll(stand.pose))


def test_a_body_that_tips_rolls_on():
    room = room_of(MAN, WHOLE, friction=0.8)
    assert turned(room, 30.0).state[0] == EquilibriumState.TIPS
    last = turned(room, 20.0)
    steeper = lay_down(room, LEVEL, np.radians([30.0]), last.which)
    end = drift(with_anchors(steeper, last.anchors), last.pose, 600)
    assert roll(end) > roll(last.pose) + 15.0
