"""The bedside sheet: one page, whose it is, what to do, what was accepted, when to stop."""

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from leeward.exchange.sheet import bedside_sheet
from leeward.exchange.sheet_identity import Acceptance, SheetIdentity, programme_digest
from leeward.exchange.sheet_words import NOT_ACCEPTED, STOP_SIGNS
from leeward.programme.decision import Choice, Decision
from leeward.programme.programme import BuildUpStep, Programme
from leeward.terms.errors import InvalidInput
from leeward.terms.verdict import Quantity, Reason
from tests.unit.exchange import invented
from tests.unit.exchange.pdf_reading import Print

CHOICE = invented.choice()
DECISION = invented.decision(CHOICE)
ACCEPTED = Acceptance(invented.ACCEPTED, programme_digest(CHOICE))
IDENTITY = SheetIdentity(
    "Person K (invented)", 3, "A. Invented, specialist nurse", date(2026, 3, 16), ACCEPTED
)
OPEN_QUESTION = Reason("consent", "Consent is not recorded.")


def pdf(
    decision: Decision = DECISION, choice: Choice = CHOICE, identity: SheetIdentity = IDENTITY
) -> bytes:
    return bedside_sheet(decision, choice, day=invented.DAY, identity=identity)


def printed(**given) -> Print:
    return Print(pdf(**given))


def with_programme(programme: Programme) -> Print:
    choice = invented.choice(plan=programme)
    accepted = replace(ACCEPTED, programme_digest=programme_digest(choice))
    identity = replace(IDENTITY, accepted=accepted)
    return printed(decision=invented.decision(choice), choice=choice, identity=identity)


@pytest.fixture(scope="module")
def sheet() -> Print:
    return printed()


def test_it_is_one_page(sheet: Print):
    assert len(sheet.pages) == 1


def test_it_keeps_pdf_ua(sheet: Print):
    assert "<pdfuaid:part>1</pdfuaid:part>" in sheet.claims
    assert sheet.catalogue["/MarkInfo"]["/Marked"]
    assert sheet.catalogue["/Lang"] == "en"
    assert sheet.title == "Turning programme for Person K (invented), version 3"


def test_the_picture_is_also_told_in_words(sheet: Print):
    (told,) = sheet.alternatives()
    assert "turned to the left 25°, right side raised, for 1 h 30 min" in told


@pytest.mark.parametrize(
    "words",
    [
        "Person K (invented)",
        "version 3",
        "2 March 2026",
        "A. Invented, specialist nurse",
        "Not valid after 16 March 2026",
        "replaces version 2: destroy it",
        "Accepted by B. Invented, nurse on 2 March 2026: agreed with the person",
        ACCEPTED.programme_digest,
        "Left and right are the person's own.",
        "turned to the LEFT 25° right side raised for 1 h 30 min",
        "turned to the RIGHT 20° left side raised for 2 h 30 min",
        "LEVEL for 30 min",
        "lunch 12:00 to 13:00: level, backrest 60° prescribed by dietitian (invented)",
        "both heels",
        "carer on the round",
        "First (50% of each turn): ",
        "The first days' turns are SMALLER than these",
        "STOP AND ASK if",
        "Decision support. The equipment's own instructions, local policy and the licensed "
        "practitioner prevail. This is not an alarm",
        "The feeding tube's slack was checked",
    ],
)
def test_it_bears(sheet: Print, words: str):
    assert words in sheet.pages[0]


def test_every_sign_to_stop_is_printed(sheet: Print):
    for sign in STOP_SIGNS:
        assert sign in sheet.pages[0]


def test_it_says_no_probability_and_no_safe_hours(sheet: Print):
    for word in ("probab", "safe", "risk"):
        assert word not in sheet.pages[0].lower()


def test_the_main_words_are_legible_from_the_foot_of_the_bed():
    # Capitals of 1/350 of a distance of 2 m are 5.7 mm: 23 pt in this face. Common practice.
    sizes = {}

    def see(text, _, matrix, __, size) -> None:
        sizes[text.strip()] = max(size * abs(matrix[3]), sizes.get(text.strip(), 0.0))

    reader = printed()._reader
    reader.pages[0].extract_text(visitor_text=see)
    assert min(sizes[word] for word in ("LEFT", "RIGHT", "LEVEL")) >= 23.0


def test_no_letters_on_an_ordinary_sheet_are_below_six_point(sheet: Print):
    assert sheet.smallest_letters >= 6.0


def test_the_same_sheet_has_the_same_bytes():
    assert pdf() == pdf()


def test_another_time_zone_of_the_same_instant_gives_the_same_document_date():
    assert b"D:20260302093000Z" in pdf()


def test_without_acceptance_it_is_a_draft():
    page = printed(identity=replace(IDENTITY, accepted=None)).pages[0]
    assert page.startswith(NOT_ACCEPTED)
    assert "No practitioner has accepted it yet." in page


def test_an_open_question_makes_it_a_draft_even_with_a_signature():
    page = printed(decision=replace(DECISION, cannot_accept=(OPEN_QUESTION,))).pages[0]
    assert page.startswith(NOT_ACCEPTED)
    assert "Consent is not recorded." in page
    assert "Accepted by" not in page


