"""Planning and verification cannot disagree about physics: loads are computed in one place."""

import ast
from pathlib import Path

import pytest

from bench.axes import Source, read_source

#: Rooms that are handed load ratios and know nothing of bodies on beds.
HANDED = ("programme", "delivered", "review")
#: What the room of bodies on beds shows: loads, what they are over, body sizes, a cut, maps
#: computed and measured, draws and the bands over them, distances to the platform's edges.
FRONT = (
    "loads",
    "load_table",
    "scenarios",
    "section",
    "anthropometry",
    "pressure_map",
    "peak_band",
    "measured_map",
    "correction",
    "corrected",
    "draws",
    "drawn_loads",
    "bands",
    "edges",
)


@pytest.fixture(scope="module")
def source(root: Path) -> Source:
    return read_source(root / "src" / "leeward")


def test_other_rooms_see_only_the_front_of_contact(source: Source):
    """Nobody outside solves a balance: loads come from `posture_loads` or not at all.

    A constant may come from further in: it solves nothing.
    """
    asked = {
        found.target
        for module in source.modules
        if not module.name.startswith("leeward.contact")
        for found in module.imports
        if found.target.startswith("leeward.contact")
        and not all(name.isupper() for name in found.names)
    }
    assert asked <= {f"leeward.contact.{name}" for name in FRONT}
    assert "leeward.contact.loads" in asked


def test_planning_and_comparing_ask_for_loads_alike(source: Source):
    flow = next(module for module in source.modules if module.name == "leeward.flow")
    verbs = {node.name: ast.unparse(node) for node in flow.functions}
    assert "_demand(" in verbs["plan"]
    assert "_demand(" in verbs["compare"]
    assert "posture_loads(" not in verbs["plan"] + verbs["compare"]


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
