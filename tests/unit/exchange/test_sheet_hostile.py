"""Text from people is shown, never obeyed: it can neither steer the page nor break it."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leeward.exchange.pictures.day_ribbon import day_ribbon
from leeward.exchange.pictures.plain_text import visible
from leeward.exchange.sheet import bedside_sheet
from leeward.exchange.sheet_identity import SheetIdentity
from leeward.exchange.sheet_paper import _KNOWN, _can_be_set
from leeward.programme.decision import Choice, Decision
from leeward.programme.programme import Programme
from leeward.terms.verdict import Reason
from tests.unit.exchange import invented
from tests.unit.exchange.pdf_reading import Print
from tests.unit.exchange.svg_reading import read_svg

MARKUP = '#x $y$ [z] @ref "q" \\n *b* _i_ <t> // c `r`'
LONG = "many words that do not end soon "


def printed(
    decision: Decision, choice: Choice, label: str = "Person K", author: str = "A"
) -> Print:
    identity = SheetIdentity(label, 2, author, date(2026, 3, 16))
    return Print(bedside_sheet(decision, choice, day=invented.DAY, identity=identity))


def labelled(label: str) -> Print:
    choice = invented.choice()
    return printed(invented.decision(choice), choice, label)


def crowded(text: str) -> tuple[Decision, Choice]:
    """Everything a case can hold, too much of it and too long."""
    windows = tuple(
        invented.window(
            f"part {n} {text}",
            2.0 * n,
            (2.0 * n + 2.0) % 24.0,
            invented.cycle(10.0 + n, 20.0 + n) if n % 2 else (invented.stay(0.0, 120.0, 10.0 + n),),
            "" if n % 2 else text,
        )
        for n in range(12)
    )
    tasks = tuple(replace(invented.TASKS[n % 2], what=f"{text} {n}", owner=text) for n in range(12))
    steps = tuple(replace(invented.BUILD_UP[n % 3], look=f"{text} {n}") for n in range(9))
    reasons = tuple(Reason("hostile", f"{text} {n}") for n in range(9))
    choice = replace(invented.choice(plan=Programme(windows, steps, tasks)), recheck=reasons)
    decision = replace(
        invented.decision(choice), cautions=reasons, cannot_accept=reasons, compared_with=text
    )
    return decision, choice


@pytest.mark.parametrize(
    "label",
    [
        MARKUP,
        '#import "x": y; #read("/etc/passwd")',
        "</text><script>alert(1)</script>",
        '"], "banners": [], "x": "',
        "]] #panic() [[",
        "C:\\new\\table",
        "Żółć Ωμέγα Кириллица",
    ],
)
def test_markup_is_printed_as_it_was_written(label: str):
    sheet = labelled(label)
    assert sheet.pages[0].startswith("NOT ACCEPTED")
    # A long label may be broken over two lines, at any of its signs.
    assert label.replace(" ", "") in sheet.pages[0].replace(" ", "")
    assert len(sheet.pages) == 1


def test_signs_that_turn_the_direction_are_shown_by_number():
    page = labelled("turned to the \u202etfel\u202c").pages[0]
    assert "‹U+202E›tfel‹U+202C›" in page


def test_text_from_right_to_left_does_not_move_the_words_around_it():
    page = labelled("אבג").pages[0]
    assert "אבג" in page
    assert "Turning programme, version 2, 2 March 2026" in page


@pytest.mark.parametrize("sign", ["\U0001f600", "中", "\ue000", "\u0e01"])
def test_a_sign_no_font_has_is_shown_by_number(sign: str):
    assert f"‹U+{ord(sign):04X}›" in labelled(f"K {sign}").pages[0]


@pytest.mark.parametrize("sign", ["\x00", "\x07", "\ud800", "\ufeff", "\u200b"])
def test_a_sign_that_cannot_be_seen_is_shown_by_number(sign: str):
    assert f"K ‹U+{ord(sign):04X}›" in labelled(f"K {sign}").pages[0]


def test_the_signs_taken_for_granted_are_in_the_font():
    together = "".join(sorted(_KNOWN - {"\n"}))
    assert _can_be_set(together)


@pytest.mark.parametrize("text", [MARKUP * 8, LONG * 40, "W" * 700], ids=["markup", "words", "one"])
def test_no_text_breaks_the_first_page(text: str):
    sheet = printed(*crowded(text), label=text, author=text)
    first, *others = sheet.pages
    assert "page 1 of" in first
    assert "This is not an alarm" in first
    assert others[0].startswith("Texts shortened before, in full")
    assert "This is not an alarm" not in " ".join(others)


def test_a_shortened_text_is_marked_and_stands_whole_behind():
    sheet = labelled(LONG * 10)
    assert "… [note 1]" in sheet.pages[0]
    assert (LONG * 10).strip() in " ".join(sheet.pages[1:])


def test_every_further_page_says_whose_it_is_and_when_to_stop():
    for page in labelled(LONG * 10).pages[1:]:
        for words in ("version 2", "not valid after 16 March 2026", "Stop and ask if:", "destroy"):
            assert words in page


def test_no_task_and_no_part_of_the_day_is_lost_in_a_crowd():
    together = " ".join(printed(*crowded("crowd " * 12)).pages)
    assert "characters more" not in together
    assert all(f"{'crowd ' * 12} {n}".replace("  ", " ") in together for n in range(12))
    assert all(f"{2 * n:02d}:00 to" in together for n in range(12))


def test_a_text_without_end_is_cut_and_counted():
    assert "characters more)" in labelled("x" * 5000).pages[1]


@given(st.text(max_size=40))
@settings(max_examples=25)
def test_any_window_name_leaves_the_ribbon_readable(name: str):
    plan = Programme((invented.window(name, 7.0, 7.0, invented.cycle(20.0, 60.0)),))
    svg = day_ribbon(plan, sleep=invented.SLEEP, rounds=(), width=380.0)
    assert visible(name) in read_svg(svg).description


@given(st.text(alphabet="a1 א\u2068\u2069\u202e", max_size=12))
def test_direction_is_settled_once(text: str):
    once = visible(text)
    assert visible(once) == once
    assert once.count("\u2068") == once.count("\u2069")


@given(st.text(max_size=60))
def test_making_visible_twice_changes_nothing(text: str):
    assert visible(visible(text)) == visible(text)


@given(st.text(max_size=60))
def test_nothing_unseen_is_left(text: str):
    shown = visible(text).replace("\u2068", "").replace("\u2069", "")
    assert shown.isprintable()
