"""What a sheet says, as plain data for the page: nothing here knows how it looks."""

from collections.abc import Sequence
from typing import Any

from leeward.exchange.pictures.words import (
    WindowGroup,
    angle_text,
    cycle_text,
    date_text,
    duration_text,
    joined,
    posture_text,
    sites_text,
    span_text,
)
from leeward.exchange.sheet_identity import SheetIdentity, programme_digest
from leeward.exchange.sheet_text import Notes
from leeward.programme.acceptance import in_the_way
from leeward.programme.decision import Choice, Decision
from leeward.programme.programme import BuildUpStep, ManualTask
from leeward.terms.clock import clock_text
from leeward.terms.posture import Place
from leeward.terms.regime import Stay
from leeward.terms.verdict import Quantity, Reason

#: Signs that call for a person, not for a setting. Common practice, no source.
STOP_SIGNS = (
    "skin: redness that stays when pressed, or warm, hard, swollen, painful, darker or open skin",
    "pain or distress, or the person says no",
    "breathing, colour or wakefulness changes; faint, sick or feverish",
    "a line or tube pulls, or an arm, leg or head is caught or near a gap",
    "the person slides, rolls to the edge, or does not lie as on this sheet",
    "the surface stops, sounds an alarm, stays up, leaks, or turns to the wrong side",
)
STOP_FIRST = "Bring the surface level by its own instructions, stay with the person, then ask."

#: The same signs in one line, for pages that carry other things.
STOP_LINE = (
    "Stop and ask if: skin stays red, is open, warm, hard or painful; pain, distress or a no; "
    "breathing or colour changes; a line pulls or a limb is caught; the person slides; the "
    "surface does not do what the plan says."
)

PREVAILS = (
    "Decision support. The equipment's own instructions, local policy and the licensed "
    "practitioner prevail. This is not an alarm: nobody is called when a turn is missed."
)
NOT_ACCEPTED = "NOT ACCEPTED: draft for discussion"
FALLS_SHORT = "DOES NOT REACH the regime it was compared with"
NOBODY = "NOBODY NAMED"
LOOKS = (
    "Look at the skin after the first full cycle, after the first night, at 48 h, 72 h and 7 days. "
    "A step up only if every look was clear; redness that stays, pain, fear or a pulling line: go "
    "back a step and ask."
)
#: On the bedside sheet, below what hands do.
AFTER_CARE = "After each of these, and after every care: start the unit again and see it move."
BY_HAND = "TURNED BY HAND: people make every turn, two at least. The unit stays level."

#: What a model corrected by a measured map is said by, beside the cautions.
_OF_THE_MODEL = frozenset({"map-correction-used", "map-correction-left-out"})

_MOST_LINES = 4
_ROOM = 700


def reason_text(reason: Reason) -> str:
    """A reason's sentence with its numbers."""
    numbers = "; ".join(_quantity_text(number) for number in reason.numbers)
    return f"{reason.sentence} ({numbers})" if numbers else reason.sentence


def _quantity_text(number: Quantity) -> str:
    unit = {"-": "", "°": "°"}.get(number.unit, f" {number.unit}")
    return f"{number.name} {number.value:.4g}{unit}"


def identity_words(
    decision: Decision, choice: Choice, identity: SheetIdentity, notes: Notes
) -> dict[str, str]:
    """What every page bears."""
    is_draft = bool(draft_reasons(decision, choice, identity))
    return {
        "label": notes.short(identity.person_label, 60),
        "version": f"version {identity.version}",
        "replaces": _replaces(identity.version - 1, is_draft),
        "made": date_text(decision.made_at.date()),
        "author": notes.short(identity.author, 60),
        "review": date_text(identity.review_on),
        "accepted": NOT_ACCEPTED if is_draft else _accepted_text(identity, notes),
        "digest": programme_digest(choice),
        "software": f"leeward {decision.software}",
    }


def _replaces(before: int, is_draft: bool) -> str:
    if before < 1:
        return "first version"
    # A draft that had the valid sheet destroyed would leave the bed with none.
    return f"replaces version {before}: destroy it{', once this one is accepted' * is_draft}"


def _accepted_text(identity: SheetIdentity, notes: Notes) -> str:
    if identity.accepted is None:
        return NOT_ACCEPTED
    signed = identity.accepted.signed
    by, reason = notes.short(signed.by, 60), notes.short(signed.reason, 90)
    return f"Accepted by {by} on {date_text(signed.when)}: {reason}"


def draft_reasons(decision: Decision, choice: Choice, identity: SheetIdentity) -> list[str]:
    """Why this sheet is only a draft; empty when nothing stands against it."""
    open_here = in_the_way(decision.cannot_accept, choice.programme.tasks)
    found = [reason_text(reason) for reason in open_here]
    found += [f"The independent recheck found: {reason_text(r)}" for r in choice.recheck]
    unowned = [task_name(task) for task in choice.programme.tasks if not task.owner.strip()]
    if unowned:
        found.append(f"Nobody is named for: {joined(unowned)}.")
    if identity.accepted is None:
        found.append("No practitioner has accepted it yet.")
    return found


