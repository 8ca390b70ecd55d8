"""What the bed does to one body, by loops over points of skin.

The same law as `leeward.contact.skin_contact` and `bed_on_segments`, which define it; the tests
hold the two together. Each loop does one thing to all points near the bed and leaves it in `Near`.
"""

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from leeward.contact.compiled import entry, part
from leeward.contact.compiled_field import (
    average,
    climb,
    descend,
    follow,
    keep_pressed,
    locate,
    points_near,
)
from leeward.contact.foam import TABLE_STEP
from leeward.contact.lain_out import AREA, FACES, FRICTION, JOINS, POINTS, LainOut
from leeward.contact.near import (
    ARM,
    BY_PLACE,
    CHANGE,
    COLUMN,
    DEPTH,
    FACING,
    GRADIENT,
    OUTWARD,
    PLACE,
    PLACE_GRADIENT,
    PRESSURE,
    SHEAR,
    SHEAR_CHANGE,
    STIFFNESS,
    TANGENT,
    TRACTION,
    Near,
)
from leeward.contact.segments import COUNT
from leeward.contact.skin_contact import SHEAR_STIFFNESS, TINY_SHEAR

Array = NDArray[np.float64]
Index = NDArray[np.intp]

_SLIP: Final = SHEAR_STIFFNESS.value
_TINY2: Final = TINY_SHEAR**2


class Push(NamedTuple):
    """What the bed does to one body.

    Parameters
    ----------
    wrench : ndarray, shape (14, 6)
        Force on each segment, then moment about its joint. [N, N m]
    block : ndarray, shape (14, 6, 6)
        Change of the wrench per displacement of the joint and rotation. [N/m, N m/rad]
    normal : ndarray, shape (14,)
        Normal force on each segment. [N]
    shear : ndarray, shape (4,)
        Summed shear force, then the largest that friction could give. [N]
    """

    wrench: Array
    block: Array
    normal: Array
    shear: Array


def room_for_push() -> Push:
    """Make room for what the bed does to one body.

    Returns
    -------
    Push
        Nothing yet.
    """
    return Push(np.empty((COUNT, 6)), np.empty((COUNT, 6, 6)), np.empty(COUNT), np.empty(4))


@part
def _face(skin: Array, segment: Index, frame: Array, near: Near, count: int) -> None:
    """Turn the areas of points with their segments, and project them on the surface."""
    value = near.value
    for n in range(count):
        point = near.point[n]
        s, facing = segment[point], 0.0
        for axis in range(3):
            area = (
                frame[s, axis, 0] * skin[point, AREA]
                + frame[s, axis, 1] * skin[point, AREA + 1]
                + frame[s, axis, 2] * skin[point, AREA + 2]
            )
            value[OUTWARD + axis, n] = area
            facing += area * value[GRADIENT + axis, n]
        value[FACING, n] = max(facing, 0.0)
        if not facing > 0.0:
            # skin that faces away is inside the foam only numerically: it bears nothing
            for axis in range(3):
                value[OUTWARD + axis, n] = 0.0


@part
def _press(table: Array, last_cell: int, row: Index, near: Near, count: int) -> None:
    """Pressure and its slope at every point, from its table."""
    value = near.value
    for n in range(count):
        position = value[DEPTH, n] / TABLE_STEP
        cell = min(int(position), last_cell)
        fraction = position - cell
        place = row[near.point[n]] + cell
        c1, c2, c3 = table[place, 1], table[place, 2], table[place, 3]
        beyond = max(fraction - 1.0, 0.0)
        fraction -= beyond
        slope = c1 + fraction * (2.0 * c2 + 3.0 * c3 * fraction)
        within = table[place, 0] + fraction * (c1 + fraction * (c2 + fraction * c3))
        value[PRESSURE, n] = within + beyond * slope
        value[STIFFNESS, n] = slope / TABLE_STEP


