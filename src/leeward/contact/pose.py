"""Where every segment is: joint places and rotations, and how they move together.

The unknowns are 45: the pelvis' place and one small rotation for each of the fourteen
segments, all in the bed's frame. Joints cannot come apart, so no penalty holds them.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.rotation import rotation_from_vector, skew
from leeward.contact.segments import COUNT, HANGING, LINKED, PARENT

Array = NDArray[np.float64]

UNKNOWNS: Final = 3 + 3 * COUNT


@dataclass(frozen=True, slots=True, eq=False)
class Pose:
    """Poses of a batch of bodies.

    Parameters
    ----------
    place : ndarray, shape (b, 3)
        Point between the hips. [m]
    rotation : ndarray, shape (b, 14, 3, 3)
        Rotation of every segment from its own frame to the bed's. [-]
    """

    place: Array
    rotation: Array

    def take(self, bodies: NDArray[np.intp]) -> "Pose":
        """Pick some bodies of the batch.

        Parameters
        ----------
        bodies : ndarray of int, shape (k,)
            Their positions. [-]

        Returns
        -------
        Pose
            Their poses.
        """
        return Pose(self.place[bodies], self.rotation[bodies])

    def put(self, bodies: NDArray[np.intp], other: "Pose") -> None:
        """Overwrite the poses of some bodies.

        Parameters
        ----------
        bodies : ndarray of int, shape (k,)
            Their positions. [-]
        other : Pose
            What they become.
        """
        self.place[bodies] = other.place
        self.rotation[bodies] = other.rotation

    def copy(self) -> "Pose":
        """Copy the arrays.

        Returns
        -------
        Pose
            An independent pose.
        """
        return Pose(self.place.copy(), self.rotation.copy())

    def moved(self, change: Array) -> "Pose":
        """Apply a change of the unknowns.

        Parameters
        ----------
        change : ndarray, shape (b, 45)
            Displacement of the pelvis, then a rotation vector per segment. [m, rad]

        Returns
        -------
        Pose
            The pose after it.
        """
        turn = rotation_from_vector(change[:, 3:].reshape(-1, COUNT, 3))
        return Pose(self.place + change[:, :3], turn @ self.rotation)


def joint_places(pose: Pose, link: Array) -> tuple[Array, Array]:
    """Places of all joints, and the links between them in the bed's frame.

    Parameters
    ----------
    pose : Pose
        Poses of b bodies.
    link : ndarray, shape (14, 3)
        Segment's joint from its parent's, in the parent's frame. [m]

    Returns
    -------
    joint : ndarray, shape (b, 14, 3)
        Places of the joints. [m]
    arm : ndarray, shape (b, 14, 3)
        Each segment's joint from its parent's joint. [m]
    """
    parents = np.array(PARENT)
    parents[0] = 0
    arm = np.matmul(pose.rotation[:, parents], link[None, :, :, None])[..., 0]
    # link[0] is zero, so the pelvis adds nothing to any path
    return pose.place[:, None, :] + np.matmul(HANGING.T, arm), arm


def motion_of_segments(arm: Array) -> Array:
    """How joints move and segments turn with the 45 unknowns.

    Parameters
    ----------
    arm : ndarray, shape (b, 14, 3)
        Links in the bed's frame. [m]

    Returns
    -------
    ndarray, shape (b, 14, 6, 45)
        Rows: displacement of the segment's joint, rotation of the segment. [m, rad]
    """
    batch = len(arm)
    motion = np.zeros((batch, COUNT, 6, UNKNOWNS))
    motion[:, :, :3, :3] = np.eye(3)
    blocks = motion.reshape(batch, COUNT, 6, UNKNOWNS // 3, 3)
    segment = np.arange(COUNT)
    blocks[:, segment, 3:, 1 + segment] = np.eye(3)
    moved, link = LINKED
    blocks[:, moved, :3, 1 + np.array(PARENT)[link]] = -skew(arm)[:, link].transpose(1, 0, 2, 3)
    return motion
