"""Files that a case names: bundled ones, and those that lie beside it."""

import re
from collections.abc import Callable

from leeward.exchange.document import Document, line_of
from leeward.exchange.problems import FileRefused, Place, Problem, shown

#: A name that stays in its folder: no separators, no leading dot, an ending we read.
_FILE_NAME = re.compile(r"[^/\\:\0.][^/\\:\0]*\.(yaml|yml|json)")

#: Finds the text of a file that lies beside a case, by its name and the place that names it.
Beside = Callable[[str, Place], str]


def safe_name(name: str, document: Document, source: str, place: Place) -> str:
    """Accept the plain name of a file in the case's own folder.

    Parameters
    ----------
    name : str
        As written.
    document : Document
        The case.
    source : str
        Name of the case's file.
    place : tuple of str or int
        Where the name stands.

    Returns
    -------
    str
        The same.

    Raises
    ------
    FileRefused
        If it leads elsewhere.
    """
    # Only a plain name beside the case: a case file sent by somebody else must not be able
    # to read elsewhere on this machine.
    if not _FILE_NAME.fullmatch(name) or ".." in name:
        raise refusal(
            document,
            source,
            place,
            f"{shown(name)} is not the plain name of a file in the case's own folder",
            "a name such as my-unit.yaml, without folders",
        )
    return name


def text_beside(
    beside: Beside | None, name: str, document: Document, source: str, place: Place
) -> tuple[str, str]:
    """Read a file that a case names.

    Parameters
    ----------
    beside : callable or None
        Gives its text; None where the case lies in no folder.
    name : str
        As written.
    document : Document
        The case.
    source : str
        Name of the case's file.
    place : tuple of str or int
        Where the name stands.

    Returns
    -------
    tuple of (str, str)
        The file's name and its text.

    Raises
    ------
    FileRefused
        If it leads elsewhere or cannot be read.
    """
    file = safe_name(name, document, source, place)
    if beside is None:
        raise refusal(
            document, source, place, "a file, but this case lies in no folder", "`described`"
        )
    return file, beside(file, place)


def refusal(document: Document, source: str, place: Place, what: str, expected: str) -> FileRefused:
    """Refuse a place of a case.

    Parameters
    ----------
    document : Document
        The case.
    source : str
        Name of its file.
    place : tuple of str or int
        Where.
    what, expected : str
        What is wrong, and what was expected.

    Returns
    -------
    FileRefused
        With one problem.
    """
    line = line_of(document.lines, place)
    field = ".".join(str(step) for step in place)
    return FileRefused([Problem(source, line, field, what, expected, "correct this line")])
