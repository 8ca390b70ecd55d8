"""The bedside sheet: one page that says what to do, in words legible from the foot of the bed."""

from typing import Any

from leeward.exchange.pictures.day_ribbon import day_ribbon, ribbon_words, rounds_text
from leeward.exchange.pictures.words import OWN_SIDES, window_groups
from leeward.exchange.sheet_identity import SheetIdentity, check_identity
from leeward.exchange.sheet_paper import typeset
from leeward.exchange.sheet_text import Notes
from leeward.exchange.sheet_words import (
    AFTER_CARE,
    BY_HAND,
    PREVAILS,
    STOP_FIRST,
    STOP_LINE,
    STOP_SIGNS,
    beyond_words,
    cautions_of,
    draft_banners,
    few_sentences,
    first_days,
    fits,
    group_words,
    identity_words,
    kept_words,
    task_words,
)
from leeward.programme.decision import Choice, Decision
from leeward.programme.programme import ManualTask
from leeward.terms.day import Day

#: Width at which the ribbon's letters come out at 9 pt across the page.
_RIBBON_WIDTH = 760.0
#: Letters of the build-up that fit beside the stop signs.
_ROOM_FOR_FIRST_DAYS = 1000
_MOST_TURNING, _MOST_KEPT, _MOST_TASKS = 3, 4, 5


def bedside_sheet(
    decision: Decision, choice: Choice, *, day: Day, identity: SheetIdentity
) -> bytes:
    """Print the sheet that hangs at the bed.

    Parameters
    ----------
    decision : Decision
        What was decided.
    choice : Choice
        Which of its choices.
    day : Day
        Sleep and rounds.
    identity : SheetIdentity
        Whose, which version, by whom, until when, accepted by whom.

    Returns
    -------
    bytes
        PDF: one page, and a second one only where texts had to be shortened on the first.

    Raises
    ------
    InvalidInput
        If the choice is not the decision's, or is not what was accepted.
    """
    check_identity(decision, choice, identity)
    notes = Notes()
    shown = identity_words(decision, choice, identity, notes)
    content: dict[str, Any] = {
        "title": f"Turning programme for {shown['label']}, {shown['version']}",
        "identity": shown,
        "banners": draft_banners(decision, choice, identity, notes),
        "own_sides": OWN_SIDES,
        "starts_smaller": _starts_smaller(choice),
        "after_care": "" if choice.programme.turned_by_hand else AFTER_CARE,
        **_parts_of_day(choice, notes),
        **_hands(choice.programme.tasks, day.rounds, notes),
        **_ribbon(choice, day),
        "stop_signs": list(STOP_SIGNS),
        "stop_first": STOP_FIRST,
        "stop_line": STOP_LINE,
        "build_up": _first_days(choice, notes),
        "cautions": few_sentences(cautions_of(decision), "cautions", notes),
        "compared_with": notes.short(decision.compared_with, 90),
        "prevails": PREVAILS,
    }
    return typeset("bedside_sheet.typ", {**content, "notes": notes.in_full}, decision.made_at)


def _first_days(choice: Choice, notes: Notes) -> list[str]:
    """The build-up, whole wherever it has room: a side cut off could be read both ways."""
    lines = first_days(choice.programme.build_up)
    is_short = sum(len(line) for line in lines) <= _ROOM_FOR_FIRST_DAYS
    return lines if is_short else few_sentences(lines, "steps", notes)


def _starts_smaller(choice: Choice) -> str:
    if choice.programme.turned_by_hand:
        return BY_HAND
    steps = choice.programme.build_up
    if not steps or steps[0].share_of_turn >= 1.0:
        return ""
    return "The first days' turns are SMALLER than these: see First days."


def _parts_of_day(choice: Choice, notes: Notes) -> dict[str, Any]:
    groups = window_groups(choice.programme)
    turning = [group_words(group, notes) for group in groups if group.is_turning]
    kept = [kept_words(group, notes) for group in groups if not group.is_turning]
    beyond = [
        *(
            f"{group['name']} {group['times']}: {group['line']}"
            for group in turning[_MOST_TURNING:]
        ),
        *(f"{item['name']} {item['times']}: {item['posture']}" for item in kept[_MOST_KEPT:]),
    ]
    more = notes.moved(beyond, 0, "parts of the day") if beyond else []
    return {"turning": turning[:_MOST_TURNING], "kept": kept[:_MOST_KEPT], "more": more}


def _hands(
    tasks: tuple[ManualTask, ...], rounds: tuple[float, ...], notes: Notes
) -> dict[str, Any]:
    is_roomy = fits([task.what for task in tasks])
    written = [
        task_words(task, number, rounds, notes, is_roomy=is_roomy)
        for number, task in enumerate(tasks, 1)
    ]
    return {
        "tasks": written[:_MOST_TASKS],
        "rounds": rounds_text(rounds) if rounds else "",
        "more_tasks": notes.moved(beyond_words(written[_MOST_TASKS:]), 0, "tasks by hand"),
    }


def _ribbon(choice: Choice, day: Day) -> dict[str, str]:
    svg = day_ribbon(
        choice.programme, sleep=day.sleep, rounds=day.rounds, width=_RIBBON_WIDTH, with_key=False
    )
    return {"ribbon": svg, "ribbon_words": ribbon_words(choice.programme, day.sleep, day.rounds)}
