"""The check of a case says what is missing, contradictory or hard to believe, and where."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from leeward.exchange.case_file import read_case
from leeward.exchange.completeness import CaseFindingKind, check
from tests.unit.exchange.case_texts import EXAMPLES, SMALLEST, changed, read_text

NOW = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)


def findings(text: str, kind: CaseFindingKind):
    return [one for one in check(read_text(text), NOW) if one.kind is kind]


@pytest.mark.parametrize("example", sorted(EXAMPLES.glob("*.yaml")), ids=lambda path: path.stem)
def test_the_examples_contradict_nothing_and_are_believable(example: Path):
    kinds = {finding.kind for finding in check(read_case(example), NOW)}
    assert kinds == {CaseFindingKind.MISSING}


def test_missing_facts_come_last_and_say_what_follows():
    found = check(read_text(SMALLEST), NOW)
    assert [one.field for one in found] == [fact.field for fact in read_text(SMALLEST).case.missing]
    assert all(one.sentence.startswith("not given: ") for one in found)


CONTRADICTIONS = {
    "too heavy for the bed": (
        "safe_working_load_kg: 200",
        "safe_working_load_kg: 100",
        "bed.safe_working_load_kg",
        "make 112.5 kg",
    ),
    "too heavy for the unit": ("mass_kg: 66.5", "mass_kg: 145", "person.mass_kg", "40 to 140 kg"),
    "too wide for the unit": (
        "bed:\n",
        "bed:\n  platform: {platform_width_cm: 110}\n",
        "bed.platform.platform_width_cm",
        "fits mattresses of 85 to 95 cm",
    ),
    "foam in air": (
        "kind: foam",
        "kind: air",
        "bed.mattress.cv40_kpa",
        "a hardness of foam is given for a mattress of air",
    ),
    "backrest above the person's": (
        "aim: prevention",
        "aim: prevention\n  greatest_backrest_deg: 40",
        "day.prescribed[1].backrest_deg",
        "bears at most 40",
    ),
    "backrest below the person's": (
        "aim: prevention",
        "aim: prevention\n  least_backrest_deg: 30",
        "day.usual_backrest_deg",
        "needs at least 30",
    ),
    "backrest above the bed's": (
        "backrest_deg: 60",
        "backrest_deg: 80",
        "day.prescribed[1].backrest_deg",
        "rises to 69.9",
    ),
    "turning while the unit pauses": (
        "may_turn: false",
        "may_turn: true",
        "day.prescribed[1].may_turn",
        "pauses above 45 degrees",
    ),
    "clear and failed": (
        "on_present_mattress",
        "failed_sites: [sacrum]\n    on_present_mattress",
        "regimes[1].standing",
        "failed_sites names sacrum",
    ),
    "failed nowhere": (
        "standing: clear",
        "standing: failed",
        "regimes[1].standing",
        "names no site",
    ),
    "assumed by nobody": (
        "standing: clear",
        "standing: assumed",
        "regimes[1].standing",
        "names nobody",
    ),
    "looked before it began": (
        "first: 2026-10-28",
        "first: 2026-10-01",
        "regimes[1].looks",
        "the first look, 2026-10-01, is before",
    ),
    "damage under a clear regime": (
        "    all_other_sites_clear: true",
        "    all_other_sites_clear: true\n    found: [{site: left heel, finding: open}]",
        "regimes[1].standing",
        "open wound at the left heel on 2026-11-24",
    ),
    "another mattress": (
        "    on_present_mattress: true",
        "    mattress: {kind: foam, thickness_mm: 100}",
        "regimes[1].mattress",
        "another than the one under `bed`",
    ),
    "a stay longer than the policy": (
        "turn_deg: 30, stay_min: 120",
        "turn_deg: 30, stay_min: 300",
        "regimes[1].cycle[1].stay_min",
        "300 min is longer than the policy's 240 min",
    ),
    "a look still to come": (
        "when: 2026-11-24 21:30",
        "when: 2026-11-26 21:30",
        "skin_checks[1].when",
        "is still to come (today is 2026-11-25)",
    ),
    "a ceiling nobody allows": (
        "aim: prevention",
        "aim: prevention\n  protected_sites: [{site: sacrum, reason: pain, ceiling: 0.5}]",
        "person.protected_sites[1]",
        "needs the practitioner",
    ),
    "a barred side prescribed": (
        "backrest_deg: 60",
        "backrest_deg: 60, turned_to: left, turn_deg: 10",
        "day.prescribed[1].turn_deg",
        "limited to 0 degrees",
    ),
}


@pytest.mark.parametrize("name", CONTRADICTIONS)
def test_statements_that_cannot_both_be_right_are_named_with_field_and_line(name: str):
    old, new, field, said = CONTRADICTIONS[name]
    text = changed(old, new)
    if name == "a barred side prescribed":
        barred = "aim: prevention\n  turn_limits: [{towards: left, largest_deg: 0, reason: pain}]"
        text = text.replace("aim: prevention", barred)
    found = [one for one in findings(text, CaseFindingKind.CONTRADICTORY) if one.field == field]
    assert [one for one in found if said in one.sentence], found
    assert found[0].line is not None


def test_a_wound_that_was_there_before_contradicts_nothing():
    wound = "    all_other_sites_clear: true\n    found: [{site: sacrum, finding: open}]"
    later = changed("    all_other_sites_clear: true", wound)
    assert findings(later, CaseFindingKind.CONTRADICTORY)
    look = wound.replace("    all", "\n  - when: 2026-10-20 12:00\n    by: Test nurse\n    all")
    assert findings(later.replace(wound, wound + look), CaseFindingKind.CONTRADICTORY) == []


def test_today_is_the_day_on_the_clock_on_the_wall():
    late = datetime(2026, 11, 24, 23, 30, tzinfo=UTC)
    text = changed("Europe/London", "Asia/Tokyo").replace("2026-11-24 21:30", "2026-11-25 07:00")
    fields = [one.field for one in check(read_text(text), late)]
    assert "skin_checks[1].when" not in fields


UNUSUAL = {
    "a foot too short": ("stature_cm: 159.4", "stature_cm: 129", "person.stature_cm"),
    "pounds for kilograms": ("mass_kg: 66.5", "mass_kg: 266.5", "person.mass_kg"),
    "a mattress in cm": ("thickness_mm: 140", "thickness_mm: 14", "bed.mattress.thickness_mm"),
    "a foam of wood": ("cv40_kpa: 3.5", "cv40_kpa: 25", "bed.mattress.cv40_kpa"),
    "sheets of ice": ("coefficient: 0.45", "coefficient: 0.02", "bed.friction_coefficient"),
    "a hip too broad": ("rest_angles: {}", "hip_breadth_cm: 45", "person.hip_breadth_cm"),
    "a body of lead": ("stature_cm: 159.4", "stature_cm: 60", "person.mass_kg"),
}


@pytest.mark.parametrize("name", UNUSUAL)
def test_a_number_that_is_possible_but_unusual_is_asked_about(name: str):
    old, new, field = UNUSUAL[name]
    found = findings(changed(old, new), CaseFindingKind.IMPLAUSIBLE)
    assert field in [one.field for one in found]
    assert all(one.line for one in found)


def test_the_edges_of_the_usual_range_are_usual():
    for stature, asked in ((131, False), (130.9, True), (200, False), (200.1, True)):
        text = changed("stature_cm: 159.4", f"stature_cm: {stature}")
        fields = [one.field for one in findings(text, CaseFindingKind.IMPLAUSIBLE)]
        assert ("person.stature_cm" in fields) is asked


@pytest.mark.published("ANSUR II 2012 public files", "hip breadth on BMI and stature, women")
def test_a_hip_breadth_is_asked_about_beyond_four_standard_errors():
    # -24.7 + 5.632 BMI + 0.1443 stature [mm], standard error 15 mm; 66.5 kg at 1594 mm.
    expected = (-24.7 + 5.632 * 66.5 / 1.594**2 + 0.1443 * 1594) / 10
    for breadth, asked in ((expected + 5.9, False), (expected + 6.1, True)):
        text = changed("rest_angles: {}", f"hip_breadth_cm: {breadth:.2f}")
        fields = [one.field for one in findings(text, CaseFindingKind.IMPLAUSIBLE)]
        assert ("person.hip_breadth_cm" in fields) is asked
