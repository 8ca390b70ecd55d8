"""`leeward explain` and `leeward side-by-side`: questions about plans that were made."""

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from leeward import flow
from leeward.cli.asked_about import asked_about
from leeward.cli.case_commands import JsonOption
from leeward.cli.console import heading, mark, print_json, progress, say
from leeward.cli.decision_view import CLOSING
from leeward.cli.exit_codes import Exit
from leeward.cli.explain_view import show_explanation
from leeward.cli.file_names import picture_named
from leeward.cli.plan_commands import WorkersOption
from leeward.cli.side_by_side_view import show_side_by_side
from leeward.exchange.new_file import replace_whole
from leeward.exchange.pictures.sensitivity import sensitivity_picture
from leeward.exchange.pictures.trade_off import trade_off_picture
from leeward.exchange.plan_file import StoredPlan, read_plan
from leeward.exchange.plans_side_by_side import side_by_side
from leeward.exchange.what_if_words import (
    checked,
    joined,
    what_if_from_numbers,
    what_if_from_words,
)
from leeward.programme.decision import ChoiceName, Outcome
from leeward.programme.explained import Explanation, Question
from leeward.programme.what_if import WhatIf
from leeward.records.canonical import to_plain
from leeward.terms.site import Side, Site
from leeward.tissue.standing_correction import correction_reasons
from leeward.workers.side_by_side import SideBySide, usual_count

PlanArgument = Annotated[Path, typer.Argument(metavar="PLAN", help="plan.json of `leeward plan`.")]
ChoiceOption = Annotated[ChoiceName | None, typer.Option("--choice", help="Which choice.")]
NumberOption = Annotated[
    int | None, typer.Option(min=1, help="Which one, where several choices share the name.")
]

PictureOption = Annotated[
    Path | None,
    typer.Option(
        parser=picture_named,
        metavar="FILE",
        help="Picture of relief against sleep, or of the sensitivity, SVG.",
    ),
]


def register(app: typer.Typer) -> None:
    """Add these commands to the program.

    Parameters
    ----------
    app : typer.Typer
        The program.
    """
    app.command(
        "explain", epilog='Example: leeward explain plan/plan.json --why-not "35 left for 3 h"'
    )(explain)
    app.command(
        "side-by-side", epilog="Example: leeward side-by-side plan/plan.json new/plan.json"
    )(plans_side_by_side)


def explain(
    plan_file: PlanArgument,
    choice: ChoiceOption = None,
    number: NumberOption = None,
    why_not: Annotated[
        str, typer.Option("--why-not", metavar="WORDS", help='A change, as "35 left for 3 h".')
    ] = "",
    turn_deg: Annotated[
        float | None, typer.Option(help="The same in numbers: turn, above 0.")
    ] = None,
    side: Annotated[
        Side | None,
        typer.Option(help="Side the person is turned to; the other is raised. Both if left out."),
    ] = None,
    stay_min: Annotated[float | None, typer.Option(help="How long turned stays last.")] = None,
    level_stay_min: Annotated[
        float | None, typer.Option(help="How long level stays last; 0 leaves them out.")
    ] = None,
    window: Annotated[
        str, typer.Option(help="day, night, or the name of a window; all if left out.")
    ] = "",
    trace: Annotated[
        Site | None, typer.Option("--trace", metavar="SITE", help="Follow a site through the day.")
    ] = None,
    with_sensitivity: Annotated[
        bool,
        typer.Option("--sensitivity", help="Take each convention otherwise: what changes then?"),
    ] = False,
    what_would_help: Annotated[
        bool, typer.Option("--what-would-help", help="Search again under each change at the bed.")
    ] = False,
    picture: PictureOption = None,
    as_json: JsonOption = False,
    workers: WorkersOption = None,
) -> int:
    """Say what limits each choice, what a step either way would do, and why not otherwise."""
    stored = read_plan(plan_file)
    numbers = (turn_deg, side, stay_min, level_stay_min, window)
    asked = _asked(stored, why_not, numbers)
    question = _question(stored, asked, trace, (what_would_help, with_sensitivity, picture))
    if question is None:
        return _nothing_to_ask(stored)
    if not question.with_help:
        chosen = asked_about(stored.decision, choice, number, str(plan_file))
        is_general = asked is None and trace is None
        question = replace(question, choices=chosen if is_general else chosen[:1])
    with progress("explaining") as step, SideBySide(workers or usual_count()) as solve:
        step("where the load goes at each turn, now and under the regime compared")
        found = flow.explain(stored.case, stored.decision, question, solve=solve)
    drawn = "" if picture is None else _draw(picture, found)
    if as_json:
        print_json(to_plain(found))
        return _exit(stored, found)
    _show(stored, found, drawn)
    return _exit(stored, found)


