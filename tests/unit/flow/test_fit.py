"""What was found at the bed, through the front door: judged, and kept to by every plan."""

import json
from dataclasses import replace
from math import radians
from pathlib import Path

import pytest

from leeward import flow
from leeward.exchange.case_file import read_case
from leeward.exchange.fit_file import bundled_bed
from leeward.programme.decision import Decision
from leeward.programme.settable import needed_postures
from leeward.records.canonical import digest
from leeward.terms.bed_sheet import Carrier
from leeward.terms.case import Case
from leeward.terms.fit_sheet import FitSheet, FixedPoint, Run, RunKind
from leeward.terms.units import deg_from_radians, seconds_from_min
from tests.unit.cli.front_door import NOW, example, run

FITTING = Path(example("large")).parent.parent / "fitting"


def coarse() -> Case:
    """The half-known case with a unit that turns 20 or 30 degrees and stays two hours."""
    case = read_case(example("half-known")).case
    assert case.equipment is not None
    two_hours = seconds_from_min(120.0)
    ability = replace(
        case.equipment.ability,
        smallest_turn=radians(20.0),
        largest_turn_left=radians(30.0),
        largest_turn_right=radians(30.0),
        turn_step=radians(10.0),
        shortest_stay=two_hours,
        longest_stay=two_hours,
        programmes_per_day=1,
    )
    return replace(case, equipment=replace(case.equipment, ability=ability))


def with_short_hose(case: Case) -> Case:
    """A hose from each edge of the surface down to the frame: 20 degrees it bears, 30 not."""
    hoses = tuple(
        Run(
            f"hose {side:+.0f}",
            RunKind.HOSE,
            (
                FixedPoint(Carrier.SEAT, 0.4 * side, 1.1, 0.0, is_on_surface=True),
                FixedPoint(Carrier.FRAME, 0.4 * side, 1.1, -0.1),
            ),
            0.27,
        )
        for side in (-1.0, 1.0)
    )
    sheet = FitSheet(bundled_bed("frame-rails"), "Example nurse B", mattress_width=0.88, runs=hoses)
    return replace(case, fit_sheet=sheet)


def turns_deg(decision: Decision) -> set[float]:
    return {
        round(abs(deg_from_radians(stay.posture.turn)))
        for choice in decision.choices
        for window in choice.programme.windows
        for stay in window.cycle
    }


def test_a_posture_barred_at_the_bed_is_in_no_programme():
    free = needed_postures(coarse())
    assert 30 in {round(deg_from_radians(posture.turn)) for posture in free}
    case = with_short_hose(coarse())
    kept = flow.plan(case, now=NOW)
    assert kept.choices
    assert turns_deg(kept) <= {0, 20}
    assert kept.case_digest == digest(case)
    (said,) = (one.sentence for one in kept.reasons if one.code == "fitting-open")
    assert "cannot be told, and limit nothing here" in said


def test_fit_says_where_the_body_rests_with_the_line_aside():
    found = flow.fit(with_short_hose(coarse()))
    assert {one.code for one in found.line} <= {
        "rests",
        "rests-only-here",
        "does-not-rest",
        "twist",
    }
    assert max(abs(posture) for posture in turns_tried(found.line)) == 20
    assert found.limits.turn_left[0].value == pytest.approx(radians(20.0))


def turns_tried(line: tuple) -> list[int]:
    words = " ".join(one.sentence for one in line)
    return [turn for turn in (10, 20, 30) if f"{turn}°, " in words]


def test_the_command_prints_the_table_and_draws_the_bed(tmp_path: Path):
    ran = run("fit", str(example("large")), "--sheet", str(FITTING / "large.yaml"), "--out",
              str(tmp_path / "fit"))  # fmt: skip
    assert ran.code == 3
    assert "turned to the left 24°, right side raised" in ran.said
    assert "Published limits are for flat, level beds" in ran.said
    assert "not a clearance" in ran.said
    files = {path.name for path in (tmp_path / "fit").iterdir()}
    assert files == {
        "fit.json", "placement-above.svg", "placement-side.svg", "placement-across.svg",
    }  # fmt: skip
    stored = json.loads((tmp_path / "fit" / "fit.json").read_text(encoding="utf-8"))
    assert stored["outcome"] == "cannot tell"
    across = (tmp_path / "fit" / "placement-across.svg").read_text(encoding="utf-8")
    assert "turned to the left 20°, right side raised" in across


def test_a_half_known_bed_names_what_to_measure_and_how():
    sheet = str(FITTING / "half-known.yaml")
    ran = run("fit", str(example("half-known")), "--sheet", sheet)
    assert ran.code == 3
    assert "Measure where the unit lies on the platform: tape" in ran.said
    assert "no limit found broken;" not in ran.said.split("Turns and backrests")[0]


def test_without_a_sheet_it_is_said_what_to_do():
    ran = run("fit", str(example("half-known")))
    assert ran.code == 3
    assert "no fit sheet" in ran.complained
