"""What the front page shows runs as shown."""

import re
import shutil
from pathlib import Path

import pytest
import typer

from leeward.cli import app

ROOT = Path(__file__).parent.parent.parent
TEXT = (ROOT / "README.md").read_text()
PYTHON = re.findall(r"^```python\n(.*?)^```", TEXT, re.M | re.S)
COMMANDS = re.findall(r"^\$ leeward (\w[\w-]*)(.*)$", TEXT, re.M)
TARGETS = re.findall(r"^\$ make (\w+)", TEXT, re.M)


def test_there_is_something_to_run():
    assert PYTHON
    assert COMMANDS
    assert TARGETS


@pytest.mark.parametrize("block", PYTHON, ids=lambda block: block.split("\n", 1)[0])
def test_the_python_runs(block: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    shutil.copytree(ROOT / "examples", tmp_path / "examples")
    monkeypatch.chdir(tmp_path)
    exec(compile(block, "README.md", "exec"), {"__name__": "readme"})


@pytest.mark.parametrize(("name", "rest"), COMMANDS)
def test_the_commands_exist_with_their_options(name: str, rest: str):
    command = typer.main.get_command(app).commands[name]
    known = {word for option in command.params for word in option.opts}
    assert set(re.findall(r"--[\w-]+", rest.split("#", maxsplit=1)[0])) <= known


@pytest.mark.parametrize("target", TARGETS)
def test_the_targets_exist(target: str):
    assert re.search(rf"^{target}:", (ROOT / "Makefile").read_text(), re.M)
