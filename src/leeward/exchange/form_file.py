"""From text to a checked form: version first, then every field, then all that is wrong at once."""

import json
from collections.abc import Mapping
from typing import TypeVar

from pydantic import BaseModel, ValidationError

from leeward.exchange.document import Plain
from leeward.exchange.problems import FileRefused, Place, Problem, shown
from leeward.exchange.schema_problems import problems_from
from leeward.terms.errors import SchemaTooNew

Form = TypeVar("Form", bound=BaseModel)


def checked_form(
    form: type[Form],
    plain: Mapping[str, Plain],
    *,
    file: str,
    lines: Mapping[Place, int],
    version: int,
) -> Form:
    """Check plain values against a form.

    Parameters
    ----------
    form : type of BaseModel
        The form.
    plain : mapping
        The values.
    file : str
        Name of the file, for messages.
    lines : mapping of place to int
        Lines of the fields.
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
    _check_version(plain, file=file, lines=lines, version=version)
    try:
        # Through JSON, because only there does strict mean what the file's author sees:
        # dates are text, lists are lists, and a number is never made from text.
        return form.model_validate_json(json.dumps(plain, ensure_ascii=True, allow_nan=False))
    except ValidationError as error:
        raise FileRefused(problems_from(error, file=file, lines=lines, form=form)) from error


def _check_version(
    plain: Mapping[str, Plain], *, file: str, lines: Mapping[Place, int], version: int
) -> None:
    given = plain.get("schema_version")
    line = lines.get(("schema_version",))
    where = Problem(file, line, "schema_version", "", "", "").where
    if isinstance(given, int) and not isinstance(given, bool) and given > version:
        raise SchemaTooNew(
            f"form version {given}, written for a newer leeward",
            where=where,
            expected=f"version {version}",
            remedy="install the newer leeward, or ask for the file in this version",
        )
    if given != version or isinstance(given, (bool, float)):
        what = "not given" if "schema_version" not in plain else f"{shown(given)} is no version"
        remedy = f"write `schema_version: {version}` after checking each field against the form"
        problem = Problem(
            file, line, "schema_version", what, f"`schema_version: {version}`", remedy
        )
        raise FileRefused([problem])
