"""A column map file becomes the record that readers of logs use."""

from pathlib import Path

import pytest

from leeward.delivered.column_map import AngleUnit, PositiveMeans, TimeKind
from leeward.exchange.column_map_file import read_column_map
from leeward.exchange.problems import FileRefused
from leeward.terms.errors import SchemaTooNew
from tests.unit.exchange.case_texts import ROOT

EXAMPLE = ROOT / "examples" / "maps" / "one-angle.yaml"


def changed_map(tmp_path: Path, old: str, new: str) -> Path:
    """The example map with one passage changed, as a file."""
    text = EXAMPLE.read_text(encoding="utf-8")
    assert old in text
    file = tmp_path / "map.yaml"
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    return file


def test_the_example_map_is_read():
    found = read_column_map(EXAMPLE)
    assert (found.time.column, found.time.kind) == ("time", TimeKind.OFFSET)
    assert (found.angle.column, found.angle.unit) == ("angle_deg", AngleUnit.DEG)
    assert found.positive_means is PositiveMeans.LEFT
    assert found.largest_gap == 60.0
    assert found.simulated


def test_the_side_has_to_be_said_even_when_nobody_knows(tmp_path: Path):
    with pytest.raises(FileRefused, match="positive_means: not given"):
        read_column_map(changed_map(tmp_path, "positive_means: left", "#"))
    undeclared = changed_map(tmp_path, "positive_means: left", "positive_means: undeclared")
    assert read_column_map(undeclared).positive_means is PositiveMeans.UNDECLARED


REFUSED = {
    "an unknown field": ("largest_gap_s", "largest_gp_s", "perhaps `largest_gap_s`"),
    "an unknown unit": ("unit: deg}", "unit: degrees}", "perhaps `deg`"),
    "wall time without a zone": (
        "kind: offset, zone: Europe/London",
        "kind: wall",
        "local wall time without a time zone",
    ),
    "a zone of this machine": ("Europe/London", "localtime", "no time zone named"),
    "a gap nobody watches": ("largest_gap_s: 60", "largest_gap_s: 86400", "silence cannot count"),
    "one column for two things": (
        "column: angle_deg",
        "column: time",
        "a different column for each",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_a_map_that_cannot_be_is_refused_by_its_file(tmp_path: Path, name: str):
    old, new, said = REFUSED[name]
    with pytest.raises(FileRefused) as refused:
        read_column_map(changed_map(tmp_path, old, new))
    assert said in str(refused.value)
    assert str(refused.value).startswith("map.yaml")


def test_a_newer_map_is_named_as_such(tmp_path: Path):
    with pytest.raises(SchemaTooNew):
        read_column_map(changed_map(tmp_path, "schema_version: 1", "schema_version: 2"))
