"""Where points of skin lie in a bed's surface: the law of `Field` by loops over points."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.compiled import part
from leeward.contact.lain_out import LIFT, POINT
from leeward.contact.near import (
    ARM,
    CHANGE,
    DEPTH,
    GRADIENT,
    HEIGHT,
    LOCAL,
    PLACE,
    PLACE_GRADIENT,
    SHARE,
    SLOPE,
    TANGENT,
    WEIGHT,
    Near,
)

Array = NDArray[np.float64]
Index = NDArray[np.intp]

#: Roundings beyond which a point is on one side of an edge and on no other. [-]
_FAR: Final = 200.0
_LOG2: Final = float(np.log(2.0))


@part
def points_near(
    skin: Array, segment: Index, frame: Array, face: Array, scale: Array, near: Near
) -> int:
    """Find points that may lie in a surface, and how deep below each of its half-spaces.

    Parameters
    ----------
    skin : ndarray, shape (n, 7)
        The bearing's points, as in `LainOut`. [-]
    segment : ndarray of int, shape (n,)
        Their segments. [-]
    frame : ndarray, shape (14, 3, 4)
        Rotation of every segment and place of its joint. [-]
    face : ndarray, shape (l, 3, 4)
        Half-spaces, as in `LainOut`. [-]
    scale : ndarray, shape (l - 1,)
        Scales of the roundings. [m]
    near : Near
        Gets the points, their arms and the nodes' depths.

    Returns
    -------
    int
        How many there are. [-]
    """
    filled, count, leaves = 0.0, 0, len(face)
    for number in range(leaves - 1):
        # a valley is filled by no more than this times its scale
        filled += _LOG2 * max(scale[number], 0.0)
    for point in range(len(skin)):
        s = segment[point]
        x, y, z = skin[point, POINT], skin[point, POINT + 1], skin[point, POINT + 2]
        arm0 = frame[s, 0, 0] * x + frame[s, 0, 1] * y + frame[s, 0, 2] * z
        arm1 = frame[s, 1, 0] * x + frame[s, 1, 1] * y + frame[s, 1, 2] * z
        arm2 = frame[s, 2, 0] * x + frame[s, 2, 1] * y + frame[s, 2, 2] * z
        x, y, z = arm0 + frame[s, 0, 3], arm1 + frame[s, 1, 3], arm2 + frame[s, 2, 3]
        deepest = -np.inf
        for leaf in range(leaves):
            height = face[leaf, 2, 0] * x + face[leaf, 2, 1] * y + face[leaf, 2, 2] * z
            height += face[leaf, 2, 3]
            near.node[leaf, HEIGHT, count] = -height
            deepest = max(deepest, -height)
        if deepest + filled + skin[point, LIFT] > 0.0:
            near.point[count] = point
            near.value[ARM, count] = arm0
            near.value[ARM + 1, count] = arm1
            near.value[ARM + 2, count] = arm2
            count += 1
    return count


@part
def climb(join: Index, scale: Array, near: Near, count: int) -> None:
    """Find the depth below every join from its two sides, and their shares in it.

    Parameters
    ----------
    join : ndarray of int, shape (l - 1, 2)
        Nodes joined. [-]
    scale : ndarray, shape (l - 1,)
        Scales of the roundings. [m]
    near : Near
        Gets the joins' depths and shares.
    count : int
        Points in use. [-]
    """
    node, leaves = near.node, len(join) + 1
    for number in range(leaves - 1):
        first, second, own = join[number, 0], join[number, 1], leaves + number
        for n in range(count):
            one, other = node[first, HEIGHT, n], node[second, HEIGHT, n]
            apart = min(max((other - one) / scale[number], -_FAR), _FAR)
            fade = np.exp(-abs(apart))
            larger, deeper = 1.0 / (1.0 + fade), one
            one, other = larger, fade * larger
            if apart > 0.0:
                deeper = node[second, HEIGHT, n]
                one, other = other, one
            node[own, HEIGHT, n] = deeper + scale[number] * np.log1p(fade)
            node[own, SHARE, n], node[own, SHARE + 1, n] = one, other


@part
def keep_pressed(skin: Array, leaves: int, near: Near, count: int) -> int:
    """Keep the points that lie in the surface or in a pillow on it.

    Parameters
    ----------
    skin : ndarray, shape (n, 7)
        The bearing's points, as in `LainOut`. [-]
    leaves : int
        Half-spaces of the surface. [-]
    near : Near
        Its points move up.
    count : int
        Points in use before. [-]

    Returns
    -------
    int
        Points in use after. [-]
    """
    kept = 0
    for n in range(count):
        depth = near.node[2 * leaves - 2, HEIGHT, n] + skin[near.point[n], LIFT]
        if depth > 0.0:
            near.point[kept], near.value[DEPTH, kept] = near.point[n], depth
            for axis in range(3):
                near.value[ARM + axis, kept] = near.value[ARM + axis, n]
            for own in range(leaves, 2 * leaves - 1):
                near.node[own, SHARE, kept] = near.node[own, SHARE, n]
                near.node[own, SHARE + 1, kept] = near.node[own, SHARE + 1, n]
            kept += 1
    return kept


@part
def descend(face: Array, join: Index, scale: Array, near: Near, count: int) -> None:
    """Find the weight of every half-space, and how it changes with a point's place.

    Parameters
    ----------
    face : ndarray, shape (l, 3, 4)
        Half-spaces, as in `LainOut`. [-]
    join : ndarray of int, shape (l - 1, 2)
        Nodes joined. [-]
    scale : ndarray, shape (l - 1,)
        Scales of the roundings. [m]
    near : Near
        Gets the nodes' weights and gradients.
    count : int
        Points in use. [-]
    """
    node, leaves = near.node, len(face)
    for own in range(2 * leaves - 1):
        for axis in range(3):
            for n in range(count):
                if own < leaves:
                    node[own, SLOPE + axis, n] = -face[own, 2, axis]
                else:
                    first, second = join[own - leaves, 0], join[own - leaves, 1]
                    one = node[own, SHARE, n] * node[first, SLOPE + axis, n]
                    other = node[own, SHARE + 1, n] * node[second, SLOPE + axis, n]
                    node[own, SLOPE + axis, n] = one + other
    for n in range(count):
        node[2 * leaves - 2, WEIGHT, n] = 1.0
        for axis in range(3):
            node[2 * leaves - 2, CHANGE + axis, n] = 0.0
    for number in range(leaves - 2, -1, -1):
        first, second, own = join[number, 0], join[number, 1], leaves + number
        for n in range(count):
            one, other = node[own, SHARE, n], node[own, SHARE + 1, n]
            passing = node[own, WEIGHT, n] * one * other / scale[number]
            node[first, WEIGHT, n] = node[own, WEIGHT, n] * one
            node[second, WEIGHT, n] = node[own, WEIGHT, n] * other
            for axis in range(3):
                jump = node[second, SLOPE + axis, n] - node[first, SLOPE + axis, n]
                node[first, CHANGE + axis, n] = node[own, CHANGE + axis, n] * one - passing * jump
                node[second, CHANGE + axis, n] = (
                    node[own, CHANGE + axis, n] * other + passing * jump
                )


@part
def locate(segment: Index, frame: Array, face: Array, near: Near, count: int) -> None:
    """Find arc coordinates on every half-space.

    Parameters
    ----------
    segment : ndarray of int, shape (n,)
        Segments of the bearing's points. [-]
    frame : ndarray, shape (14, 3, 4)
        Rotation of every segment and place of its joint. [-]
    face : ndarray, shape (l, 3, 4)
        Half-spaces, as in `LainOut`. [-]
    near : Near
        Gets the half-spaces' arc coordinates.
    count : int
        Points in use. [-]
    """
    for leaf in range(len(face)):
        for way in range(2):
            across, along, out = face[leaf, way, 0], face[leaf, way, 1], face[leaf, way, 2]
            for n in range(count):
                s = segment[near.point[n]]
                x = near.value[ARM, n] + frame[s, 0, 3]
                y = near.value[ARM + 1, n] + frame[s, 1, 3]
                z = near.value[ARM + 2, n] + frame[s, 2, 3]
                local = across * x + along * y + out * z + face[leaf, way, 3]
                near.node[leaf, LOCAL + way, n] = local


@part
def average(face: Array, near: Near, count: int) -> None:
    """Average directions and arc coordinates over the half-spaces, by their weights.

    Parameters
    ----------
    face : ndarray, shape (l, 3, 4)
        Half-spaces, as in `LainOut`. [-]
    near : Near
        Gets `GRADIENT`, `TANGENT` and `PLACE`.
    count : int
        Points in use. [-]
    """
    node, value = near.node, near.value
    for row in range(GRADIENT, PLACE + 2):
        for n in range(count):
            value[row, n] = 0.0
    for leaf in range(len(face)):
        for axis in range(3):
            across, along, out = face[leaf, 0, axis], face[leaf, 1, axis], face[leaf, 2, axis]
            for n in range(count):
                weight = node[leaf, WEIGHT, n]
                value[GRADIENT + axis, n] -= weight * out
                value[TANGENT + axis, n] += weight * across
                value[TANGENT + 3 + axis, n] += weight * along
        for way in range(2):
            for n in range(count):
                place = node[leaf, LOCAL + way, n]
                value[PLACE + way, n] += node[leaf, WEIGHT, n] * place


@part
def follow(leaves: int, near: Near, count: int) -> None:
    """Find how arc coordinates change: along mean directions, and from half-space to half-space.

    Parameters
    ----------
    leaves : int
        Half-spaces of the surface. [-]
    near : Near
        Gets `PLACE_GRADIENT`.
    count : int
        Points in use. [-]
    """
    node, value = near.node, near.value
    for row in range(6):
        for n in range(count):
            value[PLACE_GRADIENT + row, n] = value[TANGENT + row, n]
    for leaf in range(1, leaves):
        for way in range(2):
            for axis in range(3):
                row = PLACE_GRADIENT + 3 * way + axis
                for n in range(count):
                    jump = node[leaf, LOCAL + way, n] - node[0, LOCAL + way, n]
                    value[row, n] += jump * node[leaf, CHANGE + axis, n]
