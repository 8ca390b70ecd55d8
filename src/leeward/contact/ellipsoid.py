"""Superellipsoids: the shape of every segment, and evenly spaced points on its skin."""

import math
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_FINE_BANDS = 96
_FINE_SECTORS = 128


def superellipsoid_volume(half: Array, exponent: float) -> float:
    """Volume of a superellipsoid.

    Parameters
    ----------
    half : ndarray, shape (3,)
        Half-lengths. [m]
    exponent : float
        2 for an ellipsoid, larger for boxier shapes. [-]

    Returns
    -------
    float
        Volume. [m^3]

    Notes
    -----
    Closed form 8abc G(1 + 1/n)^3 / G(1 + 3/n).

    Examples
    --------
    >>> round(superellipsoid_volume(np.array([1.0, 1.0, 1.0]), 2.0), 4)
    4.1888
    """
    shape = math.gamma(1.0 + 1.0 / exponent) ** 3 / math.gamma(1.0 + 3.0 / exponent)
    return float(8.0 * np.prod(half) * shape)


def implicit_value(point: Array, half: Array, exponent: float) -> Array:
    """Implicit function of a superellipsoid: below 1 inside, 1 on the skin.

    Parameters
    ----------
    point : ndarray, shape (..., 3)
        Points relative to the centre. [m]
    half : ndarray, shape (3,)
        Half-lengths. [m]
    exponent : float
        Exponent of the shape. [-]

    Returns
    -------
    ndarray, shape (...)
        Sum of the powered, scaled coordinates. [-]
    """
    return np.asarray(np.sum(np.abs(point / half) ** exponent, axis=-1))


def project_to_skin(point: Array, half: Array, exponent: float) -> tuple[Array, Array]:
    """Bring points near a superellipsoid onto its skin, along its normals.

    Parameters
    ----------
    point : ndarray, shape (n, 3)
        Points near the skin, relative to the centre. [m]
    half : ndarray, shape (3,)
        Half-lengths. [m]
    exponent : float
        Exponent of the shape. [-]

    Returns
    -------
    point : ndarray, shape (n, 3)
        Points on the skin. [m]
    normal : ndarray, shape (n, 3)
        Outward unit normals there. [-]
    """
    for _ in range(12):
        scaled = np.maximum(np.abs(point / half), 1e-9)
        level = np.sum(scaled**exponent, axis=-1, keepdims=True)
        gradient = exponent * np.sign(point) * scaled ** (exponent - 1.0) / half
        square = np.maximum(np.sum(gradient**2, axis=-1, keepdims=True), 1e-12)
        # the power removes most of the curvature of the implicit function along its normal
        value = level ** (1.0 / exponent)
        slope = value / (exponent * level)
        point = point - (value - 1.0) * gradient / (slope * square)
    return point, gradient / np.sqrt(square)


def _band_edges(half: Array, exponent: float, spacing: float) -> NDArray[np.intp]:
    """Fine-band numbers that cut the long axis into bands of equal arc."""
    angle = np.linspace(-0.5 * math.pi, 0.5 * math.pi, _FINE_BANDS + 1)
    along = half[1] * np.sign(angle) * np.abs(np.sin(angle)) ** (2.0 / exponent)
    out = 0.5 * (half[0] + half[2]) * np.abs(np.cos(angle)) ** (2.0 / exponent)
    arc = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(along), np.diff(out)))])
    bands = max(4, round(float(arc[-1]) / spacing))
    edges = np.searchsorted(arc, np.linspace(0.0, arc[-1], bands + 1)[1:-1])
    return np.unique(np.concatenate([[0], edges, [_FINE_BANDS]]))


