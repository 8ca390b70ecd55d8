"""Names of files and folders as typed on the command line."""

from pathlib import Path

import typer


def named(text: str) -> Path:
    """A file or folder to write to; an empty name would quietly mean the folder one stands in."""
    if not text.strip():
        raise typer.BadParameter("an empty name; expected the name of a file or folder")
    return Path(text)
