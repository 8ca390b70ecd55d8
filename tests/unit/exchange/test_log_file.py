"""Opening logs: text or gz, whole or told to be broken."""

import gzip
import zlib
from pathlib import Path

import pytest

from leeward.exchange.log_file import open_log
from leeward.terms.errors import UnreadableLog

TEXT = "time,angle\n" + "".join(f"{second},{second % 7}.25\n" for second in range(400))


def lines_of(path: Path) -> list[str]:
    with open_log(path) as lines:
        return list(lines)


@pytest.mark.parametrize("name", ["log.csv", "log.csv.gz"])
def test_plain_and_compressed_give_the_same_lines(tmp_path: Path, name: str):
    path = tmp_path / name
    content = TEXT.encode()
    path.write_bytes(gzip.compress(content) if name.endswith("gz") else content)
    assert lines_of(path) == TEXT.splitlines(keepends=True)


def test_a_byte_order_mark_is_no_part_of_the_first_name(tmp_path: Path):
    path = tmp_path / "log.csv"
    path.write_bytes(b"\xef\xbb\xbftime,angle\n")
    assert lines_of(path) == ["time,angle\n"]


def test_line_ends_of_other_systems_are_read(tmp_path: Path):
    path = tmp_path / "log.csv"
    path.write_bytes(b"time,angle\r\n1,2\r\n")
    assert lines_of(path) == ["time,angle\n", "1,2\n"]


@pytest.mark.parametrize("make", [lambda _: None, Path.mkdir], ids=["missing", "folder"])
def test_a_name_that_is_no_file_is_told(tmp_path: Path, make):
    path = tmp_path / "log.csv"
    make(path)
    with pytest.raises(UnreadableLog, match=r"log\.csv: it is not (there|a file)"):
        lines_of(path)


@pytest.mark.parametrize("place", range(10, 400, 30))
def test_damage_anywhere_in_a_compressed_log_is_told(tmp_path: Path, place: int):
    packed = bytearray(gzip.compress(TEXT.encode()))
    assert place < len(packed)
    packed[place] ^= 0xFF
    path = tmp_path / "log.csv.gz"
    path.write_bytes(packed)
    with pytest.raises(UnreadableLog, match="it cannot be unpacked"):
        lines_of(path)


def test_a_broken_stream_is_told_as_one(tmp_path: Path):
    path = tmp_path / "log.csv.gz"
    body = b"\xff" * 40
    path.write_bytes(gzip.compress(b"")[:10] + body)
    with pytest.raises(UnreadableLog, match="expected a whole file compressed with gzip"):
        lines_of(path)
    with pytest.raises(zlib.error):
        zlib.decompress(body, wbits=-15)
