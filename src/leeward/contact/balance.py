"""Out-of-balance forces on a batch of bodies, and their exact stiffness."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.bed_on_segments import bed_on_segments
from leeward.contact.figure import Figure
from leeward.contact.joints import Joints, joint_moments
from leeward.contact.pose import UNKNOWNS, Pose, joint_places, motion_of_segments
from leeward.contact.segments import CHILD_OF, COUNT, HANGING, PARENT
from leeward.contact.skin_contact import Bearing, Touch, find_touch

Array = NDArray[np.float64]
Index = NDArray[np.intp]

#: Scale that makes displacements and rotations comparable: a segment's centre on 2 kN/m,
#: its rotation on 20 N m/rad. Source: convention of this project.
CENTRE_SCALE: Final = 2000.0
TURN_SCALE: Final = 20.0

_EACH: Final = np.arange(COUNT)


@dataclass(frozen=True, slots=True, eq=False)
class Lying:
    """A batch of the same body lying in beds that differ.

    Parameters
    ----------
    figure : Figure
        The body.
    joints : Joints
        Rest angles, one set per bed.
    gravity : ndarray, shape (b, 3)
        Gravity in each bed's frame. [m/s^2]
    friction : ndarray, shape (b,)
        Friction coefficient. [-]
    bearings : tuple of Bearing
        Mattress first, then a bolster if there is one.
    """

    figure: Figure
    joints: Joints
    gravity: Array
    friction: Array
    bearings: tuple[Bearing, ...]

    def take(self, beds: Index) -> "Lying":
        """Pick some beds of the batch.

        Parameters
        ----------
        beds : ndarray of int, shape (k,)
            Their positions. [-]

        Returns
        -------
        Lying
            The body in those beds.
        """
        return replace(
            self,
            joints=self.joints.take(beds),
            gravity=self.gravity[beds],
            friction=self.friction[beds],
            bearings=tuple(bearing.take(beds) for bearing in self.bearings),
        )


@dataclass(frozen=True, slots=True, eq=False)
class Balance:
    """Out-of-balance generalised forces of b bodies.

    Parameters
    ----------
    force : ndarray, shape (b, 45)
        Force on the whole body, then the moment that turns each segment. [N, N m]
    stiffness : ndarray, shape (b, 45, 45)
        Minus its derivative in the unknowns. [N/m, N, N m/rad]
    scale : ndarray, shape (b, 45, 45)
        Symmetric positive matrix that makes unknowns comparable. [N/m, N, N m/rad]
    touches : tuple of Touch
        Contact with each bearing.
    joint : ndarray, shape (b, 14, 3)
        Places of the joints. [m]
    """

    force: Array
    stiffness: Array
    scale: Array
    touches: tuple[Touch, ...]
    joint: Array

    def imbalance(self) -> Array:
        """Size of what is out of balance, for comparing steps of one body.

        Returns
        -------
        ndarray, shape (b,)
            Scaled norm. [-]
        """
        diagonal = np.diagonal(self.scale, axis1=-2, axis2=-1)
        return np.asarray(np.sqrt(np.sum(self.force**2 / diagonal, axis=-1)))


def _moment(arm: Array, force: Array) -> Array:
    """Moment of a force; np.cross takes far longer over so few."""
    moment = np.empty_like(arm)
    for i, j, k in ((0, 1, 2), (1, 2, 0), (2, 0, 1)):
        moment[..., i] = arm[..., j] * force[..., k] - arm[..., k] * force[..., j]
    return moment


def _swing(arm: Array, force: Array) -> Array:
    """Moment of a fixed force per rotation of its arm, (..., 3, 3)."""
    product = (
        arm[..., 0] * force[..., 0] + arm[..., 1] * force[..., 1] + arm[..., 2] * force[..., 2]
    )
    swing = arm[..., :, None] * force[..., None, :]
    for axis in range(3):
        swing[..., axis, axis] -= product
    return np.asarray(swing)


def _turn_blocks(stiffness: Array) -> Array:
    """View of the stiffness by pairs of segments' rotations, (14, 14, b, 3, 3)."""
    batch = len(stiffness)
    blocks = stiffness.reshape(batch, COUNT + 1, 3, COUNT + 1, 3)[:, 1:, :, 1:]
    return blocks.transpose(1, 3, 0, 2, 4)


