"""Reads the docstrings of the numerical core: their form, and the unit of every number."""

import dataclasses
import importlib
import inspect
import pkgutil
import re
import tomllib
from collections.abc import Iterator
from enum import Enum
from pathlib import Path
from types import ModuleType
from typing import Any, NamedTuple, Protocol

from numpydoc.docscrape import NumpyDocString, Parameter
from numpydoc.validate import validate

import leeward

ROOT = Path(__file__).parent.parent
CORE = ("terms", "records", "contact", "tissue", "programme", "delivered", "fitting", "review")

NUMERIC = re.compile(r"\b(float|floating|int|array_like|ndarray|numeric)\b|\bNDArray", re.I)
TEXT_ARRAY = re.compile(r"\b(of|dtype) (str|bool|Site|Posture|object)\b|\bbool\b", re.I)
UNIT = re.compile(r"\[((?:1/)?[^\]\s\d][^\]\n]{0,24})\]\.?$")
UNIT_INSIDE = re.compile(r"\[(?:1/)?[^\]\s\d][^\]\n]{0,24}\]")
#: A record whose unit travels with it says so in words instead.
CARRIED_UNIT = re.compile(r"\bin `?\w*unit`?|\bin the \w+' unit", re.I)


class Described(NamedTuple):
    """One public object of the core and the path that names it."""

    path: str
    value: Any


class Entry(NamedTuple):
    """One numeric entry of a docstring with the unit it states, if any."""

    path: str
    name: str
    unit: str | None


def core_modules() -> Iterator[ModuleType]:
    """Every module of the core rooms that exist."""
    for room in pkgutil.iter_modules(leeward.__path__, "leeward."):
        if room.name.removeprefix("leeward.") not in CORE:
            continue
        package = importlib.import_module(room.name)
        yield package
        for found in pkgutil.walk_packages(package.__path__, package.__name__ + "."):
            yield importlib.import_module(found.name)


def public_objects() -> Iterator[Described]:
    """Public classes, functions, methods and properties, each where it is defined."""
    for module in core_modules():
        for name, value in vars(module).items():
            own = getattr(value, "__module__", None) == module.__name__
            if name.startswith("_") or not own:
                continue
            if inspect.isclass(value):
                yield Described(f"{module.__name__}.{name}", value)
                yield from _members(f"{module.__name__}.{name}", value)
            elif inspect.isfunction(inspect.unwrap(value)):
                yield Described(f"{module.__name__}.{name}", value)


def _members(path: str, owner: type) -> Iterator[Described]:
    for name, value in vars(owner).items():
        plain = getattr(value, "__func__", value)
        is_ours = inspect.isfunction(plain) or isinstance(plain, property)
        if is_ours and not name.startswith("_"):
            yield Described(f"{path}.{name}", plain)


def form_errors() -> list[str]:
    """What numpydoc finds wrong, by the checks listed in pyproject.toml."""
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]
    checks = set(settings["numpydoc_validation"]["checks"])
    errors = []
    for path, value in public_objects():
        for code, message in validate(path)["errors"]:
            if code in checks and not _is_excused(code, value):
                errors.append(f"{path}: {code} {message}")
    return errors


def _is_excused(code: str, value: Any) -> bool:
    """A property may end in its unit; only a signature of our own must be described."""
    if isinstance(value, property):
        return code == "SS03" and _unit_at_end(inspect.getdoc(value) or "") is not None
    if not inspect.isclass(value) or not code.startswith("PR"):
        return False
    ours = dataclasses.is_dataclass(value) or "__init__" in vars(value)
    return not ours or issubclass(value, Enum) or Protocol in value.__bases__


def numeric_entries() -> Iterator[Entry]:
    """Numbers that go in or come out of the public core, with their stated units."""
    for path, value in public_objects():
        text = inspect.getdoc(value) or ""
        if isinstance(value, property):
            returned = str(inspect.signature(value.fget).return_annotation)
            if is_numeric(returned):
                yield Entry(path, "returns", _unit_at_end(text.split("\n\n")[0]))
            continue
        doc = NumpyDocString(text)
        for section in ("Parameters", "Returns", "Yields", "Attributes"):
            for entry in doc[section]:
                if is_numeric(entry.type or entry.name):
                    yield Entry(path, entry.name or "returns", unit_of(entry))


def is_numeric(kind: str) -> bool:
    """Whether a type line describes numbers."""
    return bool(NUMERIC.search(kind)) and not TEXT_ARRAY.search(kind)


def unit_of(entry: Parameter) -> str | None:
    """The unit an entry ends with, or how else its unit is known, or None."""
    text = " ".join(line.strip() for line in entry.desc if line.strip())
    if CARRIED_UNIT.search(text):
        return "carried"
    if entry.type.startswith("tuple of (") and UNIT_INSIDE.search(text):
        return "one each"
    return _unit_at_end(text)


def _unit_at_end(text: str) -> str | None:
    found = UNIT.search(" ".join(text.split()))
    return found[1] if found else None


def unit_errors() -> list[str]:
    """Numeric entries that do not end with their unit in square brackets."""
    return [
        f"{entry.path}: {entry.name} does not end with its unit in square brackets"
        for entry in numeric_entries()
        if entry.unit is None
    ]
