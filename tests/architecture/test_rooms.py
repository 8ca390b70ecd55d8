"""The rooms import downwards only, and the check that says so can fail."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

PLANTED = {
    "a lower room asks a higher one": (
        "terms/planted.py",
        "import leeward.contact\n",
        "Rooms import downwards only",
    ),
    "neighbours know each other": (
        "exchange/planted.py",
        "import leeward.flow\n",
        "Rooms import downwards only",
    ),
    "a room without a place": (
        "annex/__init__.py",
        "",
        "Rooms import downwards only",
    ),
    "the core reads a clock": (
        "tissue/planted.py",
        "import time\n",
        "The numerical core knows no framework",
    ),
    "the core reaches a framework by a detour": (
        "tissue/planted.py",
        "import pydantic\n",
        "The numerical core knows no framework",
    ),
    "the command line validates by itself": (
        "cli/planted.py",
        "import pydantic\n",
        "Only the border room exchange knows",
    ),
    "the border talks to the terminal": (
        "exchange/planted.py",
        "import rich\n",
        "Only the command line knows the terminal",
    ),
}


def lint_imports(place: Path) -> subprocess.CompletedProcess[str]:
    """Run the contracts on the copy of the package that lies in a folder."""
    command = Path(sys.executable).parent / "lint-imports"
    return subprocess.run(
        [command, "--no-cache", "pyproject.toml"],
        cwd=place,
        env={**os.environ, "PYTHONPATH": str(place / "src"), "COLUMNS": "200"},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


@pytest.fixture
def copied(tmp_path: Path, root: Path) -> Path:
    """A copy of the package with its contracts, to spoil."""
    shutil.copytree(
        root / "src", tmp_path / "src", ignore=shutil.ignore_patterns("*.egg-info", "__pycache__")
    )
    shutil.copy(root / "pyproject.toml", tmp_path)
    return tmp_path


def test_every_contract_is_kept(copied: Path):
    done = lint_imports(copied)
    assert done.returncode == 0, done.stdout
    assert "0 broken" in done.stdout


@pytest.mark.parametrize("case", PLANTED, ids=str)
def test_a_planted_fault_is_found(copied: Path, case: str):
    where, text, contract = PLANTED[case]
    target = copied / "src" / "leeward" / where
    target.parent.mkdir(exist_ok=True)
    target.write_text(text)
    done = lint_imports(copied)
    assert done.returncode != 0
    broken = done.stdout.split("Broken contracts", 1)[-1]
    assert contract in broken, done.stdout + done.stderr


def test_a_circle_inside_a_room_is_found(copied: Path):
    room = copied / "src" / "leeward" / "terms"
    (room / "planted").mkdir()
    (room / "planted" / "__init__.py").write_text("")
    (room / "planted" / "first.py").write_text("import leeward.terms.planted.second\n")
    (room / "planted" / "second.py").write_text("import leeward.terms.planted.first\n")
    done = lint_imports(copied)
    assert done.returncode != 0
    assert "No module imports itself in a circle" in done.stdout.split("Broken contracts", 1)[-1]


def test_no_contract_is_softened(root: Path):
    """An exception would be written in pyproject.toml; only the named border rooms have one."""
    text = (root / "pyproject.toml").read_text().split("[tool.importlinter]", 1)[1]
    ignored = [line.strip() for line in text.splitlines() if "->" in line]
    assert all(line.startswith(('"leeward.exchange.**', '"leeward.cli')) for line in ignored)
    assert "exhaustive_ignores" not in text
    assert "skip_descendants" not in text