def _question(
    stored: StoredPlan,
    asked: WhatIf | None,
    trace: Site | None,
    wanted: tuple[bool, bool, Path | None],
) -> Question | None:
    """What is asked, of choices yet to be picked; None where there is nothing to ask about."""
    with_help, with_sensitivity, picture = wanted
    if with_help and stored.decision.outcome in (Outcome.OFFERED, Outcome.NONE_QUALIFIES):
        return Question((), with_help=True)
    if not stored.decision.choices:
        return None
    return Question(
        choices=(),
        asked=asked,
        traced=trace,
        with_steps=asked is None and trace is None and not with_sensitivity,
        with_trade_off=picture is not None and not with_sensitivity,
        with_sensitivity=with_sensitivity,
    )


def _show(stored: StoredPlan, found: Explanation, drawn: str) -> None:
    _show_head(stored)
    show_explanation(found)
    if drawn:
        mark("ok", f"wrote {drawn}")
    say()
    say(CLOSING)


def _draw(picture: Path, found: Explanation) -> str:
    """Draw what was asked for; say where it is and what it shows, or nothing where nothing is."""
    if found.sensitivity is not None:
        replace_whole(picture, sensitivity_picture(found.sensitivity).encode())
        return f"{picture}: what the choices hang on"
    if found.trade_off is not None:
        replace_whole(picture, trade_off_picture(found.trade_off).encode())
        return f"{picture}: relief against sleep"
    return ""


def plans_side_by_side(
    plan_file: PlanArgument,
    other: Annotated[Path, typer.Argument(metavar="PLAN", help="The plan to hold beside it.")],
    choice: ChoiceOption = None,
    other_choice: Annotated[
        ChoiceName | None, typer.Option(help="Which choice of the other; the same if left out.")
    ] = None,
    as_json: JsonOption = False,
) -> int:
    """Hold a choice of two plans beside each other: settings, sites, cost, what changed."""
    first, second = read_plan(plan_file), read_plan(other)
    found = side_by_side(
        (first, asked_about(first.decision, choice, None, str(plan_file))[0]),
        (second, asked_about(second.decision, other_choice or choice, None, str(other))[0]),
    )
    if as_json:
        print_json(to_plain(found))
        return Exit.OFFERED
    show_side_by_side(found)
    say()
    say(CLOSING)
    return Exit.OFFERED


def _asked(
    stored: StoredPlan,
    words: str,
    numbers: tuple[float | None, Side | None, float | None, float | None, str],
) -> WhatIf | None:
    turn_deg, side, stay_min, level_stay_min, window = numbers
    if not words and all(one in (None, "") for one in numbers):
        return None
    names = {one.name for choice in stored.decision.choices for one in choice.programme.windows}
    typed = what_if_from_numbers(turn_deg, stay_min, level_stay_min)
    options = WhatIf(typed.turn, side, typed.stay, typed.level_stay, window)
    if not words:
        return checked(options, has_side=side is not None)
    return checked(joined(what_if_from_words(words, tuple(sorted(names))), options))


def _nothing_to_ask(stored: StoredPlan) -> int:
    """Planning that stopped has no choice: its reasons are the whole explanation."""
    _show_head(stored)
    is_open = stored.decision.outcome is Outcome.CANNOT_TELL
    mark("unknown" if is_open else "stop", f"Outcome: {stored.decision.outcome.value}")
    for reason in stored.decision.reasons:
        mark("unknown" if is_open else "stop", reason.sentence)
    say("There is no choice to ask about: answer what is said above, then plan again.")
    return Exit.CANNOT_TELL if is_open else Exit.NOTHING_OFFERED


def _show_head(stored: StoredPlan) -> None:
    if stored.case.invented:
        mark("attention", f"INVENTED CASE: {stored.case.invented}")
    made = stored.decision.made_at
    heading(f"Plan for {stored.case.person.label} of {made:%Y-%m-%d %H:%M}, explained")
    days = (datetime.now(UTC) - made).days
    if days >= 1:
        mark("attention", f"It was made {days} days ago, and is explained as of then.")
    for reason in correction_reasons(stored.case, made):
        mark("attention", reason.sentence)
    if stored.decision.compared_with:
        say(f"Compared with: {stored.decision.compared_with}")
    for one in stored.decision.ruled_out:
        if one.example.code == "thinned":
            say(f"Cycles left out of the search: {one.count}. {one.example.sentence}")


def _exit(stored: StoredPlan, found: Explanation) -> int:
    if found.answer is not None:
        return Exit.OFFERED if found.answer.qualifies else Exit.NOTHING_OFFERED
    is_offered = stored.decision.outcome is Outcome.OFFERED
    return Exit.OFFERED if is_offered else Exit.NOTHING_OFFERED
