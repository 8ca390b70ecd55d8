"""The units and policies that come with leeward are whole, different, and say what they are."""

from dataclasses import astuple

import pytest

from leeward.exchange.bundled import bundled_names, bundled_text
from leeward.exchange.case_file import bundled_equipment, bundled_policy, read_equipment
from leeward.exchange.problems import FileRefused
from leeward.terms.equipment import SurfaceKind
from leeward.terms.units import min_from_seconds

UNITS = bundled_names("equipment")
POLICIES = bundled_names("policies")


@pytest.mark.parametrize("name", UNITS)
def test_every_unit_says_that_it_is_invented(name: str):
    assert bundled_equipment(name).name.endswith("(invented)")
    assert "no such unit exists" in bundled_text("equipment", name)


def test_the_units_differ_in_what_can_be_set():
    abilities = [astuple(bundled_equipment(name).ability) for name in UNITS]
    assert len(set(abilities)) == len(UNITS) == 4


def test_there_are_whole_and_split_units_with_and_without_parts():
    shapes = [bundled_equipment(name).geometry for name in UNITS]
    assert {shape.kind for shape in shapes} == set(SurfaceKind)
    assert [s for s in shapes if not s.anchor_points and not s.sensing_elements]
    assert [s for s in shapes if s.anchor_points and s.sensing_elements and s.extensions]


def test_parts_on_the_left_lie_towards_the_persons_left():
    points = bundled_equipment("split-rich").geometry.anchor_points
    left = next(point for point in points if point.name == "shoulder strap left")
    right = next(point for point in points if point.name == "shoulder strap right")
    assert (left.across, right.across) == (0.38, -0.38)


@pytest.mark.parametrize("name", POLICIES)
def test_every_policy_names_the_source_of_each_figure(name: str):
    source = bundled_policy(name).source
    assert all(f"{figure}: " in source for figure in ("interval", "turn", "order"))


@pytest.mark.published("NICE QS89, statement 5", "adults at risk 6 h, at high risk 4 h")
def test_the_intervals_are_those_of_the_quality_standard():
    assert min_from_seconds(bundled_policy("at-risk-six-hourly").interval) == 360
    assert min_from_seconds(bundled_policy("at-high-risk-four-hourly").interval) == 240


@pytest.mark.published("Bergstrom et al. 2013, J Am Geriatr Soc 61:1705", "arms of 2, 3 and 4 h")
def test_the_intervals_are_those_of_the_trial():
    names = ("two-hourly", "three-hourly", "four-hourly-on-foam")
    assert [min_from_seconds(bundled_policy(name).interval) for name in names] == [120, 180, 240]


def test_an_unknown_name_is_answered_with_the_nearest():
    with pytest.raises(FileRefused, match="perhaps `whole-basic`"):
        bundled_equipment("hole-basic")


def test_a_unit_whose_range_ends_before_it_begins_is_refused(tmp_path):
    text = bundled_text("equipment", "split-plain")
    file = tmp_path / "unit.yaml"
    file.write_text(text.replace("shortest_stay_min: 30", "shortest_stay_min: 300"))
    with pytest.raises(FileRefused, match="shortest_stay_min above the longest"):
        read_equipment(file)
