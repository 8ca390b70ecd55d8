"""Sections, surface and lift move points as rigid bodies about their hinges do."""

from math import cos, degrees, radians, sin

import numpy as np
import pytest

from leeward.fitting.mechanism import BedSetting, check_setting, distance, seat_hinge
from leeward.fitting.rails import side_gap
from leeward.terms.bed_sheet import CalfMotion, Carrier
from leeward.terms.equipment import SurfaceKind
from leeward.terms.errors import InvalidInput
from leeward.terms.fit_sheet import FixedPoint
from leeward.terms.unit_layout import Pivot
from tests.unit.fitting.at_the_bed import mechanism

#: Tilt, rise and inward movement of an edge 450 mm from the line: w sin and w (1 - cos), by hand.
BY_HAND = [(10, 78, 7), (15, 116, 15), (20, 154, 27), (25, 190, 42), (30, 225, 60), (40, 289, 105)]


@pytest.mark.parametrize(("tilt_deg", "rise_mm", "inward_mm"), BY_HAND)
def test_a_lifted_edge_rises_and_moves_inwards_as_worked_by_hand(tilt_deg, rise_mm, inward_mm):
    bed, tilted = mechanism(), BedSetting(turn=radians(tilt_deg))
    across, up = bed.lifted(-0.45, 0.0, tilted.turn)
    assert 1e3 * up == pytest.approx(rise_mm, abs=0.5)
    assert 1e3 * (across + 0.45) == pytest.approx(inward_mm, abs=0.5)
    assert 1e3 * side_gap(bed, tilted, 0.0, -1.0) == pytest.approx(inward_mm, abs=0.5)


def test_turned_to_the_left_it_is_the_right_side_that_rises():
    bed = mechanism()
    assert bed.lifted(-0.4, 0.0, 0.3)[1] > 0.1
    assert bed.lifted(0.4, 0.0, 0.3) == (0.4, 0.0)
    assert bed.lifted(0.4, 0.0, -0.3)[1] > 0.1


def test_a_whole_surface_sinks_on_the_other_side_or_turns_about_it():
    about_middle = mechanism(kind=SurfaceKind.WHOLE)
    about_edge = mechanism(kind=SurfaceKind.WHOLE, pivot=Pivot.LOWERED_EDGE)
    tilt = radians(20.0)
    assert about_middle.lifted(0.45, 0.0, tilt)[1] == pytest.approx(-0.45 * sin(tilt))
    assert about_edge.lifted(0.45, 0.0, tilt) == pytest.approx((0.45, 0.0))
    assert about_edge.lifted(-0.45, 0.0, tilt)[1] == pytest.approx(0.9 * sin(tilt))


def test_the_calf_section_keeps_its_foot_end_down_or_stays_level():
    setting = BedSetting(knee_raise=radians(30.0))
    sloping, level = mechanism("frame-rails"), mechanism("wide-split-rails")
    assert sloping.bed.calf is CalfMotion.SLOPES
    foot = FixedPoint(Carrier.CALF, 0.0, 0.0, 0.0)
    assert sloping.place(foot, setting)[2] == pytest.approx(0.0, abs=1e-12)
    rise = level.bed.platform.thigh * sin(radians(30.0))
    assert level.place(foot, setting)[2] == pytest.approx(rise)


def test_sections_stay_joined_at_every_setting():
    """The point of a hinge is one place, whichever section it is taken to lie on."""
    for name in ("frame-rails", "wide-split-rails", "tilting-rails"):
        bed = mechanism(name)
        platform = bed.bed.platform
        joints = [
            (Carrier.CALF, Carrier.THIGH, platform.calf),
            (Carrier.THIGH, Carrier.SEAT, platform.calf + platform.thigh),
        ]
        for knee_deg in (0, 10, 25, 35):
            setting = BedSetting(knee_raise=radians(knee_deg))
            for first, second, along in joints:
                one, other = (
                    bed.place(FixedPoint(carrier, 0.1, along, 0.0), setting)
                    for carrier in (first, second)
                )
                assert distance(one, other) < 1e-12


