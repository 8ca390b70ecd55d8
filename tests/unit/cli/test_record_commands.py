"""A sheet is kept in a record before it is written, and the record can be verified."""

import hashlib
import json
from pathlib import Path

import pytest

from leeward.exchange.record_store import keep_entry, read_record
from tests.unit.cli.front_door import NOW, Planned, run

REASON = "agreed with her"


def sheet(plan: Planned, out: Path, record: Path, *words: str) -> int:
    asked = ("--choice", "balanced", "--author", "A. Practitioner", "--out", out)
    return run("sheet", plan.file, *asked, "--record", record, *words).code


def test_an_accepted_sheet_is_kept_with_the_whole_plan(ordinary: Planned, tmp_path: Path):
    out, record = tmp_path / "sheet.pdf", tmp_path / "record"
    assert sheet(ordinary, out, record, "--accept-reason", REASON) == 0
    (kept,) = read_record(record).entries
    assert (kept.kind, kept.author, kept.at) == ("sheet accepted", "A. Practitioner", NOW)
    assert isinstance(kept.body, dict)
    assert kept.body["accepted_because"] == REASON
    assert kept.body["plan"] == json.loads(ordinary.file.read_text(encoding="utf-8"))


def test_the_record_names_the_very_bytes_that_were_printed(ordinary: Planned, tmp_path: Path):
    out, record = tmp_path / "sheet.pdf", tmp_path / "record"
    sheet(ordinary, out, record)
    (kept,) = read_record(record).entries
    assert isinstance(kept.body, dict)
    assert kept.kind == "sheet drafted"
    assert kept.body["sheet_sha256"] == hashlib.sha256(out.read_bytes()).hexdigest()


def test_without_a_record_no_sheet_is_written(ordinary: Planned, tmp_path: Path):
    out, record = tmp_path / "sheet.pdf", tmp_path / "record"
    record.write_text("a file", encoding="utf-8")
    assert sheet(ordinary, out, record) == 2
    assert not out.exists()


def test_a_sheet_that_has_no_folder_leaves_no_entry(ordinary: Planned, tmp_path: Path):
    record = tmp_path / "record"
    assert sheet(ordinary, tmp_path / "nowhere" / "sheet.pdf", record) == 2
    assert not record.exists()


def test_a_refused_acceptance_leaves_no_entry(half_known: Planned, tmp_path: Path):
    out, record = tmp_path / "sheet.pdf", tmp_path / "record"
    words = ("--choice", half_known.stored.decision.choices[0].name.value)
    ran = run(
        "sheet", half_known.file, *words, "--author", "A", "--accept-reason", "x",
        "--out", out, "--record", record,
    )  # fmt: skip
    assert ran.code == 1
    assert not record.exists()


@pytest.fixture
def record(tmp_path: Path) -> Path:
    for number in range(3):
        keep_entry(tmp_path / "r", {"n": number}, at=NOW, author="A. Nurse", kind="note")
    return tmp_path / "r"


def test_a_whole_record_is_said_to_hold_and_what_cannot_be_seen_is_said_too(record: Path):
    ran = run("verify-record", record)
    assert ran.code == 0
    assert "Every entry is as it was sealed" in ran.said
    assert "only a digest noted elsewhere shows that" in ran.said


def test_an_altered_record_is_refused_and_the_entry_named(record: Path):
    file = record / "entry-000002.json"
    file.write_bytes(file.read_bytes().replace(b"A. Nurse", b"B. Nurse"))
    ran = run("verify-record", record)
    assert ran.code == 1
    assert "Entry 2 (note) is not what was sealed" in ran.said
    assert json.loads(run("verify-record", record, "--json").out)["findings"]


def test_an_empty_record_proves_nothing(tmp_path: Path):
    ran = run("verify-record", tmp_path)
    assert ran.code == 3
    assert "nothing can be said" in ran.said


def test_a_digest_that_is_none_is_refused(record: Path):
    ran = run("verify-record", record, "--ends-with", "abc")
    assert ran.code == 2
    assert "is no digest" in ran.complained


def test_an_end_cut_off_is_shown_by_a_digest_noted_elsewhere(record: Path):
    last = read_record(record).entries[-1].digest
    assert run("verify-record", record, "--ends-with", last).code == 0
    (record / "entry-000003.json").unlink()
    assert run("verify-record", record, "--ends-with", last).code == 1
