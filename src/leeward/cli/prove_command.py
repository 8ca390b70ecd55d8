"""`leeward prove`: the test before leaving, judged."""

from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from leeward import flow
from leeward.cli.case_commands import CaseArgument, JsonOption
from leeward.cli.console import complain, heading, mark, print_json, say
from leeward.cli.exit_codes import Exit
from leeward.cli.file_names import named
from leeward.exchange.case_file import read_case
from leeward.exchange.column_map_file import read_column_map
from leeward.exchange.log_file import open_log
from leeward.exchange.new_file import replace_whole
from leeward.exchange.problems import FileRefused
from leeward.exchange.proof_document import proof_document
from leeward.exchange.proof_file import read_proof
from leeward.fitting.proof import Proof, ProofOutcome
from leeward.fitting.proof_readings import ProofReadings
from leeward.records.canonical import to_plain
from leeward.terms.case import Case
from leeward.terms.errors import InvalidInput
from leeward.terms.series import PostureSeries
from leeward.terms.verdict import Verdict

EXITS = {
    ProofOutcome.NO_PROBLEM_FOUND: Exit.OFFERED,
    ProofOutcome.ADJUST_AND_REPEAT: Exit.NOTHING_OFFERED,
    ProofOutcome.DO_NOT_USE: Exit.NOTHING_OFFERED,
    ProofOutcome.NOT_FINISHED: Exit.CANNOT_TELL,
}
_KINDS = {Verdict.AS_PLANNED: "ok", Verdict.DIFFERS: "attention", Verdict.CANNOT_TELL: "unknown"}


def register(app: typer.Typer) -> None:
    """Add this command to the program.

    Parameters
    ----------
    app : typer.Typer
        The program.
    """
    app.command("prove", epilog="Example: leeward prove my-case.yaml --readings test.yaml")(prove)


def prove(
    case: CaseArgument,
    readings: Annotated[
        Path, typer.Option("--readings", metavar="FILE", help="What was read, typed into a file.")
    ],
    log: Annotated[
        Path | None,
        typer.Option(
            "--log",
            metavar="LOG",
            help="Log of the test: it gives the angles, with the person on it, that nobody read.",
        ),
    ] = None,
    column_map: Annotated[
        Path | None, typer.Option("--map", metavar="MAP", help="Column map of the log.")
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option("--out", parser=named, metavar="FILE", help="Proof report to write, a PDF."),
    ] = None,
    as_json: JsonOption = False,
) -> int:
    """Judge the test before leaving: angles, hands, drops, release, alarms; and what to do."""
    now = datetime.now(UTC)
    try:
        person = read_case(case).case
        read = read_proof(readings)
        seen = _from_log(log, column_map, now)
    except FileRefused as refused:
        complain(refused.problems)
        return Exit.BAD_INPUT
    _check_name(out)
    proof = flow.prove(person, read, seen)
    if out is not None:
        replace_whole(out, proof_document(person, read, proof, now))
    if as_json:
        print_json(to_plain(proof))
    else:
        _show(person, read, proof)
    return EXITS[proof.outcome]


def _from_log(log: Path | None, column_map: Path | None, now: datetime) -> PostureSeries | None:
    if log is None:
        return None
    if column_map is None:
        raise InvalidInput(
            "a log without its column map",
            where="prove",
            expected="--map with the file that says what the log's columns mean",
            remedy="give the map, or leave the log out",
        )
    mapping = read_column_map(column_map)
    with open_log(log) as lines:
        delivered = flow.read_delivered(lines, mapping, now=now)
    if not delivered.side_known:
        raise InvalidInput(
            "a log in which left and right cannot be told apart",
            where=str(log),
            expected="a column map that says to which side a positive angle turns the person",
            remedy="complete the map, or type the readings",
        )
    return delivered.series


def _check_name(out: Path | None) -> None:
    if out is not None and out.suffix.lower() != ".pdf":
        raise InvalidInput(
            "a report under the name of another kind of file",
            where=str(out),
            expected="a name that ends in .pdf",
            remedy="choose such a name",
        )


def _show(case: Case, read: ProofReadings, proof: Proof) -> None:
    if case.invented:
        mark("attention", f"INVENTED CASE: {case.invented}")
    heading(f"{case.person.label}, test of {read.done_on.isoformat()}: {proof.outcome.value}")
    for one in proof.judged:
        grave = one.is_grave and one.verdict is Verdict.DIFFERS
        mark("stop" if grave else _KINDS[one.verdict], one.sentence)
    if proof.causes:
        heading("What would explain the readings, best first")
        for cause in proof.causes:
            say(f"  {cause}")
    heading("Stop a test at once if")
    for line in proof.stop_at_once:
        say(f"  {line}")
    heading("The proof ends with")
    for line in proof.ends_with:
        say(f"  {line}")
    say("Said of the surface and of one test; the first night's log completes it.")
