"""Rotations."""

import numpy as np
import pytest

from leeward.contact.rotation import (
    inverse_left_jacobian,
    rotation_about,
    rotation_from_vector,
    skew,
    vector_from_rotation,
)

ANGLES = np.array([[0.0, 0.0, 0.0], [1e-6, 0.0, 0.0], [0.3, -0.4, 0.5], [2.0, 1.0, -1.5]])


def test_skew_is_the_cross_product():
    np.testing.assert_allclose(skew(ANGLES[2]) @ ANGLES[3], np.cross(ANGLES[2], ANGLES[3]))


def test_a_vector_survives_the_way_there_and_back():
    back = vector_from_rotation(rotation_from_vector(ANGLES))
    np.testing.assert_allclose(back, ANGLES, atol=1e-12)


def test_rotations_keep_lengths_and_hands():
    rotation = rotation_from_vector(ANGLES)
    np.testing.assert_allclose(
        rotation @ np.swapaxes(rotation, 1, 2), np.tile(np.eye(3), (4, 1, 1)), atol=1e-14
    )
    np.testing.assert_allclose(np.linalg.det(rotation), 1.0)


def test_turning_to_the_left_raises_the_right_side():
    rightmost = rotation_about(1, 0.3) @ np.array([-1.0, 0.0, 0.0])
    assert rightmost[2] == pytest.approx(np.sin(0.3))


@pytest.mark.parametrize("vector", ANGLES[1:])
def test_inverse_jacobian_is_the_change_of_the_vector(vector: np.ndarray):
    small = 1e-6
    columns = [
        (
            vector_from_rotation(rotation_from_vector(small * unit) @ rotation_from_vector(vector))
            - vector_from_rotation(
                rotation_from_vector(-small * unit) @ rotation_from_vector(vector)
            )
        )
        / (2.0 * small)
        for unit in np.eye(3)
    ]
    np.testing.assert_allclose(inverse_left_jacobian(vector), np.stack(columns, axis=1), atol=1e-8)
