"""What slows a moving body: foam and tissue that give way late, joints that drag."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.balance import Lying
from leeward.contact.pose import UNKNOWNS
from leeward.contact.segments import COUNT, INDEX, PARENT, SEGMENTS
from leeward.contact.skin_contact import SHEAR_STIFFNESS, Touch, sum_by_segment
from leeward.terms.sourced import Sourced

Array = NDArray[np.float64]

#: Damping over stiffness: how late force follows. It decides how long a body moves, hardly
#: whether it does.
CONTACT_LAG: Final = Sourced(
    0.05, "s", "convention of this project: foam and flesh come to rest in a second", "not measured"
)
JOINT_LAG: Final = Sourced(
    0.10, "s", "convention of this project: limp limbs swing once or twice", "not measured"
)
_DAMPED: Final = np.array([INDEX[segment] for segment in SEGMENTS if PARENT[INDEX[segment]] >= 0])


def contact_damping(touch: Touch, batch: int) -> Array:
    """Wrench of the bed on every segment per speed of that segment, with opposite sign.

    Parameters
    ----------
    touch : Touch
        Points in contact.
    batch : int
        Number of beds. [-]

    Returns
    -------
    ndarray, shape (b, 14, 6, 6)
        Symmetric, not negative. [N s/m, N s, N m s/rad]

    Notes
    -----
    The lag times the stiffness into the bed, and the stiffness of the grip along it, which
    fades where skin slips.
    """
    count = touch.arm.shape[1]
    square = touch.drag[0] ** 2 + touch.drag[1] ** 2
    reach = np.sqrt(touch.grip**2 + SHEAR_STIFFNESS.value**2 * square + 1e-12)
    held = SHEAR_STIFFNESS.value * (touch.grip / reach) ** 3
    directions = (touch.value.gradient, touch.value.tangent[0], touch.value.tangent[1])
    block = np.zeros((6, 6, count))
    for direction, stiffness in zip(directions, (touch.stiffness, held, held), strict=True):
        # speed of the skin along the direction, per motion of its segment
        moment = np.cross(touch.arm, direction, axis=0)
        row = np.concatenate([direction, moment])
        block += (CONTACT_LAG.value * touch.facing * stiffness) * row[:, None] * row[None, :]
    return sum_by_segment(touch, block.reshape(36, count), batch).reshape(batch, COUNT, 6, 6)


def damping_matrix(lying: Lying, touches: tuple[Touch, ...], motion: Array) -> Array:
    """Damping in the unknowns.

    Parameters
    ----------
    lying : Lying
        Bodies and beds. [-]
    touches : tuple of Touch
        Contact with each bearing.
    motion : ndarray, shape (b, 14, 6, 45)
        From `motion_of_segments`. [m, rad]

    Returns
    -------
    ndarray, shape (b, 45, 45)
        Symmetric, not negative. [N s/m, N s, N m s/rad]
    """
    batch = len(motion)
    block = np.zeros((batch, COUNT, 6, 6))
    for touch in touches:
        block += contact_damping(touch, batch)
    flat = motion.reshape(batch, 6 * COUNT, UNKNOWNS)
    moved = np.matmul(block, motion).reshape(batch, 6 * COUNT, UNKNOWNS)
    damping = np.swapaxes(flat, 1, 2) @ moved
    turns = damping.reshape(batch, COUNT + 1, 3, COUNT + 1, 3)[:, 1:, :, 1:]
    child, parent = _DAMPED, np.array(PARENT)[_DAMPED]
    drag = JOINT_LAG.value * lying.joints.stiffness[:, child]
    for axis in range(3):
        # each parent has several children: add one joint at a time
        for number, (c, p) in enumerate(zip(child, parent, strict=True)):
            turns[:, c, axis, c, axis] += drag[:, number]
            turns[:, p, axis, p, axis] += drag[:, number]
            turns[:, c, axis, p, axis] -= drag[:, number]
            turns[:, p, axis, c, axis] -= drag[:, number]
    return np.asarray(damping)


def skin_speed(touches: tuple[Touch, ...], joint_speed: Array, turning: Array) -> Array:
    """Mean speed at which the skin in contact moves along the bed.

    Parameters
    ----------
    touches : tuple of Touch
        Contact with each bearing.
    joint_speed, turning : ndarray, shape (b, 14, 3)
        Speed of every segment's joint [m/s] and its rate of turning. [rad/s]

    Returns
    -------
    ndarray, shape (b, 2)
        Across and along, weighted with the force of the bed: 0 for a body that rolls
        without slipping. [m/s]
    """
    batch = len(turning)
    total, weight = np.zeros((batch, 2)), np.zeros(batch)
    for touch in touches:
        moved = joint_speed[touch.bed, touch.segment].T
        moved = moved + np.cross(turning[touch.bed, touch.segment].T, touch.arm, axis=0)
        force = touch.facing * touch.pressure
        for axis in range(2):
            along = np.sum(touch.value.tangent[axis] * moved, axis=0)
            total[:, axis] += np.bincount(touch.bed, force * along, batch)
        weight += np.bincount(touch.bed, force, batch)
    return np.asarray(total / np.maximum(weight, 1e-9)[:, None])


def joint_speeds(motion: Array, speed: Array) -> tuple[Array, Array]:
    """Speeds of all segments from the rates of the unknowns.

    Parameters
    ----------
    motion : ndarray, shape (b, 14, 6, 45)
        From `motion_of_segments`. [m, rad]
    speed : ndarray, shape (b, 45)
        Rates of the unknowns. [m/s, rad/s]

    Returns
    -------
    joint_speed, turning : ndarray, shape (b, 14, 3)
        Speed of every segment's joint [m/s] and its rate of turning. [rad/s]
    """
    moved = np.matmul(motion, speed[:, None, :, None])[..., 0]
    return moved[..., :3], moved[..., 3:]
