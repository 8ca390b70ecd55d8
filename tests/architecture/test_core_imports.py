"""The numerical core uses the language, NumPy and SciPy: a list of what it may, not may not."""

import ast
from pathlib import Path

import pytest

from bench.axes import Source, read_source

LIBRARIES = {"numpy", "scipy", "numba", "leeward"}
LANGUAGE = {
    "__future__", "abc", "bisect", "collections", "csv", "dataclasses", "datetime", "decimal",
    "enum", "fractions", "functools", "hashlib", "heapq", "itertools", "json", "math", "operator",
    "re", "statistics", "string", "types", "typing", "unicodedata", "zoneinfo",
}  # fmt: skip
#: Names of the language through which a file, the terminal or another program could be reached.
REACHING = {"open", "print", "input", "exec", "eval", "compile", "breakpoint", "__import__"}


@pytest.fixture(scope="module")
def source(root: Path) -> Source:
    return read_source(root / "src" / "leeward")


def test_the_core_imports_only_what_is_listed(source: Source):
    strangers = [
        f"{module.name} imports {found.target}"
        for module in source.modules
        if source.is_core(module.name)
        for found in module.imports
        if found.target.split(".")[0] not in LIBRARIES | LANGUAGE
    ]
    assert strangers == []


def test_the_core_opens_and_prints_nothing(source: Source):
    reached = [
        f"{module.name}:{node.lineno} uses {node.id}"
        for module in source.modules
        if source.is_core(module.name)
        for node in ast.walk(module.tree)
        if isinstance(node, ast.Name) and node.id in REACHING
    ]
    assert reached == []


def test_the_core_keeps_no_generator_of_its_own(source: Source):
    """Chance is an argument: two runs with one seed must agree to the last bit."""
    made = [
        f"{module.name}:{node.lineno}"
        for module in source.modules
        if source.is_core(module.name)
        for node in ast.walk(module.tree)
        if isinstance(node, ast.Attribute)
        and node.attr in {"seed", "RandomState"}
        and "random" in ast.unparse(node.value)
    ]
    assert made == []
