"""Every decision record is whole, and the checks it relies on exist."""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent
RECORDS = sorted((ROOT / "docs" / "decisions").glob("[0-9]*.md"))
SECTIONS = [
    "Context",
    "Decision",
    "Consequences",
    "What would change our mind",
    "Checks that hold it",
]
CHECK = re.compile(r"`(tests/[\w/]+\.py)::(\w+)`")


def _names(file: Path) -> set[str]:
    return {node.name for node in ast.walk(ast.parse(file.read_text())) if hasattr(node, "name")}


def test_there_are_records():
    assert len(RECORDS) >= 7


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.stem)
def test_a_record_is_whole(record: Path):
    text = record.read_text()
    assert re.match(rf"# {record.stem[:4]}: .+\n\n- \*\*Status:\*\* \w+.*\n- \*\*Date:\*\* ", text)
    assert re.findall(r"^## (.+)$", text, re.M) == SECTIONS


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.stem)
def test_the_checks_of_a_record_exist(record: Path):
    named = CHECK.findall(record.read_text().split("## Checks that hold it", 1)[1])
    assert named
    assert [(file, test) for file, test in named if test not in _names(ROOT / file)] == []


def test_records_are_numbered_without_gaps():
    assert [int(record.stem[:4]) for record in RECORDS] == list(range(1, len(RECORDS) + 1))