def _fine_mesh(half: Array, exponent: float) -> tuple[Array, Array]:
    """Centres and outward vector areas of a fine quadrilateral mesh, (bands, sectors, 3)."""
    band = np.linspace(-0.5 * math.pi, 0.5 * math.pi, _FINE_BANDS + 1)
    turn = np.linspace(-math.pi, math.pi, _FINE_SECTORS + 1)

    def power(value: Array) -> Array:
        return np.asarray(np.sign(value) * np.abs(value) ** (2.0 / exponent))

    ring = np.maximum(power(np.cos(band)), 0.0)
    # the turn is counted from the back of the body: 0 lies on the bed when supine
    vertex = np.stack(
        [
            half[0] * ring[:, None] * power(np.sin(turn)),
            half[1] * np.repeat(power(np.sin(band))[:, None], turn.size, axis=1),
            -half[2] * ring[:, None] * power(np.cos(turn)),
        ],
        axis=-1,
    )
    first = vertex[1:, 1:] - vertex[:-1, :-1]
    second = vertex[1:, :-1] - vertex[:-1, 1:]
    centre = 0.25 * (vertex[1:, 1:] + vertex[:-1, :-1] + vertex[1:, :-1] + vertex[:-1, 1:])
    return centre, -0.5 * np.cross(first, second)


def _cell(centre: Array, area: Array) -> tuple[Array, Array]:
    weight = np.linalg.norm(area, axis=-1, keepdims=True)
    total = (0, 1)
    return (centre * weight).sum(axis=total) / weight.sum(axis=total), area.sum(axis=total)


@lru_cache(maxsize=64)
def skin_points(
    half: tuple[float, float, float], exponent: float, spacing: float
) -> tuple[Array, Array]:
    """Evenly spaced points on a superellipsoid's skin, each with its outward vector area.

    Parameters
    ----------
    half : tuple of float, length 3
        Half-lengths across, along and through the segment. [m]
    exponent : float
        Exponent of the shape. [-]
    spacing : float
        Distance wanted between neighbours. [m]

    Returns
    -------
    point : ndarray, shape (n, 3)
        Points relative to the centre; mirrored across the mid-plane exactly. [m]
    area : ndarray, shape (n, 3)
        Vector areas; their sum is zero (a closed skin). [m^2]

    Notes
    -----
    Each point is the area-weighted centroid of the skin it stands for, so it lies inside
    the shape by about spacing^2 / (8 x radius of curvature).
    """
    size = np.asarray(half)
    centre, area = _fine_mesh(size, exponent)
    edges = _band_edges(size, exponent, spacing)
    points, areas = [], []
    middle = _FINE_SECTORS // 2
    for low, high in pairwise(edges):
        width = np.linalg.norm(area[low:high, middle:], axis=-1).sum(axis=0)
        share = np.concatenate([[0.0], np.cumsum(width)])
        rows = np.linalg.norm(np.diff(centre[(low + high) // 2, middle:], axis=0), axis=-1).sum()
        count = max(2, round(float(rows) / spacing))
        cuts = np.searchsorted(share, np.linspace(0.0, share[-1], count + 1)[1:-1])
        cuts = np.unique(np.concatenate([[0], cuts, [middle]]))
        for left, right in pairwise(cuts):
            point, patch = _cell(
                centre[low:high, middle + left : middle + right],
                area[low:high, middle + left : middle + right],
            )
            for mirror in (1.0, -1.0):
                points.append(point * (mirror, 1.0, 1.0))
                areas.append(patch * (mirror, 1.0, 1.0))
    return np.array(points), np.array(areas)


def stretch(point: Array, area: Array, factor: Array) -> tuple[Array, Array]:
    """Carry skin points and vector areas over to a shape stretched along its axes.

    Parameters
    ----------
    point : ndarray, shape (n, 3)
        Points relative to the centre. [m]
    area : ndarray, shape (n, 3)
        Outward vector areas. [m^2]
    factor : ndarray, shape (3,)
        Stretch along each axis. [-]

    Returns
    -------
    point : ndarray, shape (n, 3)
        Points of the stretched shape. [m]
    area : ndarray, shape (n, 3)
        Its vector areas: exact for a linear map (cofactors). [m^2]
    """
    return point * factor, area * (np.prod(factor) / factor)
