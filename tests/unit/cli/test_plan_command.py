"""`leeward plan`: what it decides, shows and writes, and the exit code that says so."""

import json
import re
from pathlib import Path

import pytest

from leeward.programme.decision import ChoiceName, Decision, Outcome
from leeward.records.canonical import from_plain
from leeward.terms.units import radians_from_deg
from tests.unit.cli.front_door import NOW, Changed, Planned, example, part, plan, run

NO_REGIME = ((part("regimes", "policy"), ""), (part("policy", "skin_checks"), ""))


def decision(planned: Planned) -> Decision:
    return planned.stored.decision


def test_an_ordinary_case_is_offered_choices_with_their_reasons(ordinary: Planned):
    assert ordinary.ran.code == 0
    assert decision(ordinary).outcome is Outcome.OFFERED
    for choice in decision(ordinary).choices:
        assert f"Why {choice.name.value}" in ordinary.ran.out
        assert choice.reasons[0].sentence in ordinary.ran.said
        assert choice.assessment.qualifies
        assert choice.recheck == ()


def test_little_known_is_still_planned_and_everything_open_is_named(half_known: Planned):
    assert half_known.ran.code == 0
    assert "Must be settled before any choice may be accepted" in half_known.ran.out
    for fact in decision(half_known).missing:
        assert f"? {fact.field}: {fact.consequence}" in half_known.ran.said
    for reason in decision(half_known).cannot_accept:
        assert f"x {reason.sentence}" in half_known.ran.said


def test_a_body_outside_the_tables_stops_and_calls_for_a_specialist(tmp_path: Path):
    planned = plan(example("small-bent-hips"), tmp_path)
    assert planned.ran.code == 1
    assert "a named specialist must continue" in planned.ran.said
    assert decision(planned).outcome is Outcome.STOPPED
    assert decision(planned).choices == ()


def test_a_unit_that_cannot_reach_ends_with_the_closest_and_what_lacks(out_of_reach: Planned):
    assert out_of_reach.ran.code == 1
    found = decision(out_of_reach)
    assert found.outcome is Outcome.NONE_QUALIFIES
    assert {choice.name for choice in found.choices} == {ChoiceName.CLOSEST, ChoiceName.TODAYS}
    fitting = [choice for choice in found.choices if choice.assessment.qualifies]
    assert [choice.name for choice in fitting] == [ChoiceName.TODAYS]
    assert re.search(r"qualifies +NO", out_of_reach.ran.out)
    assert "as much as under the regime compared" in out_of_reach.ran.said


def protecting(site: str, ceiling: str = "") -> tuple[str, str]:
    """The example whose unit cannot reach, with a wound."""
    wound = f"{{site: {site}, reason: healing wound{ceiling}}}"
    return "  aim: prevention\n", f"  aim: healing\n  protected_sites: [{wound}]\n"


def test_a_wound_that_no_turn_spares_leaves_nothing_to_propose_and_is_named(
    tmp_path: Path, changed: Changed
):
    wound = changed(protecting("sacrum"), of="reach-too-small")
    planned = plan(wound, tmp_path / "plan")
    assert planned.ran.code == 1
    assert decision(planned).outcome is Outcome.NONE_QUALIFIES
    assert decision(planned).choices == ()
    forbids = decision(planned).reasons[0]
    assert forbids.code == "protection-forbids"
    assert "the sacrum bears" in forbids.sentence
    assert forbids.sentence in planned.ran.said
    assert "to the right, left side raised, at 07:00" in planned.ran.said


def test_what_comes_closest_keeps_the_ceiling_of_a_wound_in_every_stay_and_step(
    tmp_path: Path, changed: Changed
):
    signed = ", ceiling: 0.972, ceiling_by: {by: Example nurse B, when: 2026-11-21, "
    wound = protecting("sacrum", signed + "reason: the dressing bears it}")
    found = decision(plan(changed(wound, of="reach-too-small"), tmp_path / "plan"))
    assert found.outcome is Outcome.NONE_QUALIFIES
    assert found.choices
    for choice in found.choices:
        cycles = [one.cycle for one in choice.programme.windows if len(one.cycle) > 1]
        turns = {abs(stay.posture.turn) for cycle in cycles for stay in cycle}
        assert min(turns) >= radians_from_deg(9.0) - 1e-9  # 6 degrees load it by 0.974
        assert [step.share_of_turn for step in choice.programme.build_up] == [1.0]
        assert "protected-site-loaded" not in {reason.code for reason in choice.recheck}


def test_without_any_regime_nothing_can_be_told_and_a_question_is_put(
    tmp_path: Path, changed: Changed
):
    planned = plan(changed(*NO_REGIME), tmp_path / "plan")
    assert planned.ran.code == 3
    assert "? How has this person lain so far" in planned.ran.said
    assert decision(planned).outcome is Outcome.CANNOT_TELL
    assert decision(planned).choices == ()


ITS_FOAM = "{kind: foam, thickness_mm: 140, cv40_kpa: 3.5, density_kg_m3: 45, years_in_use: 0}"


def test_without_its_mattress_the_ordinary_case_is_not_compared_and_asks_which(
    tmp_path: Path, changed: Changed
):
    planned = plan(changed((f"  mattress: {ITS_FOAM}\n", "")), tmp_path / "plan")
    assert planned.ran.code == 3
    assert decision(planned).outcome is Outcome.CANNOT_TELL
    assert decision(planned).choices == ()
    assert "? Which mattress lies on the bed" in planned.ran.said
    assert "skin seen clear under it" not in planned.ran.said


