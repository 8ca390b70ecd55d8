"""Foam that pulls its neighbours down: the grid, and how skin is spread over it."""

import numpy as np
import pytest

from leeward.contact.coupled_foam import FoamGrid, lay_grid
from leeward.contact.foam import Cushion, series_table

#: A straight law, about as stiff as foam lightly touched: a load spreads over 21 mm.
STIFFNESS = 2e5
LINEAR = series_table((Cushion(0.15, 1.0, ((0.14, 0.14 * STIFFNESS),)),), 0.0, 1.0)[None]


def tiled(step: float = 0.020, lateral: float = 90.0) -> tuple[FoamGrid, np.ndarray, np.ndarray]:
    """A square print of 300 mm, tiled by squares of 30 mm."""
    middle = 0.03 * (np.arange(10) - 4.5) + 0.003
    place = np.stack(np.meshgrid(middle, middle)).reshape(2, -1)
    size = np.full(place.shape, 0.03)
    return lay_grid(place, 0.5 * size + 0.05, LINEAR, lateral, step), place, size


def test_every_point_is_spread_whole():
    grid, place, size = tiled()
    assert grid.spread(place, size).share.sum(axis=1) == pytest.approx(1.0)


@pytest.mark.parametrize("step", [0.010, 0.020, 0.025])
def test_skin_without_gaps_leaves_none_on_the_grid(step: float):
    grid, place, size = tiled(step)
    covered = grid.spread(place, size).to_nodes(np.full(len(place[0]), 9e-4), grid.count) / step**2
    row, column = np.divmod(grid.active, grid.shape[1])
    at = step * np.stack([column + grid.low[0], row + grid.low[1]])
    inside = np.all(np.abs(at - 0.003) < 0.15 - step, axis=0)
    assert inside.sum() > 50
    assert covered[inside] == pytest.approx(1.0, abs=1e-12)


def test_a_load_is_where_its_points_are():
    grid, place, size = tiled()
    force = np.linspace(1.0, 2.0, len(place[0]))
    nodal = grid.spread(place, size).to_nodes(force, grid.count)
    row, column = np.divmod(grid.active, grid.shape[1])
    at = grid.step * np.stack([column + grid.low[0], row + grid.low[1]])
    assert nodal.sum() == pytest.approx(force.sum())
    assert at @ nodal == pytest.approx(place @ force)


def test_the_factor_solves_what_the_foam_resists():
    """Single precision: 1e-4."""
    grid, place, size = tiled()
    spread = grid.spread(place, size)
    firmness = np.linspace(0.0, 900.0, len(place[0]))
    wanted = np.random.default_rng(5).random(grid.count) * 1e-3
    resisted, slope = grid.resistance(wanted)
    force = resisted + spread.to_nodes(firmness * spread.at_points(wanted), grid.count)
    solved = grid.factor(slope, grid.couplings(spread), firmness).solve(force)
    assert solved == pytest.approx(wanted, rel=1e-3, abs=1e-7)


def test_foam_spreads_a_load_but_loses_none_of_it():
    """What the columns bear is the load; the rim of the grid takes less than 1 %."""
    grid, place, size = tiled()
    spread = grid.spread(place, size)
    nodal = spread.to_nodes(np.where(np.hypot(*place) < 0.06, 1.0, 0.0), grid.count)
    none = np.zeros(len(place[0]))
    slope = grid.resistance(np.zeros(grid.count))[1]
    sunk = grid.factor(slope, grid.couplings(spread), none).solve(nodal)
    borne = STIFFNESS * grid.step**2 * sunk.sum()
    assert np.count_nonzero(sunk > 0.05 * sunk.max()) > 1.3 * np.count_nonzero(nodal)
    assert 0.99 * nodal.sum() < borne < nodal.sum()
