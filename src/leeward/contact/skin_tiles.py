"""The piece of skin each point stands for: how long, how wide, and what it covers of the bed."""

from functools import lru_cache
from typing import Final

import numpy as np
import scipy
from numpy.typing import NDArray

from leeward.contact.bed_field import FieldValue
from leeward.contact.figure import Figure
from leeward.contact.segments import COUNT

Array = NDArray[np.float64]

_NEIGHBOURS: Final = 9
#: Tiles are not taken to be longer than this times their width, or the other way round. [-]
_LONGEST: Final = 2.5


def _directions(area: Array) -> tuple[Array, Array]:
    """Unit vectors (n, 3) round the segment's long axis and along it, in the skin."""
    normal = area / np.maximum(np.linalg.norm(area, axis=1, keepdims=True), 1e-12)
    # at a segment's end the long axis stands on the skin: another direction does
    axis = np.where(np.abs(normal[:, 1:2]) > 0.99, [1.0, 0.0, 0.0], [0.0, 1.0, 0.0])
    along = axis - np.sum(axis * normal, axis=1, keepdims=True) * normal
    along /= np.maximum(np.linalg.norm(along, axis=1, keepdims=True), 1e-12)
    return np.cross(along, normal), along


def _stretch(point: Array, around: Array, along: Array) -> Array:
    """How much further neighbours stand round the axis than along it, (n,)."""
    if len(point) < _NEIGHBOURS:
        return np.ones(len(point))
    _, near = scipy.spatial.KDTree(point).query(point, k=_NEIGHBOURS)
    away = point[near[:, 1:]] - point[:, None]
    aside = np.abs(np.einsum("nkj,nj->nk", away, around))
    ahead = np.abs(np.einsum("nkj,nj->nk", away, along))
    beside = np.where(aside >= ahead, aside, np.inf).min(axis=1)
    before = np.where(aside < ahead, ahead, np.inf).min(axis=1)
    known = np.isfinite(beside) & np.isfinite(before)
    ratio = np.where(known, beside, 1.0) / np.where(known, before, 1.0)
    return np.clip(ratio, 1.0 / _LONGEST, _LONGEST)


@lru_cache(maxsize=8)
def tile_edges(figure: Figure) -> Array:
    """Half edges of the rectangle of skin that every point stands for.

    Parameters
    ----------
    figure : Figure
        The body. [-]

    Returns
    -------
    ndarray, shape (n, 2, 3)
        From the middle to the sides, round the segment and along it, in the segment's own
        frame; edges are as long as neighbouring points are apart, and enclose the point's
        area. [m]
    """
    edges = np.empty((len(figure.point), 2, 3))
    for segment in range(COUNT):
        own = np.flatnonzero(figure.owner == segment)
        if own.size:
            around, along = _directions(figure.area[own])
            stretch = _stretch(figure.point[own], around, along)
            extent = np.linalg.norm(figure.area[own], axis=1)
            edges[own, 0] = 0.5 * np.sqrt(extent * stretch)[:, None] * around
            edges[own, 1] = 0.5 * np.sqrt(extent / stretch)[:, None] * along
    return edges


def square_edges(area: Array) -> Array:
    """Half edges of squares of skin.

    Parameters
    ----------
    area : ndarray, shape (n, 3)
        Their vector areas in the segment's own frame. [m^2]

    Returns
    -------
    ndarray, shape (n, 2, 3)
        From the middle to the sides. [m]
    """
    half = 0.5 * np.sqrt(np.linalg.norm(area, axis=1))[:, None]
    around, along = _directions(area)
    return np.stack([half * around, half * along], axis=1)


def rectangles(edges: Array, facing: Array, value: FieldValue) -> Array:
    """Rectangles on the surface that pieces of skin cover.

    Parameters
    ----------
    edges : ndarray, shape (n, 2, 3)
        Half edges of the pieces in the bed's frame. [m]
    facing : ndarray, shape (n,)
        Their areas projected on the surface. [m^2]
    value : FieldValue
        The surface at their middles.

    Returns
    -------
    ndarray, shape (2, n)
        Sides across and along: as wide as the piece in the mean, and of its projected
        area. [m]
    """
    reach = np.stack([np.einsum("nej,jn->en", edges, tangent) for tangent in value.tangent])
    size = 2.0 * np.sqrt(np.sum(reach**2, axis=1))
    product = np.maximum(size[0] * size[1], 1e-12)
    return np.asarray(size * np.sqrt(np.maximum(facing, 0.0) / product))
