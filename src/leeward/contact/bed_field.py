"""The bed's upper surface as a smooth field of depth: half-spaces, joined and rounded.

A field is evaluated for a batch of beds at once. Its half-spaces are the leaves of a tree
whose nodes are rounded edges; at every point each leaf has a weight, the weights add up to
one, and directions and arc coordinates are the leaves' own, weighted.
"""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Owner = NDArray[np.intp]

#: Below this rounding two half-spaces meet at what is numerically an edge. [m]
_SHARPEST: Final = 1e-6
#: Roundings beyond which a point is on one side of an edge and on no other. [-]
_FAR: Final = 200.0


@dataclass(frozen=True, slots=True, eq=False)
class Bend:
    """What turns the surface's directions from point to point, for one half-space.

    Parameters
    ----------
    weight_gradient : ndarray, shape (3, ...)
        Gradient of the half-space's weight. [1/m]
    gradient_jump : ndarray, shape (3, ...)
        Its depth gradient less the first half-space's. [-]
    tangent_jump : ndarray, shape (2, 3, ...)
        Its tangents less the first half-space's. [-]
    """

    weight_gradient: Array
    gradient_jump: Array
    tangent_jump: Array


@dataclass(frozen=True, slots=True, eq=False)
class FieldValue:
    """Depth below a surface at points, and how it changes.

    Parameters
    ----------
    depth : ndarray, shape (...)
        Depth below the unloaded surface, negative above it. [m]
    gradient : ndarray, shape (3, ...)
        Its gradient: minus the mean normal. [-]
    place : ndarray, shape (2, ...)
        Arc coordinates across and along the surface; they move with it. [m]
    place_gradient : ndarray, shape (2, 3, ...)
        Their gradients. [-]
    tangent : ndarray, shape (2, 3, ...)
        Mean directions across and along. [-]
    bends : tuple of Bend
        What turns gradient and tangents from point to point; empty on a plane. The second
        derivative of depth is the sum of their dyads gradient_jump x weight_gradient, that
        of tangents the sum of tangent_jump x weight_gradient.
    """

    depth: Array
    gradient: Array
    place: Array
    place_gradient: Array
    tangent: Array
    bends: tuple[Bend, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Join:
    """A rounded valley (the higher surface counts) or ridge (the lower).

    Parameters
    ----------
    first, second : int
        Nodes it joins: half-spaces first, in their order, then joins in theirs. [-]
    rounding : ndarray, shape (b,)
        Scale of the rounding; the edge is smoothed over about four times this. [m]
    is_valley : bool
        True: union of the solids (a valley). False: their intersection (a ridge).
    """

    first: int
    second: int
    rounding: Array
    is_valley: bool

    def scale(self) -> Array:
        """Scale of the rounding with the sign of the edge.

        Returns
        -------
        ndarray, shape (b,)
            Positive for a valley. [m]
        """
        sharpest = np.maximum(self.rounding, _SHARPEST)
        return sharpest if self.is_valley else -sharpest


@dataclass(frozen=True, slots=True, eq=False)
class Field:
    """Half-spaces in each bed of a batch, and how they are joined.

    Parameters
    ----------
    origin : ndarray, shape (b, l, 3)
        A point of each half-space's face, which has the arc coordinates `start`. [m]
    frame : ndarray, shape (b, l, 3, 3)
        Unit vectors across, along and out of each face, as rows. [-]
    start : ndarray, shape (b, l, 2)
        Arc coordinates of the origins. [m]
    joins : tuple of Join, length l - 1
        How the half-spaces are joined, the last one over all.
    """

    origin: Array
    frame: Array
    start: Array
    joins: tuple[Join, ...] = ()

    def take(self, beds: Owner) -> "Field":
        """Pick some beds of the batch.

        Parameters
        ----------
        beds : ndarray of int, shape (k,)
            Their positions. [-]

        Returns
        -------
        Field
            The surface in those beds.
        """
        joins = tuple(replace(join, rounding=join.rounding[beds]) for join in self.joins)
        return Field(self.origin[beds], self.frame[beds], self.start[beds], joins)

    def depth(self, point: Array) -> Array:
        """Depth of every point of every bed.

        Parameters
        ----------
        point : ndarray, shape (b, 3, n)
            Points. [m]

        Returns
        -------
        ndarray, shape (b, n)
            Depth, positive inside. [m]
        """
        nodes = list(self._leaf_depths(point))
        for join in self.joins:
            nodes.append(_joined(join.scale()[:, None], nodes[join.first], nodes[join.second])[0])
        return np.asarray(nodes[-1])

    def reaches(self, point: Array, lift: Array) -> NDArray[np.bool_]:
        """Which points may lie inside: none that does is left out.

        Parameters
        ----------
        point : ndarray, shape (b, 3, n)
            Points. [m]
        lift : ndarray, shape (n,)
            Height of a pillow at each point. [m]

        Returns
        -------
        ndarray of bool, shape (b, n)
            False only for points outside. [-]
        """
        nodes = list(self._leaf_depths(point))
        for join in self.joins:
            first, second = nodes[join.first], nodes[join.second]
            if join.is_valley:
                # log(1 + exp(-x)) is nowhere above 1 / (1 / log 2 + x + x^2 / 2)
                scale = join.scale()[:, None]
                apart = np.abs(first - second) / scale
                filled = scale / (1.0 / np.log(2.0) + apart * (1.0 + 0.5 * apart))
                nodes.append(np.maximum(first, second) + filled)
            else:
                nodes.append(np.minimum(first, second))
        return np.asarray(nodes[-1] > -lift)

    def over(self, point: Array) -> FieldValue:
        """Everything about points of every bed.

        Parameters
        ----------
        point : ndarray, shape (b, 3, n)
            Points. [m]

        Returns
        -------
        FieldValue
            With (b, n) for its last two axes; of bends, jumps have a last axis of 1.
        """
        frame = self.frame.transpose(1, 2, 3, 0)[..., None]
        return _value(self.joins, self._scales(), frame, self._local(point))

    def pressing(self, point: Array) -> tuple[Array, Array]:
        """How deep points lie, and which way is deeper: all that pressure alone asks for.

        Parameters
        ----------
        point : ndarray, shape (b, 3, n)
            Points. [m]

        Returns
        -------
        depth : ndarray, shape (b, n)
            Depth, positive inside. [m]
        gradient : ndarray, shape (3, b, n)
            Its gradient: minus the mean normal. [-]
        """
        depth, shares = _climb(self.joins, self._scales(), list(self._leaf_depths(point)))
        weight = _weights(self.joins, self.frame.shape[1], shares)
        gradient = np.zeros((3, *depth.shape))
        for leaf, share in enumerate(weight[: self.frame.shape[1]]):
            for axis in range(3):
                gradient[axis] -= share * self.frame[:, leaf, 2, axis, None]
        return depth, gradient

    def places(self, point: Array) -> tuple[Array, Array]:
        """Where points lie along the surface, and how deep.

        Parameters
        ----------
        point : ndarray, shape (b, 3, n)
            Points. [m]

        Returns
        -------
        place : ndarray, shape (2, b, n)
            Arc coordinates. [m]
        depth : ndarray, shape (b, n)
            Depth, positive inside. [m]
        """
        local = self._local(point)
        depth, shares = _climb(self.joins, self._scales(), _depths(local))
        return _mean_place(_weights(self.joins, len(local), shares), local[:, :2]), depth

    def at(self, point: Array, bed: Owner) -> FieldValue:
        """Everything about points that lie in given beds.

        Parameters
        ----------
        point : ndarray, shape (3, n)
            Points. [m]
        bed : ndarray of int, shape (n,)
            Which bed each point lies in. [-]

        Returns
        -------
        FieldValue
            With n for its last axis.
        """
        frame = np.ascontiguousarray(self.frame.transpose(1, 2, 3, 0))[..., bed]
        offset = point - self.origin.transpose(1, 2, 0)[..., bed]
        local = np.sum(frame * offset[:, None], axis=2)
        local[:, :2] += self.start.transpose(1, 2, 0)[..., bed]
        scales = [join.scale()[bed] for join in self.joins]
        return _value(self.joins, scales, frame, local)

    def turned(self, rotation: Array, pivot: Array) -> "Field":
        """The same surface turned about a point.

        Parameters
        ----------
        rotation : ndarray, shape (b, 3, 3)
            Rotations. [-]
        pivot : ndarray, shape (b, 3)
            Points that stay. [m]

        Returns
        -------
        Field
            Turned; arc coordinates go with it.
        """
        origin = np.einsum("bij,blj->bli", rotation, self.origin - pivot[:, None])
        frame = np.einsum("bij,blkj->blki", rotation, self.frame)
        return Field(pivot[:, None] + origin, frame, self.start, self.joins)

    def _scales(self) -> list[Array]:
        return [join.scale()[:, None] for join in self.joins]

    def _local(self, point: Array) -> Array:
        """Coordinates of (b, 3, n) points on each half-space, (l, 3, b, n)."""
        batch, leaves = self.frame.shape[:2]
        offset = np.matmul(self.frame, self.origin[..., None])
        offset[..., :2, 0] -= self.start
        local = np.matmul(self.frame.reshape(batch, -1, 3), point) - offset.reshape(batch, -1, 1)
        return np.asarray(local.transpose(1, 0, 2).reshape(leaves, 3, batch, -1))

    def _leaf_depths(self, point: Array) -> Array:
        """Depth of (b, 3, n) points in each half-space, (l, b, n)."""
        normal = self.frame[:, :, 2]
        level = np.sum(normal * self.origin, axis=-1)
        product: Array = np.matmul(normal, point)
        return np.asarray((level[..., None] - product).transpose(1, 0, 2))


def plane(origin: Array, frame: Array, start: Array) -> Field:
    """A half-space in each bed of a batch.

    Parameters
    ----------
    origin : ndarray, shape (b, 3)
        A point of its face, which has the arc coordinates `start`. [m]
    frame : ndarray, shape (b, 3, 3)
        Unit vectors across, along and out of the face, as rows. [-]
    start : ndarray, shape (b, 2)
        Arc coordinates of the origin. [m]

    Returns
    -------
    Field
        The half-space alone.
    """
    return Field(origin[:, None], frame[:, None], start[:, None])


def joined(first: Field, second: Field, rounding: Array, is_valley: bool = True) -> Field:
    """Two surfaces joined with a rounded edge.

    Parameters
    ----------
    first, second : Field
        The surfaces.
    rounding : ndarray, shape (b,)
        Scale of the rounding; the edge is smoothed over about four times this. [m]
    is_valley : bool
        True: union of the solids (a valley). False: their intersection (a ridge). [-]

    Returns
    -------
    Field
        One surface.
    """
    of_first, of_second = first.frame.shape[1], second.frame.shape[1]
    leaves, inner = of_first + of_second, len(first.joins)
    # the leaves of both come first, then the joins of the first, then those of the second
    places = [*range(of_first), *range(leaves, leaves + inner)]
    others = [*range(of_first, leaves), *range(leaves + inner, leaves + inner + len(second.joins))]
    joins = [_moved(join, places) for join in first.joins]
    joins += [_moved(join, others) for join in second.joins]
    root = Join(places[-1], others[-1], rounding, is_valley)
    return Field(
        np.concatenate([first.origin, second.origin], axis=1),
        np.concatenate([first.frame, second.frame], axis=1),
        np.concatenate([first.start, second.start], axis=1),
        (*joins, root),
    )


def _moved(join: Join, places: list[int]) -> Join:
    return replace(join, first=places[join.first], second=places[join.second])


def _joined(scale: Array, first: Array, second: Array) -> tuple[Array, Array, Array]:
    """Depth of two joined surfaces, and the weights of both in it."""
    apart = np.clip((second - first) / scale, -_FAR, _FAR)
    is_second = apart > 0.0
    fade = np.exp(-np.abs(apart))
    depth = np.where(is_second, second, first) + scale * np.log1p(fade)
    larger = 1.0 / (1.0 + fade)
    smaller = fade * larger
    return (
        depth,
        np.where(is_second, smaller, larger),
        np.where(is_second, larger, smaller),
    )


def _value(joins: tuple[Join, ...], scales: list[Array], frame: Array, local: Array) -> FieldValue:
    """Everything about points from their coordinates (l, 3, ...) on every half-space."""
    leaves, place = len(local), local[:, :2]
    if leaves == 1:
        points = np.broadcast_to(frame[0], (3, 3, *local.shape[2:]))
        tangent = points[:2]
        return FieldValue(-local[0, 2], -points[2], place[0], tangent, tangent, ())
    depth, shares = _climb(joins, scales, _depths(local))
    weight = _weights(joins, leaves, shares)
    change = _weight_gradients(joins, scales, frame, shares, weight)
    mean = weight[0] * frame[0]
    for leaf in range(1, leaves):
        mean += weight[leaf] * frame[leaf]
    place_gradient = mean[:2].copy()
    bends = []
    for leaf in range(1, leaves):
        place_gradient += (place[leaf] - place[0])[:, None] * change[leaf]
        jump = frame[leaf] - frame[0]
        bends.append(Bend(change[leaf], -jump[2], jump[:2]))
    return FieldValue(
        depth, -mean[2], _mean_place(weight, place), place_gradient, mean[:2], tuple(bends)
    )


def _depths(local: Array) -> list[Array]:
    """Depth in every half-space, from coordinates (l, 3, ...) on each."""
    return [-height for height in local[:, 2]]


def _climb(
    joins: tuple[Join, ...], scales: list[Array], leaves: list[Array]
) -> tuple[Array, list[tuple[Array, Array]]]:
    """Depth of the whole surface, and the two weights at every join."""
    depths, shares = list(leaves), []
    for join, scale in zip(joins, scales, strict=True):
        depth, first, second = _joined(scale, depths[join.first], depths[join.second])
        depths.append(depth)
        shares.append((first, second))
    return depths[-1], shares


def _weights(
    joins: tuple[Join, ...], leaves: int, shares: list[tuple[Array, Array]]
) -> list[Array]:
    """Weight of every node at every point; the root's is one."""
    weight: list[Array] = [np.ones(())] * (leaves + len(joins))
    for number in reversed(range(len(joins))):
        join, (first, second) = joins[number], shares[number]
        own = weight[leaves + number]
        weight[join.first], weight[join.second] = own * first, own * second
    return weight


def _weight_gradients(
    joins: tuple[Join, ...],
    scales: list[Array],
    frame: Array,
    shares: list[tuple[Array, Array]],
    weight: list[Array],
) -> list[Array]:
    """Gradient of the weight of every node."""
    leaves = len(frame)
    gradients = [-rows[2] for rows in frame]
    for join, (first, second) in zip(joins, shares, strict=True):
        gradients.append(first * gradients[join.first] + second * gradients[join.second])
    change: list[Array] = [np.zeros(())] * len(weight)
    for number in reversed(range(len(joins))):
        join, (first, second) = joins[number], shares[number]
        jump = gradients[join.second] - gradients[join.first]
        passed = weight[leaves + number] * first * second / scales[number] * jump
        own = change[leaves + number]
        change[join.first], change[join.second] = own * first - passed, own * second + passed
    return change


def _mean_place(weight: list[Array], place: Array) -> Array:
    mean = weight[0] * place[0]
    for leaf in range(1, len(place)):
        mean += weight[leaf] * place[leaf]
    return np.asarray(mean)
