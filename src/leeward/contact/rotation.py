"""Rotations as matrices and as vectors, for whole batches at once."""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_SMALL_ANGLE = 1e-4


def skew(vector: Array) -> Array:
    """Matrix of the cross product with a vector.

    Parameters
    ----------
    vector : ndarray, shape (..., 3)
        Vectors in any unit. [-]

    Returns
    -------
    ndarray, shape (..., 3, 3)
        Matrices S with S u = vector x u. [-]
    """
    matrix = np.zeros((*vector.shape[:-1], 3, 3))
    x, y, z = vector[..., 0], vector[..., 1], vector[..., 2]
    matrix[..., 0, 1], matrix[..., 0, 2], matrix[..., 1, 2] = -z, y, -x
    matrix[..., 1, 0], matrix[..., 2, 0], matrix[..., 2, 1] = z, -y, x
    return matrix


def _square(vector: Array) -> Array:
    """Square of the length; faster than a reduction over so few."""
    x, y, z = vector[..., 0], vector[..., 1], vector[..., 2]
    return np.asarray(x * x + y * y + z * z)


def _add_to_diagonal(matrix: Array, value: Array) -> None:
    for axis in range(3):
        matrix[..., axis, axis] += value


def rotation_from_vector(vector: Array) -> Array:
    r"""Rotation matrix of a rotation vector.

    Parameters
    ----------
    vector : ndarray, shape (..., 3)
        Axis times angle. [rad]

    Returns
    -------
    ndarray, shape (..., 3, 3)
        Rotation matrices. [-]

    Notes
    -----
    Rodrigues' formula, with its series below 1e-4 rad. Valid for every angle.
    """
    square = _square(vector)
    angle = np.sqrt(square)
    safe = np.maximum(angle, _SMALL_ANGLE)
    small = angle < _SMALL_ANGLE
    first = np.where(small, 1.0 - square / 6.0, np.sin(safe) / safe)
    second = np.where(small, 0.5 - square / 24.0, (1.0 - np.cos(safe)) / (safe * safe))
    turned = first[..., None, None] * skew(vector)
    turned += second[..., None, None] * (vector[..., :, None] * vector[..., None, :])
    _add_to_diagonal(turned, 1.0 - second * square)
    return np.asarray(turned)


def vector_from_rotation(rotation: Array) -> Array:
    """Rotation vector of a rotation matrix.

    Parameters
    ----------
    rotation : ndarray, shape (..., 3, 3)
        Rotation matrices. [-]

    Returns
    -------
    ndarray, shape (..., 3)
        Axis times angle, angle in [0, pi). [rad]

    Notes
    -----
    Loses accuracy within about 1e-6 rad of half a turn, which no joint reaches.
    """
    twice_sine_axis = np.empty(rotation.shape[:-1])
    for axis, (after, last) in enumerate(((1, 2), (2, 0), (0, 1))):
        twice_sine_axis[..., axis] = rotation[..., last, after] - rotation[..., after, last]
    sine = 0.5 * np.sqrt(_square(twice_sine_axis))
    trace = rotation[..., 0, 0] + rotation[..., 1, 1] + rotation[..., 2, 2]
    cosine = 0.5 * (trace - 1.0)
    angle = np.arctan2(sine, cosine)
    safe = np.maximum(sine, _SMALL_ANGLE)
    factor = np.where(sine < _SMALL_ANGLE, 0.5 + angle**2 / 12.0, 0.5 * angle / safe)
    return np.asarray(factor[..., None] * twice_sine_axis)


def inverse_left_jacobian(vector: Array) -> Array:
    """Change of a rotation vector per small rotation applied from the left.

    Parameters
    ----------
    vector : ndarray, shape (..., 3)
        Axis times angle, below half a turn. [rad]

    Returns
    -------
    ndarray, shape (..., 3, 3)
        Matrix J with log(exp(w) exp(vector)) = vector + J w to first order; its
        transpose is the Jacobian for rotations from the right. [-]
    """
    square = _square(vector)
    angle = np.sqrt(square)
    safe = np.maximum(angle, 1e-2)
    half = 0.5 * safe
    exact = (1.0 - half / np.tan(half)) / (safe * safe)
    factor = np.where(angle < 1e-2, 1.0 / 12.0 + square / 720.0, exact)
    jacobian = factor[..., None, None] * (vector[..., :, None] * vector[..., None, :])
    jacobian -= 0.5 * skew(vector)
    _add_to_diagonal(jacobian, 1.0 - factor * square)
    return np.asarray(jacobian)


def rotation_about(axis: int, angle: float | Array) -> Array:
    """Rotation about one axis of the frame.

    Parameters
    ----------
    axis : int
        0 towards the person's left, 1 towards the head, 2 up. [-]
    angle : float or ndarray, shape (...)
        Angle. [rad]

    Returns
    -------
    ndarray, shape (..., 3, 3)
        Rotation matrices. [-]
    """
    angles = np.asarray(angle, dtype=float)
    vector = np.zeros((*angles.shape, 3))
    vector[..., axis] = angles
    return rotation_from_vector(vector)