def _by_parent(quantity: Array) -> Array:
    """Add up what the children of every segment have, (14, b, 3, 3)."""
    added = np.matmul(CHILD_OF, quantity.reshape(len(quantity), COUNT, 9))
    return np.asarray(added.reshape(quantity.shape).transpose(1, 0, 2, 3))


def _add_links(stiffness: Array, force: Array, arm: Array) -> None:
    """Add what turning a link does to the moment of everything that hangs on it."""
    swing = _by_parent(_swing(arm, np.matmul(HANGING, force)))
    _turn_blocks(stiffness)[_EACH, _EACH] -= swing


def _add_joints(lying: Lying, pose: Pose, force: Array, stiffness: Array) -> None:
    """Add the joints' moments and stiffness to the unknowns they act on."""
    moment, by_child, by_parent = joint_moments(lying.joints, pose)
    on_segment = moment - np.matmul(CHILD_OF, moment)
    force[:, 3:] += on_segment.reshape(len(force), -1)
    blocks = _turn_blocks(stiffness)
    own, of_parent = by_child.transpose(1, 0, 2, 3), by_parent.transpose(1, 0, 2, 3)
    child, parent = _EACH[1:], np.array(PARENT)[1:]
    blocks[_EACH, _EACH] += _by_parent(by_parent) - own
    blocks[child, parent] -= of_parent[1:]
    blocks[parent, child] += own[1:]


def _scale_matrix(motion: Array, centre: Array, present: NDArray[np.bool_]) -> Array:
    """Scale of the unknowns: every segment's centre and rotation counted alike."""
    moved = motion.copy()
    # a segment's centre moves by its joint's displacement and by its own turn
    cross = np.zeros((*centre.shape[:-1], 3, 3))
    x, y, z = centre[..., 0], centre[..., 1], centre[..., 2]
    cross[..., 0, 1], cross[..., 0, 2], cross[..., 1, 2] = z, -y, x
    cross[..., 1, 0], cross[..., 2, 0], cross[..., 2, 1] = -z, y, -x
    moved[:, :, :3] += cross @ motion[:, :, 3:]
    weight = np.sqrt([CENTRE_SCALE] * 3 + [TURN_SCALE] * 3)
    moved *= weight[None, None, :, None]
    moved[:, ~present, :3] = 0.0
    flat = moved.reshape(len(motion), 6 * COUNT, UNKNOWNS)
    return np.asarray(np.swapaxes(flat, 1, 2) @ flat)


def find_balance(lying: Lying, pose: Pose) -> Balance:
    """Add up everything that acts on a batch of bodies.

    Parameters
    ----------
    lying : Lying
        Bodies and beds.
    pose : Pose
        Their poses.

    Returns
    -------
    Balance
        Out-of-balance forces with their exact, unsymmetric stiffness.

    Notes
    -----
    Weight, contact and joints only: still air, nobody holding on, nothing moving.
    """
    figure = lying.figure
    batch = len(pose.place)
    joint, arm = joint_places(pose, figure.link)
    centre = np.matmul(pose.rotation, figure.mass_centre[None, :, :, None])[..., 0]
    weight = figure.mass[None, :, None] * lying.gravity[:, None, :]
    wrench = np.concatenate([weight, _moment(centre, weight)], axis=-1)
    block = np.zeros((batch, COUNT, 6, 6))
    block[..., 3:, 3:] = _swing(centre, weight)
    touches = []
    for bearing in lying.bearings:
        touch = find_touch(figure, bearing, pose, joint, lying.friction)
        on_segments, stiffness = bed_on_segments(touch, lying.friction)
        wrench += on_segments
        block += stiffness
        touches.append(touch)
    motion = motion_of_segments(arm)
    flat = motion.reshape(batch, 6 * COUNT, UNKNOWNS)
    force = np.matmul(wrench.reshape(batch, 1, -1), flat)[:, 0]
    moved = np.matmul(block, motion).reshape(batch, 6 * COUNT, UNKNOWNS)
    stiffness = -np.matmul(np.swapaxes(flat, 1, 2), moved)
    _add_links(stiffness, wrench[..., :3], arm)
    _add_joints(lying, pose, force, stiffness)
    scale = _scale_matrix(motion, centre, figure.present)
    return Balance(force, stiffness, scale, tuple(touches), joint)
