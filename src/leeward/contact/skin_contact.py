"""Forces of the bed on the skin: foam and tissue in series, friction, and their stiffness."""

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
_TINY_SHEAR: Final = 1e-9


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
    """Points in contact, over all beds of a batch, and what happens at them.

    Parameters
    ----------
    bed, point, segment : ndarray of int, shape (m,)
        Which bed, which of the bearing's points, which segment. [-]
    arm : ndarray, shape (3, m)
        Point from its segment's joint. [m]
    area : ndarray, shape (3, m)
        Outward vector area in the bed's frame. [m^2]
    facing : ndarray, shape (m,)
        Area projected on the surface. [m^2]
    pressure, stiffness : ndarray, shape (m,)
        Normal pressure [Pa] and its slope in depth. [Pa/m]
    shear : ndarray, shape (2, m)
        Shear across and along. [Pa]
    drag : ndarray, shape (2, m)
        Displacement of the point from its anchor. [m]
    grip : ndarray, shape (m,)
        Largest shear friction can give. [Pa]
    value : FieldValue
        The surface at the points.
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
    value: FieldValue

    def traction(self) -> Array:
        """Force per projected area on the skin.

        Returns
        -------
        ndarray, shape (3, m)
            Traction. [Pa]
        """
        tangent = self.value.tangent
        sheared: Array = self.shear[0] * tangent[0] + self.shear[1] * tangent[1]
        return sheared - self.pressure * self.value.gradient


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
    owner = figure.owner[skin]
    point = figure.point[skin]
    places = np.empty((len(joint), 3, len(skin)))
    ends = np.searchsorted(owner, np.arange(COUNT + 1))
    for segment in range(COUNT):
        low, high = ends[segment], ends[segment + 1]
        if low < high:
            turned = np.matmul(pose.rotation[:, segment], point[low:high].T)
            places[:, :, low:high] = turned + joint[:, segment, :, None]
    return places


def _dot(first: Array, second: Array) -> Array:
    """Scalar product along a first axis of three; faster than a reduction."""
    return np.asarray(first[0] * second[0] + first[1] * second[1] + first[2] * second[2])


def _friction(drag: Array, grip: Array) -> tuple[Array, Array]:
    """Shear (2, m) that saturates smoothly at the grip, and the length it saturates over."""
    stretch = SHEAR_STIFFNESS.value * drag
    reach = np.sqrt(grip**2 + stretch[0] ** 2 + stretch[1] ** 2 + _TINY_SHEAR**2)
    return -stretch * (grip / reach), reach


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
        Points in contact, ordered by bed and segment.
    """
    places = skin_places(figure, pose, joint, bearing.skin)
    depth = bearing.field.depth(places) + bearing.lift
    bed, point = np.nonzero(depth > 0.0)
    segment = figure.owner[bearing.skin[point]]
    rotation = pose.rotation[bed, segment]
    area = np.einsum("mij,mj->im", rotation, figure.area[bearing.skin[point]])
    place = places[bed, :, point].T
    value = bearing.field.at(place, bed)
    facing = _dot(area, value.gradient)
    # skin that faces away is inside the foam only numerically: it bears nothing
    facing = np.maximum(facing, 0.0)
    area = np.where(facing > 0.0, area, 0.0)
    pressure, stiffness = pressure_at_depth(
        bearing.table, bearing.row[bed, point], value.depth + bearing.lift[point]
    )
    drag = value.place - bearing.anchor[bed, :, point].T
    grip = friction[bed] * pressure
    shear, _ = _friction(drag, grip)
    return Touch(
        bed=bed,
        point=point,
        segment=segment,
        arm=place - joint[bed, segment].T,
        area=area,
        facing=facing,
        pressure=pressure,
        stiffness=stiffness,
        shear=shear,
        drag=drag,
        grip=grip,
        value=value,
    )


