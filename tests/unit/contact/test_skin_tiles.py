"""Each point of skin stands for a tile as long and wide as its neighbours are apart."""

import numpy as np
import pytest

from leeward.contact.bed_field import FieldValue
from leeward.contact.figure import build_figure
from leeward.contact.segments import INDEX
from leeward.contact.skin_tiles import rectangles, square_edges, tile_edges
from leeward.terms.body import Body, Sex
from tests.unit.contact.bodies import MAN

BROAD = Body(stature=1.60, mass=130.0, sex=Sex.FEMALE)


def level(count: int) -> FieldValue:
    """A level surface at some points."""
    tangent = np.zeros((2, 3, count))
    tangent[0, 0] = tangent[1, 1] = 1.0
    gradient = np.zeros((3, count))
    gradient[2] = -1.0
    return FieldValue(
        np.zeros(count), gradient, np.zeros((2, count)), np.zeros((2, 3, count)), tangent, ()
    )


@pytest.mark.parametrize("body", [MAN, BROAD])
def test_a_tile_has_its_points_area_and_lies_in_the_skin(body: Body):
    figure = build_figure(body)
    edges = tile_edges(figure)
    across = 4.0 * np.cross(edges[:, 0], edges[:, 1])
    extent = np.linalg.norm(figure.area, axis=1)
    assert np.linalg.norm(across, axis=1) == pytest.approx(extent)
    assert np.abs(np.einsum("ni,ni->n", across, figure.area)) == pytest.approx(extent**2)


def test_skin_drawn_broader_has_broader_tiles():
    """On the back of the pelvis, where points lie in straight rows."""
    figures = [build_figure(body) for body in (MAN, BROAD)]
    stretch = []
    for figure in figures:
        steep = figure.area[:, 2] / np.linalg.norm(figure.area, axis=1)
        back = (figure.owner == INDEX["pelvis"]) & (steep < -0.9)
        edges = np.linalg.norm(tile_edges(figure)[back], axis=2)
        stretch.append(np.median(edges[:, 0] / edges[:, 1]))
    half = [figure.layout.half[INDEX["pelvis"]] for figure in figures]
    drawn = (half[1][0] / half[0][0]) / (half[1][1] / half[0][1])
    assert stretch[1] / stretch[0] == pytest.approx(drawn, rel=0.1)


def test_a_square_flat_on_the_bed_covers_itself():
    edges = square_edges(np.array([[0.0, 0.0, -4e-4]]))
    found = rectangles(edges, np.array([4e-4]), level(1))
    assert found[:, 0] == pytest.approx([0.02, 0.02])


def test_a_square_on_a_flank_is_narrow_across():
    """Leaning by 60 degrees it covers half as much, all of it lost across."""
    area = 4e-4 * np.array([[np.sin(np.pi / 3), 0.0, -np.cos(np.pi / 3)]])
    found = rectangles(square_edges(area), np.array([2e-4]), level(1))
    assert found[:, 0] == pytest.approx([0.01, 0.02])


def test_skin_that_faces_away_covers_nothing():
    edges = square_edges(np.array([[0.0, 0.0, 4e-4]]))
    assert rectangles(edges, np.array([-4e-4]), level(1))[:, 0] == pytest.approx([0.0, 0.0])
