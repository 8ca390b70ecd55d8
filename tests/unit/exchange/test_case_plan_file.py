"""A plan file gives back exactly what was decided, or says in one sentence why it cannot."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from leeward.exchange.case_file import read_case
from leeward.exchange.new_file import replace_whole
from leeward.exchange.plan_file import read_plan, write_plan
from leeward.exchange.problems import FileRefused
from leeward.records.canonical import digest
from leeward.terms.errors import InvalidInput, SchemaTooNew
from tests.unit.exchange.case_texts import EXAMPLES
from tests.unit.exchange.invented import choice, decision


@pytest.fixture(scope="module")
def document():
    return read_case(EXAMPLES / "ordinary.yaml")


@pytest.fixture(scope="module")
def made(document):
    return replace(decision(choice()), case_digest=digest(document.case))


@pytest.fixture
def stored(tmp_path: Path, document, made) -> Path:
    file = tmp_path / "plan.json"
    write_plan(file, document, made)
    return file


def test_what_was_decided_is_read_back_exactly(stored: Path, document, made):
    plan = read_plan(stored)
    assert plan.decision == made
    assert plan.case == document.case
    assert plan.case_source == "ordinary.yaml"
    assert (plan.case_digest, plan.decision_digest) == (digest(document.case), digest(made))


def test_the_same_plan_gives_the_same_bytes(stored: Path, document, made):
    first = stored.read_bytes()
    write_plan(stored, document, made)
    assert stored.read_bytes() == first


def test_a_plan_needs_no_other_file(stored: Path, tmp_path: Path):
    assert [file.name for file in tmp_path.iterdir()] == ["plan.json"]
    assert read_plan(stored).case.equipment.name == "Example unit A (invented)"


def test_a_decision_is_not_stored_with_another_case(tmp_path: Path, document, made):
    with pytest.raises(InvalidInput, match="made from case"):
        write_plan(tmp_path / "plan.json", document, replace(made, case_digest="0" * 64))
    assert list(tmp_path.iterdir()) == []


def _altered(file: Path, change) -> Path:
    plain = json.loads(file.read_text())
    change(plain)
    file.write_text(json.dumps(plain))
    return file


ALTERED = {
    "a change to the case": (lambda p: p["case"]["person"].update(mass_kg=70), "case was changed"),
    "a change to the unit": (
        lambda p: p["case"]["equipment"]["described"]["ability"].update(rise_time_s=301),
        "case was changed",
    ),
    "a change to the decision": (
        lambda p: p["decision"].update(seed=p["decision"]["seed"] + 1),
        "decision was changed",
    ),
    "another seal": (lambda p: p.update(decision_digest="0" * 64), "decision was changed"),
    "a missing case": (lambda p: p.pop("case"), "no case"),
    "a missing decision": (lambda p: p.pop("decision"), "expected"),
    "an unknown field": (lambda p: p["decision"].update(extra=1), "extra"),
    "another form": (lambda p: p.update(form="something else"), "not a plan file"),
    "a seal that is a list": (lambda p: p.update(case_digest=[]), "case was changed"),
    "a seal that is a group": (lambda p: p.update(decision_digest={}), "decision was changed"),
    "version 1.0": (lambda p: p.update(schema_version=1.0), "plan version 1.0"),
    "version 0": (lambda p: p.update(schema_version=0), "plan version 0"),
}


@pytest.mark.parametrize("name", ALTERED)
def test_a_plan_somebody_changed_is_refused(stored: Path, name: str):
    change, said = ALTERED[name]
    with pytest.raises(FileRefused) as refused:
        read_plan(_altered(stored, change))
    assert said in str(refused.value)
    assert "\n" not in str(refused.value)


def test_a_newer_plan_is_named_as_such(stored: Path):
    with pytest.raises(SchemaTooNew, match="newer leeward"):
        read_plan(_altered(stored, lambda plain: plain.update(schema_version=4)))


def _as_first_written(plain: dict) -> None:
    """Turn a plan into the form of version 1."""
    del plain["case_written_digest"]
    plain["schema_version"] = 1


def _of_an_older_record(plain: dict) -> None:
    """Say what a leeward would have said whose record of a case lacked a field of today's."""
    plain["case_digest"] = plain["decision"]["case_digest"] = "1" * 64
    plain["decision_digest"] = digest(plain["decision"])


def test_a_plan_of_the_first_form_is_read_like_any_other(stored: Path, document, made):
    plan = read_plan(_altered(stored, _as_first_written))
    assert (plan.decision, plan.case) == (made, document.case)


def _as_second_written(plain: dict) -> None:
    """Turn a plan into the form of version 2, which knew of the choices alone."""
    for field in ("beside", "not_beside", "trade_off"):
        del plain["decision"][field]
    for one in plain["decision"]["choices"]:
        del one["programme"]["turned_by_hand"]
        for field in ("two_person_tasks", "outside_rounds", "pull"):
            del one["assessment"]["disturbance"][field]
        for task in one["programme"]["tasks"]:
            del task["people"]
    plain["decision_digest"] = digest(plain["decision"])
    plain["schema_version"] = 2


def test_a_plan_of_the_second_form_is_read_without_what_it_did_not_know(stored: Path, document):
    plan = read_plan(_altered(stored, _as_second_written))
    assert plan.case == document.case
    assert (plan.decision.beside, plan.decision.trade_off) == ((), ())
    assert not plan.decision.choices[0].programme.turned_by_hand


def test_a_case_changed_in_the_first_form_is_refused(stored: Path):
    _altered(stored, _as_first_written)
    _altered(stored, ALTERED["a change to the case"][0])
    with pytest.raises(FileRefused, match="case was changed"):
        read_plan(stored)


def test_a_plan_outlives_a_record_that_has_grown_since(stored: Path, document):
    plan = read_plan(_altered(stored, _of_an_older_record))
    assert plan.case == document.case
    assert plan.case_digest == "1" * 64


def test_a_field_of_the_decision_that_is_newer_than_the_plan_has_its_default(stored: Path, made):
    def forget_a_field(plain: dict) -> None:
        del plain["decision"]["choices"][0]["programme"]["build_up"]
        plain["decision_digest"] = digest(plain["decision"])

    plan = read_plan(_altered(stored, forget_a_field))
    assert plan.decision.choices[0].programme.build_up == ()


@pytest.mark.parametrize("kept", [0.0, 0.1, 0.5, 0.999])
def test_half_a_plan_is_refused(stored: Path, kept: float):
    whole = stored.read_bytes()
    stored.write_bytes(whole[: int(len(whole) * kept)])
    with pytest.raises(FileRefused):
        read_plan(stored)


def test_a_plan_is_replaced_whole_or_not_at_all(stored: Path, document, made, monkeypatch):
    before = stored.read_bytes()

    def full(_: Path, __: Path) -> None:
        raise OSError("no space left")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(OSError, match="no space"):
        write_plan(stored, document, replace(made, seed=made.seed + 1))
    assert stored.read_bytes() == before
    assert [file.name for file in stored.parent.iterdir()] == ["plan.json"]


def test_a_file_that_is_replaced_holds_all_of_the_new_content(tmp_path: Path):
    file = tmp_path / "plan.json"
    file.write_bytes(b"old and longer")
    replace_whole(file, b"new")
    assert file.read_bytes() == b"new"
