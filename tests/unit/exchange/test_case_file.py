"""A case file becomes the record the other rooms use."""

import json
import math
from datetime import UTC, datetime
from pathlib import Path

import pytest

from leeward.exchange.case_file import case_from_document, read_case
from leeward.exchange.document import Document
from leeward.exchange.problems import FileRefused
from leeward.records.canonical import digest
from leeward.terms.bed import Mattress
from leeward.terms.regime import RegimeStanding
from leeward.terms.site import Site
from leeward.terms.skin import Change, SkinFinding
from tests.unit.exchange.case_texts import EXAMPLES, ORDINARY, SMALLEST, changed, read_text


@pytest.fixture(scope="module")
def ordinary():
    return read_case(EXAMPLES / "ordinary.yaml")


def test_field_units_become_si(ordinary):
    case = ordinary.case
    assert (case.person.body.stature, case.person.body.mass) == (1.594, 66.5)
    assert (case.bed.mattress.thickness, case.bed.mattress.cv40) == (0.14, 3500.0)
    assert case.day.prescribed[0].posture.backrest == math.radians(60)
    assert case.day.care_time == 1800.0
    assert case.regimes[0].cycle[0].duration == 7200.0


def test_turned_to_the_left_is_positive_and_to_the_right_negative(ordinary):
    left, level, right, _ = ordinary.case.regimes[0].cycle
    assert left.posture.turn == math.radians(30)
    assert level.posture.turn == 0.0
    assert right.posture.turn == -math.radians(30)


def test_a_stay_without_backrest_has_the_usual_one(ordinary):
    assert ordinary.case.regimes[0].cycle[0].posture.backrest == ordinary.case.day.usual_backrest


def test_times_of_day_and_no_are_text():
    assert read_text(SMALLEST).case.day.sleep.start == 22 * 3600.0
    with pytest.raises(FileRefused, match="'no' where another kind of value belongs"):
        read_text(changed("has_dark_skin: false", "has_dark_skin: no"))


def test_the_smallest_case_is_read_and_nothing_is_made_up():
    case = read_text(SMALLEST).case
    assert case.bed.layers is None
    assert case.bed.mattress == Mattress()
    assert (case.equipment, case.policy, case.regimes) == (None, None, ())
    assert (case.person.consent, case.person.aim) == (None, None)


def test_every_fact_left_out_is_listed_with_what_follows():
    missing = {fact.field: fact.consequence for fact in read_text(SMALLEST).case.missing}
    assert {"regimes", "skin_checks", "bed.layers", "person.consent", "equipment"} <= set(missing)
    assert all(len(consequence) > 20 for consequence in missing.values())


def test_a_fact_given_is_not_listed(ordinary):
    assert {fact.field for fact in ordinary.case.missing} == {
        "person.hip_breadth_cm",
        "posture_limits",
    }


def test_looked_and_found_nothing_is_not_nobody_looked(ordinary):
    assert ordinary.case.bed.layers == ()
    assert read_text(changed("  layers: []", "  #")).case.bed.layers is None


def test_joints_nobody_tried_are_missing_though_the_numbers_are_the_same():
    tried, untried = read_text(ORDINARY).case, read_text(changed("rest_angles: {}", "#")).case
    assert tried.person.body == untried.person.body
    assert "person.rest_angles" in {fact.field for fact in untried.missing}


def test_a_clock_and_a_backrest_nobody_wrote_are_missing_though_they_have_a_value():
    written = "day: {time_zone: UTC, usual_backrest_deg: 0, sleep"
    given = read_text(SMALLEST.replace("day: {sleep", written)).case
    left_out = read_text(SMALLEST).case
    assert given.day == left_out.day
    asked = {"day.time_zone", "day.usual_backrest_deg"}
    assert asked <= {fact.field for fact in left_out.missing}
    assert asked.isdisjoint(fact.field for fact in given.missing)


def test_the_mattress_of_a_regime_is_unknown_unless_it_is_said():
    said = read_text(ORDINARY).case
    unsaid = read_text(changed("    on_present_mattress: true\n", "")).case
    assert said.regimes[0].mattress == said.bed.mattress
    assert unsaid.regimes[0].mattress == Mattress()
    assert unsaid.regimes[0].layers is None


