"""Rails beside a tilting surface: what is left of their height, and how wide the gaps grow."""

from dataclasses import replace
from math import asin, cos, degrees, radians

import numpy as np
import pytest

from leeward.fitting.finding import Outcome
from leeward.fitting.mechanism import BedSetting
from leeward.fitting.openings import opening_findings
from leeward.fitting.rails import Beside, height_left, rail_findings
from leeward.terms.bed_sheet import Carrier, RailPart
from leeward.terms.fit_sheet import FixedPoint
from tests.unit.fitting.at_the_bed import mechanism

#: A rail 220 mm above the mattress, flush with it.
RAIL = RailPart("rail", Carrier.FRAME, 0.3, 1.9, 0.43, 0.05, 0.10, 0.0)


def beside(*, tilts: bool = False, bed: str = "frame-rails") -> Beside:
    return Beside(mechanism(bed), 0.06, 0.15, rails_tilt=tilts)


def outcome(setting: BedSetting, part: RailPart = RAIL, *, tilts: bool = False) -> Outcome:
    found = rail_findings(beside(tilts=tilts), part, setting)
    return max((one.outcome for one in found), key=list(Outcome).index)


@pytest.mark.parametrize(
    ("tilt_deg", "left_mm"), [(10, 142), (15, 104), (20, 66), (25, 30), (30, -5), (40, -69)]
)
def test_the_height_left_at_the_raised_edge_is_as_worked_by_hand(tilt_deg, left_mm):
    setting = BedSetting(turn=radians(tilt_deg))
    raised = height_left(beside(), RAIL, setting, -1.0)
    lowered = height_left(beside(), RAIL, setting, 1.0)
    assert 1e3 * min(raised) == pytest.approx(left_mm, abs=0.6)
    assert 1e3 * min(lowered) == pytest.approx(220.0)


def test_a_turn_is_barred_where_the_rail_no_longer_reaches_the_raised_edge():
    edge = degrees(asin(0.22 / 0.45))
    assert edge == pytest.approx(29.3, abs=0.05)
    assert outcome(BedSetting(turn=radians(edge - 0.01))) is Outcome.WITH_MEASURE
    assert outcome(BedSetting(turn=radians(edge + 0.01))) is Outcome.NOT_TO_BE_USED
    assert outcome(BedSetting(turn=-radians(edge + 0.01))) is Outcome.NOT_TO_BE_USED


def test_rails_that_tilt_with_the_surface_keep_their_height_and_their_gap():
    for tilt_deg in (10, 30, 45):
        found = rail_findings(beside(tilts=True), RAIL, BedSetting(turn=radians(tilt_deg)))
        assert {one.outcome for one in found} == {Outcome.NO_LIMIT_BROKEN}


def test_a_rail_on_the_back_section_loses_nothing_as_the_backrest_rises():
    """One on the frame loses what the section rises; a turn on top of it bars sooner."""
    on_back = replace(RAIL, moves_with=Carrier.BACK, foot_end=1.3)
    raised = BedSetting(backrest=radians(45.0))
    assert min(height_left(beside(), on_back, raised, 1.0)) == pytest.approx(0.22)
    # Beside the rail's head end, 28 cm from the hinge, 21 cm of unit and mattress lean over it.
    on_frame = min(height_left(beside(), replace(RAIL, head_end=1.5), raised, 1.0))
    assert on_frame == pytest.approx(0.43 - (0.28 + 0.21 / cos(radians(45.0))))
    assert outcome(raised) is Outcome.WITH_MEASURE
    assert outcome(replace(raised, turn=0.2)) is Outcome.NOT_TO_BE_USED


@pytest.mark.parametrize(
    ("top_mm", "expected"),
    [(430, Outcome.NO_LIMIT_BROKEN), (429.9, Outcome.NOT_TO_BE_USED)],
)
def test_220_mm_hold_at_their_edge_on_the_flat_level_bed(top_mm, expected):
    assert outcome(BedSetting(), replace(RAIL, top=top_mm / 1000.0)) is expected
    if expected is Outcome.NOT_TO_BE_USED:  # a turn does not raise the other side's rail
        assert outcome(BedSetting(turn=0.1), replace(RAIL, top=top_mm / 1000.0)) is expected