def test_a_finding_of_the_recheck_makes_it_a_draft():
    finding = Reason("recheck", "Sacrum too high.", (Quantity("index", 1.31, "-"),))
    choice = replace(CHOICE, recheck=(finding,))
    page = printed(decision=invented.decision(choice), choice=choice).pages[0]
    assert page.startswith(NOT_ACCEPTED)
    assert "The independent recheck found: Sacrum too high. (index 1.31)" in page


def test_work_nobody_is_named_for_makes_it_a_draft():
    page = with_programme(invented.programme((invented.with_owner(invented.TASKS[0], ""),))).pages[
        0
    ]
    assert page.startswith(NOT_ACCEPTED)
    assert "Nobody is named for: both heels." in page
    assert "NOBODY NAMED" in page


def test_a_draft_does_not_have_the_valid_sheet_destroyed():
    page = printed(identity=replace(IDENTITY, accepted=None)).pages[0]
    assert "replaces version 2: destroy it, once this one is accepted" in page


def test_an_accepted_sheet_has_no_banner(sheet: Print):
    assert NOT_ACCEPTED not in sheet.pages[0]
    assert "DOES NOT REACH" not in sheet.pages[0]


def test_a_programme_that_does_not_reach_the_regime_says_so_first():
    assessment = replace(CHOICE.assessment, qualifies=False)
    choice = replace(CHOICE, assessment=assessment)
    page = printed(decision=invented.decision(choice), choice=choice).pages[0]
    assert page.startswith("DOES NOT REACH the regime it was compared with")


def test_what_was_accepted_is_what_is_printed():
    other = invented.choice(plan=invented.plain_programme())
    with pytest.raises(InvalidInput, match="an acceptance of another programme"):
        pdf(decision=invented.decision(other), choice=other)


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"version": 0}, "version 0"),
        ({"person_label": "  "}, "no label for the person"),
        ({"author": ""}, "no author"),
        ({"review_on": date(2026, 3, 1)}, "before the decision"),
    ],
)
def test_a_sheet_without_what_it_must_bear_is_refused(changed: dict, words: str):
    with pytest.raises(InvalidInput, match=words):
        pdf(identity=replace(IDENTITY, **changed))


def test_a_choice_of_another_decision_is_refused():
    with pytest.raises(InvalidInput, match="not among those decided"):
        pdf(decision=invented.decision(invented.choice(plan=invented.plain_programme())))


def test_a_decision_without_a_time_zone_is_refused():
    naive = DECISION.made_at.replace(tzinfo=None)
    with pytest.raises(InvalidInput, match="without time zone"):
        pdf(decision=replace(DECISION, made_at=naive))


def test_the_first_version_replaces_nothing():
    page = printed(identity=replace(IDENTITY, version=1)).pages[0]
    assert "first version" in page
    assert "destroy" not in page


def test_a_programme_that_starts_in_full_is_not_said_to_start_smaller():
    plan = replace(invented.programme(), build_up=(BuildUpStep(0.0, 1.0, "look daily"),))
    assert "SMALLER" not in with_programme(plan).pages[0]


def test_dates_cannot_be_read_month_first():
    made = datetime(2026, 4, 3, 8, 0, tzinfo=UTC)
    page = printed(decision=replace(DECISION, made_at=made), identity=replace(
        IDENTITY, review_on=date(2026, 5, 4))).pages[0]  # fmt: skip
    assert "3 April 2026" in page
    assert "4 May 2026" in page


def test_work_on_every_round_is_said_so_with_the_rounds(sheet: Print):
    assert "every round" in sheet.pages[0]
    assert "06:00, 11:00, 17:00, 22:00" in sheet.pages[0]
    assert "Carers' rounds: 02:00, 06:00, 08:00" in sheet.pages[0]


def test_a_cycle_of_many_stays_is_said_in_lines():
    cycle = tuple(invented.stay(turn, 40.0) for turn in (20.0, 0.0, -20.0, 0.0, 10.0, 0.0))
    page = with_programme(Programme((invented.window("day", 7.0, 7.0, cycle),))).pages[0]
    assert "turned to the left 20°, right side raised, for 40 min; then level" in page


def test_a_programme_turned_by_hand_says_so_before_its_first_turn():
    by_hand = replace(invented.plain_programme(), turned_by_hand=True)
    page = with_programme(by_hand).pages[0]
    assert "TURNED BY HAND: people make every turn, two at least. The unit stays level." in page
    assert page.index("TURNED BY HAND") < page.index("LEFT 20")
    assert "start the unit again" not in page


def test_every_care_ends_with_the_unit_started_again_and_seen_to_move(sheet: Print):
    words = " ".join(sheet.pages)
    assert "after every care: start the unit again and see it move." in words


def test_a_model_corrected_by_a_map_is_said_at_the_bed():
    used = Reason("map-correction-used", "Model corrected by the pressure map of 1 March.")
    page = printed(decision=replace(DECISION, reasons=(*DECISION.reasons, used))).pages[0]
    assert "Model corrected by the pressure map of 1 March." in page
