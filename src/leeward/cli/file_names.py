"""Names of files and folders as typed on the command line."""

from pathlib import Path

import typer


def named(text: str) -> Path:
    """A file or folder to write to; an empty name would quietly mean the folder one stands in."""
    if not text.strip():
        raise typer.BadParameter("an empty name; expected the name of a file or folder")
    return Path(text)


def picture_named(text: str) -> Path:
    """A picture to write to, refused before anything is computed or a file of another kind lost."""
    path = named(text)
    if path.suffix.lower() != ".svg":
        raise typer.BadParameter(
            f"{text!r} is no name of a picture; expected one that ends in .svg"
        )
    if not path.parent.is_dir():
        raise typer.BadParameter(f"there is no folder {str(path.parent)!r}; make the folder first")
    return path
