"""A corrected body and its draws: the likeliest moves, the ends of ranges stay."""

from datetime import date

import pytest

from leeward.contact.anthropometry import body_dimensions
from leeward.contact.corrected import corrected_body, corrected_scenario
from leeward.contact.scenarios import corner_scenarios, foam_range
from leeward.terms.bed import Bed, Mattress, MattressKind
from leeward.terms.correction import MapCorrection
from tests.unit.contact.bodies import MAN, SPLIT

CORRECTION = MapCorrection(
    by="A. Person, therapist",
    made_on=date(2026, 11, 20),
    map_name="map.csv",
    explained=0.4,
    mattress_hardness=0.8,
    pillow_hardness=1.3,
    buttock_depth_change=0.01,
    chest_depth_change=-0.02,
)
BEDS = (Bed(), Bed(mattress=Mattress(MattressKind.FOAM, 0.15, 4.5e3), layers=()))


def test_nothing_measured_changes_nothing():
    scenario = corner_scenarios(Bed(), SPLIT, MAN)[0]
    assert corrected_scenario(scenario, Bed(), None) is scenario
    assert corrected_body(MAN, None) is MAN


@pytest.mark.parametrize("bed", BEDS)
def test_the_central_scenario_moves_and_the_corners_keep_the_ends(bed: Bed):
    made = corner_scenarios(bed, SPLIT, MAN)
    central, *corners = (corrected_scenario(one, bed, CORRECTION) for one in made)
    ends = foam_range(bed)
    assert central.foam_scale == pytest.approx(max(0.8 * ends.middle, ends.low))
    assert {round(one.foam_scale, 9) for one in corners} == {
        round(end, 9) for end in (ends.low, ends.high)
    }
    assert all(one.pillow == pytest.approx(1.3) for one in corners)


def test_a_hardness_is_never_moved_beyond_its_range():
    (bed,) = BEDS[1:]
    far = MapCorrection("A. Person", date(2026, 11, 20), "map.csv", 0.4, mattress_hardness=5.0)
    central = corrected_scenario(corner_scenarios(bed, SPLIT, MAN)[0], bed, far)
    assert central.foam_scale == pytest.approx(foam_range(bed).high)


def test_on_another_mattress_only_the_pillow_moves():
    before = corner_scenarios(Bed(), SPLIT, MAN)[0]
    after = corrected_scenario(before, Bed(), CORRECTION, is_same_mattress=False)
    assert after.foam_scale == before.foam_scale
    assert after.pillow == pytest.approx(1.3)


def test_depths_are_those_of_the_body_and_the_change():
    before, after = body_dimensions(MAN), body_dimensions(corrected_body(MAN, CORRECTION))
    assert after.buttock_depth - before.buttock_depth == pytest.approx(0.01)
    assert after.chest_depth - before.chest_depth == pytest.approx(-0.02)
    assert after.hip_breadth == before.hip_breadth
