"""Writing files: a new one never over another, a replaced one whole or not at all."""

import os
import secrets
from pathlib import Path

from leeward.terms.errors import InvalidInput


def write_new(path: Path, text: str) -> None:
    """Write a text file that is not there yet.

    Parameters
    ----------
    path : Path
        Where.
    text : str
        What.

    Raises
    ------
    InvalidInput
        If the file is there already, or its folder is not.
    """
    _need_folder(path)
    try:
        with path.open("x", encoding="utf-8") as stream:
            stream.write(text)
    except FileExistsError as error:
        raise InvalidInput(
            "the file is there already",
            where=str(path),
            expected="a name that is still free",
            remedy="choose another name, or move the file away",
        ) from error


def replace_whole(path: Path, content: bytes) -> None:
    """Write a file so that it holds either what it held or all of the new content.

    Parameters
    ----------
    path : Path
        Where.
    content : bytes
        What.

    Raises
    ------
    InvalidInput
        If its folder is not there.
    """
    _need_folder(path)
    # A file half written by a machine that stops must not be taken for a whole one.
    temporary = path.with_name(f".{path.name}.{secrets.token_hex(6)}")
    try:
        with temporary.open("xb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        temporary.replace(path)
    finally:
        temporary.unlink(missing_ok=True)


def _need_folder(path: Path) -> None:
    if not path.parent.is_dir():
        raise InvalidInput(
            f"there is no folder {path.parent}",
            where=str(path),
            expected="a folder that is there",
            remedy="make the folder first",
        )
