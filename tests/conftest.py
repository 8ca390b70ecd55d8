"""What every test lives under: no network, repeatable random cases, sources that are named."""

import socket
from pathlib import Path

import pytest
from hypothesis import settings

ROOT = Path(__file__).parent.parent

# The same cases on every machine: a red run can be repeated, and a green one means the same.
settings.register_profile("repeatable", deadline=None, derandomize=True, max_examples=50)
settings.load_profile("repeatable")


@pytest.fixture(scope="session")
def root() -> Path:
    """The top folder of the project."""
    return ROOT


@pytest.fixture(autouse=True)
def _no_network(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_: socket.socket, address: object) -> None:
        raise AssertionError(f"a test tried to reach {address}")

    monkeypatch.setattr(socket.socket, "connect", refuse)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """A test that claims outside truth must say whose, and where to look it up."""
    for item in items:
        for mark in item.iter_markers("published"):
            named = [text for text in mark.args if isinstance(text, str) and text.strip()]
            if len(named) != 2 or len(mark.args) != 2 or mark.kwargs:
                raise pytest.UsageError(
                    f"{item.nodeid}: published needs two texts, the source and where in it"
                )
