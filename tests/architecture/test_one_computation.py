"""Planning and verification cannot disagree about physics: loads are computed in one place."""

import ast
from pathlib import Path

import pytest

from bench.axes import Source, read_source

#: Rooms that are handed load ratios and know nothing of bodies on beds.
HANDED = ("programme", "delivered", "review")


@pytest.fixture(scope="module")
def source(root: Path) -> Source:
    return read_source(root / "src" / "leeward")


def _calls(source: Source, function: str) -> set[str]:
    return {
        module.name
        for module in source.modules
        for node in ast.walk(module.tree)
        if isinstance(node, ast.Call) and ast.unparse(node.func).split(".")[-1] == function
    }


def test_loads_are_asked_for_in_one_place(source: Source):
    asking = {m for m in _calls(source, "posture_loads") if not m.startswith("leeward.contact")}
    assert asking == {"leeward.tissue.demand"}


def test_planning_and_review_are_handed_loads(source: Source):
    asking = [
        f"{module.name} imports {found.target}"
        for module in source.modules
        if module.name.split(".")[1:2] and module.name.split(".")[1] in HANDED
        for found in module.imports
        if found.target.startswith("leeward.contact")
    ]
    assert asking == []


def test_planning_and_review_share_one_allowance(source: Source):
    """Both import it, so neither has one of its own; the recheck's own loop is on purpose."""
    using = {
        module.name.split(".")[1]
        for module in source.modules
        for found in module.imports
        if found.target == "leeward.tissue.allowance"
    }
    assert {"programme", "review"} <= using
