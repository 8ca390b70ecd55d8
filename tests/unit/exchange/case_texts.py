"""Case texts that tests read: the smallest case, and a way to change one line of a whole one."""

from pathlib import Path

from leeward.exchange.case_file import CaseDocument, case_from_document
from leeward.exchange.document import parse_document

ROOT = Path(__file__).parents[3]
EXAMPLES = ROOT / "examples" / "cases"
ORDINARY = (EXAMPLES / "ordinary.yaml").read_text(encoding="utf-8")

SMALLEST = """
schema_version: 1
invented: "Invented for tests."
person: {label: Test person, sex: female, stature_cm: 162.5, mass_kg: 61.5}
day: {sleep: {start: 22:00, end: 06:30}}
"""


def read_text(text: str, source: str = "case.yaml") -> CaseDocument:
    """Read a case from its text."""
    return case_from_document(parse_document(text, source), source=source)


def changed(old: str, new: str) -> str:
    """The ordinary example with one passage changed."""
    assert ORDINARY.count(old) >= 1, old
    return ORDINARY.replace(old, new, 1)
