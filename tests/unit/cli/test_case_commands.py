"""`leeward new` and `leeward check`: beginning a case file, and what it lacks."""

import json
from pathlib import Path

import pytest

from tests.unit.cli.front_door import EXAMPLES, NAMES, Changed, example, run


def test_the_template_is_written_and_says_what_comes_next(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.chdir(tmp_path)
    ran = run("new", "mine.yaml")
    assert ran.code == 0
    assert "leeward check mine.yaml" in ran.out
    assert "schema_version: 1" in (tmp_path / "mine.yaml").read_text(encoding="utf-8")


def test_a_case_that_is_there_is_never_written_over(tmp_path: Path):
    file = tmp_path / "mine.yaml"
    file.write_text("precious", encoding="utf-8")
    ran = run("new", file)
    assert ran.code == 2
    assert "the file is there already" in ran.complained
    assert file.read_text(encoding="utf-8") == "precious"


def test_a_template_needs_a_folder_that_is_there(tmp_path: Path):
    ran = run("new", tmp_path / "nowhere" / "mine.yaml")
    assert ran.code == 2
    assert "make the folder first" in ran.complained


def test_an_untouched_template_is_not_taken_for_a_case(tmp_path: Path):
    file = tmp_path / "mine.yaml"
    run("new", file)
    ran = run("check", file)
    assert ran.code == 2
    assert ran.out == ""
    for field in ("person.stature_cm", "person.mass_kg"):
        assert field in ran.complained


@pytest.mark.parametrize("name", NAMES)
def test_every_example_can_be_checked(name: str):
    ran = run("check", example(name))
    assert ran.code == 0
    assert "INVENTED CASE" in ran.out
    assert "posture_limits" in ran.out


def test_what_little_is_known_is_listed_by_field_with_what_follows():
    ran = run("check", example("half-known"))
    for field in ("person.consent", "person.aim", "bed.layers", "bed.friction_coefficient"):
        assert f"? missing: {field}" in ran.said
    assert "programmes are shown, but none can be accepted" in ran.said


def test_a_contradiction_is_named_with_its_line(changed: Changed):
    ran = run("check", changed(("safe_working_load_kg: 200", "safe_working_load_kg: 90")))
    assert ran.code == 0
    assert "contradictory: bed.safe_working_load_kg (line 25): the bed may carry 90 kg" in ran.said


def test_findings_as_json_are_json_and_nothing_else():
    ran = run("check", example("half-known"), "--json")
    found = json.loads(ran.out)
    assert {"kind", "field", "line", "sentence"} <= set(found[0])
    assert "person.consent" in {finding["field"] for finding in found}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "mine.yaml"),
        ("schema_version: 1\n  person: [", "mine.yaml"),
        ("schema_version: 99\n", "schema_version"),
        ("not: a case\n", "mine.yaml"),
    ],
)
def test_a_file_that_is_no_case_is_told_in_a_sentence(tmp_path: Path, text: str, said: str):
    file = tmp_path / "mine.yaml"
    file.write_text(text, encoding="utf-8")
    for words in (("check", file), ("plan", file, "--out", tmp_path / "plan"), ("loads", file)):
        ran = run(*words)
        assert ran.code == 2
        assert ran.out == ""
        assert said in ran.complained
        assert "Traceback" not in ran.err
    assert not (tmp_path / "plan").exists()


def test_a_case_that_is_not_there_is_told_in_a_sentence(tmp_path: Path):
    ran = run("check", tmp_path / "none.yaml")
    assert ran.code == 2
    assert "none.yaml" in ran.complained


def test_a_field_out_of_range_is_named_with_its_line(changed: Changed):
    ran = run("check", changed(("mass_kg: 66.5", "mass_kg: 6650")))
    assert ran.code == 2
    assert "mass_kg" in ran.complained
    assert "line" in ran.complained


def test_markup_in_a_label_is_printed_as_it_is(changed: Changed):
    ran = run("check", changed(("label: Example person A", 'label: "[bold]A[/bold] [1]"')))
    assert ran.code == 0
    assert "[bold]A[/bold] [1]" in ran.out


@pytest.mark.parametrize(
    "words",
    [
        ("new",),
        ("plan", EXAMPLES / "ordinary.yaml", "--out"),
        ("loads", EXAMPLES / "ordinary.yaml", "--out"),
        ("explain", "plan.json", "--picture"),
    ],
)
@pytest.mark.parametrize("name", ["", " ", "\t"])
def test_a_file_to_write_needs_a_name(
    words: tuple[object, ...], name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.chdir(tmp_path)
    ran = run(*words, name)
    assert ran.code == 2
    assert "an empty name" in ran.complained
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["mine.yaml", "plan.json", "picture", "picture.svg.pdf"])
def test_a_picture_never_takes_the_place_of_another_kind_of_file(tmp_path: Path, name: str):
    file = tmp_path / name
    file.write_text("precious", encoding="utf-8")
    ran = run("explain", "plan.json", "--picture", file)
    assert ran.code == 2
    assert "ends in .svg" in ran.complained
    assert file.read_text(encoding="utf-8") == "precious"


def test_a_picture_into_a_folder_that_is_not_there_is_refused_before_anything_is_computed(
    tmp_path: Path,
):
    ran = run("explain", "plan.json", "--picture", tmp_path / "none" / "sleep.svg")
    assert ran.code == 2
    assert "there is no folder" in ran.complained
    assert "explaining" not in ran.complained
