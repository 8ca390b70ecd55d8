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
class FieldValue:
    """Depth below a surface at n points, and how it changes.

    Parameters
    ----------
    depth : ndarray, shape (n,)
        Depth below the unloaded surface, negative above it. [m]
    gradient : ndarray, shape (3, n)
        Its gradient: minus the mean normal. [-]
    hessian : ndarray, shape (3, 3, n), or None
        Its second derivative; None where the surface is flat. [1/m]
    place : ndarray, shape (2, n)
        Arc coordinates across and along the surface; they move with it. [m]
    place_gradient : ndarray, shape (2, 3, n)
        Their gradients. [-]
    tangent : ndarray, shape (2, 3, n)
        Mean directions across and along. [-]
    tangent_gradient : ndarray, shape (2, 3, 3, n), or None
        Their gradients, last axis but one along the gradient. [1/m]
    """

    depth: Array
    gradient: Array
    hessian: Array | None
    place: Array
    place_gradient: Array
    tangent: Array
    tangent_gradient: Array | None


class Field(Protocol):
    """Anything that can tell the depth of points below it."""

    def depth(self, point: Array) -> Array:
        """Depth of every point of every bed: (b, 3, n) to (b, n). [m]"""

    def at(self, point: Array, bed: Owner) -> FieldValue:
        """Everything about points (3, n), point i lying in bed `bed[i]`. [m]"""

    def take(self, beds: Owner) -> "Field":
        """The field of some beds of the batch."""


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
        local = np.sum(frame * offset, axis=1)
        tangent = frame[:2]
        return FieldValue(
            depth=-local[2],
            gradient=-frame[2],
            hessian=None,
            place=self.start.T[:, bed] + local[:2],
            place_gradient=tangent,
            tangent=tangent,
            tangent_gradient=None,
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


def _mix(first: Array, second: Array, weight: Array) -> Array:
    return first + weight * (second - first)


def _sum_or_none(first: Array | None, second: Array | None, weight: Array) -> Array | float:
    """Weighted mean of two second derivatives, either of which may be a flat one's None."""
    total: Array | float = 0.0
    if first is not None:
        total = total + (1.0 - weight) * first
    if second is not None:
        total = total + weight * second
    return total


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
        across = b.gradient - a.gradient
        weight_gradient = weight * (1.0 - weight) / scale * across
        hessian = _sum_or_none(a.hessian, b.hessian, weight) + (
            weight_gradient[None, :, :] * across[:, None, :]
        )
        tangent_gradient = _sum_or_none(a.tangent_gradient, b.tangent_gradient, weight) + (
            (b.tangent - a.tangent)[:, :, None, :] * weight_gradient
        )
        place_change = (b.place - a.place)[:, None, :] * weight_gradient
        return FieldValue(
            depth=scale * np.logaddexp(a.depth / scale, b.depth / scale),
            gradient=_mix(a.gradient, b.gradient, weight),
            hessian=hessian,
            place=_mix(a.place, b.place, weight),
            place_gradient=_mix(a.place_gradient, b.place_gradient, weight) + place_change,
            tangent=_mix(a.tangent, b.tangent, weight),
            tangent_gradient=tangent_gradient,
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
