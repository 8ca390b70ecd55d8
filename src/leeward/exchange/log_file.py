"""Opening a log file as lines of text, plain or compressed."""

import gzip
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TextIO

from leeward.terms.errors import UnreadableLog


@contextmanager
def open_log(path: Path) -> Iterator[TextIO]:
    """Open a log for reading line by line.

    Parameters
    ----------
    path : Path
        The file; compressed when its name ends in .gz.

    Yields
    ------
    TextIO
        Its lines, without a byte-order mark.

    Raises
    ------
    UnreadableLog
        If it is a folder, is not compressed as its name says, or breaks off.
    """
    if not path.is_file():
        raise UnreadableLog(
            "it is not there" if not path.exists() else "it is not a file",
            where=str(path),
            expected="a log file",
            remedy="check the name",
        )
    try:
        if path.suffix == ".gz":
            with gzip.open(path, "rt", encoding="utf-8-sig") as lines:
                yield lines
        else:
            with path.open(encoding="utf-8-sig", newline=None) as lines:
                yield lines
    except (gzip.BadGzipFile, EOFError, zlib.error) as error:
        raise UnreadableLog(
            f"it cannot be unpacked ({error})",
            where=str(path),
            expected="a whole file compressed with gzip, as its name says",
            remedy="export the log again",
        ) from error
