"""A record on disk: what was acknowledged is there, and what was changed is named."""

import os
import signal
import subprocess
import sys
import threading
from datetime import UTC, datetime
from pathlib import Path

import pytest

from leeward.exchange import record_store
from leeward.exchange.record_store import keep_entry, read_record
from leeward.terms.errors import InvalidInput

AT = datetime(2030, 1, 31, 22, tzinfo=UTC)


@pytest.fixture
def record(tmp_path: Path) -> Path:
    folder = tmp_path / "record"
    for number in range(4):
        keep_entry(folder, {"turn": number}, at=AT, author="A. Nurse", kind="skin check")
    return folder


def entry(folder: Path, number: int) -> Path:
    return folder / f"entry-{number:06d}.json"


def codes(folder: Path, last_digest: str | None = None) -> list[str]:
    return [finding.code for finding in read_record(folder, last_digest=last_digest).findings]


def test_entries_are_read_back_in_their_order_and_hold(record: Path):
    found = read_record(record)
    assert [one.sequence for one in found.entries] == [1, 2, 3, 4]
    assert found.findings == ()
    assert found.unfinished == ()


def test_an_altered_file_is_named(record: Path):
    file = entry(record, 2)
    file.write_bytes(file.read_bytes().replace(b'"turn":1', b'"turn":7'))
    assert codes(record) == ["entry-altered"]
    assert "Entry 2" in read_record(record).findings[0].sentence


def test_a_missing_file_is_named(record: Path):
    entry(record, 3).unlink()
    assert codes(record) == ["entries-missing"]


def test_two_files_that_changed_places_are_named(record: Path):
    second, third = entry(record, 2), entry(record, 3)
    aside = record.parent / "aside"
    second.rename(aside)
    third.rename(second)
    aside.rename(third)
    assert codes(record).count("entry-misnamed") == 2
    assert "entry-moved" in codes(record)


def test_a_copy_under_another_number_is_named(record: Path):
    entry(record, 5).write_bytes(entry(record, 4).read_bytes())
    assert set(codes(record)) == {"entry-misnamed", "entry-repeated"}


def test_an_end_cut_off_shows_only_beside_a_digest_noted_elsewhere(record: Path):
    last = read_record(record).entries[-1].digest
    entry(record, 4).unlink()
    assert codes(record) == []
    assert codes(record, last) == ["chain-end-differs"]


@pytest.mark.parametrize("content", [b"", b"{", b"\xff\xfe", b"[1]", b'{"sequence":1}', b"0" * 99])
def test_a_file_that_is_no_entry_is_named_and_the_rest_is_read(record: Path, content: bytes):
    entry(record, 2).write_bytes(content)
    assert "entry-unreadable" in codes(record)
    assert [one.sequence for one in read_record(record).entries] == [1, 3, 4]


def test_the_same_values_in_another_spelling_are_named(record: Path):
    file = entry(record, 2)
    file.write_bytes(file.read_bytes().replace(b":", b": ", 1))
    assert codes(record) == ["entry-rewritten"]


def test_a_foreign_file_is_named_and_a_folder_in_the_place_of_an_entry_too(record: Path):
    (record / "notes.txt").write_text("x", encoding="utf-8")
    entry(record, 9).mkdir()
    assert set(codes(record)) == {"file-unknown", "entry-unreadable"}


def test_nothing_is_added_after_an_entry_that_was_altered(record: Path):
    file = entry(record, 4)
    file.write_bytes(file.read_bytes().replace(b'"turn":3', b'"turn":4'))
    with pytest.raises(InvalidInput, match="not what was sealed"):
        keep_entry(record, {}, at=AT, author="B", kind="note")
    assert not entry(record, 5).exists()


def test_nothing_is_tried_out_among_the_entries_where_a_killed_writer_would_leave_it(
    record: Path, monkeypatch: pytest.MonkeyPatch
):
    tried: list[Path] = []
    monkeypatch.setattr(record_store, "check_folder", tried.append)
    keep_entry(record, {}, at=AT, author="B", kind="note")
    assert tried == []


def test_an_entry_longer_than_can_be_read_back_is_refused(
    record: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(record_store, "GREATEST_LENGTH", 1000)
    with pytest.raises(InvalidInput, match="at most 1000 bytes"):
        keep_entry(record, "x" * 1000, at=AT, author="B", kind="note")
    assert not entry(record, 5).exists()


def test_a_folder_that_is_not_there_is_no_record(tmp_path: Path):
    with pytest.raises(InvalidInput, match="no such folder"):
        read_record(tmp_path / "nothing")


def test_many_who_write_at_once_lose_nothing(tmp_path: Path):
    folder = tmp_path / "record"
    kept: list[int] = []

    def write(author: str) -> None:
        for _ in range(5):
            made = keep_entry(folder, {}, at=AT, author=author, kind="note")
            kept.append(made.sequence)

    writers = [threading.Thread(target=write, args=(name,)) for name in ("A", "B", "C")]
    for one in writers:
        one.start()
    for one in writers:
        one.join()
    assert sorted(kept) == list(range(1, 16))
    assert codes(folder) == []


_WRITER = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from leeward.exchange import record_store
from leeward.exchange.record_store import keep_entry
while True:
    made = keep_entry(Path(sys.argv[1]), {"x": "y" * 20000}, at=datetime.now(UTC),
                      author="A", kind="note")
    print(made.digest, flush=True)
"""


def test_a_writer_killed_at_any_moment_loses_nothing_it_acknowledged(tmp_path: Path):
    folder, acknowledged = tmp_path / "record", []
    for number in range(3):
        with subprocess.Popen(
            [sys.executable, "-c", _WRITER, str(folder)], stdout=subprocess.PIPE, text=True
        ) as writer:
            assert writer.stdout is not None
            acknowledged += [writer.stdout.readline().strip() for _ in range(3 + number)]
            os.kill(writer.pid, signal.SIGKILL)
            acknowledged += [line.strip() for line in writer.stdout if line.endswith("\n")]
    found = read_record(folder)
    assert set(acknowledged) <= {one.digest for one in found.entries}
    assert found.findings == ()
