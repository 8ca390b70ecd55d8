"""Foam coupled sideways against the two closed forms of a Pasternak foundation.

k w - G Lap(w) = load. A line load F' in N/m sinks w = F' / (2 sqrt(k G)) exp(-x sqrt(k/G)); a
point load F sinks w = F / (2 pi G) K0(r sqrt(k/G)). Solved here from the equation; no source is
needed.
"""

import numpy as np
import pytest
from scipy.special import k0

from leeward.contact.coupled_foam import FoamGrid, Spread, lay_grid
from leeward.contact.foam import Cushion, series_table

STIFFNESS, LATERAL = 5e4, 90.0
#: About 42 mm.
REACH = np.sqrt(LATERAL / STIFFNESS)
LINEAR = series_table((Cushion(0.15, 1.0, ((0.14, 0.14 * STIFFNESS),)),), 0.0, 1.0)[None]


def foam(half_across: float, half_along: float, step: float) -> tuple[FoamGrid, np.ndarray]:
    """A rectangle of foam round the origin, and the places of its nodes."""
    reach = np.array([[half_across], [half_along]])
    grid = lay_grid(np.zeros((2, 1)), reach, LINEAR, LATERAL, step)
    row, column = np.divmod(grid.active, grid.shape[1])
    return grid, step * np.stack([column + grid.low[0], row + grid.low[1]])


def sunk(grid: FoamGrid, force: np.ndarray) -> np.ndarray:
    """Deflection under forces on the nodes."""
    nothing = Spread(np.zeros((1, 1), dtype=np.intp), np.ones((1, 1)))
    slope = grid.resistance(np.zeros(grid.count))[1]
    return grid.factor(slope, grid.couplings(nothing), np.zeros(1)).solve(force)


@pytest.mark.parametrize(("step", "off"), [(0.020, 0.04), (0.010, 0.012)])
def test_a_line_load_dies_away_exponentially(step: float, off: float):
    """4 % of the largest at 20 mm and 1.2 % at 10 mm: second order in the step."""
    grid, at = foam(0.30, 0.40, step)
    force = np.where(np.abs(at[0]) < 1e-9, 10.0 * step, 0.0)
    middle = np.abs(at[1]) < 1e-9
    exact = 10.0 / (2.0 * np.sqrt(STIFFNESS * LATERAL)) * np.exp(-np.abs(at[0, middle]) / REACH)
    np.testing.assert_allclose(sunk(grid, force)[middle], exact, atol=off * exact.max())


def test_a_point_load_sinks_like_a_bessel_function():
    """1.5 % beyond three steps from the load: the five-point rule errs by (step / distance)^2."""
    grid, at = foam(0.30, 0.30, 0.010)
    away = np.hypot(*at)
    force = np.where(away < 1e-9, 2.0, 0.0)
    ring = (away > 0.030) & (away < 0.15)
    exact = 2.0 / (2.0 * np.pi * LATERAL) * k0(away[ring] / REACH)
    np.testing.assert_allclose(sunk(grid, force)[ring], exact, rtol=0.015)
