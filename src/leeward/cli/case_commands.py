"""`leeward new` and `leeward check`: begin a case file, and see what it lacks."""

from collections import Counter
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from leeward.cli.console import complain, heading, mark, print_json, say
from leeward.cli.exit_codes import Exit
from leeward.cli.file_names import named
from leeward.exchange.case_file import read_case
from leeward.exchange.completeness import CaseFinding, check
from leeward.exchange.findings import CaseFindingKind
from leeward.exchange.new_file import write_new
from leeward.exchange.problems import FileRefused
from leeward.exchange.template import case_template
from leeward.records.canonical import to_plain

CaseArgument = Annotated[Path, typer.Argument(metavar="CASE", help="Case file, YAML or JSON.")]
JsonOption = Annotated[bool, typer.Option("--json", help="Print the result as JSON, nothing else.")]


def register(app: typer.Typer) -> None:
    """Add these commands to the program.

    Parameters
    ----------
    app : typer.Typer
        The program.
    """
    app.command("new", epilog="Example: leeward new my-case.yaml")(new)
    app.command("check", epilog="Example: leeward check my-case.yaml")(check_case)


def new(
    file: Annotated[
        Path, typer.Argument(parser=named, metavar="FILE", help="Where to write the template.")
    ],
) -> int:
    """Write a commented case file to fill in; never over a file that is there."""
    write_new(file, case_template())
    mark("ok", f"wrote {file}: every field says what it is for, a dozen are enough to begin")
    say(f"Next: fill it in, then leeward check {file}")
    return Exit.OFFERED


def check_case(case: CaseArgument, as_json: JsonOption = False) -> int:
    """List what is missing, contradictory or implausible, by field and line."""
    try:
        document = read_case(case)
    except FileRefused as refused:
        complain(refused.problems)
        return Exit.BAD_INPUT
    findings = check(document, now=datetime.now(UTC))
    if as_json:
        print_json([to_plain(finding) for finding in findings])
        return Exit.OFFERED
    heading(f"{document.case.person.label}: {case}")
    if document.case.invented:
        mark("attention", f"INVENTED CASE: {document.case.invented}")
    for finding in findings:
        _show(finding)
    counts = Counter(finding.kind.value for finding in findings)
    found = ", ".join(f"{counts[kind.value] or 'nothing'} {kind.value}" for kind in CaseFindingKind)
    mark("attention" if findings else "ok", f"{found}; a plan can be made, and says what each does")
    say(f"Next: leeward plan {case} --out plan/")
    return Exit.OFFERED


def _show(finding: CaseFinding) -> None:
    kind = {"missing": "unknown", "contradictory": "stop", "implausible": "attention"}
    line = "" if finding.line is None else f" (line {finding.line})"
    mark(
        kind[finding.kind.value], f"{finding.kind.value}: {finding.field}{line}: {finding.sentence}"
    )
