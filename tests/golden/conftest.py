"""Loads found once for all plans that are compared."""

from collections.abc import Iterator

import pytest

from tests.unit.cli.front_door import common_folder, loads_solved_once


@pytest.fixture(scope="session", autouse=True)
def _loads(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with loads_solved_once(common_folder(tmp_path_factory)):
        yield
