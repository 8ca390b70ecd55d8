"""`leeward explain` and `leeward side-by-side` through the front door."""

import json
from pathlib import Path

import pytest

from tests.unit.cli.front_door import Planned, Ran, example, plan, run


@pytest.fixture(scope="module")
def answered(ordinary: Planned) -> Ran:
    """A turn beyond the unit, a stay beyond the regime, a site traced."""
    return run(
        "explain", ordinary.file, "--why-not", "45 left for 3 h", "--trace", "left trochanter"
    )  # fmt: skip


def test_a_what_if_is_answered_in_sentences_with_numbers(answered: Ran):
    assert answered.code == 1
    said = answered.said
    assert "Turned to the left 45°, right side raised, for 3 h" in said
    assert "it would not qualify" in said
    assert "the unit cannot be set to turned to the left 45°, right side raised" in said
    assert "turn 45°; smallest 10°; largest 40°" in said
    assert "allowed 120 min" in said
    assert "The left trochanter rises from" in said
    assert "this skin was never tried there" in said


def test_a_trace_prints_loads_and_every_constant_with_its_source(answered: Ran):
    assert "The left trochanter through the day" in answered.said
    assert "time constant T: 120 (60 to 240) min; convention of this project" in answered.said
    assert "population: rat muscle under direct pressure" in answered.said


def test_an_explanation_is_no_wider_than_a_terminal_and_promises_nothing(answered: Ran):
    assert max(len(line) for line in answered.out.splitlines()) <= 80
    assert "probab" not in answered.out.lower()
    assert "skin checks decide" in answered.said.lower()


def test_each_choice_is_shown_with_a_step_either_way_and_a_picture(
    ordinary: Planned, tmp_path: Path
):
    picture = tmp_path / "sleep.svg"
    ran = run("explain", ordinary.file, "--choice", "gentlest", "--picture", picture)
    assert ran.code == 0
    assert "What limits the choice called gentlest" in ran.out
    assert "as it is" in ran.out
    assert "turn both sides, day" in ran.out
    assert picture.read_text(encoding="utf-8").startswith("<svg")


def test_each_convention_is_taken_otherwise_in_a_table_and_a_picture(
    ordinary: Planned, tmp_path: Path
):
    picture = tmp_path / "hangs-on.svg"
    ran = run("explain", ordinary.file, "--sensitivity", "--picture", picture)
    assert ran.code == 0
    assert "Load and relief both act twice as fast" in ran.out
    assert "keep their order under all" in ran.said
    assert max(len(line) for line in ran.out.splitlines()) <= 80
    assert "What the choices hang on" in picture.read_text(encoding="utf-8")


def test_the_answer_is_json_and_nothing_else(ordinary: Planned):
    ran = run("explain", ordinary.file, "--side", "left", "--stay-min", 60, "--json")
    found = json.loads(ran.out)
    assert found["answer"]["asked"].startswith("stays of 60 min turned to the left, right side")
    assert found["answer"]["qualifies"] is (ran.code == 0)


def test_words_not_understood_end_in_one_sentence_before_anything_is_computed(ordinary: Planned):
    ran = run("explain", ordinary.file, "--why-not", "a bit further over")
    assert ran.code == 2
    assert ran.out == ""
    assert "is not understood" in ran.complained
    assert "explaining" not in ran.err


def test_a_plan_that_stopped_has_no_choice_to_ask_about(tmp_path: Path):
    stopped = plan(example("small-bent-hips"), tmp_path)
    ran = run("explain", stopped.file, "--why-not", "20 left")
    assert ran.code == 1
    assert "a named specialist must continue" in ran.said


def test_two_plans_stand_side_by_side_and_other_people_are_said_to_be_others(
    ordinary: Planned, half_known: Planned
):
    same = run("side-by-side", ordinary.file, ordinary.file)
    assert same.code == 0
    assert "Nothing: both were planned from the same case" in same.said
    other = run("side-by-side", ordinary.file, half_known.file)
    assert "NOT THE SAME PERSON" in other.said
    assert "an index of 1 does not stand for the same in both" in other.said
    assert "person.label" in other.said
    assert max(len(line) for line in other.out.splitlines()) <= 80


def test_a_number_without_the_choice_it_counts_is_refused(ordinary: Planned):
    ran = run("explain", ordinary.file, "--number", 2)
    assert ran.code == 2
    assert "expected --choice beside --number" in ran.complained
