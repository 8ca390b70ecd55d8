"""Foam giving way under skin that keeps its place."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.coupled_foam import Couplings, Factor, FoamGrid, Spread
from leeward.contact.foam import pressure_at_depth

Array = NDArray[np.float64]
Index = NDArray[np.intp]

_SHORTEST: Final = 1.0 / 64.0


@dataclass(frozen=True, slots=True, eq=False)
class FoamState:
    """Skin and foam at one deflection.

    Parameters
    ----------
    pressure : ndarray, shape (n,)
        Pressure on every point of skin. [Pa]
    firmness : ndarray, shape (n,)
        Stiffness of its tissue times its area. [N/m]
    unbalanced : ndarray, shape (m,)
        Force of the skin less that of the foam on every square. [N]
    slope : ndarray, shape (m,)
        Slope of every column's own force. [N/m]
    """

    pressure: Array
    firmness: Array
    unbalanced: Array
    slope: Array

    def left(self) -> float:
        """Forces left on the squares, summed by size.

        Returns
        -------
        float
            Sum. [N]
        """
        return float(np.abs(self.unbalanced).sum())


@dataclass(frozen=True, slots=True, eq=False)
class PressedSkin:
    """Skin at given places over a grid of foam.

    Parameters
    ----------
    grid : FoamGrid
        The foam.
    spread : Spread
        How the skin is spread over it.
    couplings : Couplings
        How it couples the foam's nodes.
    tables : ndarray, shape (t, cells, 4)
        Pressure of tissue, and of a pillow under it, against its compression. [Pa]
    facing : ndarray, shape (n,)
        Area of every point of skin projected on the surface. [m^2]
    depth : ndarray, shape (n,)
        Its depth below the unloaded surface, pillow included. [m]
    row : ndarray of int, shape (n,)
        Its tissue table. [-]
    pull : ndarray, shape (m,)
        Further downward force on every square. [N]
    """

    grid: FoamGrid
    spread: Spread
    couplings: Couplings
    tables: Array
    facing: Array
    depth: Array
    row: Index
    pull: Array

    def at(self, deflection: Array, sunk: Array | float = 0.0) -> FoamState:
        """Find pressures and what is out of balance.

        Parameters
        ----------
        deflection : ndarray, shape (m,)
            Compression of the foam. [m]
        sunk : ndarray, shape (n,) or float
            How much deeper the skin lies. [m]

        Returns
        -------
        FoamState
            Skin and foam there.
        """
        depth = self.depth + sunk - self.spread.at_points(deflection)
        pressure, stiffness = pressure_at_depth(self.tables, self.row, np.maximum(depth, 0.0))
        firmness = np.where(depth > 0.0, stiffness, 0.0) * self.facing
        resistance, slope = self.grid.resistance(deflection)
        pressing = self.spread.to_nodes(self.facing * pressure, self.grid.count)
        return FoamState(pressure, firmness, pressing + self.pull - resistance, slope)

    def factor(self, state: FoamState) -> Factor:
        """Factorise foam and tissue at a state.

        Parameters
        ----------
        state : FoamState
            Skin and foam.

        Returns
        -------
        Factor
            Ready to solve.
        """
        return self.grid.factor(state.slope, self.couplings, state.firmness)

    def settled(self, deflection: Array, near: float, steps: int) -> Array:
        """Let the foam give way until it is nearly in balance.

        Parameters
        ----------
        deflection : ndarray, shape (m,)
            Where it starts. [m]
        near : float
            Sum of forces left on the squares at which to stop. [N]
        steps : int
            Most Newton steps to take. [-]

        Returns
        -------
        ndarray, shape (m,)
            Deflection reached. [m]
        """
        state = self.at(deflection)
        for _ in range(steps):
            if state.left() < near:
                break
            change = self.factor(state).solve(state.unbalanced)
            part, before = 1.0, float(np.sum(state.unbalanced**2))
            while True:
                trial = np.maximum(deflection + part * change, 0.0)
                found = self.at(trial)
                if float(np.sum(found.unbalanced**2)) < before or part < _SHORTEST:
                    break
                part *= 0.5
            deflection, state = trial, found
        return deflection
