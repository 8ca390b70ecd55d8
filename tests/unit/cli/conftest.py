"""Plans that several tests look at, made once."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.unit.cli.front_door import (
    Changed,
    Planned,
    common_folder,
    example,
    loads_solved_once,
    planned_once,
)


@pytest.fixture(scope="session")
def common(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What every worker of this run may use."""
    return common_folder(tmp_path_factory)


@pytest.fixture(scope="session", autouse=True)
def _loads(common: Path) -> Iterator[None]:
    with loads_solved_once(common):
        yield


@pytest.fixture(scope="session")
def ordinary(common: Path) -> Planned:
    """The plan of an ordinary case: everything known, programmes offered."""
    return planned_once("ordinary", common)


@pytest.fixture(scope="session")
def half_known(common: Path) -> Planned:
    """The plan of a case of which little is known."""
    return planned_once("half-known", common)


@pytest.fixture(scope="session")
def out_of_reach(common: Path) -> Planned:
    """The plan of a case whose unit cannot reach what is needed."""
    return planned_once("reach-too-small", common)


@pytest.fixture
def changed(tmp_path: Path) -> Changed:
    """Write an example with passages exchanged; each must be there."""

    def write(*exchanged: tuple[str, str], of: str = "ordinary") -> Path:
        text = example(of).read_text(encoding="utf-8")
        for old, new in exchanged:
            assert old in text, old
            text = text.replace(old, new, 1)
        path = tmp_path / "case.yaml"
        path.write_text(text, encoding="utf-8")
        return path

    return write
