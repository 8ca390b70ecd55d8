"""The front door for tests: one command run as a user runs it, at a fixed time."""

import io
import os
import pickle
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from pathlib import Path
from typing import Any

import pytest

from leeward.cli import (
    case_commands,
    delivered_commands,
    explain_commands,
    fit_commands,
    loads_commands,
    main,
    measured_commands,
    plan_commands,
)
from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest, posture_loads
from leeward.exchange.plan_file import StoredPlan, read_plan
from leeward.records.canonical import digest

ROOT = Path(__file__).parents[3]
EXAMPLES = ROOT / "examples" / "cases"
NAMES = tuple(sorted(path.stem for path in EXAMPLES.glob("*.yaml")))

#: The examples' skin checks were made the evening before.
NOW = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)

#: Commands that look at the clock.
_CLOCKED = (
    case_commands,
    delivered_commands,
    explain_commands,
    fit_commands,
    loads_commands,
    measured_commands,
    plan_commands,
)

#: Writes a changed example: pairs of a passage and what stands in its place.
Changed = Callable[..., Path]


@dataclass(frozen=True)
class Ran:
    """What a command did: exit code, standard output, what it wrote beside it."""

    code: int
    out: str
    err: str

    @property
    def said(self) -> str:
        """Standard output on one line: where it breaks depends on the width."""
        return " ".join(self.out.split())

    @property
    def complained(self) -> str:
        """What was written beside it, on one line."""
        return " ".join(self.err.split())


@dataclass(frozen=True)
class Planned:
    """A plan that `leeward plan` made."""

    case: Path
    folder: Path
    ran: Ran

    @property
    def file(self) -> Path:
        """The plan file."""
        return self.folder / "plan.json"

    @property
    def stored(self) -> StoredPlan:
        """The plan file as read back."""
        return read_plan(self.file)


def run(*words: object, now: datetime = NOW) -> Ran:
    """Run one command at a time of day; its output goes into a pipe."""

    class Clock(datetime):
        @classmethod
        def now(cls, tz: tzinfo | None = None) -> datetime:  # type: ignore[override]
            return now.astimezone(tz)

    out, err = io.StringIO(), io.StringIO()
    with pytest.MonkeyPatch.context() as patch, redirect_stdout(out), redirect_stderr(err):
        patch.delenv("COLUMNS", raising=False)
        for commands in _CLOCKED:
            patch.setattr(commands, "datetime", Clock)
        code = main([str(word) for word in words])
    return Ran(code, out.getvalue(), err.getvalue())


def plan(case: Path, folder: Path, *words: object) -> Planned:
    """Plan a case file into a folder."""
    return Planned(case, folder, run("plan", case, "--out", folder, *words))


def example(name: str) -> Path:
    """One of the bundled case files."""
    return EXAMPLES / f"{name}.yaml"


def part(*keys: str, of: str = "ordinary") -> str:
    """The text of a whole top-level part of an example, from its key to the next."""
    text = example(of).read_text(encoding="utf-8")
    start = text.index(f"\n{keys[0]}:") + 1
    end = text.index(f"\n{keys[1]}:") + 1 if len(keys) > 1 else len(text)
    return text[start:end]


def made_once(kept: Path, make: Callable[[], object]) -> Any:
    """Make something once for all workers of a run, which wait for whoever began."""
    claim = kept.with_suffix(".begun")
    while not kept.exists():
        try:
            claim.mkdir()
        except FileExistsError:
            time.sleep(0.05)
            continue
        try:
            whole = kept.with_suffix(".whole")
            whole.write_bytes(pickle.dumps(make()))
            whole.replace(kept)
        finally:
            claim.rmdir()
    return pickle.loads(kept.read_bytes())


@contextmanager
def loads_solved_once(folder: Path) -> Iterator[None]:
    """Solve each request for loads once, and find it again in a folder.

    Most of the time of a plan goes there, and most tests ask for the same postures.
    """

    def found(request: LoadRequest) -> LoadTable:
        kept = folder / f"{digest(request)}.loads"
        table: LoadTable = made_once(kept, lambda: posture_loads(request))
        return table

    with _solving(found):
        yield


@contextmanager
def loads_solved_anew() -> Iterator[None]:
    """Solve every request, as outside of tests."""
    with _solving(posture_loads):
        yield


@contextmanager
def _solving(solve: Callable[[LoadRequest], LoadTable]) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        for room in ("contact.loads", "workers.side_by_side", "tissue.load_checks"):
            patch.setattr(f"leeward.{room}.posture_loads", solve)
        yield


def planned_once(name: str, common: Path) -> Planned:
    """The plan of an example; the first worker that needs it makes it for all."""
    made: Planned = made_once(
        common / f"{name}.planned", lambda: plan(example(name), common / name)
    )
    return made


def common_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that all workers of one run share, and no other run."""
    base = tmp_path_factory.getbasetemp()
    is_worker = "PYTEST_XDIST_WORKER" in os.environ
    folder = (base.parent if is_worker else base) / "solved-once"
    folder.mkdir(exist_ok=True)
    return folder
