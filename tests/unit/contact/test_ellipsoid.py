"""Superellipsoids and the points on their skin."""

import numpy as np
import pytest

from leeward.contact.ellipsoid import (
    implicit_value,
    project_to_skin,
    skin_points,
    stretch,
    superellipsoid_volume,
)

HALF = (0.17, 0.20, 0.11)


@pytest.mark.parametrize("exponent", [2.0, 2.4])
def test_points_enclose_the_volume_of_the_shape(exponent: float):
    """Divergence theorem; 2 % for points that lie inside the skin they stand for."""
    point, area = skin_points(HALF, exponent, 0.03)
    volume = np.sum(point * area) / 3.0
    assert volume == pytest.approx(superellipsoid_volume(np.array(HALF), exponent), rel=0.02)


def test_skin_is_closed_and_mirrored():
    point, area = skin_points(HALF, 2.4, 0.03)
    np.testing.assert_allclose(area.sum(axis=0), 0.0, atol=1e-12)
    np.testing.assert_array_equal(point[0::2] * (-1, 1, 1), point[1::2])


def test_skin_area_of_a_sphere_is_found():
    _, area = skin_points((0.1, 0.1, 0.1), 2.0, 0.02)
    assert np.linalg.norm(area, axis=1).sum() == pytest.approx(4 * np.pi * 0.01, rel=0.02)


def test_points_are_evenly_spaced():
    _, area = skin_points(HALF, 2.4, 0.03)
    size = np.linalg.norm(area, axis=1)
    assert size.max() < 4.0 * np.median(size)


def test_projected_points_lie_on_the_skin_with_unit_normals():
    generator = np.random.default_rng(3)
    near = skin_points(HALF, 2.4, 0.05)[0] + generator.normal(0.0, 0.004, (1, 3))
    point, normal = project_to_skin(near, np.array(HALF), 2.4)
    np.testing.assert_allclose(implicit_value(point, np.array(HALF), 2.4), 1.0, atol=1e-6)
    np.testing.assert_allclose(np.linalg.norm(normal, axis=1), 1.0)


def test_a_stretched_skin_encloses_the_stretched_volume():
    factor = np.array([1.2, 0.9, 1.5])
    point, area = skin_points(HALF, 2.4, 0.03)
    moved, moved_area = stretch(point, area, factor)
    assert np.sum(moved * moved_area) == pytest.approx(np.prod(factor) * np.sum(point * area))
