"""Cuts for the pictures."""

import numpy as np
import pytest

from leeward.contact.load_table import LoadTable
from leeward.contact.loads import posture_loads
from leeward.contact.section import section_outline
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.errors import InvalidInput
from tests.unit.contact.bodies import MAN, SPLIT, WHOLE, request, turned


@pytest.fixture(scope="module")
def asked():
    return request(MAN, SPLIT, (turned(0), turned(20)), 1)


@pytest.fixture(scope="module")
def table(asked) -> LoadTable:
    return posture_loads(asked)


def test_the_pelvis_is_cut_at_its_breadth(asked, table: LoadTable):
    cut = section_outline(asked, table, 0, turned(0), "pelvis")
    outline = cut.outlines[cut.segments.index("pelvis")]
    assert np.ptp(outline[:, 0]) == pytest.approx(2 * 0.169, abs=0.005)


def test_bars_stand_on_loaded_skin_and_point_into_the_bed(asked, table: LoadTable):
    cut = section_outline(asked, table, 0, turned(0), "thorax")
    assert len(cut.bar_at) == len(cut.bar_outward) == len(cut.bar_pressure) > 10
    assert np.all(cut.bar_pressure > 0.0)
    assert np.all(cut.bar_outward[:, 1] < 0.0)


def test_nothing_of_the_body_is_drawn_below_the_surface(asked, table: LoadTable):
    """2 mm, away from the steep flanks: the surface is drawn in steps of 5 mm."""
    cut = section_outline(asked, table, 0, turned(20), "pelvis")
    for outline in cut.outlines:
        middle = 0.5 * (outline[:, 0].min() + outline[:, 0].max())
        inner = np.abs(outline[:, 0] - middle) < 0.4 * np.ptp(outline[:, 0])
        lowest = np.interp(outline[:, 0], cut.surface[:, 0], cut.surface[:, 1])
        assert np.all(outline[inner, 1] > lowest[inner] - 0.002)


def test_on_a_split_surface_the_persons_right_is_raised_when_turned_left(asked, table: LoadTable):
    cut = section_outline(asked, table, 0, turned(20), "pelvis")
    assert cut.surface[0, 1] > cut.surface[-1, 1] + 0.1
    assert 0.0 < cut.body_roll < cut.surface_turn


def test_a_whole_surface_slopes_all_the_way():
    asked = request(MAN, WHOLE, (turned(10),), 1)
    cut = section_outline(asked, posture_loads(asked), 0, turned(10), "pelvis")
    fall = (cut.surface[0, 1] - cut.surface[-1, 1]) / (cut.surface[-1, 0] - cut.surface[0, 0])
    assert fall == pytest.approx(np.tan(np.radians(10)), rel=1e-3)
    assert cut.body_roll > cut.surface_turn


def test_a_body_that_slides_is_not_drawn():
    asked = request(MAN, WHOLE, (turned(40),), 1)
    cut = section_outline(asked, posture_loads(asked), 0, turned(40), "pelvis")
    assert cut.state is EquilibriumState.SLIDES
    assert cut.outlines == ()


def test_an_unknown_part_is_refused(asked, table: LoadTable):
    with pytest.raises(InvalidInput, match="no segment is called tail"):
        section_outline(asked, table, 0, turned(0), "tail")
