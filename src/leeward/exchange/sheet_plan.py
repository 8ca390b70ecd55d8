"""The full plan: the choices side by side with their reasons, every site, every setting."""

from collections.abc import Sequence
from typing import Any

from leeward.exchange.pictures.allowance_bars import allowance_bars, bars_words
from leeward.exchange.pictures.day_ribbon import day_ribbon, ribbon_words, rounds_text
from leeward.exchange.pictures.words import OWN_SIDES, angle_text, group_text, window_groups
from leeward.exchange.sheet_identity import SheetIdentity, check_identity
from leeward.exchange.sheet_paper import typeset
from leeward.exchange.sheet_text import Notes
from leeward.exchange.sheet_words import (
    AFTER_CARE,
    PREVAILS,
    STOP_LINE,
    beyond_words,
    draft_banners,
    first_days,
    fits,
    identity_words,
    reason_text,
    task_words,
)
from leeward.exchange.way_words import counted_against, way_rows
from leeward.programme.decision import Choice, Decision, RuledOut, SiteResult, SiteStanding
from leeward.programme.programme import ManualTask
from leeward.terms.day import Day
from leeward.terms.units import deg_from_radians

_SENTENCE, _BESIDE = 400, 100
_RIBBON_WIDTH = 880.0
#: The narrowest picture whose names still stand beside their bars.
_BARS_WIDTH = 560.0
_WAYS_SHORT = (
    "two: tasks for two people or more; apart: tasks when no round comes; pull: share of the "
    "friction there is that lying so needs, at most."
)
_MOST_SENTENCES, _MOST_SETTINGS, _MOST_TASKS, _MOST_BESIDE = 12, 24, 20, 3
_STANDING = {
    SiteStanding.COMPARED: "compared",
    SiteStanding.ASSUMED: "against a policy",
    SiteStanding.UNTRIED: "untried",
    SiteStanding.NEEDS_HANDS: "needs hands",
    SiteStanding.CANNOT_TELL: "cannot tell",
}


def plan_document(
    decision: Decision, choice: Choice, *, day: Day, identity: SheetIdentity
) -> bytes:
    """Print the plan in full, for those who decide and review.

    Parameters
    ----------
    decision : Decision
        What was decided.
    choice : Choice
        The choice whose sheet hangs at the bed.
    day : Day
        Sleep and rounds.
    identity : SheetIdentity
        As on the bedside sheet.

    Returns
    -------
    bytes
        PDF: two pages, more where the case says more.

    Raises
    ------
    InvalidInput
        If the choice is not the decision's, or is not what was accepted.
    """
    check_identity(decision, choice, identity)
    notes = Notes()
    shown = identity_words(decision, choice, identity, notes)
    programme = choice.programme
    content: dict[str, Any] = {
        "title": f"Full turning plan for {shown['label']}, {shown['version']}",
        "identity": shown,
        "banners": draft_banners(decision, choice, identity, notes),
        "own_sides": OWN_SIDES,
        "outcome": decision.outcome.value,
        "compared_with": notes.short(decision.compared_with, _SENTENCE),
        "chosen": choice.name.value,
        "choices": [_choice_words(one, notes) for one in decision.choices],
        "reasons": _said([reason_text(r) for r in decision.reasons], "reasons", notes),
        "cautions": _said([reason_text(r) for r in decision.cautions], "cautions", notes),
        "after_care": "" if programme.turned_by_hand else AFTER_CARE,
        **_ways(decision, notes),
        "settings": _said(list(choice.settings), "settings", notes, _MOST_SETTINGS),
        "build_up": _said(first_days(programme.build_up), "steps", notes),
        **_hands(programme.tasks, day.rounds, notes),
        "sites": site_rows(choice.assessment.sites),
        "ribbon": day_ribbon(
            programme, sleep=day.sleep, rounds=day.rounds, width=_RIBBON_WIDTH, with_key=False
        ),
        "ribbon_words": ribbon_words(programme, day.sleep, day.rounds),
        "bars": allowance_bars(choice, compared_with=shown_regime(decision), width=_BARS_WIDTH),
        "bars_words": bars_words(choice, compared_with=shown_regime(decision)),
        "not_chosen": _said([_ruled_out_text(r) for r in decision.ruled_out], "rules", notes),
        "missing": _said([f"{m.field}: {m.consequence}" for m in decision.missing], "facts", notes),
        "narrowing": notes.short(reason_text(decision.narrowing), _SENTENCE)
        if decision.narrowing
        else "",
        "made_from": _made_from(decision),
        "stop_line": STOP_LINE,
        "prevails": PREVAILS,
    }
    return typeset("plan_document.typ", {**content, "notes": notes.in_full}, decision.made_at)


def shown_regime(decision: Decision) -> str:
    """The regime compared, short enough for a picture."""
    return Notes().short(decision.compared_with, 120)


