"""The corners of what nobody knows."""

from collections import Counter
from dataclasses import replace
from itertools import combinations

import pytest

from leeward.contact.mirror import mirrored_scenarios
from leeward.contact.scenarios import (
    Arms,
    Scenario,
    corner_scenarios,
    foam_range,
    friction_range,
)
from leeward.terms.bed import Bed, Layer, LayerKind, Mattress, MattressKind
from leeward.terms.body import RestAngles
from leeward.terms.errors import CannotCompute
from tests.unit.contact.bodies import MAN, SPLIT

FOAM = Mattress(MattressKind.FOAM, 0.14, 4.2e3)


def spread(scenarios: tuple[Scenario, ...], name: str) -> float:
    values = [getattr(scenario, name) for scenario in scenarios]
    return max(values) - min(values)


def test_there_are_sixteen_corners_round_the_central_one():
    scenarios = corner_scenarios(Bed(), SPLIT, MAN)
    assert scenarios[0].name == "central"
    assert len(set(scenarios)) == 17
    assert {scenario.arms for scenario in scenarios[1:]} == set(Arms)


def test_hips_pull_hard_in_as_many_corners_as_little_whatever_else_stands_there():
    """A half fraction: of any two factors' four pairs of ends, each stands at four corners."""
    corners = corner_scenarios(Bed(), SPLIT, MAN)[1:]
    names = ("friction", "line_offset", "foam_scale", "arms", "hips")
    for first, second in combinations(names, 2):
        pairs = Counter((getattr(one, first), getattr(one, second)) for one in corners)
        assert sorted(pairs.values()) == [4, 4, 4, 4]


def test_every_corner_has_its_mirror_image_among_the_corners():
    assert mirrored_scenarios(corner_scenarios(Bed(), SPLIT, MAN)) is not None


def test_legs_that_are_fixed_bent_have_nothing_to_draw():
    bent = replace(MAN, rest_angles=RestAngles(0.3, 0.3, 0.4, 0.4))
    assert spread(corner_scenarios(Bed(), SPLIT, bent), "hips") == 0.0
    one_side = replace(MAN, rest_angles=RestAngles(left_hip_flexion=0.3))
    assert spread(corner_scenarios(Bed(), SPLIT, one_side), "hips") > 0.5


def test_a_measured_friction_narrows_its_corners():
    measured = corner_scenarios(Bed(friction=0.4), SPLIT, MAN)
    assert spread(measured, "friction") < spread(corner_scenarios(Bed(), SPLIT, MAN), "friction")


def test_a_measured_line_narrows_its_corners_round_itself():
    measured = corner_scenarios(Bed(), SPLIT, MAN, line_offset=0.03)
    assert measured[0].line_offset == 0.03
    assert spread(measured, "line_offset") < 0.05


def test_a_described_mattress_is_narrower_than_one_nobody_looked_at():
    described = foam_range(Bed(mattress=FOAM, layers=()))
    unseen = foam_range(Bed())
    assert described.high - described.low < unseen.high - unseen.low
    assert described.middle == pytest.approx(4.2 / 3.9)


def test_layers_nobody_looked_for_widen_the_foam():
    seen = foam_range(Bed(mattress=FOAM, layers=()))
    unseen = foam_range(Bed(mattress=FOAM, layers=None))
    assert unseen.low < seen.low
    assert unseen.high > seen.high


def test_a_slide_sheet_left_in_makes_it_slippery():
    bed = Bed(layers=(Layer(LayerKind.SLIDE_SHEET, 0.001),))
    assert friction_range(bed).high <= 0.2


@pytest.mark.parametrize("kind", [MattressKind.AIR, MattressKind.ALTERNATING_AIR, MattressKind.GEL])
def test_a_mattress_of_anything_but_foam_needs_its_curve(kind: MattressKind):
    with pytest.raises(CannotCompute, match="measured curve"):
        corner_scenarios(Bed(mattress=Mattress(kind)), SPLIT, MAN)


def test_with_its_curve_measured_it_may_be_of_anything():
    curve = ((0.02, 1.5e3), (0.06, 3e3), (0.12, 8e3))
    bed = Bed(mattress=Mattress(MattressKind.AIR, 0.16, curve=curve))
    assert len(corner_scenarios(bed, SPLIT, MAN)) == 17


def test_a_scenario_says_what_goes_with_the_person():
    central = corner_scenarios(Bed(), SPLIT, MAN)[0]
    moved = replace(central, line_offset=0.02)
    assert moved.person_part == central.person_part
    assert replace(central, friction=0.7).person_part != central.person_part
