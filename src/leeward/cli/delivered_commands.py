"""`leeward watch`: what was delivered, held against what was planned."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from leeward import flow
from leeward.cli.case_commands import CaseArgument, JsonOption
from leeward.cli.chosen import in_use
from leeward.cli.comparison_view import show_comparison
from leeward.cli.console import complain, print_json, progress
from leeward.cli.exit_codes import Exit
from leeward.delivered.delivered import Delivered
from leeward.exchange.case_file import read_case
from leeward.exchange.column_map_file import read_column_map
from leeward.exchange.comparison_summary import summarise_comparison
from leeward.exchange.log_file import open_log
from leeward.exchange.plan_file import read_plan
from leeward.exchange.problems import FileRefused
from leeward.programme.decision import ChoiceName, Decision
from leeward.records.canonical import digest, to_plain
from leeward.terms.case import Case
from leeward.terms.errors import CannotCompute, InvalidInput
from leeward.terms.verdict import Verdict

_EXIT = {
    Verdict.AS_PLANNED: Exit.OFFERED,
    Verdict.DIFFERS: Exit.NOTHING_OFFERED,
    Verdict.CANNOT_TELL: Exit.CANNOT_TELL,
}
#: Findings told of a log in which nothing is known; the first says so itself.
_SAID = 3


def register(app: typer.Typer) -> None:
    """Add this command to the program.

    Parameters
    ----------
    app : typer.Typer
        The program.
    """
    app.command(
        "watch",
        epilog="Example: leeward watch my-case.yaml log.csv --map map.yaml --plan plan/plan.json "
        "--choice balanced",
    )(watch)


def watch(
    case: CaseArgument,
    log: Annotated[Path, typer.Argument(metavar="LOG", help="Log file, text or gz.")],
    column_map: Annotated[
        Path, typer.Option("--map", metavar="MAP", help="Column map: which column means what.")
    ],
    plan_file: Annotated[
        Path | None,
        typer.Option("--plan", metavar="PLAN", help="plan.json; without it the case is planned."),
    ] = None,
    choice: Annotated[
        ChoiceName | None,
        typer.Option(help="Which of the plan's choices was in use; needed where it has several."),
    ] = None,
    number: Annotated[
        int | None, typer.Option(min=1, help="Which one, where several choices share the name.")
    ] = None,
    as_json: JsonOption = False,
) -> int:
    """Hold a log against the plan: a verdict about the surface, with reasons and share judged."""
    try:
        document = read_case(case)
        mapping = read_column_map(column_map)
    except FileRefused as refused:
        complain(refused.problems)
        return Exit.BAD_INPUT
    if plan_file is None and choice is None:
        raise _nothing_in_use()
    now = datetime.now(UTC)
    with progress("watching") as step:
        with open_log(log) as lines:
            step("reading the log")
            delivered = flow.read_delivered(lines, mapping, now=now)
        if plan_file is None and not delivered.coverage:
            raise _nothing_known(log, delivered)
        decision = _decision(document.case, plan_file, now, step)
        used = in_use(decision, choice, number, str(plan_file or "the plan"))
        step("delivered against planned")
        review = flow.compare(document.case, used.programme, delivered, now=now)
    summary = summarise_comparison(review, used.name, is_replanned=plan_file is None)
    if as_json:
        print_json(to_plain(summary))
    else:
        show_comparison(document.case, summary, now)
    return _EXIT[summary.judgement.verdict]


def _nothing_in_use() -> InvalidInput:
    names = ", ".join(f"'{name.value}'" for name in ChoiceName)
    return InvalidInput(
        "neither a plan nor which of its choices was in use",
        where="watch",
        expected=f"--plan, or --choice with one of {names}, to plan the case anew",
        remedy="give the plan.json that was in use",
    )


def _nothing_known(log: Path, delivered: Delivered) -> CannotCompute:
    # Planning anew would take its time, and nothing in the log could be held against it.
    noticed = "; ".join(one.sentence.rstrip(".") for one in delivered.findings[:_SAID])
    return CannotCompute(
        noticed,
        where=str(log),
        expected="a log with some time in which the angle is known",
        remedy="look at the sensor and the export; give --plan to see everything noticed",
    )


def _planned_from(case: Case) -> Case:
    """The case without what goes on being recorded while its programme runs."""
    return replace(case, skin_checks=(), hand_checks=(), events=(), missing=())


def _decision(
    case: Case, plan_file: Path | None, now: datetime, step: Callable[[str], None]
) -> Decision:
    if plan_file is None:
        return flow.plan(case, now=now, progress=step)
    stored = read_plan(plan_file)
    if digest(_planned_from(stored.case)) != digest(_planned_from(case)):
        raise InvalidInput(
            "a plan made from another case, or from this one before it was changed",
            where=str(plan_file),
            expected="the plan of the case given; looks, hand checks and events may be newer",
            remedy="give the case it was made from, or plan again",
        )
    return stored.decision