def _said(sentences: list[str], what: str, notes: Notes, most: int = _MOST_SENTENCES) -> list[str]:
    return [notes.short(text, _SENTENCE) for text in notes.moved(sentences, most, what)]


def _ways(decision: Decision, notes: Notes) -> dict[str, Any]:
    """What people do, how many rules each way breaks, and what has to be known of it."""
    against = {one.name: counted_against(one.against) for one in decision.beside}
    ways = [
        {
            "name": row.name,
            "cells": [
                row.qualifies,
                f"{row.index} ({row.band})" if row.band else row.index,
                row.site,
                f"{row.turns} ({row.asleep})",
                f"{row.largest}, {row.through}",
                f"{row.hands} min ({row.by_two}, {row.outside})",
                row.pull,
                notes.short(against[row.name], _BESIDE),
            ],
        }
        for row in way_rows(decision, with_choices=False)
    ]
    known = [f"{one.name}: {said.sentence}" for one in decision.beside for said in one.remarks]
    unknown = [reason.sentence for reason in decision.not_beside]
    return {"ways": ways, "ways_words": " ".join((_WAYS_SHORT, *known, *unknown))}


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
        "more_tasks": notes.moved(beyond_words(written[_MOST_TASKS:]), 0, "tasks by hand"),
        "rounds": rounds_text(rounds) if rounds else "",
    }


def _choice_words(choice: Choice, notes: Notes) -> dict[str, Any]:
    judged, cost = choice.assessment, choice.assessment.disturbance
    limiting = judged.limiting
    return {
        "name": choice.name.value,
        "parts": [notes.short(group_text(g), _SENTENCE) for g in window_groups(choice.programme)],
        "rows": [
            "yes" if judged.qualifies else "NO",
            f"{judged.share_of_draws:.0%}",
            "cannot tell" if limiting is None else f"{limiting.site.value}: {_index(limiting)}",
            str(cost.turns_per_day),
            str(cost.turns_in_sleep),
            angle_text(cost.largest_turn),
            f"{deg_from_radians(cost.turned_through):.0f}°",
            f"{cost.manual_min:.0f} min, {cost.two_person_tasks} by two",
        ],
        "reasons": _said(_choice_reasons(choice), "reasons", notes, _MOST_BESIDE),
        "recheck": _said([reason_text(r) for r in choice.recheck], "findings", notes, _MOST_BESIDE)
        or ["nothing found against it"],
    }


def _choice_reasons(choice: Choice) -> list[str]:
    # That a choice qualifies, and by how much, stands in the rows above already.
    judged = () if choice.assessment.qualifies else choice.assessment.reasons
    return [reason.sentence for reason in (*choice.reasons, *judged)]


def _index(site: SiteResult) -> str:
    if site.index is None:
        return site.standing.value
    if site.index_low is None or site.index_high is None:
        return f"{site.index:.2f} (band not known)"
    return f"{site.index:.2f} ({site.index_low:.2f} to {site.index_high:.2f})"


def site_rows(sites: Sequence[SiteResult]) -> list[dict[str, str]]:
    """Every site's largest load and standing, both sides of a site in one row.

    Parameters
    ----------
    sites : sequence of SiteResult
        As assessed.

    Returns
    -------
    list of dict
        ``site``, ``left``, ``right``, ``standing``; a site on the mid-line has ``middle``
        in place of the two sides. The index stands in the bars.
    """
    named = {site.site.value: site for site in sites}
    rows = []
    for name, site in named.items():
        side, _, place = name.partition(" ")
        other = named.get(f"right {place}") if side == "left" else None
        if other is not None:
            rows.append(_pair_words(place, site, other))
        elif side != "right" or f"left {place}" not in named:
            rows.append({"site": name, "middle": _load(site), "standing": _STANDING[site.standing]})
    return rows


def _pair_words(place: str, left: SiteResult, right: SiteResult) -> dict[str, str]:
    standings = [_STANDING[left.standing], _STANDING[right.standing]]
    alike = standings[0] == standings[1]
    return {
        "site": place,
        "left": _load(left),
        "right": _load(right),
        "standing": standings[0] if alike else f"left {standings[0]}, right {standings[1]}",
    }


def _load(site: SiteResult) -> str:
    load = site.largest_load_ratio
    return "cannot tell" if load is None else f"{load:.2f}"


def _ruled_out_text(ruled: RuledOut) -> str:
    return f"{ruled.count} ruled out: {ruled.rule}. For example: {ruled.example.sentence}"


def _measured(figure: float | None) -> str:
    return "not measured" if figure is None else f"{figure:.3f}"


def _made_from(decision: Decision) -> str:
    return (
        f"{decision.candidates} settable candidates looked at; noise of the load ratio "
        f"{_measured(decision.load_noise)}, error of interpolation "
        f"{_measured(decision.interpolation_error)}; "
        f"seed {decision.seed}; leeward {decision.software}; decided "
        f"{decision.made_at.isoformat(timespec='minutes')}; case {decision.case_digest}."
    )
