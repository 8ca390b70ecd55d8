"""The full plan: choices side by side with reasons, every site, every setting in order."""

from dataclasses import replace
from datetime import date

import pytest

from leeward.exchange.sheet_identity import Acceptance, SheetIdentity, programme_digest
from leeward.exchange.sheet_plan import plan_document, site_rows
from leeward.programme.decision import ChoiceName, SiteStanding
from leeward.terms.errors import InvalidInput
from leeward.terms.verdict import Reason
from tests.unit.exchange import invented
from tests.unit.exchange.pdf_reading import Print

CHOICES = tuple(
    invented.choice(name)
    for name in (ChoiceName.GENTLEST, ChoiceName.BALANCED, ChoiceName.MOST_RELIEF)
)
CHOICE = CHOICES[1]
DECISION = invented.decision(*CHOICES)
IDENTITY = SheetIdentity(
    "Person K (invented)",
    2,
    "A. Invented",
    date(2026, 3, 16),
    Acceptance(invented.ACCEPTED, programme_digest(CHOICE)),
)


def pdf(decision=DECISION, identity=IDENTITY) -> bytes:
    return plan_document(decision, CHOICE, day=invented.DAY, identity=identity)


@pytest.fixture(scope="module")
def plan() -> Print:
    return Print(pdf())


def test_an_ordinary_plan_is_two_pages_of_pdf_ua(plan: Print):
    assert len(plan.pages) == 2
    assert "<pdfuaid:part>1</pdfuaid:part>" in plan.claims


def test_both_pictures_are_told_in_words(plan: Print):
    told = plan.alternatives()
    assert len(told) == 2
    assert any("turned to the left 25°, right side raised" in words for words in told)
    assert any("No probability, and no number of hours." in words for words in told)


@pytest.mark.parametrize(
    "words",
    [
        "gentlest balanced (on the bedside sheet) most relief",
        "gentlest yes 82%",
        "sacrum: 0.65 (0.57 to 0.72)",
        "Fewest turns in the hours of sleep",
        "nothing found against it",
        "1. Left turn: 25 degrees. 2. Right turn: 25 degrees.",
        "After 72 h (75% of each turn): ",
        "both heels",
        "412 ruled out: sacrum above 1.",
        "bed.friction: the band of stable turns is wider",
        "Measure where the surface's line lies",
        "right outer knee",
        "0.93 (0.82 to 1.02)",
        "coccyx 1.10 untried",
        "seed 7",
        DECISION.case_digest,
    ],
)
def test_it_bears(plan: Print, words: str):
    assert words in " ".join(plan.pages)


def test_both_sides_of_a_site_share_a_row_and_differ_in_words_where_they_differ():
    by_site = {row["site"]: row for row in site_rows(CHOICE.assessment.sites)}
    sites = {result.site.value: result for result in CHOICE.assessment.sites}
    knee = by_site["outer knee"]
    assert knee["right"] == f"{sites['right outer knee'].largest_load_ratio:.2f}"
    assert by_site["coccyx"]["middle"] == "1.10"
    moved = [
        replace(result, standing=SiteStanding.CANNOT_TELL, largest_load_ratio=None)
        if name == "left outer knee"
        else result
        for name, result in sites.items()
    ]
    knee = next(row for row in site_rows(moved) if row["site"] == "outer knee")
    assert (knee["left"], knee["standing"]) == ("cannot tell", "left cannot tell, right compared")


def test_a_site_seen_on_one_side_only_keeps_its_side():
    alone = [r for r in CHOICE.assessment.sites if r.site.value == "right outer knee"]
    assert [row["site"] for row in site_rows(alone)] == ["right outer knee"]


def test_every_page_says_whose_it_is_until_when_and_when_to_stop(plan: Print):
    for page in plan.pages:
        for words in (
            "Person K (invented) · programme version 2 of 2 March 2026",
            "replaces version 1: destroy it",
            "by A. Invented",
            "not valid after 16 March 2026",
            "Stop and ask if:",
        ):
            assert words in page
        assert programme_digest(CHOICE) in page


def test_a_draft_says_so_on_every_page():
    for page in Print(pdf(identity=replace(IDENTITY, accepted=None))).pages:
        assert "NOT ACCEPTED: draft for discussion" in page


def test_the_same_plan_has_the_same_bytes():
    assert pdf() == pdf()


def test_what_was_accepted_is_what_is_printed():
    accepted = replace(IDENTITY.accepted, programme_digest="0" * 64)
    with pytest.raises(InvalidInput, match="an acceptance of another programme"):
        pdf(identity=replace(IDENTITY, accepted=accepted))


def test_hostile_reasons_are_printed_as_written():
    hostile = Reason("hostile", "#panic() $x$ [y] @z </w>")
    found = Print(pdf(decision=replace(DECISION, reasons=(hostile,) * 40)))
    assert hostile.sentence in found.pages[0]
    assert "28 more reasons: note 1" in " ".join(found.pages)


def test_no_task_is_lost_however_many_there_are():
    tasks = tuple(replace(invented.TASKS[0], what=f"task number {n}") for n in range(25))
    choice = invented.choice(plan=invented.programme(tasks))
    found = Print(
        plan_document(
            invented.decision(choice),
            choice,
            day=invented.DAY,
            identity=replace(IDENTITY, accepted=None),
        )
    )
    together = " ".join(found.pages)
    assert "5 more tasks by hand: note" in together
    assert all(f"task number {n}" in together for n in range(25))


def test_what_people_do_stands_beside_the_choices(plan: Print):
    words = " ".join(plan.pages)
    assert "What people do, by the same computation: none of these is proposed" in words
    assert "two-hourly by hand, 30° NO" in words
    assert "156 min (12, 5)" in words
    assert "sites used too much (1)." in words
    assert "The unit's default is not entered." in words
