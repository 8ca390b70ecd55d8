"""Figures of hostile input: how many files made to break the program are refused in a sentence."""

import contextlib
import gzip
import io
import json
import re
import sys
import tempfile
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from functools import partial
from itertools import islice
from pathlib import Path

import numpy as np

from bench.registry import Figure, measures
from leeward import cli, flow
from leeward.cli.exit_codes import Exit
from leeward.exchange.column_map_file import read_column_map
from leeward.exchange.log_file import open_log
from leeward.terms.errors import LeewardError

ROOT = Path(__file__).parent.parent
CASE = ROOT / "examples" / "cases" / "ordinary.yaml"
LOG = ROOT / "examples" / "logs" / "ordinary-week.csv.gz"
#: Readings of the honest log that is spoilt.
KEPT = 2000
MAP = ROOT / "examples" / "maps" / "one-angle.yaml"
#: How many files of each kind are spoilt at random, and from which seed.
SPOILT, SEED = 2000, 20261125
NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)


def hostile_cases() -> dict[str, bytes]:
    """Case files that no honest hand writes; every one must be refused."""
    text = CASE.read_text()
    values = {
        "negative mass": "-70",
        "zero mass": "0",
        "mass not a number": ".nan",
        "mass without end": ".inf",
        "mass beyond floats": "1e999",
        "mass of a ship": "70000",
        "mass in words": "heavy",
        "mass as a list": "[70]",
        "mass as fields": "{kg: 70}",
        "mass of many digits": "7" * 5000,
        "mass as truth": "true",
        "mass with a unit": "70 kg",
        "mass in a formula": "35 + 35",
    }
    spoilt = {name: _with(text, "mass_kg", value).encode() for name, value in values.items()}
    versions = {"no version": "", "version of tomorrow": "99", "version nought": "0"}
    spoilt |= {n: _with(text, "schema_version", v).encode() for n, v in versions.items()}
    return spoilt | {
        "empty": b"",
        "blank": b" \n\n",
        "only a remark": b"# nothing\n",
        "not UTF-8": text.replace("\n", "\xe4\n", 1).encode("latin-1"),
        "UTF-16": text.encode("utf-16"),
        "binary": bytes(range(256)) * 16,
        "a hole in it": text.encode() + b"\0",
        "cut in half": text.encode()[: len(text) // 2] + b'"',
        "a list": b"- 1\n- 2\n",
        "a word": b"hello\n",
        "two documents": text.encode() + b"\n---\n" + text.encode(),
        "every field twice": text.encode() + b"\n" + text.encode(),
        "unknown field": text.encode() + b"\nforce_plan: yes\n",
        "a tag that runs": text.encode() + b"\nremark: !!python/object/apply:os.getcwd []\n",
        "aliases without end": _alias_bomb(),
        "nested without end": b"a: " + b"[" * 100_000,
        "nested in JSON": b'{"a":' * 50_000,
        "a giant": b"a: 1\n" * 2_000_000,
        "one endless line": b"label: " + b"x" * 5_000_000,
        "indented with tabs": text.replace("  ", "\t").encode(),
        "half a JSON": json.dumps({"schema_version": 1}).encode()[:-1],
        "a web page": b"<!DOCTYPE html><html><body>no</body></html>",
    }


def hostile_logs() -> dict[str, bytes]:
    """Logs that are no logs; every one must be refused."""
    return {
        "binary": bytes(range(256)) * 64,
        "zeros": b"\0" * 4096,
        "a picture": b"\x89PNG\r\n\x1a\n" + bytes(1000),
        "one endless line": b"1," * 5_000_000,
        "other columns": re.sub(rb"^[^\n]*", b"a;b;c;d;e;f", honest_log(), count=1),
        "a web page": b"<!DOCTYPE html><html><body>no</body></html>",
        "words throughout": b"time,angle\n" + b"soon,steep\n" * 500,
        "UTF-16": honest_log().decode().encode("utf-16"),
        "the angle's column twice": b"time,angle_deg,angle_deg\n2026-11-24T09:00Z,1,2\n",
        "quotes within quotes": b"time,angle_deg\n" + (b'"' * 9000 + b"\n") * 50,
        "JSON": json.dumps([{"time": "2026-11-24T09:00Z", "angle_deg": 5}] * 50).encode(),
        "blank lines without end": b"time,angle_deg\n" + b"\n" * 3_000_000,
        "signs that steer a terminal": b"time,angle_deg\n\x1b[2J,5\n" * 100,
    }


def hostile_packed_logs() -> dict[str, bytes]:
    """Packed logs that are none; every one must be refused, and none unpacked whole."""
    packed = gzip.compress(honest_log())
    return {
        "100 MB in one line": gzip.compress(b"1," * 50_000_000),
        "100 million blank lines": gzip.compress(b"\n" * 100_000_000),
        "packed twice": gzip.compress(packed),
        "not packed": honest_log(),
        "broken off": packed[: len(packed) // 2],
        "damaged in the middle": _damaged(packed),
        "a second part that is none": packed + b"\x1f\x8b" + bytes(64),
    }


def silent_logs() -> dict[str, bytes]:
    """Logs that say nothing: nothing may be told from them, least of all that all is well."""
    return {"empty": b"", "blank": b"\n\n\n", "only its head": honest_log().split(b"\n", 1)[0]}


def _damaged(packed: bytes) -> bytes:
    middle = len(packed) // 2
    return packed[:middle] + bytes(64) + packed[middle + 64 :]


def honest_log() -> bytes:
    """The first readings of a bundled log."""
    with gzip.open(LOG) as lines:
        return b"".join(islice(lines, KEPT))


def _with(text: str, field: str, value: str) -> str:
    changed, count = re.subn(rf"^(\s*{field}:).*$", rf"\1 {value}", text, flags=re.M)
    if not count:
        raise ValueError(f"{CASE.name} has no field {field} to spoil")
    return changed


def _alias_bomb() -> bytes:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 20)]
    return "\n".join(lines).encode()


