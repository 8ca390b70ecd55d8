"""`leeward fit`: what the bed allows, under this person."""

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from leeward import flow
from leeward.cli.case_commands import CaseArgument, JsonOption
from leeward.cli.console import complain, heading, print_json, progress, say
from leeward.cli.exit_codes import Exit
from leeward.cli.file_names import named
from leeward.cli.fit_view import show_fit
from leeward.exchange.case_file import read_case
from leeward.exchange.fit_file import read_fit_sheet
from leeward.exchange.fit_folder import write_fit_folder
from leeward.exchange.fit_summary import summarise_fit
from leeward.exchange.new_file import check_folder
from leeward.exchange.problems import FileRefused
from leeward.fitting.finding import Outcome
from leeward.records.canonical import to_plain
from leeward.tissue.standing_correction import correction_reasons, with_standing_correction

EXITS = {
    Outcome.NO_LIMIT_BROKEN: Exit.OFFERED,
    Outcome.WITH_MEASURE: Exit.OFFERED,
    Outcome.CANNOT_TELL: Exit.CANNOT_TELL,
    Outcome.NOT_TO_BE_USED: Exit.NOTHING_OFFERED,
}

SheetOption = Annotated[
    Path | None,
    typer.Option(
        "--sheet", metavar="SHEET", help="Fit sheet, where the case names none or another one."
    ),
]


def register(app: typer.Typer) -> None:
    """Add this command to the program.

    Parameters
    ----------
    app : typer.Typer
        The program.
    """
    app.command("fit", epilog="Example: leeward fit my-case.yaml --sheet my-fit.yaml --out fit/")(
        fit
    )


def fit(
    case: CaseArgument,
    sheet: SheetOption = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out", parser=named, metavar="DIR", help="Folder for the pictures and the answer."
        ),
    ] = None,
    as_json: JsonOption = False,
) -> int:
    """Say what this bed allows under this person: rails, gaps, masses, straps, every posture."""
    try:
        person = read_case(case).case
        if sheet is not None:
            person = replace(person, fit_sheet=read_fit_sheet(sheet))
    except FileRefused as refused:
        complain(refused.problems)
        return Exit.BAD_INPUT
    if out is not None:
        check_folder(out)
    now = datetime.now(UTC)
    with progress("fitting") as step:
        step("bed, unit and body at every setting")
        found = flow.fit(with_standing_correction(person, now))
        summary = summarise_fit(found, correction_reasons(person, now))
        files = () if out is None else write_fit_folder(out, person, found, summary)
    if as_json:
        print_json(to_plain(summary))
        return EXITS[found.outcome]
    show_fit(person, summary)
    if files:
        heading("Files")
        for path, what in files:
            say(f"  {path}  {what}")
    return EXITS[found.outcome]
