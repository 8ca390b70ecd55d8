"""Inertia of a linked body in its 45 unknowns, and what its own turning does to it."""

import numpy as np
from numpy.typing import NDArray

from leeward.contact.figure import Figure
from leeward.contact.pose import UNKNOWNS, Pose
from leeward.contact.rotation import skew
from leeward.contact.segments import COUNT, HANGING, PARENT

Array = NDArray[np.float64]


def segment_inertia(figure: Figure) -> Array:
    r"""Moments of inertia of every segment about its centre of mass, in its own frame.

    Parameters
    ----------
    figure : Figure
        Masses and sizes. [-]

    Returns
    -------
    ndarray, shape (14, 3, 3)
        Inertia; zero for a missing segment. [kg m^2]

    Notes
    -----
    Of even ellipsoids with the segments' half-lengths: it decides how fast a body moves,
    not whether it does.

    .. math:: I_{xx} = \tfrac{m}{5} (b^2 + c^2)
    """
    square = figure.layout.half**2
    spread = np.sum(square, axis=-1)[:, None] - square
    return np.asarray(figure.mass[:, None, None] / 5.0 * spread[:, :, None] * np.eye(3))


def mass_matrix(figure: Figure, pose: Pose, motion: Array) -> Array:
    """Mass matrix in the unknowns.

    Parameters
    ----------
    figure : Figure
        The body. [-]
    pose : Pose
        Poses of b bodies.
    motion : ndarray, shape (b, 14, 6, 45)
        From `motion_of_segments`. [m, rad]

    Returns
    -------
    ndarray, shape (b, 45, 45)
        Symmetric; positive but for missing segments. [kg, kg m, kg m^2]
    """
    batch = len(motion)
    centre = _centres(figure, pose)
    lever = figure.mass[:, None, None] * skew(centre)
    block = np.zeros((batch, COUNT, 6, 6))
    block[..., :3, :3] = figure.mass[:, None, None] * np.eye(3)
    block[..., :3, 3:] = -lever
    block[..., 3:, :3] = lever
    block[..., 3:, 3:] = _turned_inertia(figure, pose) - lever @ skew(centre)
    flat = motion.reshape(batch, 6 * COUNT, UNKNOWNS)
    moved = np.matmul(block, motion).reshape(batch, 6 * COUNT, UNKNOWNS)
    return np.asarray(np.swapaxes(flat, 1, 2) @ moved)


def turning_force(figure: Figure, pose: Pose, arm: Array, motion: Array, speed: Array) -> Array:
    """Generalised force that keeps turning segments on their curved ways.

    Parameters
    ----------
    figure : Figure
        The body. [-]
    pose : Pose
        Poses of b bodies.
    arm : ndarray, shape (b, 14, 3)
        Links in the bed's frame. [m]
    motion : ndarray, shape (b, 14, 6, 45)
        From `motion_of_segments`. [m, rad]
    speed : ndarray, shape (b, 45)
        Rates of the unknowns. [m/s, rad/s]

    Returns
    -------
    ndarray, shape (b, 45)
        What must be subtracted from the forces that act. [N, N m]
    """
    batch = len(speed)
    turn = speed[:, 3:].reshape(batch, COUNT, 3)
    parents = np.array(PARENT)
    parents[0] = 0
    of_parent = turn[:, parents]
    joint = np.matmul(HANGING.T, np.cross(of_parent, np.cross(of_parent, arm)))
    centre = _centres(figure, pose)
    inertia = _turned_inertia(figure, pose)
    force = figure.mass[:, None] * (joint + np.cross(turn, np.cross(turn, centre)))
    spin = np.matmul(inertia, turn[..., None])[..., 0]
    wrench = np.concatenate([force, np.cross(centre, force) + np.cross(turn, spin)], axis=-1)
    flat = motion.reshape(batch, 6 * COUNT, UNKNOWNS)
    return np.asarray(np.matmul(wrench.reshape(batch, 1, -1), flat)[:, 0])


def _centres(figure: Figure, pose: Pose) -> Array:
    """Centres of mass from the segments' joints, in the bed's frame."""
    return np.asarray(np.matmul(pose.rotation, figure.mass_centre[None, :, :, None])[..., 0])


def _turned_inertia(figure: Figure, pose: Pose) -> Array:
    own = segment_inertia(figure)
    return np.asarray(pose.rotation @ own @ np.swapaxes(pose.rotation, -1, -2))
