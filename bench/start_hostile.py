"""Figures of hostile input: how many files made to break the program are refused in a sentence."""

import contextlib
import io
import json
import re
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from bench.registry import Figure, measures
from leeward import cli
from leeward.cli.exit_codes import Exit

ROOT = Path(__file__).parent.parent
CASE = ROOT / "examples" / "cases" / "ordinary.yaml"
LOG = ROOT / "examples" / "logs" / "ordinary-week.csv"
MAP = ROOT / "examples" / "maps" / "one-angle.yaml"
#: How many files of each kind are spoilt at random, and from which seed.
SPOILT = {"cases": 2000, "logs": 500}
SEED = 20261125


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
        "empty": b"",
        "blank": b"\n\n\n",
        "binary": bytes(range(256)) * 64,
        "zeros": b"\0" * 4096,
        "a picture": b"\x89PNG\r\n\x1a\n" + bytes(1000),
        "one endless line": b"1," * 5_000_000,
        "only its head": LOG.read_bytes().split(b"\n", 1)[0],
        "other columns": re.sub(rb"^[^\n]*", b"a;b;c;d;e;f", LOG.read_bytes(), count=1),
        "a web page": b"<!DOCTYPE html><html><body>no</body></html>",
        "words throughout": b"time,angle\n" + b"soon,steep\n" * 500,
    }


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
    """Files of known malice, then honest ones spoilt at random, all through the front door."""
    with tempfile.TemporaryDirectory() as folder:
        case, log, plan = (Path(folder) / name for name in ("case.yaml", "log.csv", "plan"))
        _ends(["plan", str(CASE), "--out", str(plan)])
        check = ["check", str(case)]
        watch = ["watch", str(CASE), str(log), "--map", str(MAP), "--plan", str(plan / "plan.json")]
        yield from _refused("cases", check, case, hostile_cases())
        yield from _spoilt("cases", check, case, CASE.read_bytes())
        yield from _refused("logs", watch, log, hostile_logs())
        yield from _spoilt("logs", watch, log, LOG.read_bytes())


def _refused(
    kind: str, words: list[str], target: Path, contents: dict[str, bytes]
) -> Iterator[Figure]:
    refused = 0
    for name, content in contents.items():
        target.write_bytes(content)
        ended = _ends(words)
        if ended == Exit.BAD_INPUT.name:
            refused += 1
        else:
            sys.stderr.write(f"hostile {kind} not refused: {name}: {ended}\n")
    yield Figure(f"hostile_{kind}_tried", len(contents), "files")
    yield Figure(f"hostile_{kind}_refused", refused, "files")


def _spoilt(kind: str, words: list[str], target: Path, honest: bytes) -> Iterator[Figure]:
    generator = np.random.default_rng(SEED)
    known = {code.name for code in Exit}
    broke = 0
    for number in range(SPOILT[kind]):
        target.write_bytes(_spoil(honest, generator))
        ended = _ends(words)
        if ended not in known:
            broke += 1
            sys.stderr.write(f"spoilt {kind} number {number} (seed {SEED}): {ended}\n")
    yield Figure(f"spoilt_{kind}_tried", SPOILT[kind], "files")
    yield Figure(f"spoilt_{kind}_broke_the_program", broke, "files")
