"""Skin on the bed: how deep each point lies, its pressure and its shear."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.bed_field import Field, FieldValue
from leeward.contact.figure import Figure
from leeward.contact.foam import pressure_at_depth
from leeward.contact.pose import Pose
from leeward.contact.segments import COUNT
from leeward.terms.sourced import Sourced

Array = NDArray[np.float64]
Index = NDArray[np.intp]

#: Shear stiffness of sheet, cover and foam skin before anything slips. [Pa/m]
SHEAR_STIFFNESS: Final = Sourced(
    100e3, "Pa/m", "convention of this project: 10 mm of drag at 1 kPa of shear", "not applicable"
)
TINY_SHEAR: Final = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Bearing:
    """A surface some of the skin may lie on, in each bed of a batch.

    Parameters
    ----------
    field : Field
        The surface.
    skin : ndarray of int, shape (n,)
        Which points of the figure can meet it, in their order. [-]
    lift : ndarray, shape (n,)
        Height of a pillow on the surface at each point. [m]
    table : ndarray, shape (t, cells, 4)
        Pressure tables. [Pa]
    row : ndarray of int, shape (b, n)
        Table of each point in each bed. [-]
    anchor : ndarray, shape (b, 2, n)
        Arc coordinates at which each point's shear is zero. [m]
    segments : frozenset of int
        Segments those points belong to. [-]
    """

    field: Field
    skin: Index
    lift: Array
    table: Array
    row: Index
    anchor: Array
    segments: frozenset[int] = frozenset(range(COUNT))

    def take(self, beds: Index) -> "Bearing":
        """Pick some beds of the batch.

        Parameters
        ----------
        beds : ndarray of int, shape (k,)
            Their positions. [-]

        Returns
        -------
        Bearing
            The bearing in those beds.
        """
        return replace(
            self, field=self.field.take(beds), row=self.row[beds], anchor=self.anchor[beds]
        )


@dataclass(frozen=True, slots=True, eq=False)
class Touch:
    """Points in contact or near it, over all beds of a batch, and what happens at them.

    The same m / b points in every bed, bed by bed and ordered by segment: those that do not
    touch face nothing, so that they bear nothing.

    Parameters
    ----------
    bed, point, segment : ndarray of int, shape (m,)
        Which bed, which of the bearing's points, which segment. [-]
    arm : ndarray, shape (3, m)
        Point from its segment's joint. [m]
    area : ndarray, shape (3, m)
        Outward vector area in the bed's frame; zero without contact. [m^2]
    facing : ndarray, shape (m,)
        Area projected on the surface; zero without contact. [m^2]
    pressure, stiffness : ndarray, shape (m,)
        Normal pressure [Pa] and its slope in depth. [Pa/m]
    shear : ndarray, shape (2, m)
        Shear across and along. [Pa]
    drag : ndarray, shape (2, m)
        Displacement of the point from its anchor. [m]
    grip : ndarray, shape (m,)
        Largest shear friction can give. [Pa]
    surface : FieldValue
        The surface at the points, with (b, m / b) for its last axes.
    """

    bed: Index
    point: Index
    segment: Index
    arm: Array
    area: Array
    facing: Array
    pressure: Array
    stiffness: Array
    shear: Array
    drag: Array
    grip: Array
    surface: FieldValue

    @property
    def value(self) -> FieldValue:
        """The surface at the points, with m for its last axis. [-]"""
        given = self.surface
        return FieldValue(
            depth=given.depth.reshape(-1),
            gradient=given.gradient.reshape(3, -1),
            place=given.place.reshape(2, -1),
            place_gradient=given.place_gradient.reshape(2, 3, -1),
            tangent=given.tangent.reshape(2, 3, -1),
            bends=(),
        )


def skin_places(figure: Figure, pose: Pose, joint: Array, skin: Index) -> Array:
    """Places of skin points in the bed's frame.

    Parameters
    ----------
    figure : Figure
        The body.
    pose : Pose
        Poses of b bodies.
    joint : ndarray, shape (b, 14, 3)
        Places of their joints. [m]
    skin : ndarray of int, shape (n,)
        Points wanted, ordered by segment. [-]

    Returns
    -------
    ndarray, shape (b, 3, n)
        Places. [m]
    """
    places = turned_with_segments(figure.owner[skin], figure.point[skin], pose)
    places += joint.transpose(0, 2, 1).take(figure.owner[skin], axis=2)
    return places


def turned_with_segments(owner: Index, vector: Array, pose: Pose) -> Array:
    """Vectors that turn with their segments, in the bed's frame.

    Parameters
    ----------
    owner : ndarray of int, shape (n,)
        Segment of each vector, ascending. [-]
    vector : ndarray, shape (n, 3)
        Vectors in their segments' frames, in any unit. [-]
    pose : Pose
        Poses of b bodies.

    Returns
    -------
    ndarray, shape (b, 3, n)
        The vectors turned, in their unit. [-]
    """
    turned = np.empty((len(pose.place), 3, len(owner)))
    ends = np.searchsorted(owner, np.arange(COUNT + 1))
    for segment in range(COUNT):
        low, high = ends[segment], ends[segment + 1]
        if low < high:
            np.matmul(pose.rotation[:, segment], vector[low:high].T, out=turned[:, :, low:high])
    return turned


def _dot(first: Array, second: Array) -> Array:
    """Scalar product along a first axis of three; faster than a reduction."""
    return np.asarray(first[0] * second[0] + first[1] * second[1] + first[2] * second[2])


def shear_reach(drag: Array, grip: Array) -> Array:
    """Shear at which friction saturates: the grip and the stretch together.

    Parameters
    ----------
    drag : ndarray, shape (2, ...)
        Displacement of points from their anchors. [m]
    grip : ndarray, shape (...)
        Largest shear friction can give. [Pa]

    Returns
    -------
    ndarray, shape (...)
        Never zero. [Pa]
    """
    stretch2 = SHEAR_STIFFNESS.value**2 * (drag[0] * drag[0] + drag[1] * drag[1])
    return np.asarray(np.sqrt(grip * grip + stretch2 + TINY_SHEAR**2))


def _shear(drag: Array, grip: Array) -> Array:
    """Shear (2, ...) that saturates smoothly at the grip."""
    return np.asarray(drag * (-SHEAR_STIFFNESS.value * grip / shear_reach(drag, grip)))


def find_touch(
    figure: Figure, bearing: Bearing, pose: Pose, joint: Array, friction: Array
) -> Touch:
    """Find the points in contact with a bearing and the pressure and shear at each.

    Parameters
    ----------
    figure : Figure
        The body.
    bearing : Bearing
        The surface.
    pose : Pose
        Poses of b bodies.
    joint : ndarray, shape (b, 14, 3)
        Places of their joints. [m]
    friction : ndarray, shape (b,)
        Friction coefficient in each bed. [-]

    Returns
    -------
    Touch
        Points in contact or near it.
    """
    segment = figure.owner[bearing.skin]
    every = turned_with_segments(segment, figure.point[bearing.skin], pose)
    at_joint = joint.transpose(0, 2, 1).take(segment, axis=2)
    reaches = bearing.field.reaches(every + at_joint, bearing.lift)
    near = np.flatnonzero(np.any(reaches, axis=0))
    owner, lift = segment[near], bearing.lift[near]
    arm = every.take(near, axis=2)
    value = bearing.field.over(arm + at_joint.take(near, axis=2))
    depth = value.depth + lift
    area = turned_with_segments(owner, figure.area[bearing.skin[near]], pose).transpose(1, 0, 2)
    facing = _dot(area, value.gradient)
    # skin that faces away is inside the foam only numerically: it bears nothing
    bears = (depth > 0.0) & (facing > 0.0)
    pressed, stiffness = pressure_at_depth(
        bearing.table,
        bearing.row.take(near, axis=1).reshape(-1),
        np.maximum(depth, 0.0).reshape(-1),
    )
    pressure = pressed.reshape(depth.shape)
    drag = value.place - bearing.anchor.take(near, axis=2).transpose(1, 0, 2)
    grip = friction[:, None] * pressure
    return Touch(
        bed=np.repeat(np.arange(len(joint)), near.size),
        point=np.tile(near, len(joint)),
        segment=np.tile(owner, len(joint)),
        arm=arm.transpose(1, 0, 2).reshape(3, -1),
        area=(bears * area).reshape(3, -1),
        facing=(bears * facing).reshape(-1),
        pressure=pressed,
        stiffness=stiffness,
        shear=_shear(drag, grip).reshape(2, -1),
        drag=drag.reshape(2, -1),
        grip=grip.reshape(-1),
        surface=value,
    )


def sum_by_segment(touch: Touch, quantity: Array, batch: int) -> Array:
    """Add up a quantity of the points in contact for every segment of every bed.

    Parameters
    ----------
    touch : Touch
        Points in contact, ordered by bed and segment.
    quantity : ndarray, shape (k, m)
        What to add up, in any unit. [-]
    batch : int
        Number of beds. [-]

    Returns
    -------
    ndarray, shape (b, 14, k)
        Sums, in the quantity's unit. [-]
    """
    group = touch.bed * COUNT + touch.segment
    total = np.zeros((batch * COUNT, len(quantity)))
    if group.size:
        starts = np.flatnonzero(np.concatenate([[True], group[1:] != group[:-1]]))
        total[group[starts]] = np.add.reduceat(quantity, starts, axis=1).T
    return total.reshape(batch, COUNT, len(quantity))
