"""The bed's upper surface as a smooth field of depth: half-spaces, joined and rounded.

A field is evaluated for a batch of beds at once: every array of a field has the batch as
its first axis, and points say which bed of the batch they belong to.
"""

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Owner = NDArray[np.intp]

#: Below this rounding two half-spaces meet at what is numerically an edge. [m]
_SHARPEST = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Bend:
    """One rounded edge's share in how the surface's directions change at n points.

    Parameters
    ----------
    weight_gradient : ndarray, shape (3, n)
        Gradient of the weight that passes from one surface to the other. [1/m]
    gradient_jump : ndarray, shape (3, n)
        Difference of their depth gradients. [-]
    tangent_jump : ndarray, shape (2, 3, n)
        Difference of their tangents. [-]
    """

    weight_gradient: Array
    gradient_jump: Array
    tangent_jump: Array

    def weighted(self, weight: Array) -> "Bend":
        """Scale with the weight of the surface the edge belongs to.

        Parameters
        ----------
        weight : ndarray, shape (n,)
            Weight from 0 to 1. [-]

        Returns
        -------
        Bend
            The same edge with less say.
        """
        return Bend(self.weight_gradient * weight, self.gradient_jump, self.tangent_jump)


@dataclass(frozen=True, slots=True, eq=False)
class FieldValue:
    """Depth below a surface at n points, and how it changes.

    Parameters
    ----------
    depth : ndarray, shape (n,)
        Depth below the unloaded surface, negative above it. [m]
    gradient : ndarray, shape (3, n)
        Its gradient: minus the mean normal. [-]
    place : ndarray, shape (2, n)
        Arc coordinates across and along the surface; they move with it. [m]
    place_gradient : ndarray, shape (2, 3, n)
        Their gradients. [-]
    tangent : ndarray, shape (2, 3, n)
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


class Field(Protocol):
    """Anything that can tell the depth of points below it."""

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
            Depth, gradients and arc coordinates.
        """

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


@dataclass(frozen=True, slots=True, eq=False)
class Plane:
    """A half-space in each bed of a batch.

    Parameters
    ----------
    origin : ndarray, shape (b, 3)
        A point of the plane, which has the arc coordinates `start`. [m]
    frame : ndarray, shape (b, 3, 3)
        Unit vectors across, along and out of the plane, as rows. [-]
    start : ndarray, shape (b, 2)
        Arc coordinates of the origin. [m]
    """

    origin: Array
    frame: Array
    start: Array

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
        normal = self.frame[:, 2]
        level = np.sum(normal * self.origin, axis=-1)
        product: Array = np.matmul(normal[:, None, :], point)[:, 0]
        return np.asarray(level[:, None] - product)

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
            Depth, gradients and arc coordinates.
        """
        frame = np.ascontiguousarray(self.frame.transpose(1, 2, 0))[:, :, bed]
        offset = point - self.origin.T[:, bed]
        local = frame[:, 0] * offset[0] + frame[:, 1] * offset[1] + frame[:, 2] * offset[2]
        tangent = frame[:2]
        return FieldValue(
            depth=-local[2],
            gradient=-frame[2],
            place=self.start.T[:, bed] + local[:2],
            place_gradient=tangent,
            tangent=tangent,
            bends=(),
        )

    def take(self, beds: Owner) -> "Plane":
        """Pick some beds of the batch.

        Parameters
        ----------
        beds : ndarray of int, shape (k,)
            Their positions. [-]

        Returns
        -------
        Plane
            The half-space in those beds.
        """
        return Plane(self.origin[beds], self.frame[beds], self.start[beds])


@dataclass(frozen=True, slots=True, eq=False)
class Joined:
    """Two surfaces joined with a rounded valley (the higher counts) or ridge (the lower).

    Parameters
    ----------
    first, second : Field
        The surfaces.
    rounding : ndarray, shape (b,)
        Scale of the rounding; the edge is smoothed over about four times this. [m]
    is_valley : bool
        True: union of the solids (a valley). False: their intersection (a ridge).
    """

    first: Field
    second: Field
    rounding: Array
    is_valley: bool = True

    def _scale(self) -> Array:
        sharpest = np.maximum(self.rounding, _SHARPEST)
        return sharpest if self.is_valley else -sharpest

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
        scale = self._scale()[:, None]
        first, second = self.first.depth(point), self.second.depth(point)
        return scale * np.logaddexp(first / scale, second / scale)

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
            Depth, gradients and arc coordinates, all smooth through the rounding.
        """
        scale = self._scale()[bed]
        a, b = self.first.at(point, bed), self.second.at(point, bed)
        apart = np.clip((b.depth - a.depth) / scale, -200.0, 200.0)
        weight = 1.0 / (1.0 + np.exp(-apart))
        gradient_jump, tangent_jump = b.gradient - a.gradient, b.tangent - a.tangent
        weight_gradient = weight * (1.0 - weight) / scale * gradient_jump
        place_jump = b.place - a.place
        inner = [bend.weighted(1.0 - weight) for bend in a.bends]
        inner += [bend.weighted(weight) for bend in b.bends]
        return FieldValue(
            depth=scale * np.logaddexp(a.depth / scale, b.depth / scale),
            gradient=a.gradient + weight * gradient_jump,
            place=a.place + weight * place_jump,
            place_gradient=a.place_gradient
            + weight * (b.place_gradient - a.place_gradient)
            + place_jump[:, None, :] * weight_gradient,
            tangent=a.tangent + weight * tangent_jump,
            bends=(*inner, Bend(weight_gradient, gradient_jump, tangent_jump)),
        )

    def take(self, beds: Owner) -> "Joined":
        """Pick some beds of the batch.

        Parameters
        ----------
        beds : ndarray of int, shape (k,)
            Their positions. [-]

        Returns
        -------
        Joined
            The joined surface in those beds.
        """
        return Joined(
            self.first.take(beds), self.second.take(beds), self.rounding[beds], self.is_valley
        )