@part
def _rub(friction: float, anchor: Array, near: Near, count: int) -> None:
    """Friction at every point, and the change of shear per displacement."""
    value = near.value
    for n in range(count):
        across = value[PLACE, n] - anchor[near.point[n], 0]
        along = value[PLACE + 1, n] - anchor[near.point[n], 1]
        grip, square = friction * value[PRESSURE, n], across * across + along * along
        reach = np.sqrt(grip * grip + _SLIP * _SLIP * square + _TINY2)
        held, fade = _SLIP * grip / reach, _SLIP * _SLIP / (reach * reach)
        by_grip = friction * value[STIFFNESS, n] * (_SLIP * fade / reach * square)
        value[SHEAR, n], value[SHEAR + 1, n] = -held * across, -held * along
        for axis in range(3):
            one, other = value[PLACE_GRADIENT + axis, n], value[PLACE_GRADIENT + 3 + axis, n]
            common = held * fade * (across * one + along * other)
            common -= by_grip * value[GRADIENT + axis, n]
            value[SHEAR_CHANGE + axis, n] = across * common - held * one
            value[SHEAR_CHANGE + 3 + axis, n] = along * common - held * other


@part
def _pull(near: Near, count: int) -> None:
    """Traction of the bed on every point, and the change of its force per displacement."""
    value = near.value
    for row in range(3):
        for n in range(count):
            across, along = value[TANGENT + row, n], value[TANGENT + 3 + row, n]
            rubbing = value[SHEAR, n] * across + value[SHEAR + 1, n] * along
            pressing = value[PRESSURE, n] * value[GRADIENT + row, n]
            value[TRACTION + row, n] = rubbing - pressing
        for axis in range(3):
            for n in range(count):
                across, along = value[TANGENT + row, n], value[TANGENT + 3 + row, n]
                change = across * value[SHEAR_CHANGE + axis, n]
                change += along * value[SHEAR_CHANGE + 3 + axis, n]
                steep = value[STIFFNESS, n] * value[GRADIENT + row, n] * value[GRADIENT + axis, n]
                value[BY_PLACE + 3 * row + axis, n] = value[FACING, n] * (change - steep)


@part
def _bend(face: Array, near: Near, count: int) -> None:
    """Add what the surface's bends do to the change of force per displacement."""
    value, jump = near.value, np.empty((3, 3))
    for leaf in range(1, len(face)):
        for way in range(3):
            for axis in range(3):
                jump[way, axis] = face[leaf, way, axis] - face[0, way, axis]
        for row in range(3):
            for n in range(count):
                turned = value[SHEAR, n] * jump[0, row] + value[SHEAR + 1, n] * jump[1, row]
                turned += value[PRESSURE, n] * jump[2, row]
                meets = value[OUTWARD, n] * jump[2, 0] + value[OUTWARD + 1, n] * jump[2, 1]
                meets += value[OUTWARD + 2, n] * jump[2, 2]
                value[COLUMN + row, n] = value[FACING, n] * turned
                value[COLUMN + row, n] -= meets * value[TRACTION + row, n]
            for axis in range(3):
                for n in range(count):
                    change = value[COLUMN + row, n] * near.node[leaf, CHANGE + axis, n]
                    value[BY_PLACE + 3 * row + axis, n] += change


@part
def _gather_force(segment: Index, friction: float, near: Near, count: int, push: Push) -> None:
    """Add every point's force to its segment's."""
    value = near.value
    for n in range(count):
        s, facing = segment[near.point[n]], value[FACING, n]
        push.normal[s] += facing * value[PRESSURE, n]
        push.shear[3] += facing * friction * value[PRESSURE, n]
        for axis in range(3):
            after, last = (axis + 1) % 3, (axis + 2) % 3
            traction = value[TRACTION + axis, n]
            moment = value[ARM + after, n] * value[TRACTION + last, n]
            moment -= value[ARM + last, n] * value[TRACTION + after, n]
            rubbing = traction + value[PRESSURE, n] * value[GRADIENT + axis, n]
            push.wrench[s, axis] += facing * traction
            push.wrench[s, 3 + axis] += facing * moment
            push.shear[axis] += facing * rubbing


