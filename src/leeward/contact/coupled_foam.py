"""Foam that pulls its neighbours down with it: a grid over the print of the body.

Each node stands for one square of mattress. Its column is pressed by the skin above it, and
a shear layer through the foam and its cover carries part of the load to the squares beside
it (a Pasternak foundation).
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
import scipy
from numpy.typing import NDArray

from leeward.contact.foam import pressure_at_depth
from leeward.terms.sourced import Sourced

Array = NDArray[np.float64]
Index = NDArray[np.intp]

#: How strongly foam and cover carry load sideways.
LATERAL_STIFFNESS: Final = Sourced(
    90.0,
    "N/m",
    "convention of this project, set once for all sites. Same order as G t / 3 of a layer held "
    "at its base (Vlasov and Leontiev, from memory) with a buckled foam's shear modulus of 1 to "
    "2.5 kPa at 150 mm, a stretched cover's tension adding to it",
    "polyurethane mattress foam under a stretch cover; not measured",
    from_memory=True,
    low=60.0,
    high=120.0,
)

#: Side of a square of the grid. [m]
GRID_STEP: Final = 0.020

#: A point of skin is spread at least over this part of a square. [-]
_SMALLEST_SPREAD: Final = 0.25


@dataclass(frozen=True, slots=True, eq=False)
class Spread:
    """How n points of skin are spread over the nodes of a grid.

    Parameters
    ----------
    node : ndarray of int, shape (n, k)
        Nodes each point reaches. [-]
    share : ndarray, shape (n, k)
        Its share on each; shares of a point add up to 1. [-]
    """

    node: Index
    share: Array

    def take(self, points: Index) -> "Spread":
        """Pick some points.

        Parameters
        ----------
        points : ndarray of int, shape (m,)
            Their positions. [-]

        Returns
        -------
        Spread
            The spread of those points.
        """
        return Spread(self.node[points], self.share[points])

    def at_points(self, nodal: Array) -> Array:
        """Mean of a nodal quantity under each point.

        Parameters
        ----------
        nodal : ndarray, shape (nodes,)
            The quantity, in any unit. [-]

        Returns
        -------
        ndarray, shape (n,)
            Its mean, in the quantity's unit. [-]
        """
        return np.asarray(np.einsum("nk,nk->n", self.share, nodal[self.node]))

    def to_nodes(self, quantity: Array, count: int) -> Array:
        """Add up a quantity of the points at the nodes.

        Parameters
        ----------
        quantity : ndarray, shape (n,)
            The quantity, in any unit. [-]
        count : int
            Number of nodes. [-]

        Returns
        -------
        ndarray, shape (count,)
            Sums, in the quantity's unit. [-]
        """
        weighted = self.share * quantity[:, None]
        return np.asarray(np.bincount(self.node.ravel(), weighted.ravel(), count), dtype=float)


def _ramp(place: Array) -> Array:
    """Integral of a hat of half-width 1 from far below to a place."""
    low = np.clip(place, -1.0, 0.0)
    high = np.clip(place, 0.0, 1.0)
    return np.asarray(0.5 * (1.0 + low) ** 2 + high - 0.5 * high**2)


def _shares(place: Array, size: Array) -> tuple[Index, Array]:
    """First node and shares (n, k) of pixels along one axis, in units of the grid's step."""
    half = 0.5 * np.maximum(size, _SMALLEST_SPREAD)
    reach = int(np.ceil(2.0 * float(half.max(initial=0.5)) + 2.0))
    first = np.floor(place - half).astype(np.intp)
    offset = place[:, None] - first[:, None] - np.arange(reach)
    covered = _ramp(offset + half[:, None]) - _ramp(offset - half[:, None])
    return first, covered / (2.0 * half[:, None])


def _ends(counts: Index) -> NDArray[np.int32]:
    """Where stretches of these lengths begin, laid end to end, and where the last one ends."""
    return np.concatenate([[0], np.cumsum(counts)]).astype(np.int32)


