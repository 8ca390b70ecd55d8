"""Files that a case names: bundled ones, and those that lie beside it."""

import re
from collections.abc import Callable

from leeward.exchange.bundled import bundled_document
from leeward.exchange.document import Document, Plain, line_of, parse_document
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


def written_here(document: Document, field: str) -> Plain:
    """What a field of a case describes itself, as it was written.

    Parameters
    ----------
    document : Document
        The case.
    field : str
        A field with a `described` of its own.

    Returns
    -------
    plain value
        The description.
    """
    given = document.plain[field]
    return given["described"] if isinstance(given, dict) else None


def named_bundled(kind: str, name: str, document: Document, source: str, place: Place) -> Document:
    """Find the bundled file that a file names.

    Parameters
    ----------
    kind, name : str
        As for `bundled_document`.
    document : Document
        What names it.
    source : str
        Name of that file.
    place : tuple of str or int
        Where the name stands.

    Returns
    -------
    Document
        The bundled one.

    Raises
    ------
    FileRefused
        At that place, if nothing of that name comes with leeward.
    """
    try:
        return bundled_document(kind, name)
    except FileRefused as error:
        problem = error.problems[0]
        raise refusal(document, source, place, problem.what, problem.expected) from error


def document_beside(
    beside: Beside | None, name: str, document: Document, source: str, place: Place
) -> tuple[str, Document]:
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
    tuple of (str, Document)
        The file's name and what stands in it.

    Raises
    ------
    FileRefused
        If it leads elsewhere, cannot be read, or is no such document.
    """
    file = safe_name(name, document, source, place)
    if beside is None:
        raise refusal(
            document, source, place, "a file, but this case lies in no folder", "`described`"
        )
    return file, parse_document(beside(file, place), file)


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
