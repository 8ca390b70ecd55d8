"""What is imported is declared, what is declared is pinned, and the pins carry no address."""

import re
import sys
import tomllib
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

from bench.axes import read_source

LOCKS = ("runtime.lock", "fast.lock", "dev.lock")


def _canonical(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def _declared(root: Path) -> set[str]:
    project = tomllib.loads((root / "pyproject.toml").read_text())["project"]
    wanted = [*project["dependencies"], *project["optional-dependencies"]["fast"]]
    return {_canonical(re.split(r"[<>=~!\[; ]", line)[0]) for line in wanted}


def _pins(lock: Path) -> dict[str, str]:
    return dict(re.findall(r"^([\w.-]+)==([^\s;\\]+)", lock.read_text(), re.M))


def test_every_library_imported_is_declared(root: Path):
    """A package that is only there because another brought it may be gone tomorrow."""
    source = read_source(root / "src" / "leeward")
    tops = {found.target.split(".")[0] for m in source.modules for found in m.imports}
    outside = tops - set(sys.stdlib_module_names) - {"leeward"}
    carriers = packages_distributions()
    undeclared = {
        top
        for top in outside
        if not {_canonical(name) for name in carriers.get(top, [top])} & _declared(root)
    }
    assert undeclared == set()


def test_every_declared_library_is_pinned(root: Path):
    pinned = {_canonical(name) for name in _pins(root / "requirements" / "runtime.lock")}
    assert _declared(root) - {"numba"} - pinned == set()
    assert "numba" in _pins(root / "requirements" / "fast.lock")


@pytest.mark.parametrize("name", LOCKS)
def test_every_pin_has_hashes_and_no_address(root: Path, name: str):
    text = (root / "requirements" / name).read_text()
    assert "://" not in text
    assert [line for line in text.splitlines() if line.startswith(("-", " -i", " -f"))] == []
    pins = re.sub(r"^#.*\n", "", text, flags=re.M)
    for pin in re.split(r"\n(?=\S)", pins.strip()):
        assert re.match(r"^[\w.-]+==\S+ \\\n( +--hash=sha256:[0-9a-f]{64}( \\)?\n?)+$", pin), pin


def test_the_locks_agree(root: Path):
    runtime, *others = (_pins(root / "requirements" / name) for name in LOCKS)
    for other in others:
        assert runtime.items() <= other.items()


def test_the_build_backend_is_pinned(root: Path):
    """Without it an installation would fetch whatever is newest, unchecked."""
    assert "setuptools" in _pins(root / "requirements" / "runtime.lock")
