"""Units are converted in one module; everywhere else numbers are SI and radians."""

import ast
from pathlib import Path

import pytest

from bench.axes import Module, read_source

CONVERTING = {"radians", "degrees", "deg2rad", "rad2deg"}
FACTORS = {9.80665, 133.322387415, 133.322, 133.32}
HOME = "leeward.terms.units"


def conversions(module: Module) -> list[str]:
    """Places where a module converts a unit by itself."""
    found = []
    for node in ast.walk(module.tree):
        called = isinstance(node, ast.Attribute) and node.attr in CONVERTING
        factor = isinstance(node, ast.Constant) and node.value in FACTORS
        if called or factor:
            found.append(f"{module.name}:{node.lineno} {ast.unparse(node)}")
    return found


@pytest.fixture(scope="module")
def modules(root: Path) -> tuple[Module, ...]:
    return read_source(root / "src" / "leeward").modules


def test_units_are_converted_in_one_module(modules: tuple[Module, ...]):
    elsewhere = [place for m in modules if m.name != HOME for place in conversions(m)]
    assert elsewhere == []


def test_the_one_module_is_seen_to_convert(modules: tuple[Module, ...]):
    assert conversions(next(module for module in modules if module.name == HOME))
