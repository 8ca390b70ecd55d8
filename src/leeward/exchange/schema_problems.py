"""From what the schema refused to sentences with a line, a nearest name and a remedy."""

import difflib
import types
import typing
from collections.abc import Mapping
from typing import Any

from pydantic import BaseModel, ValidationError

from leeward.exchange.document import line_of
from leeward.exchange.field_types import Refusal, is_blank
from leeward.exchange.problems import Place, Problem, field_path, shown

#: Units by the ending of a field's name.
_UNITS = {
    "_deg": "degrees",
    "_cm": "cm",
    "_mm": "mm",
    "_kg": "kg",
    "_min": "minutes",
    "_s": "seconds",
    "_kpa": "kPa",
    "_n": "N",
    "_years": "years",
    "_kg_m3": "kg per cubic metre",
}

_EDGES = {
    "greater_than": ("above", "gt"),
    "greater_than_equal": ("at least", "ge"),
    "less_than": ("below", "lt"),
    "less_than_equal": ("at most", "le"),
}

_KINDS = {
    "float_type": "a number",
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "float_parsing": "a number",
    "finite_number": "a number that is not infinite",
    "bool_type": "true or false",
    "string_type": "text (put it in quotes)",
    "tuple_type": "a list",
    "list_type": "a list",
    "model_type": "a group of fields, indented below",
    "model_attributes_type": "a group of fields, indented below",
    "date_type": "a date such as 2026-11-25",
    "date_parsing": "a date such as 2026-11-25",
    "date_from_datetime_parsing": "a date such as 2026-11-25",
    "date_from_datetime_inexact": "a date without a time, such as 2026-11-25",
    "datetime_type": "a date and time such as 2026-11-25 09:30",
    "datetime_parsing": "a date and time such as 2026-11-25 09:30",
    "datetime_from_date_parsing": "a date and time such as 2026-11-25 09:30",
}


def problems_from(
    error: ValidationError, *, file: str, lines: Mapping[Place, int], form: type[BaseModel]
) -> list[Problem]:
    """Turn everything a schema refused into problems, in the order of the file.

    Parameters
    ----------
    error : ValidationError
        What was refused.
    file : str
        Name of the file.
    lines : mapping of place to int
        Lines of its fields.
    form : type of BaseModel
        The schema, for the names it knows.

    Returns
    -------
    list of Problem
        At least one.
    """
    # What is not given comes last: it is often the same slip as a name that is not known.
    details = sorted(error.errors(include_url=False), key=lambda one: one["type"] == "missing")
    found = [_problem(detail, file, lines, form) for detail in details]
    given = sum(detail["type"] != "missing" for detail in details)
    return [*sorted(found[:given], key=_line), *sorted(found[given:], key=_line)]


def _line(problem: Problem) -> int:
    return problem.line or 0


def _problem(
    detail: Mapping[str, Any], file: str, lines: Mapping[Place, int], form: type[BaseModel]
) -> Problem:
    refusal = detail.get("ctx", {}).get("error")
    place = detail["loc"] + (refusal.place if isinstance(refusal, Refusal) else ())
    what, expected, remedy = _parts(detail, form)
    if is_blank(detail["input"]):
        what = f"{shown(detail['input'])} is not filled in yet"
        remedy = "fill it in, or take the line out"
    return Problem(file, line_of(lines, place), field_path(place), what, expected, remedy)


def _parts(detail: Mapping[str, Any], form: type[BaseModel]) -> tuple[str, str, str]:
    kind, place, context = detail["type"], detail["loc"], detail.get("ctx", {})
    name = str(place[-1]) if place else ""
    value = shown(detail["input"])
    refusal = context.get("error")
    if isinstance(refusal, Refusal):
        return refusal.what, refusal.expected, refusal.remedy
    if kind == "extra_forbidden":
        return _unknown(name, _names_at(form, place[:-1]))
    if kind == "missing":
        return "not given", f"the field `{name}`", "add it"
    if kind == "literal_error":
        return f"{value} is not known here", str(context["expected"]), "write one of these"
    if kind in _EDGES:
        words, key = _EDGES[kind]
        signed = name == "turn_deg" and detail["input"] < 0
        remedy = "write the side in turned_to, and the angle without a sign"
        expected = f"{words} {context[key]:g}{_unit(name)}"
        return f"{value} is out of range", expected, remedy if signed else "correct it"
    if kind in _KINDS:
        return (
            f"{value} where another kind of value belongs",
            _KINDS[kind] + _unit(name),
            "correct it",
        )
    return _of_length(kind, detail["input"], context)


def _of_length(kind: str, given: Any, context: Mapping[str, Any]) -> tuple[str, str, str]:
    if kind == "too_long":
        return (
            f"{context['actual_length']} entries",
            f"at most {context['max_length']}",
            "shorten it",
        )
    if kind == "too_short" and not isinstance(given, str):
        return "too few entries", f"at least {context['min_length']}", "add what is missing"
    if kind == "string_too_long":
        return "a text that is too long", f"at most {context['max_length']} letters", "shorten it"
    if kind in ("too_short", "string_too_short"):
        return "an empty text", "some text", "write it or leave the field out"
    return f"{shown(given)} is not accepted ({kind})", "a value of the kind described", "correct it"


def _unknown(name: str, known: list[str]) -> tuple[str, str, str]:
    near = difflib.get_close_matches(name, known, n=1, cutoff=0.5)
    what = f"no field is called {shown(name)} here"
    if near:
        return what, f"perhaps `{near[0]}`", "correct the name or take the line out"
    return what, "one of " + ", ".join(known), "correct the name or take the line out"


def _unit(name: str) -> str:
    for ending in sorted(_UNITS, key=len, reverse=True):
        if name.endswith(ending):
            return f" in {_UNITS[ending]}"
    return ""


def _names_at(form: type[BaseModel], place: Place) -> list[str]:
    current: type[BaseModel] | None = form
    for step in place:
        if isinstance(step, int) or current is None:
            continue
        field = current.model_fields.get(step)
        current = None if field is None else _group_in(field.annotation)
    return [] if current is None else list(current.model_fields)


def _group_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    if typing.get_origin(annotation) in (typing.Annotated, typing.Union, types.UnionType, tuple):
        for part in typing.get_args(annotation):
            found = _group_in(part)
            if found is not None:
                return found
    return None