@dataclass(frozen=True, slots=True, eq=False)
class FoamGrid:
    """Squares of mattress under a body, in arc coordinates of the surface.

    Parameters
    ----------
    step : float
        Side of a square. [m]
    low : ndarray of int, shape (2,)
        First node across and along, in steps from the arc coordinates' origin. [-]
    shape : tuple of int, length 2
        Nodes along and across. [-]
    active : ndarray of int, shape (m,)
        Nodes that are followed, row by row along the bed; foam elsewhere rests. [-]
    position : ndarray of int, shape (along x across,)
        Where each node stands among the active ones; -1 for the others. [-]
    links : tuple of two ndarray of int, shape (e,)
        Neighbouring pairs of active nodes, the later one first. [-]
    lateral : float
        Lateral stiffness. [N/m]
    table : ndarray, shape (1, cells, 4)
        Pressure of a column against its compression. [Pa]
    """

    step: float
    low: Index
    shape: tuple[int, int]
    active: Index
    position: Index
    links: tuple[Index, Index]
    lateral: float
    table: Array

    @property
    def count(self) -> int:
        """Number of active nodes. [-]"""
        return len(self.active)

    def spread(self, place: Array, size: Array) -> Spread:
        """Spread points of skin over the nodes.

        Parameters
        ----------
        place : ndarray, shape (2, n)
            Arc coordinates of the points. [m]
        size : ndarray, shape (2, n)
            Sides of the rectangles they stand for. [m]

        Returns
        -------
        Spread
            Shares on active nodes; what reaches a node that is not followed is given to
            the point's other nodes.
        """
        across, share_across = _shares(place[0] / self.step - self.low[0], size[0] / self.step)
        along, share_along = _shares(place[1] / self.step - self.low[1], size[1] / self.step)
        column = np.clip(across[:, None] + np.arange(share_across.shape[1]), 0, self.shape[1] - 1)
        row = np.clip(along[:, None] + np.arange(share_along.shape[1]), 0, self.shape[0] - 1)
        node = self.position[row[:, :, None] * self.shape[1] + column[:, None, :]]
        share = share_along[:, :, None] * share_across[:, None, :]
        share = np.where(node >= 0, share, 0.0).reshape(len(node), -1)
        total = share.sum(axis=1, keepdims=True)
        node = np.maximum(node, 0).reshape(len(node), -1)
        return Spread(node, share / np.maximum(total, 1e-12))

    def resistance(self, deflection: Array) -> tuple[Array, Array]:
        """Force of the foam on every square, and the slope of its column's part.

        Parameters
        ----------
        deflection : ndarray, shape (m,)
            Compression of every active column, at least 0. [m]

        Returns
        -------
        force : ndarray, shape (m,)
            Upward force. [N]
        slope : ndarray, shape (m,)
            Slope of the column's own force. [N/m]
        """
        only = np.zeros(self.count, dtype=np.intp)
        pressure, slope = pressure_at_depth(self.table, only, deflection)
        square = self.step**2
        return pressure * square + self.lateral * self.curvature(deflection), slope * square

    def curvature(self, deflection: Array) -> Array:
        """Sum over the four neighbours of how much deeper a node lies than they do.

        Parameters
        ----------
        deflection : ndarray, shape (m,)
            Compression of every active column. [m]

        Returns
        -------
        ndarray, shape (m,)
            Minus the Laplacian times the square's area. [m]
        """
        later, earlier = self.links
        neighbours = np.bincount(later, deflection[earlier], self.count)
        neighbours += np.bincount(earlier, deflection[later], self.count)
        # a node without a neighbour has foam at rest beside it
        return np.asarray(4.0 * deflection - neighbours)

    def couplings(self, spread: Spread) -> "Couplings":
        """Work out once how skin couples the nodes it is spread over.

        Parameters
        ----------
        spread : Spread
            All skin that may touch.

        Returns
        -------
        Couplings
            Ready for any stiffness of its tissue.
        """
        points = len(spread.node)
        point, slot = np.nonzero(spread.share)
        share = spread.share[point, slot].astype(np.float32)
        node = spread.node[point, slot].astype(np.int32)
        reached = np.bincount(point, minlength=points)
        begin, ends = _ends(reached), _ends(reached * (reached + 1) // 2)
        product = np.empty(ends[-1], dtype=np.float32)
        row, column = np.empty((2, ends[-1]), dtype=np.int32)
        # points that reach as many nodes are done together
        for count in np.unique(reached[reached > 0]):
            # they stand in rising order, so one half of the pairs is the lower triangle
            second, first = np.triu_indices(count)
            alike = np.flatnonzero(reached == count)[:, None]
            own, pairs = begin[alike] + np.arange(count), ends[alike] + np.arange(len(first))
            product[pairs] = share[own][:, first] * share[own][:, second]
            row[pairs], column[pairs] = node[own][:, first], node[own][:, second]
        below = row - column
        later, earlier = self.links
        width = int(max(below.max(initial=0), (later - earlier).max(initial=0))) + 1
        content = (product, column * np.int32(width) + below, ends)
        return Couplings(scipy.sparse.csc_array(content, shape=(width * self.count, points)), width)

    def factor(self, slope: Array, couplings: "Couplings", tissue: Array) -> "Factor":
        """Factorise foam and tissue pressed together.

        Parameters
        ----------
        slope : ndarray, shape (m,)
            Slope of every column's force. [N/m]
        couplings : Couplings
            Of the skin.
        tissue : ndarray, shape (n,)
            Stiffness of the tissue at each point times its area; 0 off the bed. [N/m]

        Returns
        -------
        Factor
            Ready to solve.
        """
        # single precision halves the time; what it loses the next step makes good
        flat = couplings.by_point @ tissue.astype(np.float32)
        band = flat.reshape(self.count, couplings.width).T
        later, earlier = self.links
        band[0] += slope + 4.0 * self.lateral
        band[later - earlier, earlier] -= self.lateral
        return Factor(
            scipy.linalg.cholesky_banded(band, lower=True, overwrite_ab=True, check_finite=False)
        )


@dataclass(frozen=True, slots=True, eq=False)
class Couplings:
    """How skin couples the nodes of a grid.

    Parameters
    ----------
    by_point : csc_array, shape (width x m, n)
        Lower diagonals of the nodes' stiffness per stiffness of each point. [-]
    width : int
        Number of diagonals. [-]
    """

    by_point: "scipy.sparse.csc_array"
    width: int


@dataclass(frozen=True, slots=True, eq=False)
class Factor:
    """Factor of the stiffness of foam and tissue.

    Parameters
    ----------
    band : ndarray of float32, shape (width, m)
        Lower Cholesky factor by diagonals. [N/m]
    """

    band: NDArray[np.float32]

    def solve(self, force: Array) -> Array:
        """Deflection under forces on the squares.

        Parameters
        ----------
        force : ndarray, shape (m,) or (m, k)
            Forces. [N]

        Returns
        -------
        ndarray, shape (m,) or (m, k)
            Deflections. [m]
        """
        single = scipy.linalg.cho_solve_banded(
            (self.band, True), force.astype(np.float32), check_finite=False
        )
        return np.asarray(single, dtype=np.float64)


def lay_grid(
    place: Array, reach: Array, table: Array, lateral: float, step: float = GRID_STEP
) -> FoamGrid:
    """Lay a grid under skin that meets the bed or may come to.

    Parameters
    ----------
    place : ndarray, shape (2, n)
        Arc coordinates of that skin. [m]
    reach : ndarray, shape (2, n)
        How far foam is followed from each point, across and along. [m]
    table : ndarray, shape (1, cells, 4)
        Pressure of a column of foam against its compression. [Pa]
    lateral : float
        Lateral stiffness. [N/m]
    step : float
        Side of a square. [m]

    Returns
    -------
    FoamGrid
        Nodes at whole multiples of the step, so that the grid does not move with the body.

    References
    ----------
    .. [1] P. L. Pasternak 1954, two-parameter foundation (from memory).
    """
    begin = np.floor((place - reach) / step).astype(np.intp)
    end = np.ceil((place + reach) / step).astype(np.intp) + 1
    low = begin.min(axis=1)
    across, along = (end.max(axis=1) - low).tolist()
    begin, end = begin - low[:, None], end - low[:, None]
    # corners of each rectangle, summed twice, count how many rectangles cover a node
    corner = np.zeros((along + 1, across + 1))
    for row, column, sign in (
        (begin[1], begin[0], 1.0),
        (begin[1], end[0], -1.0),
        (end[1], begin[0], -1.0),
        (end[1], end[0], 1.0),
    ):
        np.add.at(corner, (row, column), sign)
    near = corner.cumsum(axis=0).cumsum(axis=1)[:along, :across] > 0.5
    active = np.flatnonzero(near)
    position = np.full(along * across, -1, dtype=np.intp)
    position[active] = np.arange(len(active))
    return FoamGrid(
        step, low, (along, across), active, position, _links(position, (along, across)),
        lateral, table,
    )  # fmt: skip


def _links(position: Index, shape: tuple[int, int]) -> tuple[Index, Index]:
    """Neighbouring pairs of active nodes."""
    node = position.reshape(shape)
    pairs = [(node[1:], node[:-1]), (node[:, 1:], node[:, :-1])]
    later = np.concatenate([a[(a >= 0) & (b >= 0)] for a, b in pairs])
    earlier = np.concatenate([b[(a >= 0) & (b >= 0)] for a, b in pairs])
    return later, earlier
