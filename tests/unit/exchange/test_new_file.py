"""Files are written whole or not at all, and a folder is looked at before the work."""

import errno
import os
from pathlib import Path

import pytest

from leeward.exchange.new_file import check_folder, replace_whole, write_new
from leeward.terms.errors import InvalidInput


def test_a_folder_that_is_not_there_yet_may_be_named(tmp_path: Path):
    check_folder(tmp_path / "deep" / "deeper")
    assert list(tmp_path.iterdir()) == []


def test_a_file_in_the_place_of_a_folder_is_refused(tmp_path: Path):
    (tmp_path / "plan").write_text("precious")
    for folder in (tmp_path / "plan", tmp_path / "plan" / "deeper" / "still"):
        with pytest.raises(InvalidInput, match="is a file, not a folder"):
            check_folder(folder)


def test_a_link_that_leads_nowhere_is_refused(tmp_path: Path):
    (tmp_path / "plan").symlink_to(tmp_path / "nowhere")
    with pytest.raises(InvalidInput, match="a link that leads nowhere"):
        check_folder(tmp_path / "plan")


def test_a_folder_that_nothing_may_be_written_to_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    def refused(*_: object, **__: object) -> None:
        raise OSError(errno.EROFS, os.strerror(errno.EROFS))

    monkeypatch.setattr(Path, "touch", refused)
    with pytest.raises(InvalidInput, match="nothing may be written to"):
        check_folder(tmp_path / "new")


def test_a_name_that_no_disk_can_bear_is_refused(tmp_path: Path):
    with pytest.raises(OSError, match="too long"):
        check_folder(tmp_path / ("x" * 300))


@pytest.mark.parametrize("letter", ["x", "é"])
def test_a_long_name_is_written_as_it_is(tmp_path: Path, letter: str):
    file = tmp_path / (letter * (240 // len(letter.encode())) + ".pdf")
    replace_whole(file, b"new")
    assert [one.name for one in tmp_path.iterdir()] == [file.name]


def test_a_failure_names_the_file_that_was_wanted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError) as failed:
        replace_whole(tmp_path / "sheet.pdf", b"new")
    assert failed.value.filename == str(tmp_path / "sheet.pdf")
    assert failed.value.errno == errno.ENOSPC
    assert list(tmp_path.iterdir()) == []


def test_a_new_file_is_whole_or_not_there(tmp_path: Path):
    with pytest.raises(UnicodeEncodeError):
        write_new(tmp_path / "case.yaml", "first line\n\ud800")
    assert list(tmp_path.iterdir()) == []
