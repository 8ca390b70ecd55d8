"""Everything that acts on one body, by loops over its segments: the law of `find_balance`."""

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from leeward.contact.balance import CENTRE_SCALE, TURN_SCALE
from leeward.contact.compiled import entry, part
from leeward.contact.compiled_contact import Push, push_of_bed, room_for_push
from leeward.contact.compiled_joints import joint_moment
from leeward.contact.lain_out import CENTRE, GRAVITY, LINK, MASS, PRESENT, LainOut
from leeward.contact.near import Near, room_for_points
from leeward.contact.pose import UNKNOWNS
from leeward.contact.segments import COUNT, PARENT

Array = NDArray[np.float64]
Index = NDArray[np.intp]

_PARENT: Final = np.array(PARENT)
#: Longest way from a segment to the pelvis, with the place of the pelvis and the own rotation.
_LONGEST: Final = 6


class Found(NamedTuple):
    """What is out of balance on one body, and room to find it in.

    Parameters
    ----------
    force : ndarray, shape (45,)
        Force on the whole body, then the moment that turns each segment. [N, N m]
    stiffness, scale : ndarray, shape (45, 45)
        As in `Balance`. [N/m, N, N m/rad]
    frame : ndarray, shape (14, 3, 4)
        Rotation of every segment and place of its joint. [-]
    arm, centre : ndarray, shape (14, 3)
        Every joint from its parent's, every centre of mass from its joint. [m]
    push : Push
        What the bed does, then with the weight.
    near : Near
        Points near the bed.
    """

    force: Array
    stiffness: Array
    scale: Array
    frame: Array
    arm: Array
    centre: Array
    push: Push
    near: Near


def room_for_balance(laid: LainOut) -> Found:
    """Make room for what is out of balance.

    Parameters
    ----------
    laid : LainOut
        Bodies and beds.

    Returns
    -------
    Found
        Nothing yet.
    """
    return Found(
        np.empty(UNKNOWNS),
        np.empty((UNKNOWNS, UNKNOWNS)),
        np.empty((UNKNOWNS, UNKNOWNS)),
        np.empty((COUNT, 3, 4)),
        np.empty((COUNT, 3)),
        np.empty((COUNT, 3)),
        room_for_push(),
        room_for_points(laid),
    )


@entry
def _place_segments(own: Array, pelvis: Array, rotation: Array, found: Found) -> None:
    """Find where every joint and centre of mass is."""
    for s in range(COUNT):
        parent = max(_PARENT[s], 0)
        for axis in range(3):
            arm, centre = 0.0, 0.0
            for other in range(3):
                found.frame[s, axis, other] = rotation[s, axis, other]
                arm += rotation[parent, axis, other] * own[s, LINK + other]
                centre += rotation[s, axis, other] * own[s, CENTRE + other]
            before = pelvis[axis] if s == 0 else found.frame[parent, axis, 3]
            found.arm[s, axis], found.centre[s, axis] = arm, centre
            found.frame[s, axis, 3] = before + arm


@part
def _add_swing(matrix: Array, first: int, arm: Array, force: Array, sign: float) -> None:
    """Add the moment of a fixed force per rotation of its arm at a place on the diagonal."""
    product = arm[0] * force[0] + arm[1] * force[1] + arm[2] * force[2]
    for row in range(3):
        for axis in range(3):
            matrix[first + row, first + axis] += sign * arm[row] * force[axis]
        matrix[first + row, first + row] -= sign * product


@part
def _add_weight(own: Array, outside: Array, found: Found) -> None:
    """Add every segment's weight to what the bed does."""
    weight = np.empty(3)
    for s in range(COUNT):
        wrench, centre = found.push.wrench[s], found.centre[s]
        for axis in range(3):
            weight[axis] = own[s, MASS] * outside[GRAVITY + axis]
            wrench[axis] += weight[axis]
        for axis in range(3):
            after, last = (axis + 1) % 3, (axis + 2) % 3
            wrench[3 + axis] += centre[after] * weight[last] - centre[last] * weight[after]
        _add_swing(found.push.block[s], 3, centre, weight, 1.0)


@part
def _carry(motion: Array, column: int, arm: Array) -> None:
    """Add how the end of an arm moves as the arm turns."""
    for axis in range(3):
        after, last = (axis + 1) % 3, (axis + 2) % 3
        motion[after, column + last] += arm[axis]
        motion[last, column + after] -= arm[axis]


@part
def _way(s: int, arm: Array, motion: Array, unknown: Index) -> int:
    """How a segment moves with the unknowns on its way to the pelvis; how many they are."""
    for row in range(6):
        for column in range(3 * _LONGEST):
            motion[row, column] = 0.0
    for axis in range(3):
        # displacement of the whole body, and the segment's own rotation
        motion[axis, axis], motion[3 + axis, 3 + axis] = 1.0, 1.0
        unknown[axis], unknown[3 + axis] = axis, 3 + 3 * s + axis
    count, at = 6, s
    while at > 0:
        for axis in range(3):
            unknown[count + axis] = 3 + 3 * _PARENT[at] + axis
        _carry(motion, count, arm[at])
        at, count = _PARENT[at], count + 3
    return count


