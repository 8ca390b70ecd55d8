"""A body on its left side, its roll held as pillows behind the back would hold it."""

from dataclasses import replace

import numpy as np

from leeward.contact.balance import Balance, Lying, find_balance
from leeward.contact.pose import Pose, joint_places
from leeward.contact.rotation import rotation_about
from leeward.contact.scenarios import corner_scenarios
from leeward.contact.segments import INDEX
from leeward.contact.setting import Room, anchored, first_pose, lay_down, make_room
from leeward.contact.skin_contact import skin_places
from leeward.terms.bed import Bed
from leeward.terms.body import Body, Sex
from leeward.terms.posture import Posture
from leeward.terms.units import STANDARD_GRAVITY

MAN = Body(stature=1.756, mass=80.0, sex=Sex.MALE)
#: The unknown that is held: the pelvis' rotation about the long axis.
ROLL = 4
_FREE = np.setdiff1d(np.arange(45), [ROLL])


def _on_side(lying: Lying) -> Lying:
    """Arms forward, legs and arms laid so that they do not drop through one another."""
    rest, stiffness = lying.joints.rest.copy(), lying.joints.stiffness.copy()
    for side in ("left", "right"):
        rest[0, INDEX[f"{side} upper arm"]] = rotation_about(0, -1.4)
        rest[0, INDEX[f"{side} forearm"]] = np.eye(3)
        for part in ("upper arm", "forearm", "thigh", "shank"):
            stiffness[0, INDEX[f"{side} {part}"]] = 120.0
    return replace(lying, joints=replace(lying.joints, rest=rest, stiffness=stiffness))


def lie_on_left_side() -> tuple[Room, Lying, Pose]:
    """A man on his left side on a mattress, in balance but for what holds his roll."""
    room = make_room(MAN, Bed(), None, corner_scenarios(Bed(), None, MAN)[:1])
    lying = _on_side(lay_down(room, Posture(), np.zeros(1), np.zeros(1, dtype=np.intp)))
    start = first_pose(lying)
    pose = Pose(start.place.copy(), rotation_about(1, np.pi / 2) @ start.rotation)
    skin = np.flatnonzero(room.figure.owner < 2)
    joint, _ = joint_places(pose, room.figure.link)
    depth = lying.bearings[0].field.depth(skin_places(room.figure, pose, joint, skin))
    pose.place[0, 2] += depth.max() - 0.03
    joint, _ = joint_places(pose, room.figure.link)
    lying = anchored(lying, pose, joint, release=True)
    return room, lying, _settled(lying, pose)


def _settled(lying: Lying, pose: Pose) -> Pose:
    """Damped Newton over everything but the roll."""
    balance, damping = find_balance(lying, pose), 1.0

    def size(found: Balance) -> float:
        return float(np.sum((found.force[0] ** 2 / np.diagonal(found.scale[0]))[_FREE]))

    for _ in range(100):
        if np.abs(balance.force[0, _FREE]).max() < 1e-6 * MAN.mass * STANDARD_GRAVITY:
            return pose
        stiffness = (balance.stiffness[0] + damping * balance.scale[0])[np.ix_(_FREE, _FREE)]
        change = np.zeros(45)
        change[_FREE] = np.linalg.solve(stiffness, balance.force[0, _FREE])
        change /= max(1.0, np.abs(change[:3]).max() / 0.06, np.abs(change[3:]).max() / 0.3)
        trial = pose.moved(change[None])
        found = find_balance(lying, trial)
        if size(found) < size(balance):
            pose, balance = trial, found
            damping = 0.15 * damping if damping > 1e-4 else 0.0
        else:
            damping = max(6.0 * damping, 1e-3)
    raise AssertionError("no balance on the side was found")
