"""Sheets as files: drafts for anyone, acceptances only when nothing stands against them."""

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from leeward.exchange.case_file import read_case
from leeward.exchange.plan_file import StoredPlan
from leeward.exchange.sheet_file import SheetOrder, refusals, write_sheet
from leeward.exchange.sheet_identity import programme_digest
from leeward.programme.acceptance import cannot_accept, in_the_way
from leeward.programme.decision import ChoiceName
from leeward.programme.programme import ManualTask
from leeward.terms.errors import InvalidInput
from leeward.terms.verdict import Reason
from tests.unit.exchange import invented
from tests.unit.exchange.case_texts import EXAMPLES, SMALLEST, read_text
from tests.unit.exchange.pdf_reading import Print

OPEN = Reason("consent-open", "Consent is not recorded.")
AGAINST = Reason("index-above-one", "The sacrum is used more.")
CHOICE = invented.choice()
ORDER = SheetOrder(CHOICE, "A. Invented", date(2026, 11, 25), None, 2, "agreed", False)


def stored(*choices, cannot_accept=()) -> StoredPlan:
    decision = invented.decision(*choices, cannot_accept=cannot_accept)
    decision = replace(decision, made_at=datetime(2026, 11, 25, 9, tzinfo=UTC))
    case = replace(read_case(EXAMPLES / "ordinary.yaml").case, day=invented.DAY)
    return StoredPlan(decision, case, {}, "case.yaml", "", "", {})


def codes(plan: StoredPlan, order: SheetOrder) -> list[str]:
    return [reason.code for reason in refusals(plan, order)]


def test_nothing_stands_against_what_is_settled_and_qualifies():
    assert codes(stored(), ORDER) == []


def test_nothing_stands_against_a_draft():
    spoiled = replace(CHOICE, name=ChoiceName.CLOSEST, recheck=(AGAINST,))
    draft = replace(ORDER, choice=spoiled, accept_reason=" \n")
    assert codes(stored(spoiled, cannot_accept=(OPEN,)), draft) == []


def test_every_open_question_stands_against_acceptance():
    assert codes(stored(cannot_accept=(OPEN,)), ORDER) == ["consent-open"]


def test_what_the_case_leaves_open_stands_against_acceptance_whatever_the_decision_says():
    plan = stored()
    unsettled = replace(plan, case=read_text(SMALLEST).case)
    assert {"consent-open", "aim-open", "no-look"} <= set(codes(unsettled, ORDER))


def test_what_the_recheck_found_stands_against_acceptance():
    spoiled = replace(CHOICE, recheck=(AGAINST,))
    assert codes(stored(spoiled), replace(ORDER, choice=spoiled)) == ["index-above-one"]


def test_a_closest_choice_is_never_accepted():
    closest = invented.choice(ChoiceName.CLOSEST)
    assert codes(stored(closest), replace(ORDER, choice=closest)) == ["does-not-qualify"]


def test_a_refused_acceptance_writes_nothing(tmp_path: Path):
    refused = write_sheet(tmp_path / "sheet.pdf", stored(cannot_accept=(OPEN,)), ORDER)
    assert refused == (OPEN,)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("is_whole_plan", [False, True])
def test_an_accepted_sheet_bears_the_hash_of_what_was_accepted(tmp_path: Path, is_whole_plan: bool):
    path = tmp_path / "sheet.pdf"
    assert write_sheet(path, stored(), replace(ORDER, is_whole_plan=is_whole_plan)) == ()
    printed = " ".join(Print(path.read_bytes()).pages)
    assert programme_digest(CHOICE) in printed
    assert "Accepted by A. Invented on 25 November 2026: agreed" in printed
    assert "2 December 2026" in printed


def test_only_the_sheet_is_left_in_the_folder(tmp_path: Path):
    write_sheet(tmp_path / "sheet.pdf", stored(), ORDER)
    assert [path.name for path in tmp_path.iterdir()] == ["sheet.pdf"]


@pytest.mark.parametrize("text", ["A.\u202e Invented", "A.\x1b[31m", "<name and role>", "x" * 2001])
@pytest.mark.parametrize("field", ["author", "accept_reason"])
def test_what_could_not_stand_in_a_case_cannot_sign_a_sheet(tmp_path: Path, field: str, text: str):
    with pytest.raises(InvalidInput, match="sheet, "):
        write_sheet(tmp_path / "sheet.pdf", stored(), replace(ORDER, **{field: text}))
    assert list(tmp_path.iterdir()) == []


def test_a_sheet_never_takes_the_place_of_a_plan(tmp_path: Path):
    plan = tmp_path / "plan.json"
    plan.write_text("a plan", encoding="utf-8")
    with pytest.raises(InvalidInput, match=r"ends in \.pdf"):
        write_sheet(plan, stored(), ORDER)
    assert plan.read_text(encoding="utf-8") == "a plan"


def test_work_nobody_is_named_for_counts_where_the_programme_asks_for_it():
    plan, turn = stored(), ManualTask((), "Turn by hand.", (0.0,), 3600.0, 10.0, people=2)
    found = cannot_accept(plan.case, (turn,), plan.decision.made_at)
    (unowned,) = [reason for reason in found if reason.code == "no-owner"]
    assert unowned in in_the_way(found, (turn,))
    assert unowned not in in_the_way(found, ())
    assert [one for one in found if one != unowned] == list(in_the_way(found, ()))