def cautions_of(decision: Decision) -> list[str]:
    """What is to be heeded at the bed, and by which map the model behind it was corrected."""
    model = [reason for reason in decision.reasons if reason.code in _OF_THE_MODEL]
    return [reason_text(reason) for reason in (*model, *decision.cautions)]


def few_sentences(sentences: list[str], what: str, notes: Notes) -> list[str]:
    """As many sentences as a corner of the sheet holds, the rest behind."""
    is_roomy = fits(sentences)
    most, longest = (_MOST_LINES + 1, 230) if is_roomy else (_MOST_LINES, 150)
    return [notes.short(text, longest) for text in notes.moved(sentences, most, what)]


def fits(texts: Sequence[str]) -> bool:
    """Whether texts are short enough together to stand on the first page as they are."""
    return sum(len(text) for text in texts) <= _ROOM


def draft_banners(
    decision: Decision, choice: Choice, identity: SheetIdentity, notes: Notes
) -> list[dict[str, Any]]:
    """What must be seen before anything else on the page."""
    headed = (
        (NOT_ACCEPTED, draft_reasons(decision, choice, identity)),
        (FALLS_SHORT, _shortfall(choice)),
    )
    return [
        {"headline": headline, "reasons": few_sentences(reasons, "reasons", notes)}
        for headline, reasons in headed
        if reasons
    ]


def _shortfall(choice: Choice) -> list[str]:
    if choice.assessment.qualifies:
        return []
    return [reason_text(reason) for reason in choice.assessment.reasons] or [
        "It does not reach the regime it was compared with."
    ]


def group_words(group: WindowGroup, notes: Notes) -> dict[str, Any]:
    """A part of the day that turns: its name, its times and its stays as cards."""
    return {
        "name": notes.short(joined(group.names), 44),
        "times": notes.short(joined([span_text(span) for span in group.spans]), 90),
        "cards": [_card(stay) for stay in group.cycle],
        "line": cycle_text(group.cycle),
    }


def _card(stay: Stay) -> dict[str, str]:
    posture = stay.posture
    side, raised = posture.turned_to, posture.raised_side
    is_in_bed = posture.place is Place.BED
    level = "LEVEL" if is_in_bed else posture.place.value.upper()
    extra = posture_text(posture.with_turn(0.0)).removeprefix("level").removeprefix(", ")
    return {
        "before": "turned to the" if side else "",
        "side": side.value.upper() if side else level,
        "angle": angle_text(posture.turn) if side else "",
        "raised": f"{raised.value} side raised" if raised else "",
        "extra": extra if is_in_bed else "",
        "stay": duration_text(stay.duration),
    }


def kept_words(group: WindowGroup, notes: Notes) -> dict[str, str]:
    """A part of the day with one posture."""
    by = group.prescribed_by
    return {
        "name": notes.short(joined(group.names), 40),
        "times": joined([span_text(span) for span in group.spans]),
        "posture": posture_text(group.cycle[0].posture),
        "by": f"prescribed by {notes.short(by, 40)}" if by else "",
    }


def task_name(task: ManualTask) -> str:
    """Where a task is done."""
    return sites_text(task.sites) or "whole body"


def task_words(
    task: ManualTask, number: int, rounds: Sequence[float], notes: Notes, *, is_roomy: bool = False
) -> dict[str, str]:
    """Work by hand: what, when, who."""
    where, what = (90, 180) if is_roomy else (60, 90)
    times = ", ".join(clock_text(time) for time in sorted(task.times)) or "no time"
    return {
        "number": str(number),
        "sites": notes.short(task_name(task), where),
        "what": notes.short(task.what, what),
        "times": "every round" if set(task.times) == set(rounds) else notes.short(times, 80),
        "relief": _relief_text(task),
        "owner": notes.short(task.owner, 40) or NOBODY,
    }


def _relief_text(task: ManualTask) -> str:
    if task.duration <= 0.0:
        return "a look, no relief"
    return f"relief for {duration_text(task.duration)} each time"


def beyond_words(tasks: Sequence[dict[str, str]]) -> list[str]:
    """Tasks that found no row in the table, as sentences."""
    return [
        f"{task['number']} {task['sites']}: {task['what'].rstrip('.')}; at "
        f"{task['times']}; {task['owner']}."
        for task in tasks
    ]


def first_days(steps: Sequence[BuildUpStep]) -> list[str]:
    """The build-up for the bedside: the turns of each step, then the looks once for all."""
    if not steps:
        return []
    lines = []
    for step in steps:
        start = "First" if step.from_hour == 0.0 else f"After {step.from_hour:g} h"
        share = "" if step.share_of_turn >= 1.0 else f" ({step.share_of_turn:.0%} of each turn)"
        lines.append(f"{start}{share}: {step.look.partition('.')[0]}.")
    return [*lines, LOOKS]