HELD = "  blocks: [{which: leg block left, fixed_to: nothing}]\n  rails: split\n"
AT_NIGHT = "  care_min: 30\n  night_supports: [leg block left]\n"


def test_a_block_that_is_laid_loosely_ends_in_a_question_and_not_in_a_plan(
    tmp_path: Path, changed: Changed
):
    loose = changed(("  rails: split\n", HELD), ("  care_min: 30\n", AT_NIGHT))
    planned = plan(loose, tmp_path / "plan")
    assert planned.ran.code == 3
    assert decision(planned).choices == ()
    assert "it is laid loosely" in planned.ran.said
    assert "fix it and write so under bed.blocks" in planned.ran.said


def test_an_air_mattress_nobody_measured_ends_in_a_question_and_not_in_loads(
    tmp_path: Path, changed: Changed
):
    planned = plan(changed((ITS_FOAM, "{kind: alternating air}")), tmp_path / "plan")
    assert planned.ran.code == 3
    assert decision(planned).choices == ()
    assert "measure the curve at the pressure in use" in planned.ran.said


def test_json_is_json_and_nothing_else_and_reads_back(tmp_path: Path):
    planned = plan(example("small-bent-hips"), tmp_path, "--json")
    found = from_plain(Decision, json.loads(planned.ran.out))
    assert found == decision(planned)
    assert planned.ran.code == 1


def test_a_plan_with_choices_reads_back_from_json(ordinary: Planned, tmp_path: Path):
    planned = plan(ordinary.case, tmp_path, "--json")
    assert from_plain(Decision, json.loads(planned.ran.out)) == decision(ordinary)


def test_the_plan_file_holds_the_decision_and_the_case_it_was_made_from(ordinary: Planned):
    assert decision(ordinary).made_at == NOW
    assert decision(ordinary).case_digest == ordinary.stored.case_digest
    assert ordinary.stored.case.person.label == "Example person A"


def test_every_file_named_on_screen_is_in_the_folder_and_no_other(ordinary: Planned):
    listed = ordinary.ran.out.split("\nFiles in ")[1]
    named = set(re.findall(r"^  ([\w-]+\.(?:json|pdf|svg|csv|html)) ", listed, re.MULTILINE))
    assert named == {path.name for path in ordinary.folder.iterdir()}
    assert len(named) == 7 + 4 * len(decision(ordinary).choices)


def test_what_people_do_stands_beside_the_choices_with_the_rule_it_breaks(ordinary: Planned):
    said = ordinary.ran.said
    assert "Beside what people do, by the same computation" in said
    assert "four-hourly by hand, 30°: The" in said
    assert "common practice, no source" in said
    assert "as today: This is the regime compared itself, laid into the day as entered" in said


def test_manual_work_is_said_in_people_and_rounds(ordinary: Planned, out_of_reach: Planned):
    assert "every one on a round; nothing needs two people" in ordinary.ran.said
    todays = decision(out_of_reach).choices[-1].assessment.disturbance
    assert (todays.two_person_tasks, todays.turns_per_day) == (12, 12)


def test_two_closest_choices_have_files_of_their_own(out_of_reach: Planned):
    written = {path.name for path in out_of_reach.folder.iterdir()}
    assert {"closest-bedside-sheet.pdf", "closest-2-bedside-sheet.pdf"} <= written


@pytest.mark.parametrize("below", ["", "deeper"])
def test_a_folder_that_cannot_be_made_is_told_and_nothing_is_written(tmp_path: Path, below: str):
    in_the_way = tmp_path / "plan"
    in_the_way.write_text("precious", encoding="utf-8")
    ran = run("plan", example("small-bent-hips"), "--out", in_the_way / below)
    assert ran.code == 2
    assert "is a file, not a folder; expected a folder leeward may write to" in ran.complained
    assert "planning" not in ran.complained
    assert in_the_way.read_text(encoding="utf-8") == "precious"
    assert list(tmp_path.iterdir()) == [in_the_way]


def test_progress_goes_beside_the_results(ordinary: Planned):
    assert "planning: the recheck" in ordinary.ran.err
    assert "planning:" not in ordinary.ran.out


@pytest.mark.parametrize("which", ["ordinary", "half_known", "out_of_reach"])
def test_piped_output_is_plain_and_no_wider_than_a_terminal(
    which: str, request: pytest.FixtureRequest
):
    ran = request.getfixturevalue(which).ran
    for text in (ran.out, ran.err):
        assert "\x1b" not in text
        assert max(len(line) for line in text.splitlines()) <= 80


def test_a_name_of_no_command_is_told_without_a_traceback():
    ran = run("plann")
    assert ran.code == 2
    assert "plann" in ran.complained
    assert "Traceback" not in ran.err


def test_it_ends_with_what_comes_next(ordinary: Planned, out_of_reach: Planned):
    assert "Next: leeward sheet " in ordinary.ran.said
    assert '/plan.json --choice "gentlest" --author' in ordinary.ran.said
    assert "Next: settle what is said above; to keep turning as today," in out_of_reach.ran.said
    assert '--choice "as today"' in out_of_reach.ran.said