@part
def _spread(found: Found, s: int, motion: Array, unknown: Index, count: int) -> None:
    """Carry a segment's wrench and its change over to the unknowns that move it."""
    wrench, block, moved = found.push.wrench[s], found.push.block[s], np.empty(6)
    for column in range(count):
        for axis in range(6):
            found.force[unknown[column]] += motion[axis, column] * wrench[axis]
            moved[axis] = 0.0
            for other in range(6):
                moved[axis] += block[axis, other] * motion[other, column]
        for row in range(count):
            change = 0.0
            for axis in range(6):
                change += motion[axis, row] * moved[axis]
            found.stiffness[unknown[row], unknown[column]] -= change


@part
def _spread_scale(scale: Array, heavy: float, motion: Array, unknown: Index, count: int) -> None:
    """Add what moving a segment's centre and turning it count for in the scale."""
    for row in range(count):
        for column in range(count):
            moved = 0.0
            for axis in range(3):
                moved += heavy * motion[axis, row] * motion[axis, column]
                moved += TURN_SCALE * motion[3 + axis, row] * motion[3 + axis, column]
            scale[unknown[row], unknown[column]] += moved


@part
def _clear(found: Found) -> None:
    for row in range(UNKNOWNS):
        found.force[row] = 0.0
        for column in range(UNKNOWNS):
            found.stiffness[row, column] = 0.0
            found.scale[row, column] = 0.0


@part
def _add_links(found: Found) -> None:
    """Add what turning a link does to the moment of everything that hangs on it."""
    hanging = np.empty((COUNT, 3))
    for s in range(COUNT):
        for axis in range(3):
            hanging[s, axis] = found.push.wrench[s, axis]
    for s in range(COUNT - 1, 0, -1):
        parent = _PARENT[s]
        _add_swing(found.stiffness, 3 + 3 * parent, found.arm[s], hanging[s], -1.0)
        for axis in range(3):
            hanging[parent, axis] += hanging[s, axis]


@part
def _add_joints(rotation: Array, rest: Array, resistance: Array, found: Found) -> None:
    """Add the joints' moments and stiffness to the unknowns they act on."""
    moment, by_child, by_parent = np.empty(3), np.empty((3, 3)), np.empty((3, 3))
    force, stiffness, bent = found.force, found.stiffness, (moment, by_child, by_parent)
    for s in range(1, COUNT):
        parent = _PARENT[s]
        joint_moment(rotation[s], rotation[parent], rest[s], resistance[s], bent)
        own, other = 3 + 3 * s, 3 + 3 * parent
        for row in range(3):
            force[own + row] += moment[row]
            force[other + row] -= moment[row]
            for axis in range(3):
                stiffness[own + row, own + axis] -= by_child[row, axis]
                stiffness[own + row, other + axis] -= by_parent[row, axis]
                stiffness[other + row, own + axis] += by_child[row, axis]
                stiffness[other + row, other + axis] += by_parent[row, axis]


@entry
def _add_up(laid: LainOut, bed: int, rotation: Array, found: Found) -> None:
    """Add weight and joints to what the bed does, and carry all over to the unknowns."""
    _clear(found)
    _add_weight(laid.part, laid.outside[bed], found)
    motion, unknown = np.empty((6, 3 * _LONGEST)), np.empty(3 * _LONGEST, dtype=np.intp)
    for s in range(COUNT):
        count = _way(s, found.arm, motion, unknown)
        _spread(found, s, motion, unknown, count)
        _carry(motion, 3, found.centre[s])
        # a missing segment's centre does not count
        heavy = CENTRE_SCALE * laid.part[s, PRESENT]
        _spread_scale(found.scale, heavy, motion, unknown, count)
    _add_links(found)
    _add_joints(rotation, laid.rest[bed], laid.resistance[bed], found)


def balance_of(laid: LainOut, bed: int, pelvis: Array, rotation: Array, found: Found) -> None:
    """Add up everything that acts on one body.

    Parameters
    ----------
    laid : LainOut
        Bodies and beds.
    bed : int
        Which of them. [-]
    pelvis : ndarray, shape (3,)
        Point between the hips. [m]
    rotation : ndarray, shape (14, 3, 3)
        Rotation of every segment. [-]
    found : Found
        Written over with what is found.

    Notes
    -----
    Equal to `find_balance` but for rounding.
    """
    _place_segments(laid.part, pelvis, rotation, found)
    push_of_bed(laid, bed, found.frame, found.near, found.push)
    _add_up(laid, bed, rotation, found)
