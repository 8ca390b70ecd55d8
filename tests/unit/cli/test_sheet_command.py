"""`leeward sheet`: a draft for anyone, an acceptance only when nothing is open."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from leeward.cli import plan_commands
from leeward.exchange.sheet_identity import programme_digest
from tests.unit.cli.front_door import NOW, Planned, Ran, run
from tests.unit.exchange.pdf_reading import Print

DRAFT = "NOT ACCEPTED: draft for discussion"


def sheet(planned: Planned, out: Path, *words: object, choice: str = "gentlest") -> Ran:
    named = ("--choice", choice, "--author", "A. Invented")
    return run("sheet", planned.file, *named, "--out", out, *words)


@pytest.fixture
def pdf(tmp_path: Path) -> Path:
    return tmp_path / "sheet.pdf"


def printed(pdf: Path) -> str:
    return " ".join(Print(pdf.read_bytes()).pages)


def test_without_a_reason_a_sheet_is_a_draft_and_says_so(ordinary: Planned, pdf: Path):
    ran = sheet(ordinary, pdf)
    assert ran.code == 0
    assert printed(pdf).startswith(DRAFT)


def test_an_accepted_sheet_says_who_accepted_and_bears_the_hash(ordinary: Planned, pdf: Path):
    assert sheet(ordinary, pdf, "--accept-reason", "agreed with her").code == 0
    text = printed(pdf)
    assert DRAFT not in text
    assert "Accepted by A. Invented on 25 November 2026: agreed with her" in text
    chosen = next(c for c in ordinary.stored.decision.choices if c.name.value == "gentlest")
    assert f"Programme hash {programme_digest(chosen)}" in text


@pytest.mark.parametrize("whole", [(), ("--whole-plan",)])
def test_every_page_bears_what_identifies_it(ordinary: Planned, pdf: Path, whole: tuple[str, ...]):
    sheet(ordinary, pdf, "--version", 3, "--review-on", "2026-12-01", *whole)
    for page in Print(pdf.read_bytes()).pages:
        assert "Example person A" in page
        assert re.search(r"version 3\b.{0,10}25 November 2026", page)
        assert "by A. Invented" in page
        assert re.search(r"(?i)not valid after 1 December 2026", page)
        assert "replaces version 2: destroy it" in page
        assert re.search(r"(?i)stop and ask if", page)


def test_without_a_review_date_it_is_a_week_from_today(ordinary: Planned, pdf: Path):
    sheet(ordinary, pdf)
    assert "Not valid after 2 December 2026" in printed(pdf)


def test_a_review_before_the_decision_is_refused(ordinary: Planned, pdf: Path):
    ran = sheet(ordinary, pdf, "--review-on", "2026-11-24")
    assert ran.code == 2
    assert "review on 2026-11-24" in ran.complained
    assert not pdf.exists()


@pytest.mark.parametrize("day", ["9999-12-31", "2027-12-31", "2025-11-25", "0001-01-01"])
def test_a_review_nobody_can_mean_is_refused(ordinary: Planned, pdf: Path, day: str):
    ran = sheet(ordinary, pdf, "--review-on", day)
    assert ran.code == 2
    assert f"review on {day}, where today is 2026-11-25" in ran.complained
    assert "a day from today to 2027-12-30" in ran.complained
    assert not pdf.exists()


@pytest.mark.parametrize("version", ["0", "-1", "1000", "20261125", "9" * 5000, "1.5", "two"])
def test_a_version_nobody_counts_to_is_refused(ordinary: Planned, pdf: Path, version: str):
    ran = sheet(ordinary, pdf, "--version", version)
    assert ran.code == 2
    assert "--version" in ran.complained
    assert not pdf.exists()


def test_the_day_of_a_sheet_is_the_day_on_the_clock_of_the_case(
    pdf: Path, ordinary: Planned, monkeypatch: pytest.MonkeyPatch
):
    away = replace(ordinary.stored.case.day, time_zone="Pacific/Auckland")
    stored = replace(ordinary.stored, case=replace(ordinary.stored.case, day=away))
    monkeypatch.setattr(plan_commands, "read_plan", lambda _: stored)
    ran = run(
        "sheet",
        ordinary.file,
        *("--choice", "gentlest", "--author", "A. Invented", "--out", pdf),
        now=NOW.replace(hour=20),
    )
    assert ran.code == 0
    assert "Not valid after 3 December 2026" in printed(pdf)


def test_nothing_is_accepted_while_anything_is_open(half_known: Planned, pdf: Path):
    ran = sheet(half_known, pdf, "--accept-reason", "it must go on tonight")
    assert ran.code == 1
    for reason in half_known.stored.decision.cannot_accept:
        assert f"x {reason.sentence}" in ran.said
    assert "Consent is not recorded" in ran.said
    assert "The aim of care is not recorded" in ran.said
    assert ran.said.endswith("x nothing was written")
    assert not pdf.exists()


def test_a_refused_acceptance_leaves_an_earlier_sheet_as_it_is(half_known: Planned, pdf: Path):
    sheet(half_known, pdf)
    before = pdf.read_bytes()
    sheet(half_known, pdf, "--accept-reason", "it must go on tonight")
    assert pdf.read_bytes() == before


def test_a_draft_may_be_printed_while_things_are_open(half_known: Planned, pdf: Path):
    assert sheet(half_known, pdf, choice="gentlest").code == 0
    assert printed(pdf).startswith(DRAFT)


def test_the_closest_programme_cannot_be_accepted(out_of_reach: Planned, pdf: Path):
    ran = sheet(out_of_reach, pdf, "--accept-reason", "nothing better", choice="closest")
    assert ran.code == 1
    assert "This programme does not reach the regime compared: it cannot be accepted" in ran.said
    assert not pdf.exists()


def test_a_reason_of_blanks_is_no_acceptance(ordinary: Planned, pdf: Path):
    assert sheet(ordinary, pdf, "--accept-reason", "   ").code == 0
    assert printed(pdf).startswith(DRAFT)


SAYS_NOTHING = ("\u200b", "\u200b \u2060", "\u3164", "\u2800\u2800", "---", "...", "12", "\u202e")


@pytest.mark.parametrize("text", SAYS_NOTHING)
def test_a_reason_in_which_nothing_can_be_read_is_refused(ordinary: Planned, pdf: Path, text: str):
    ran = sheet(ordinary, pdf, "--accept-reason", text)
    assert ran.code == 2
    assert "sheet, reason" in ran.complained
    assert not pdf.exists()


@pytest.mark.parametrize("text", SAYS_NOTHING)
def test_an_author_in_whose_name_nothing_can_be_read_is_refused(
    ordinary: Planned, pdf: Path, text: str
):
    ran = run("sheet", ordinary.file, "--choice", "gentlest", "--author", text, "--out", pdf)
    assert ran.code == 2
    assert "sheet, author" in ran.complained
    assert not pdf.exists()


def test_what_is_open_is_asked_of_the_case_whatever_the_plan_file_says(
    half_known: Planned, pdf: Path, monkeypatch: pytest.MonkeyPatch
):
    silent = replace(half_known.stored.decision, cannot_accept=())
    forged = replace(half_known.stored, decision=silent)
    monkeypatch.setattr(plan_commands, "read_plan", lambda _: forged)
    ran = sheet(half_known, pdf, "--accept-reason", "it must go on tonight")
    assert ran.code == 1
    assert "Consent is not recorded" in ran.said
    assert not pdf.exists()


def test_a_sheet_needs_a_name_to_write_to(ordinary: Planned):
    ran = sheet(ordinary, "")
    assert ran.code == 2
    assert "an empty name" in ran.complained


def test_a_sheet_needs_an_author(ordinary: Planned, pdf: Path):
    ran = run("sheet", ordinary.file, "--choice", "gentlest", "--author", " ", "--out", pdf)
    assert ran.code == 2
    assert "no author" in ran.complained


@pytest.mark.parametrize("number", [(), ("--number", 2)])
def test_a_choice_the_plan_has_not_is_told_with_those_it_has(
    half_known: Planned, pdf: Path, number: tuple[object, ...]
):
    ran = sheet(half_known, pdf, *number, choice="closest")
    assert ran.code == 2
    assert "the plan has no choice 'closest'" in ran.complained
    assert "expected one of: gentlest" in ran.complained
    assert not pdf.exists()


def test_a_choice_of_no_such_name_is_told_with_the_names_there_are(ordinary: Planned, pdf: Path):
    ran = sheet(ordinary, pdf, choice="best")
    assert ran.code == 2
    assert "most relief" in ran.complained


def test_a_plan_that_somebody_changed_is_refused(ordinary: Planned, pdf: Path, tmp_path: Path):
    changed = tmp_path / "plan.json"
    text = ordinary.file.read_text(encoding="utf-8")
    changed.write_text(text.replace("Example nurse B", "Example nurse X"), encoding="utf-8")
    named = ("--choice", "gentlest", "--author", "A. Invented", "--out", pdf)
    ran = run("sheet", changed, *named)
    assert ran.code == 2
    assert "was changed" in ran.complained
    assert not pdf.exists()


def test_the_second_of_two_closest_is_printed_by_its_number(out_of_reach: Planned, pdf: Path):
    second = out_of_reach.stored.decision.choices[1]
    assert sheet(out_of_reach, pdf, "--number", 2, choice="closest").code == 0
    assert programme_digest(second) in printed(pdf)