@pytest.mark.parametrize(
    ("gap_mm", "expected"),
    [
        (59.9, Outcome.NO_LIMIT_BROKEN),
        (60, Outcome.WITH_MEASURE),
        (119.9, Outcome.WITH_MEASURE),
        (120, Outcome.NOT_TO_BE_USED),
    ],
)
def test_60_and_120_mm_hold_at_their_edges(gap_mm, expected):
    assert outcome(BedSetting(), replace(RAIL, gap_beside=gap_mm / 1000.0)) is expected


def test_what_nobody_measured_of_a_rail_is_asked_for_and_never_in_order():
    for field, code in (
        ("top", "measure-rail-top"),
        ("foot_end", "measure-rail-ends"),
        ("head_end", "measure-rail-ends"),
        ("gap_beside", "measure-rail-gap"),
    ):
        found = rail_findings(beside(), replace(RAIL, **{field: None}), BedSetting())
        assert code in {one.code for one in found}
        assert outcome(BedSetting(), replace(RAIL, **{field: None})) is Outcome.CANNOT_TELL


@pytest.mark.parametrize(
    ("gap_mm", "expected"),
    [
        (59.9, Outcome.NO_LIMIT_BROKEN),
        (60.0, Outcome.NOT_TO_BE_USED),
        (317.9, Outcome.NOT_TO_BE_USED),
        (318.0, Outcome.NO_LIMIT_BROKEN),
    ],
)
def test_a_gap_at_the_end_of_a_rail_lets_nothing_in_or_a_chest_out(gap_mm, expected):
    bed = replace(mechanism().bed, gap_to_head_board=gap_mm / 1000.0, rail_parts=())
    found = {one.code: one for one in opening_findings(bed, 0.21)}
    assert found["gap-head-board"].outcome is expected


def test_openings_inside_and_below_the_rail_are_held_against_head_and_neck():
    bed = mechanism().bed
    wide = replace(bed, rail_parts=(replace(RAIL, opening=0.12, bottom=0.27),))
    found = {one.code: one.outcome for one in opening_findings(wide, 0.21)}
    assert found["rail-opening"] is Outcome.NOT_TO_BE_USED
    assert found["rail-bottom"] is Outcome.NOT_TO_BE_USED
    narrow = replace(bed, rail_parts=(replace(RAIL, opening=0.119, bottom=0.269),))
    found = {one.code: one.outcome for one in opening_findings(narrow, 0.21)}
    assert found["rail-opening"] is Outcome.NO_LIMIT_BROKEN
    assert found["rail-bottom"] is Outcome.NO_LIMIT_BROKEN


def test_the_least_height_is_that_of_a_search_along_the_rail():
    """Every 2 mm of the mattress's edge is put in place, and held against the rail beside it."""
    rng = np.random.default_rng(8)
    for name in ("frame-rails", "wide-split-rails", "tilting-rails"):
        here = beside(bed=name)
        for _ in range(6):
            setting = BedSetting(*(float(v) for v in rng.uniform((-0.6, 0, 0), (0.6, 1.0, 0.5))))
            ends = sorted(float(v) for v in rng.uniform(0.1, 2.1, 2))
            part = replace(RAIL, foot_end=ends[0], head_end=ends[1])
            found = height_left(here, part, setting, 1.0)
            searched = _searched(here, ends, setting)
            assert min(found, default=9.0) == pytest.approx(min(searched, default=9.0), abs=0.003)


def _searched(here: Beside, ends: list[float], setting: BedSetting) -> list[float]:
    heights = []
    for section, low, high in here.mechanism.sections():
        for along in np.arange(low, high + 1e-9, 0.002):
            point = FixedPoint(section, 0.45, float(along), here.top, is_on_surface=True)
            _, now, up = here.mechanism.place(point, setting)
            if ends[0] <= now <= ends[1]:
                heights.append(0.43 - up)
    return heights
