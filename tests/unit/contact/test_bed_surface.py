"""The bed's surface and its gradients."""

import numpy as np
import pytest

from leeward.contact.bed_field import Field
from leeward.contact.bed_surface import (
    SurfacePosture,
    bed_surface,
    bolster_surface,
    gravity_in_bed,
)
from leeward.terms.bed import Platform

EVERYTHING = SurfacePosture(np.array([0.5, -0.4]), np.array([0.03, -0.02]), 0.15, 0.5, 0.3)


def depth(field: Field, across: float, along: float, up: float) -> float:
    return float(field.depth(np.array([[[across], [along], [up]]]))[0, 0])


def split(turn: float, line: float = 0.0) -> Field:
    return bed_surface(SurfacePosture(np.array([turn]), np.array([line]), 0.15), Platform())


@pytest.mark.parametrize(("turn", "raised"), [(0.4, -0.4), (-0.4, 0.4)])
def test_a_split_surface_raises_the_side_turned_away_from(turn: float, raised: float):
    """2 mm for the rounding's tail 0.4 m from the line."""
    assert depth(split(turn), raised, 0.0, 0.4 * np.tan(0.4)) == pytest.approx(0.0, abs=2e-3)
    assert depth(split(turn), -raised, 0.0, 0.0) == pytest.approx(0.0, abs=2e-3)


def test_the_line_moves_the_valley():
    assert depth(split(0.4, 0.1), 0.05, 0.0, 0.0) > depth(split(0.4), 0.05, 0.0, 0.0)


def test_a_level_surface_is_flat():
    assert depth(split(0.0), 0.3, -0.5, -0.02) == pytest.approx(0.02)


def test_a_backrest_rises_towards_the_head():
    setting = SurfacePosture(np.zeros(1), np.zeros(1), 0.15, backrest=0.5)
    field = bed_surface(setting, Platform())
    assert depth(field, 0.0, 0.56, 0.5 * np.tan(0.5)) == pytest.approx(0.0, abs=2e-3)
    assert depth(field, 0.0, -0.5, 0.0) == pytest.approx(0.0, abs=2e-3)


def test_raised_knees_make_a_ridge_that_slopes_back_to_the_frame():
    setting = SurfacePosture(np.zeros(1), np.zeros(1), 0.15, knee_raise=0.4)
    field = bed_surface(setting, Platform())
    knee = 0.06 - 0.20 - 0.35 * np.cos(0.4)
    assert depth(field, 0.0, knee, 0.35 * np.sin(0.4)) == pytest.approx(0.0, abs=0.02)
    rise = 0.35 * np.sin(0.4)
    half_way = knee - 0.5 * np.sqrt(0.67**2 - rise**2)
    assert depth(field, 0.0, half_way, 0.5 * rise) == pytest.approx(0.0, abs=2e-3)


def test_a_bolster_slopes_up_to_its_own_side():
    left = bolster_surface(0.2, 1)
    assert depth(left, 0.3, 0.0, 0.05) > 0.0
    assert depth(left, 0.0, 0.0, 0.0) < 0.0
    assert depth(bolster_surface(-0.2, 1), -0.3, 0.0, 0.05) > 0.0


def test_every_gradient_is_the_change_of_its_quantity():
    field = bed_surface(EVERYTHING, Platform())
    generator = np.random.default_rng(1)
    point = generator.normal(size=(3, 60)) * np.array([[0.15], [0.6], [0.1]])
    bed = np.arange(60) % 2
    here, small = field.at(point, bed), 1e-6
    for axis in range(3):
        step = small * np.eye(3)[:, [axis]]
        after, before = field.at(point + step, bed), field.at(point - step, bed)
        curved = sum(b.gradient_jump * b.weight_gradient[axis] for b in here.bends)
        turned = sum(b.tangent_jump * b.weight_gradient[axis] for b in here.bends)
        for found, name in (
            (here.gradient[axis], "depth"),
            (here.place_gradient[:, axis], "place"),
            (curved, "gradient"),
            (turned, "tangent"),
        ):
            change = (getattr(after, name) - getattr(before, name)) / (2.0 * small)
            np.testing.assert_allclose(found, change, atol=1e-7)


def test_both_ways_to_ask_for_depth_agree():
    field = bed_surface(EVERYTHING, Platform())
    point = np.random.default_rng(2).normal(size=(3, 40)) * 0.3
    whole = field.depth(np.stack([point, point]))
    bed = np.arange(40) % 2
    np.testing.assert_allclose(field.at(point, bed).depth, whole[bed, np.arange(40)], atol=1e-12)


def test_gravity_pulls_to_the_side_turned_to_and_to_the_feet_when_the_head_is_up():
    gravity = gravity_in_bed(np.array([0.3]), 0.1)[0]
    assert gravity[0] > 0.0
    assert gravity[1] < 0.0
    assert np.linalg.norm(gravity) == pytest.approx(9.80665)


def test_no_point_inside_is_left_out():
    field = bed_surface(EVERYTHING, Platform())
    point = np.random.default_rng(3).normal(size=(2, 3, 4000)) * np.array([[0.2], [0.6], [0.1]])
    lift = np.where(np.arange(4000) % 3 == 0, 0.05, 0.0)
    inside = field.depth(point) + lift > 0.0
    reaches = field.reaches(point, lift)
    assert inside.any()
    assert np.all(reaches[inside])
    assert reaches.sum() < 1.1 * inside.sum()


def test_places_alone_are_those_among_everything():
    field = bed_surface(EVERYTHING, Platform())
    point = np.random.default_rng(4).normal(size=(2, 3, 50)) * 0.3
    place, depth = field.places(point)
    whole = field.over(point)
    np.testing.assert_allclose(place, whole.place, atol=1e-14)
    np.testing.assert_allclose(depth, whole.depth, atol=1e-14)