def _spoil(content: bytes, generator: np.random.Generator) -> bytes:
    """Change, cut, double or insert a few bytes."""
    spoilt = bytearray(content)
    for _ in range(int(generator.integers(1, 6))):
        place = int(generator.integers(len(spoilt)))
        length = int(generator.integers(1, 40))
        change = int(generator.integers(4))
        if change == 0:
            spoilt[place] = int(generator.integers(256))
        elif change == 1:
            del spoilt[place : place + length]
        elif change == 2:
            spoilt[place:place] = spoilt[place : place + length]
        else:
            spoilt[place:place] = generator.bytes(length)
        if not spoilt:
            break
    return bytes(spoilt)


def _ends(words: list[str]) -> str:
    """How the program ends: the name of its exit code, or of what broke it."""
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        try:
            return Exit(cli.main(words)).name
        except Exception as broke:  # noqa: BLE001  # what escapes is the figure
            return type(broke).__name__


@measures("start")
def hostile_files() -> Iterator[Figure]:
    """Files of known malice, then honest ones spoilt at random."""
    with tempfile.TemporaryDirectory() as folder:
        case, log, plan = (Path(folder) / name for name in ("case.yaml", "log.csv", "plan"))
        packed = log.with_suffix(".csv.gz")
        _ends(["plan", str(CASE), "--out", str(plan)])
        check = partial(_ends, ["check", str(case)])
        held = ["--map", str(MAP), "--plan", str(plan / "plan.json"), "--choice", "balanced"]
        watch = partial(_ends, ["watch", str(CASE), str(log), *held])
        unpack = partial(_ends, ["watch", str(CASE), str(packed), *held])
        bad, silent = Exit.BAD_INPUT, Exit.CANNOT_TELL
        yield from _ended(("hostile_cases", "refused", bad), check, case, hostile_cases())
        yield from _spoilt("cases", check, case, CASE.read_bytes())
        yield from _ended(("hostile_logs", "refused", bad), watch, log, hostile_logs())
        yield from _ended(("packed_logs", "refused", bad), unpack, packed, hostile_packed_logs())
        yield from _ended(("silent_logs", "cannot_tell", silent), watch, log, silent_logs())
        yield from _spoilt("logs", partial(_read, log), log, honest_log())


def _read(log: Path) -> str:
    """How reading a log ends, without the plan it would be held against."""
    try:
        with open_log(log) as lines:
            flow.read_delivered(lines, read_column_map(MAP), now=NOW)
    except LeewardError:
        return Exit.BAD_INPUT.name
    except Exception as broke:  # noqa: BLE001  # what escapes is the figure
        return type(broke).__name__
    return Exit.OFFERED.name


def _ended(
    wanted: tuple[str, str, Exit],
    run: Callable[[], str],
    target: Path,
    contents: dict[str, bytes],
) -> Iterator[Figure]:
    kind, verb, code = wanted
    as_wanted = 0
    for name, content in contents.items():
        target.write_bytes(content)
        ended = run()
        as_wanted += ended == code.name
        if ended != code.name:
            sys.stderr.write(f"{kind} not {verb}: {name}: {ended}\n")
    yield Figure(f"{kind}_tried", len(contents), "files")
    yield Figure(f"{kind}_{verb}", as_wanted, "files")


def _spoilt(kind: str, run: Callable[[], str], target: Path, honest: bytes) -> Iterator[Figure]:
    generator = np.random.default_rng(SEED)
    known = {code.name for code in Exit}
    broke = 0
    for number in range(SPOILT):
        target.write_bytes(_spoil(honest, generator))
        ended = run()
        if ended not in known:
            broke += 1
            sys.stderr.write(f"spoilt {kind} number {number} (seed {SEED}): {ended}\n")
    yield Figure(f"spoilt_{kind}_tried", SPOILT, "files")
    yield Figure(f"spoilt_{kind}_broke_the_program", broke, "files")
