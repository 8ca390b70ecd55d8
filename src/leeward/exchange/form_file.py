"""From text to a checked form: version first, then every field, then all that is wrong at once."""

import json
from pathlib import Path
from typing import TypeVar

from pydantic import BaseModel, ValidationError

from leeward.exchange.document import LARGEST_FILE, Document, parse_document
from leeward.exchange.plain_file import read_text
from leeward.exchange.problems import FileRefused, Problem, shown
from leeward.exchange.schema_problems import problems_from
from leeward.terms.errors import SchemaTooNew

Form = TypeVar("Form", bound=BaseModel)


def checked_form(form: type[Form], document: Document, *, file: str, version: int) -> Form:
    """Check what was written against a form.

    Parameters
    ----------
    form : type of BaseModel
        The form.
    document : Document
        What was written, and on which lines.
    file : str
        Name of the file, for messages.
    version : int
        Version of the form this leeward reads.

    Returns
    -------
    BaseModel
        The form, filled.

    Raises
    ------
    SchemaTooNew
        If the file says it was written in a newer form.
    FileRefused
        If anything else is wrong, with every problem found.
    """
    _check_version(document, file=file, version=version)
    try:
        # Through JSON, because only there does strict mean what the file's author sees:
        # dates are text, lists are lists, and a number is never made from text.
        return form.model_validate_json(
            json.dumps(document.plain, ensure_ascii=True, allow_nan=False)
        )
    except ValidationError as error:
        raise FileRefused(
            problems_from(error, file=file, lines=document.lines, form=form)
        ) from error


def read_form(form: type[Form], path: Path, what: str, *, version: int) -> Form:
    """Read a file that holds one form.

    Parameters
    ----------
    form : type of BaseModel
        The form.
    path : Path
        The file.
    what : str
        What it should be, for messages: "a bed sheet".
    version : int
        Version of the form this leeward reads.

    Returns
    -------
    BaseModel
        The form, filled.

    Raises
    ------
    SchemaTooNew, FileRefused
        As `checked_form`, and if the file cannot be read.
    """
    document = parse_document(read_text(path, LARGEST_FILE, what), path.name)
    return checked_form(form, document, file=path.name, version=version)


def _check_version(document: Document, *, file: str, version: int) -> None:
    given = document.plain.get("schema_version")
    line = document.lines.get(("schema_version",))
    where = Problem(file, line, "schema_version", "", "", "").where
    if isinstance(given, int) and not isinstance(given, bool) and given > version:
        raise SchemaTooNew(
            f"form version {given}, written for a newer leeward",
            where=where,
            expected=f"version {version}",
            remedy="install the newer leeward, or ask for the file in this version",
        )
    if given != version or isinstance(given, (bool, float)):
        is_given = "schema_version" in document.plain
        what = f"{shown(given)} is no version" if is_given else "not given"
        remedy = f"write `schema_version: {version}` after checking each field against the form"
        problem = Problem(
            file, line, "schema_version", what, f"`schema_version: {version}`", remedy
        )
        raise FileRefused([problem])
