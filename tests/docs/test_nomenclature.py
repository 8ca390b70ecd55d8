"""One name, one unit: on the page of names and in every docstring of the core."""

import re
from collections import defaultdict
from pathlib import Path

import pytest

from bench.docstrings import numeric_entries

#: Names that stand for a number of any kind, and the module that converts units on purpose.
ANY_UNIT = {"returns", "value", "values", "low", "high"}
CONVERTING = "leeward.terms.units."


@pytest.fixture(scope="module")
def listed(root: Path) -> dict[str, str]:
    """Unit of every quantity on the page."""
    text = (root / "docs" / "reference" / "nomenclature.md").read_text()
    units = {}
    for names, unit in re.findall(r"^\| (`\w+`(?:, `\w+`)*) \|[^|]*\|[^|]*\| (\S+) \|", text, re.M):
        units |= dict.fromkeys(re.findall(r"\w+", names), unit)
    return units


@pytest.fixture(scope="module")
def used() -> dict[str, dict[str, list[str]]]:
    """Units under which each name is described in the core, with where."""
    found: dict[str, dict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
    for entry in numeric_entries():
        if entry.path.startswith(CONVERTING) or entry.unit in (None, "carried", "one each"):
            continue
        for name in set(entry.name.split(", ")) - ANY_UNIT:
            found[name][entry.unit].append(entry.path)
    return found


def test_a_name_on_the_page_has_that_one_unit_everywhere(listed: dict[str, str], used):
    differing = {
        name: (unit, dict(used[name]))
        for name, unit in listed.items()
        if name in used and set(used[name]) != {unit}
    }
    assert differing == {}


def test_the_page_names_what_the_core_uses(listed: dict[str, str], used):
    assert len(set(listed) & set(used)) >= 15
