"""A batch of bodies in their beds laid out as plain arrays, as loops over points want them."""

from typing import Final, NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from leeward.contact.balance import Lying
from leeward.contact.skin_contact import Bearing

Array = NDArray[np.float64]
Index = NDArray[np.intp]
_Scalar = TypeVar("_Scalar", bound=np.generic)

#: Columns of `LainOut.skin`, `LainOut.part` and `LainOut.outside`.
POINT: Final = 0
AREA: Final = 3
LIFT: Final = 6
LINK: Final = 0
CENTRE: Final = 3
MASS: Final = 6
PRESENT: Final = 7
GRAVITY: Final = 0
FRICTION: Final = 3
#: Columns of `LainOut.ends`.
POINTS: Final = 0
FACES: Final = 1
JOINS: Final = 2


class LainOut(NamedTuple):
    """Skin points, half-spaces and joins of all bearings, one bearing after another.

    Parameters
    ----------
    skin : ndarray, shape (n, 7)
        Place of every point from its segment's joint [m], vector area [m^2], pillow under it. [m]
    segment : ndarray of int, shape (n,)
        Segment of each point. [-]
    row : ndarray of int, shape (b, n)
        First row of each point's pressure table in each bed. [-]
    anchor : ndarray, shape (b, n, 2)
        Arc coordinates at which each point's shear is zero. [m]
    table : ndarray, shape (cells of all tables, 4)
        Pressure tables. [Pa]
    last_cell : int
        Last cell of a table, counted from its first. [-]
    face : ndarray, shape (b, l, 3, 4)
        Every half-space: directions across, along and out, and what to add to a point's component
        for its arc coordinate or height. [-]
    join : ndarray of int, shape (j, 2)
        Nodes joined, counted from the bearing's first half-space. [-]
    scale : ndarray, shape (b, j)
        Scale of every rounding, positive for a valley. [m]
    ends : ndarray of int, shape (s + 1, 3)
        Where each bearing's points, half-spaces and joins begin, and the last ends. [-]
    part : ndarray, shape (14, 8)
        Every segment's joint from its parent's [m], centre of mass [m], mass [kg], and whether it
        is there. [-]
    rest : ndarray, shape (b, 14, 3, 3)
        Rotations at rest in the parent's frame. [-]
    resistance : ndarray, shape (b, 14)
        Stiffness of the joints at small bends. [N m/rad]
    outside : ndarray, shape (b, 4)
        Gravity in each bed's frame [m/s^2], and the friction coefficient. [-]
    """

    skin: Array
    segment: Index
    row: Index
    anchor: Array
    table: Array
    last_cell: int
    face: Array
    join: Index
    scale: Array
    ends: Index
    part: Array
    rest: Array
    resistance: Array
    outside: Array


def lay_out(lying: Lying) -> LainOut:
    """Lay a batch of bodies in their beds out as plain arrays.

    Parameters
    ----------
    lying : Lying
        Bodies and beds. [-]

    Returns
    -------
    LainOut
        The same.
    """
    figure, bearings = lying.figure, lying.bearings
    own = _joined([bearing.skin for bearing in bearings], 0)
    lift = _joined([bearing.lift for bearing in bearings], 0)
    table, row = _tables(bearings)
    joins = [join for bearing in bearings for join in bearing.field.joins]
    return LainOut(
        skin=np.column_stack([figure.point[own], figure.area[own], lift]),
        segment=figure.owner[own],
        row=row,
        anchor=_joined([bearing.anchor.transpose(0, 2, 1) for bearing in bearings], 1),
        table=table,
        last_cell=bearings[0].table.shape[1] - 1,
        face=_joined([_faces(bearing) for bearing in bearings], 1),
        join=np.array([(join.first, join.second) for join in joins], dtype=np.intp).reshape(-1, 2),
        scale=_joined([_scales(bearing) for bearing in bearings], 1),
        ends=_ends(bearings),
        part=np.column_stack([figure.link, figure.mass_centre, figure.mass, figure.present]),
        rest=np.ascontiguousarray(lying.joints.rest),
        resistance=np.ascontiguousarray(lying.joints.stiffness),
        outside=np.column_stack([lying.gravity, lying.friction]),
    )


def _tables(bearings: tuple[Bearing, ...]) -> tuple[Array, Index]:
    """Tables of all bearings one after another, once if they share them, and points' rows."""
    cells = bearings[0].table.shape[1]
    shared = all(bearing.table is bearings[0].table for bearing in bearings)
    tables: list[Array] = []
    rows: list[Index] = []
    first = 0
    for bearing in bearings:
        rows.append(first + bearing.row * cells)
        if not shared or not tables:
            tables.append(bearing.table.reshape(-1, 4))
        first = 0 if shared else first + len(tables[-1])
    return _joined(tables, 0), _joined(rows, 1)


def _faces(bearing: Bearing) -> Array:
    """Rows (across, along, out; then what to add) of every half-space, (b, l, 3, 4)."""
    field = bearing.field
    face = np.empty((*field.frame.shape[:3], 4))
    face[..., :3] = field.frame
    face[..., 3] = -np.matmul(field.frame, field.origin[..., None])[..., 0]
    face[..., :2, 3] += field.start
    return face


def _scales(bearing: Bearing) -> Array:
    field = bearing.field
    scale = np.empty((len(field.origin), len(field.joins)))
    for number, join in enumerate(field.joins):
        scale[:, number] = join.scale()
    return scale


def _ends(bearings: tuple[Bearing, ...]) -> Index:
    counts = [
        (len(bearing.skin), bearing.field.origin.shape[1], len(bearing.field.joins))
        for bearing in bearings
    ]
    return np.cumsum([(0, 0, 0), *counts], axis=0, dtype=np.intp)


def _joined(parts: list[NDArray[_Scalar]], axis: int) -> NDArray[_Scalar]:
    joined = parts[0] if len(parts) == 1 else np.concatenate(parts, axis=axis)
    return np.ascontiguousarray(joined)