@part
def _gather_change(segment: Index, near: Near, count: int, push: Push) -> None:
    """Add the change of every point's force to its segment's."""
    value, change = near.value, np.empty((3, 6))
    for n in range(count):
        block = push.block[segment[near.point[n]]]
        arm0, arm1, arm2 = value[ARM, n], value[ARM + 1, n], value[ARM + 2, n]
        for axis in range(3):
            after, last = (axis + 1) % 3, (axis + 2) % 3
            far, close = value[ARM + after, n], value[ARM + last, n]
            meets = value[OUTWARD + after, n] * value[GRADIENT + last, n]
            meets -= value[OUTWARD + last, n] * value[GRADIENT + after, n]
            for row in range(3):
                by_place = BY_PLACE + 3 * row
                change[row, axis] = value[by_place + axis, n]
                # turning about an axis moves the point across it, and turns its area
                moved = far * value[by_place + last, n] - close * value[by_place + after, n]
                change[row, 3 + axis] = moved + value[TRACTION + row, n] * meets
        for column in range(6):
            one, two, three = change[0, column], change[1, column], change[2, column]
            block[0, column] += one
            block[1, column] += two
            block[2, column] += three
            block[3, column] += arm1 * three - arm2 * two
            block[4, column] += arm2 * one - arm0 * three
            block[5, column] += arm0 * two - arm1 * one


@part
def _swing(segment: Index, near: Near, count: int, push: Push) -> None:
    """Add the moment of every point's force as its arm turns."""
    value = near.value
    for n in range(count):
        s, outward = segment[near.point[n]], 0.0
        for axis in range(3):
            force = value[FACING, n] * value[TRACTION + axis, n]
            outward += value[ARM + axis, n] * force
            for row in range(3):
                push.block[s, 3 + row, 3 + axis] += value[ARM + row, n] * force
        for axis in range(3):
            push.block[s, 3 + axis, 3 + axis] -= outward


@part
def _clear(push: Push) -> None:
    for s in range(COUNT):
        push.normal[s] = 0.0
        for row in range(6):
            push.wrench[s, row] = 0.0
            for column in range(6):
                push.block[s, row, column] = 0.0
    for row in range(4):
        push.shear[row] = 0.0


@entry
def push_of_bed(laid: LainOut, bed: int, frame: Array, near: Near, push: Push) -> None:
    """Add up what the bed does to one body.

    Parameters
    ----------
    laid : LainOut
        Bodies and beds.
    bed : int
        Which of them. [-]
    frame : ndarray, shape (14, 3, 4)
        Rotation of every segment and place of its joint. [-]
    near : Near
        Room for the points.
    push : Push
        Written over with what is found.

    Notes
    -----
    Equal to `find_touch` and `bed_on_segments` but for rounding.
    """
    _clear(push)
    friction = laid.outside[bed, FRICTION]
    for bearing in range(len(laid.ends) - 1):
        low, high = laid.ends[bearing], laid.ends[bearing + 1]
        skin = laid.skin[low[POINTS] : high[POINTS]]
        segment = laid.segment[low[POINTS] : high[POINTS]]
        face = laid.face[bed, low[FACES] : high[FACES]]
        join = laid.join[low[JOINS] : high[JOINS]]
        scale = laid.scale[bed, low[JOINS] : high[JOINS]]
        count = points_near(skin, segment, frame, face, scale, near)
        climb(join, scale, near, count)
        count = keep_pressed(skin, len(face), near, count)
        descend(face, join, scale, near, count)
        # arc coordinates take the rows of the half-spaces' shares, which have none
        locate(segment, frame, face, near, count)
        average(face, near, count)
        follow(len(face), near, count)
        _face(skin, segment, frame, near, count)
        row = laid.row[bed, low[POINTS] : high[POINTS]]
        _press(laid.table, laid.last_cell, row, near, count)
        _rub(friction, laid.anchor[bed, low[POINTS] : high[POINTS]], near, count)
        _pull(near, count)
        _bend(face, near, count)
        _gather_force(segment, friction, near, count, push)
        _gather_change(segment, near, count, push)
        _swing(segment, near, count, push)
