"""Foam, tissue, and both in series."""

import numpy as np
import pytest

from leeward.contact.foam import (
    Cushion,
    foam_pressure,
    pressure_at_depth,
    series_table,
    tissue_pressure,
)

MATTRESS = Cushion(0.15, 1.0)
TABLE = series_table((MATTRESS,), 0.012, 40e3)[None]


def looked_up(depth: np.ndarray, table: np.ndarray = TABLE) -> tuple[np.ndarray, np.ndarray]:
    return pressure_at_depth(table, np.zeros(depth.size, dtype=np.intp), depth)


@pytest.mark.parametrize(("share", "pressure"), [(0.25, 3.3e3), (0.40, 3.9e3), (0.65, 7.9e3)])
def test_reference_foam_has_the_stress_it_is_named_for(share: float, pressure: float):
    """Within 50 Pa: the values are stated to 0.1 kPa."""
    assert float(foam_pressure(share * 0.15, 0.15)) == pytest.approx(pressure, abs=50.0)


def test_compressions_of_foam_and_tissue_add_up():
    for pressure in (500.0, 2e3, 4e3, 9e3):
        strain = np.linspace(0.0, 0.9, 200_001)
        foam = np.interp(pressure, foam_pressure(strain * 0.15, 0.15), strain * 0.15)
        tissue = np.interp(pressure, tissue_pressure(strain * 0.012, 0.012, 40e3), strain * 0.012)
        found, _ = looked_up(np.array([foam + tissue]))
        assert found[0] == pytest.approx(pressure, rel=2e-3)


def test_slope_is_the_derivative_of_the_pressure():
    depth = np.linspace(1e-4, 0.13, 300)
    small = 1e-8
    change = (looked_up(depth + small)[0] - looked_up(depth - small)[0]) / (2.0 * small)
    np.testing.assert_allclose(looked_up(depth)[1], change, rtol=1e-4)


def test_pressure_rises_with_depth_even_past_bottoming_out():
    pressure, slope = looked_up(np.linspace(0.0, 0.5, 4001))
    assert pressure[0] == 0.0
    assert np.all(np.diff(pressure) > 0.0)
    assert np.all(slope > 0.0)


def test_a_pillow_under_the_skin_softens():
    with_pillow = series_table((MATTRESS, Cushion(0.10, 0.4)), 0.012, 40e3)[None]
    depth = np.array([0.02, 0.05, 0.10])
    assert np.all(looked_up(depth, with_pillow)[0] < looked_up(depth)[0])


def test_a_measured_curve_replaces_the_foam():
    curve = ((0.02, 1e3), (0.05, 2e3), (0.10, 6e3))
    table = series_table((Cushion(0.15, 1.0, curve),), 0.001, 400e3)[None]
    found, _ = looked_up(np.array([0.05]), table)
    assert found[0] == pytest.approx(2e3, rel=0.02)