def test_a_policy_alone_is_no_regime_but_one_that_is_assumed_is():
    policy = SMALLEST + "policy: {use: two-hourly}\n"
    assert read_text(policy).case.regimes == ()
    assumed = SMALLEST + "policy: {use: two-hourly, assumed_by: Test nurse}\n"
    case = read_text(assumed).case
    (regime,) = case.regimes
    assert regime.standing is RegimeStanding.ASSUMED
    assert regime.assumed_by == "Test nurse"
    assert [stay.duration for stay in regime.cycle] == [case.policy.interval] * 3
    assert "no source" in case.policy.source


def test_one_look_becomes_one_check_a_site(ordinary):
    checks = ordinary.case.skin_checks
    assert [check.site for check in checks] == list(Site)
    assert {check.finding for check in checks} == {SkinFinding.CLEAR}
    assert {check.warmth for check in checks} == {Change.NO}


def test_a_moment_without_offset_is_read_on_the_clock_of_the_day():
    summer = changed("when: 2026-11-24 21:30", "when: 2026-07-24 21:30")
    assert read_text(summer).case.skin_checks[0].when == datetime(2026, 7, 24, 20, 30, tzinfo=UTC)


def test_a_time_the_clock_showed_twice_is_refused():
    twice = changed("when: 2026-11-24 21:30", "when: 2026-10-25 01:30")
    with pytest.raises(FileRefused, match="does not name one moment"):
        read_text(twice)
    assert read_text(twice.replace("25 01:30", "25 01:30+01:00")).case.skin_checks


def test_sides_of_a_windswept_body_and_of_the_line_are_words():
    bent = "rest_angles: {windswept_deg: 20, windswept_to: right}"
    assert read_text(changed("rest_angles: {}", bent)).case.person.body.rest_angles.windswept == (
        -math.radians(20)
    )
    placed = "{line_towards: right, line_offset_mm: 30, measured_by"
    moved = read_text(changed("{line_towards: middle, measured_by", placed))
    assert moved.case.placement.line_offset == -0.03


def test_limits_found_at_the_bed_are_sorted_by_movement():
    text = ORDINARY + (
        "posture_limits:\n"
        "  - {of: turn to left, largest_deg: 25, found_by: Test therapist}\n"
        "  - {of: backrest, largest_deg: 50, found_by: Test therapist}\n"
    )
    limits = read_text(text).case.posture_limits
    assert [limit.value for limit in limits.turn_left] == [math.radians(25)]
    assert limits.turn_right == ()
    assert [limit.value for limit in limits.backrest] == [math.radians(50)]


def test_yaml_and_json_of_one_document_give_one_case(tmp_path: Path, ordinary):
    file = tmp_path / "ordinary.json"
    file.write_text(json.dumps(ordinary.plain, indent="\t"), encoding="utf-8")
    again = read_case(file)
    assert again.plain == ordinary.plain
    assert digest(again.case) == digest(ordinary.case)


def test_the_resolved_document_needs_nothing_else(ordinary):
    again = case_from_document(Document(ordinary.resolved, {}), source="plan.json")
    assert again.case == ordinary.case
    assert again.resolved == ordinary.resolved


def test_a_unit_beside_the_case_is_read(tmp_path: Path, root: Path, ordinary):
    unit = root / "src/leeward/exchange/data/equipment/split-plain.yaml"
    (tmp_path / "my-unit.yaml").write_bytes(unit.read_bytes())
    (tmp_path / "case.yaml").write_text(changed("{unit: split-plain}", "{file: my-unit.yaml}"))
    assert read_case(tmp_path / "case.yaml").case.equipment == ordinary.case.equipment


def test_lines_are_known(ordinary):
    lines = ORDINARY.splitlines()
    line = ordinary.line(("person", "mass_kg"))
    assert lines[line - 1].strip() == "mass_kg: 66.5"
    assert ordinary.line(("person", "hip_breadth_cm")) == ordinary.line(("person",))


@pytest.mark.parametrize("example", sorted(EXAMPLES.glob("*.yaml")), ids=lambda path: path.stem)
def test_every_example_is_read_and_says_that_it_is_invented(example: Path):
    case = read_case(example).case
    assert "nvented" in case.invented
    assert case.person.label.startswith("Example person")