def _cross(first: Array, second: Array) -> Array:
    """Cross product along the first axis."""
    return np.stack(
        [
            first[1] * second[2] - first[2] * second[1],
            first[2] * second[0] - first[0] * second[2],
            first[0] * second[1] - first[1] * second[0],
        ]
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


def contact_wrench(touch: Touch, batch: int) -> Array:
    """Force and moment of the bed on every segment, about its joint.

    Parameters
    ----------
    touch : Touch
        Points in contact.
    batch : int
        Number of beds. [-]

    Returns
    -------
    ndarray, shape (b, 14, 6)
        Force, then moment. [N, N m]
    """
    force = touch.facing * touch.traction()
    return sum_by_segment(touch, np.concatenate([force, _cross(touch.arm, force)]), batch)


def _shear_change(touch: Touch, friction: Array) -> Array:
    """Change of shear per displacement of the point, (2, 3, m)."""
    slip = SHEAR_STIFFNESS.value
    _, reach = _friction(touch.drag, touch.grip)
    grip_slope = friction[touch.bed] * touch.stiffness
    stretch2 = slip**2 * (touch.drag[0] ** 2 + touch.drag[1] ** 2)
    along_drag = touch.drag[0] * touch.value.place_gradient[0] + (
        touch.drag[1] * touch.value.place_gradient[1]
    )
    by_grip = grip_slope * (stretch2 / reach**3) * touch.value.gradient
    common = by_grip - touch.grip * slip**2 / reach**3 * along_drag
    direct = touch.grip / reach * touch.value.place_gradient
    return np.asarray(-slip * (direct + touch.drag[:, None, :] * common))


def _point_stiffness(touch: Touch, friction: Array) -> tuple[Array, Array]:
    """Change of a point's force per displacement (3, 3, m) and per rotation by its area."""
    value = touch.value
    traction = touch.traction()
    change = (touch.facing * -touch.stiffness * value.gradient)[:, None, :] * value.gradient
    shear_change = touch.facing * _shear_change(touch, friction)
    change += value.tangent[0][:, None, :] * shear_change[0]
    change += value.tangent[1][:, None, :] * shear_change[1]
    for bend in value.bends:
        turned = touch.shear[0] * bend.tangent_jump[0] + touch.shear[1] * bend.tangent_jump[1]
        column = touch.facing * (turned - touch.pressure * bend.gradient_jump)
        column += _dot(touch.area, bend.gradient_jump) * traction
        change += column[:, None, :] * bend.weight_gradient
    by_area = traction[:, None, :] * _cross(touch.area, value.gradient)[None, :, :]
    return change, by_area


def contact_stiffness(touch: Touch, friction: Array, batch: int) -> Array:
    """Change of the bed's wrench on every segment per motion of that segment.

    Parameters
    ----------
    touch : Touch
        Points in contact.
    friction : ndarray, shape (b,)
        Friction coefficient in each bed. [-]
    batch : int
        Number of beds. [-]

    Returns
    -------
    ndarray, shape (b, 14, 6, 6)
        Rows: force, moment; columns: displacement of the joint, rotation. Not symmetric:
        friction grows with pressure. [N/m, N m/rad]
    """
    change, by_area = _point_stiffness(touch, friction)
    arm = touch.arm
    count = arm.shape[1]
    block = np.empty((6, 6, count))
    block[:3, :3] = change
    # a rotation w displaces the point by w x arm
    block[0:3, 3] = change[:, 2] * arm[1] - change[:, 1] * arm[2] + by_area[:, 0]
    block[0:3, 4] = change[:, 0] * arm[2] - change[:, 2] * arm[0] + by_area[:, 1]
    block[0:3, 5] = change[:, 1] * arm[0] - change[:, 0] * arm[1] + by_area[:, 2]
    block[3] = block[2] * arm[1] - block[1] * arm[2]
    block[4] = block[0] * arm[2] - block[2] * arm[0]
    block[5] = block[1] * arm[0] - block[0] * arm[1]
    total = sum_by_segment(touch, block.reshape(36, count), batch).reshape(batch, COUNT, 6, 6)
    force = touch.facing * touch.traction()
    dyad = (arm[:, None, :] * force[None, :, :]).reshape(9, count)
    swing = sum_by_segment(touch, dyad, batch).reshape(batch, COUNT, 3, 3)
    total[..., 3:, 3:] += swing - np.trace(swing, axis1=-2, axis2=-1)[..., None, None] * np.eye(3)
    return total
