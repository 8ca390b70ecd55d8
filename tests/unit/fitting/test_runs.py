"""Straps, hoses and leads: how long they must be over the whole movement."""

from dataclasses import replace
from itertools import product
from math import cos, hypot, radians, sin

import pytest

from leeward.fitting.finding import Outcome
from leeward.fitting.mechanism import BedSetting
from leeward.fitting.runs import moves_with, needed_length, run_findings, runs_to_measure
from leeward.terms.bed_sheet import Carrier
from leeward.terms.fit_sheet import FixedPoint, Run, RunKind
from tests.unit.fitting.at_the_bed import fitted, mechanism, sheet_of


def run(first: Carrier, last: Carrier, *, kind: RunKind = RunKind.HOSE, length: float = 1.0) -> Run:
    """From 30 cm above the back hinge on the platform to 10 cm below it."""
    points = (FixedPoint(first, 0.0, 1.52, 0.0), FixedPoint(last, 0.0, 1.12, 0.0))
    return Run("hose", kind, points, length)


def test_a_run_over_the_back_hinge_is_as_long_as_worked_by_hand():
    """30 cm on the back section, 10 cm on the seat: the law of cosines at the hinge."""
    bed = mechanism()
    for angle_deg in (0, 30, 70):
        angle = radians(angle_deg)
        expected = hypot(0.1 + 0.3 * cos(angle), 0.3 * sin(angle))
        setting = BedSetting(backrest=angle)
        over_hinge = run(Carrier.BACK, Carrier.SEAT)
        assert needed_length(bed, over_hinge, setting) == pytest.approx(expected)


def test_a_lead_to_the_wall_needs_more_as_the_bed_rises():
    bed = mechanism()
    points = (FixedPoint(Carrier.FRAME, 0.0, 0.0, 0.0), FixedPoint(Carrier.ROOM, 0.3, 0.0, 0.0))
    lead = Run("mains lead", RunKind.LEAD, points, 0.45)
    assert needed_length(bed, lead, BedSetting(lift=0.4)) == pytest.approx(0.5)
    sheet = replace(sheet_of(fitted("large")), runs=(lead,))
    low, high = (run_findings([bed], sheet, BedSetting(lift=lift))[0] for lift in (0.0, 0.4))
    assert low.outcome is Outcome.NO_LIMIT_BROKEN
    assert high.outcome is Outcome.NOT_TO_BE_USED
    assert "50 mm too short" in high.sentence


def test_a_strap_that_hangs_loose_is_to_be_taken_up_and_one_that_stretches_may_reach():
    bed, sheet = mechanism(), sheet_of(fitted("large"))
    loose = run(Carrier.BACK, Carrier.SEAT, kind=RunKind.STRAP, length=0.5)
    (found,) = run_findings([bed], replace(sheet, runs=(loose,)), BedSetting())
    assert (found.code, found.outcome) == ("strap-loose", Outcome.WITH_MEASURE)
    tight = replace(loose, length=0.38)
    (found,) = run_findings([bed], replace(sheet, runs=(tight,)), BedSetting())
    assert found.outcome is Outcome.NOT_TO_BE_USED
    (found,) = run_findings(
        [bed], replace(sheet, runs=(replace(tight, stretch=0.1),)), BedSetting()
    )
    assert found.outcome is Outcome.NO_LIMIT_BROKEN


def test_a_clip_on_the_way_makes_the_run_longer_never_shorter():
    bed = mechanism()
    straight = run(Carrier.BACK, Carrier.CALF)
    clip = FixedPoint(Carrier.SEAT, 0.2, 1.2, -0.1)
    clipped = replace(straight, points=(straight.points[0], clip, straight.points[1]))
    for backrest, knee, turn in product((0.0, 0.6), (0.0, 0.4), (-0.3, 0.3)):
        setting = BedSetting(turn, backrest, knee)
        assert needed_length(bed, clipped, setting) >= needed_length(bed, straight, setting)


def test_what_moves_with_what_names_every_hinge_between():
    assert "passes nothing that moves" in moves_with(run(Carrier.BACK, Carrier.BACK))
    crossed = moves_with(run(Carrier.BACK, Carrier.CALF))
    assert "back and seat" in crossed
    assert "seat and thigh" in crossed
    assert "thigh and calf" in crossed
    assert "nobody wrote down" in moves_with(replace(run(Carrier.BACK, Carrier.BACK), points=()))


def test_an_unmeasured_strap_is_asked_for_and_one_seen_by_eye_is_looked_at_again():
    case = fitted("small-bent-hips")
    sheet, unit = sheet_of(case), case.equipment
    assert unit is not None
    assert runs_to_measure(sheet, unit) == []
    asked = runs_to_measure(replace(sheet, runs=()), unit)
    assert {one.outcome for one in asked} == {Outcome.CANNOT_TELL}
    assert len(asked) == 2 * (len(unit.geometry.anchor_points) + len(unit.geometry.tubes))
    seen = replace(sheet.runs[0], points=(), length=None, seen_free_by="Example nurse B")
    (found,) = runs_to_measure(replace(sheet, runs=(seen, *sheet.runs[1:])), unit)
    assert found.outcome is Outcome.WITH_MEASURE