def _about_x(angle: float) -> np.ndarray:
    return np.array(
        [[1, 0, 0], [0, cos(angle), -sin(angle)], [0, sin(angle), cos(angle)]], dtype=float
    )


def _independent(bed, point: FixedPoint, setting: BedSetting) -> np.ndarray:
    """Written anew with matrices: hinges from the head end, each section carried by the last."""
    sheet, platform = bed.bed, bed.bed.platform
    place = np.array([point.across, point.along, point.height])
    if point.is_on_surface and setting.turn * point.across < 0.0:
        reach = abs(point.across)
        place[0] = np.sign(point.across) * reach * cos(setting.turn)
        place[2] += reach * sin(abs(setting.turn))
    knee = max(
        setting.knee_raise,
        min(sheet.knee_with_backrest * setting.backrest, platform.largest_knee_raise),
    )
    hip = np.array([0.0, platform.calf + platform.thigh, 0.0])
    bent = np.array([0.0, platform.calf, 0.0])
    if point.carrier is Carrier.BACK:
        hinge = np.array([0.0, hip[1] + platform.seat, 0.0])
        slide = sheet.back_travel * setting.backrest / platform.largest_backrest
        place = hinge + _about_x(setting.backrest) @ (place - hinge) + [0.0, slide, 0.0]
    elif point.carrier is Carrier.THIGH:
        place = hip + _about_x(-knee) @ (place - hip)
    elif point.carrier is Carrier.CALF:
        now = hip + _about_x(-knee) @ (bent - hip)
        slope = 0.0 if sheet.calf is CalfMotion.LEVEL else np.arcsin(now[2] / platform.calf)
        place = now + _about_x(slope) @ (place - bent)
    lift = 0.0 if point.carrier is Carrier.ROOM else setting.lift
    return np.asarray(place) + np.array([0.0, 0.0, lift])


def test_the_mechanism_agrees_with_an_independent_computation_in_three_dimensions():
    rng = np.random.default_rng(5)
    beds = [mechanism(name) for name in ("frame-rails", "wide-split-rails", "tilting-rails")]
    carriers = list(Carrier)
    for number in range(600):
        bed = beds[number % 3]
        platform = bed.bed.platform
        point = FixedPoint(
            carriers[rng.integers(len(carriers))],
            *(float(value) for value in rng.uniform((-0.6, 0.0, -0.2), (0.6, 2.0, 0.4))),
            is_on_surface=bool(rng.integers(2)),
        )
        setting = BedSetting(
            float(rng.uniform(-0.7, 0.7)),
            float(rng.uniform(0.0, platform.largest_backrest)),
            float(rng.uniform(0.0, platform.largest_knee_raise)),
            float(rng.uniform(0.0, 0.5)),
        )
        found = np.array(bed.place(point, setting))
        assert np.abs(found - _independent(bed, point, setting)).max() < 1e-12


def test_the_section_under_a_point_is_named_from_the_foot_end():
    bed = mechanism()
    ends = {name: (low, high) for name, low, high in bed.sections()}
    assert list(ends) == [Carrier.CALF, Carrier.THIGH, Carrier.SEAT, Carrier.BACK]
    assert ends[Carrier.SEAT] == pytest.approx((1.02, 1.22))
    assert seat_hinge(bed.bed) == pytest.approx(1.22)


def test_the_backrest_brings_the_knees_along_where_they_are_coupled():
    bed = mechanism("wide-split-rails")
    brought = bed.knee_raise(BedSetting(backrest=radians(50.0)))
    assert degrees(brought) == pytest.approx(15.0)


@pytest.mark.parametrize("setting", [BedSetting(turn=2.0), BedSetting(backrest=float("nan"))])
def test_a_setting_that_no_bed_makes_is_refused(setting):
    with pytest.raises(InvalidInput, match="bed setting"):
        check_setting(setting)
