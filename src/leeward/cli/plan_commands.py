"""`leeward plan` and `leeward sheet`."""

from datetime import UTC, date, datetime
from pathlib import Path
from typing import Annotated
from zoneinfo import ZoneInfo

import typer

from leeward import flow
from leeward.cli.case_commands import CaseArgument, JsonOption
from leeward.cli.chosen import chosen
from leeward.cli.console import complain, heading, mark, print_json, progress, say
from leeward.cli.decision_view import show_decision
from leeward.cli.exit_codes import Exit
from leeward.cli.file_names import named
from leeward.exchange.case_file import read_case
from leeward.exchange.new_file import check_folder
from leeward.exchange.plan_file import read_plan
from leeward.exchange.plan_folder import write_plan_folder
from leeward.exchange.problems import FileRefused
from leeward.exchange.sheet_file import LARGEST_VERSION, SheetOrder, write_sheet
from leeward.exchange.sheet_record import keep_sheet
from leeward.programme.decision import ChoiceName, Decision, Outcome
from leeward.records.canonical import to_plain
from leeward.records.entry import Entry
from leeward.tissue.standing_correction import with_standing_correction
from leeward.workers.side_by_side import MOST_WORKERS, SideBySide, usual_count

WorkersOption = Annotated[
    int | None,
    typer.Option(
        min=1,
        max=MOST_WORKERS,
        envvar="LEEWARD_WORKERS",
        help="Processes that compute at once; one a core, at most four, when left out.",
    ),
]

_EXIT = {
    Outcome.OFFERED: Exit.OFFERED,
    Outcome.NONE_QUALIFIES: Exit.NOTHING_OFFERED,
    Outcome.STOPPED: Exit.NOTHING_OFFERED,
    Outcome.CANNOT_TELL: Exit.CANNOT_TELL,
}


def register(app: typer.Typer) -> None:
    """Add these commands to the program.

    Parameters
    ----------
    app : typer.Typer
        The program.
    """
    app.command("plan", epilog="Example: leeward plan my-case.yaml --out plan/")(plan)
    app.command(
        "sheet",
        epilog='Example: leeward sheet plan/plan.json --choice balanced --author "A. Name" '
        "--out sheet.pdf",
    )(sheet)


def plan(
    case: CaseArgument,
    out: Annotated[
        Path,
        typer.Option(
            "--out", parser=named, metavar="DIR", help="Folder for the plan, pictures, sheets."
        ),
    ],
    as_json: JsonOption = False,
    workers: WorkersOption = None,
) -> int:
    """Find the programmes this equipment can be set to, ranked, with reasons; or say why none."""
    try:
        document = read_case(case)
    except FileRefused as refused:
        complain(refused.problems)
        return Exit.BAD_INPUT
    check_folder(out)
    now = datetime.now(UTC)
    person = with_standing_correction(document.case, now)
    with progress("planning") as step, SideBySide(workers or usual_count()) as solve:
        decision = flow.plan(document.case, now=now, progress=step, solve=solve)
        step("pictures and sheets")
        files = write_plan_folder(
            out, document, decision, lambda posture: flow.predict(person, posture, solve=solve)
        )
    if as_json:
        print_json(to_plain(decision))
        return _EXIT[decision.outcome]
    case_read = document.case
    show_decision(decision, case_read.person.label, case_read.invented, case_read.day.rounds)
    heading(f"Files in {out}")
    longest = max(len(file.path.name) for file in files)
    for file in files:
        say(f"  {file.path.name:<{longest}}  {file.what}")
    say(f"Next: {_next(decision, case, out)}")
    return _EXIT[decision.outcome]


def _next(decision: Decision, case: Path, out: Path) -> str:
    if decision.outcome is not Outcome.OFFERED:
        todays = [one for one in decision.choices if one.name is ChoiceName.TODAYS]
        if todays:
            meanwhile = _sheet(out, ChoiceName.TODAYS)
            return f"settle what is said above; to keep turning as today, {meanwhile}"
        return f"settle what is said above; once the case says so, leeward plan {case} --out {out}"
    return _sheet(out, decision.choices[0].name)


def _sheet(out: Path, name: ChoiceName) -> str:
    chosen_by = f'--choice "{name.value}" --author "who answers for it"'
    return f"leeward sheet {out / 'plan.json'} {chosen_by} --out sheet.pdf"


def sheet(
    plan_file: Annotated[Path, typer.Argument(metavar="PLAN", help="plan.json of `leeward plan`.")],
    choice: Annotated[ChoiceName, typer.Option(help="Which of the plan's choices.")],
    author: Annotated[str, typer.Option(help="Who answers for the sheet.")],
    out: Annotated[Path, typer.Option("--out", parser=named, metavar="FILE", help="PDF to write.")],
    number: Annotated[
        int, typer.Option(min=1, help="Which one, where several choices share the name.")
    ] = 1,
    review_on: Annotated[
        datetime | None,
        typer.Option(formats=["%Y-%m-%d"], help="Review date; 7 days from today when left out."),
    ] = None,
    version: Annotated[
        int, typer.Option(min=1, max=LARGEST_VERSION, help="Version of the programme.")
    ] = 1,
    accept_reason: Annotated[
        str, typer.Option(help="Accept this choice, with the author's reason in words.")
    ] = "",
    whole_plan: Annotated[
        bool, typer.Option("--whole-plan", help="The two-page plan instead of the bedside sheet.")
    ] = False,
    record: Annotated[
        Path | None,
        typer.Option(
            "--record", parser=named, metavar="DIR", help="Keep plan, reason and sheet's digest."
        ),
    ] = None,
) -> int:
    """Print the one-page bedside sheet of a choice as PDF; accepted only if nothing forbids it."""
    stored = read_plan(plan_file)
    now = datetime.now(UTC)
    asked = chosen(stored.decision, choice, number, str(plan_file))
    today = now.astimezone(ZoneInfo(stored.case.day.time_zone)).date()
    order = SheetOrder(
        choice=asked,
        author=author,
        today=today,
        review_on=_date(review_on),
        version=version,
        accept_reason=accept_reason,
        is_whole_plan=whole_plan,
    )
    kept: list[Entry] = []

    def keep(content: bytes) -> None:
        if record is not None:
            kept.append(keep_sheet(record, stored, order, content, now))

    refused = write_sheet(out, stored, order, keep)
    for reason in refused:
        mark("stop", reason.sentence)
    if refused:
        mark("stop", "nothing was written")
        return Exit.NOTHING_OFFERED
    is_accepted = bool(accept_reason.strip())
    mark("ok", f"wrote {out}: {f'accepted by {author}' if is_accepted else 'a draft'}")
    for entry in kept:
        mark("ok", f"kept as entry {entry.sequence} of {record}, digest {entry.digest}")
    return Exit.OFFERED


def _date(given: datetime | None) -> date | None:
    return None if given is None else given.date()
