"""Rotations and the moment of one joint, by plain numbers: the law of `joint_moments`."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.compiled import part
from leeward.contact.joints import HARDENING

Array = NDArray[np.float64]

#: Below this angle the series of Rodrigues' formula is used. [rad]
_SMALL: Final = 1e-4


@part
def turn_by(vector: Array, rotation: Array, turned: Array) -> None:
    """Turn a rotation on by a rotation vector.

    Parameters
    ----------
    vector : ndarray, shape (3,)
        Axis times angle. [rad]
    rotation : ndarray, shape (3, 3)
        Rotation before. [-]
    turned : ndarray, shape (3, 3)
        Written over with the rotation after. [-]
    """
    x, y, z = vector[0], vector[1], vector[2]
    square = x * x + y * y + z * z
    angle = np.sqrt(square)
    if angle < _SMALL:
        first, second = 1.0 - square / 6.0, 0.5 - square / 24.0
    else:
        first, second = np.sin(angle) / angle, (1.0 - np.cos(angle)) / square
    turn = np.empty((3, 3))
    turn[0, 0], turn[1, 1] = 1.0 - second * (y * y + z * z), 1.0 - second * (x * x + z * z)
    turn[2, 2] = 1.0 - second * (x * x + y * y)
    turn[0, 1], turn[1, 0] = second * x * y - first * z, second * x * y + first * z
    turn[0, 2], turn[2, 0] = second * x * z + first * y, second * x * z - first * y
    turn[1, 2], turn[2, 1] = second * y * z - first * x, second * y * z + first * x
    _multiply(turn, rotation, turned)


@part
def _multiply(first: Array, second: Array, product: Array) -> None:
    for row in range(3):
        for column in range(3):
            product[row, column] = (
                first[row, 0] * second[0, column]
                + first[row, 1] * second[1, column]
                + first[row, 2] * second[2, column]
            )


@part
def _bend_from_rest(own: Array, parent: Array, rest: Array, bend: Array) -> None:
    """Rotation vector of a segment from where its joint rests."""
    target, relative = np.empty((3, 3)), np.empty((3, 3))
    _multiply(parent, rest, target)
    _multiply(own, target.T, relative)
    for axis in range(3):
        after, last = (axis + 1) % 3, (axis + 2) % 3
        bend[axis] = relative[last, after] - relative[after, last]
    sine = 0.5 * np.sqrt(bend[0] * bend[0] + bend[1] * bend[1] + bend[2] * bend[2])
    cosine = 0.5 * (relative[0, 0] + relative[1, 1] + relative[2, 2] - 1.0)
    angle = np.arctan2(sine, cosine)
    factor = 0.5 + angle * angle / 12.0 if sine < _SMALL else 0.5 * angle / sine
    for axis in range(3):
        bend[axis] *= factor


@part
def _inverse_jacobian(bend: Array, left: Array) -> None:
    """Change of a rotation vector per small rotation applied from the left."""
    x, y, z = bend[0], bend[1], bend[2]
    square = x * x + y * y + z * z
    angle = np.sqrt(square)
    if angle < 1e-2:
        factor = 1.0 / 12.0 + square / 720.0
    else:
        factor = (1.0 - 0.5 * angle / np.tan(0.5 * angle)) / square
    left[0, 0], left[1, 1] = 1.0 - factor * (y * y + z * z), 1.0 - factor * (x * x + z * z)
    left[2, 2] = 1.0 - factor * (x * x + y * y)
    left[0, 1], left[1, 0] = factor * x * y + 0.5 * z, factor * x * y - 0.5 * z
    left[0, 2], left[2, 0] = factor * x * z - 0.5 * y, factor * x * z + 0.5 * y
    left[1, 2], left[2, 1] = factor * y * z + 0.5 * x, factor * y * z - 0.5 * x


@part
def joint_moment(
    own: Array,
    parent: Array,
    rest: Array,
    resistance: float,
    found: tuple[Array, Array, Array],
) -> None:
    """Find the moment of one joint on its segment, and how it changes.

    Parameters
    ----------
    own, parent : ndarray, shape (3, 3)
        Rotations of the segment and of its parent. [-]
    rest : ndarray, shape (3, 3)
        Rotation at rest in the parent's frame. [-]
    resistance : float
        Stiffness at small bends. [N m/rad]
    found : tuple of ndarray, shapes (3,), (3, 3) and (3, 3)
        Written over with the moment [N m] and its change per rotation of the segment and of
        its parent. [N m/rad]

    Notes
    -----
    Equal to `joint_moments` but for rounding.
    """
    moment, by_child, by_parent = found
    bend, left, slope = np.empty(3), np.empty((3, 3)), np.empty((3, 3))
    _bend_from_rest(own, parent, rest, bend)
    square = bend[0] * bend[0] + bend[1] * bend[1] + bend[2] * bend[2]
    factor = resistance * (1.0 + HARDENING * square)
    _inverse_jacobian(bend, left)
    for row in range(3):
        moment[row] = -factor * bend[row]
        for axis in range(3):
            slope[row, axis] = -2.0 * HARDENING * resistance * bend[row] * bend[axis]
        slope[row, row] -= factor
    _multiply(slope, left, by_child)
    _multiply(slope, left.T, by_parent)
    for row in range(3):
        for axis in range(3):
            by_parent[row, axis] *= -1.0
