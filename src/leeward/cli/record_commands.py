"""`leeward verify-record`: whether a record is as it was written."""

import re
from pathlib import Path
from typing import Annotated

import typer

from leeward.cli.case_commands import JsonOption
from leeward.cli.console import mark, print_json, reasons, say
from leeward.cli.exit_codes import Exit
from leeward.exchange.record_store import StoredRecord, read_record
from leeward.records.canonical import to_plain

_DIGEST = re.compile(r"[0-9a-f]{64}")


def register(app: typer.Typer) -> None:
    """Add this command to the program.

    Parameters
    ----------
    app : typer.Typer
        The program.
    """
    app.command("verify-record", epilog="Example: leeward verify-record record/")(verify_record)


def _digest(text: str) -> str:
    if not _DIGEST.fullmatch(text.lower()):
        raise typer.BadParameter(
            f"{text!r} is no digest; expected the 64 letters and digits noted from the last entry"
        )
    return text.lower()


def verify_record(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Folder of the record.")],
    ends_with: Annotated[
        str | None,
        typer.Option(
            "--ends-with",
            parser=_digest,
            metavar="DIGEST",
            help="Digest of the last entry as noted elsewhere; shows an end cut off.",
        ),
    ] = None,
    as_json: JsonOption = False,
) -> int:
    """Name every entry of a record that was altered, is missing, or stands elsewhere."""
    record = read_record(folder, last_digest=ends_with)
    if as_json:
        print_json(
            {
                "entries": len(record.entries),
                "last_digest": record.entries[-1].digest if record.entries else None,
                "findings": to_plain(record.findings),
                "unfinished": list(record.unfinished),
            }
        )
        return _exit(record)
    for name in record.unfinished:
        mark("attention", f"{name}: an entry was begun and never acknowledged; it does not count.")
    reasons("stop", record.findings)
    if not record.entries:
        mark("unknown", "There is no entry: nothing can be said of this record.")
        return _exit(record)
    first, last = record.entries[0], record.entries[-1]
    say(
        f"{len(record.entries)} entries, from {first.at.isoformat()} ({first.author}) "
        f"to {last.at.isoformat()} ({last.author})."
    )
    say(f"The last entry's digest: {last.digest}")
    if not record.findings:
        mark("ok", "Every entry is as it was sealed, and follows the one before it.")
        if ends_with is None:
            mark(
                "attention",
                "Whoever can write the folder can seal a whole record anew or cut off its end: "
                "only a digest noted elsewhere shows that (--ends-with).",
            )
    return _exit(record)


def _exit(record: StoredRecord) -> Exit:
    if record.findings:
        return Exit.NOTHING_OFFERED
    return Exit.OFFERED if record.entries else Exit.CANNOT_TELL
