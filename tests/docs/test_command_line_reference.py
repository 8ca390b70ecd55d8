"""Every command and option is on the reference page, and says what it is for."""

from pathlib import Path

import pytest
import typer

from leeward.cli import app
from scripts.write_cli_reference import page

PROGRAM = typer.main.get_command(app)
#: Words an option would carry that lets a person past a check.
RELAXING = ("force", "override", "skip", "bypass", "unsafe", "relax", "no-check", "ignore")


def _options():
    yield from (("leeward", option) for option in PROGRAM.params)
    for name, command in PROGRAM.commands.items():
        yield from ((name, parameter) for parameter in command.params)


def test_the_page_is_what_the_program_says(root: Path):
    assert (root / "docs" / "reference" / "cli.md").read_text() == page(), "run make format"


@pytest.mark.parametrize("name", sorted(PROGRAM.commands))
def test_every_command_says_what_it_is_for(name: str):
    assert len(PROGRAM.commands[name].help or "") > 20


def test_every_option_says_what_it_is_for():
    silent = [(name, option.name) for name, option in _options() if not (option.help or "").strip()]
    assert silent == []


def test_every_option_is_on_the_page():
    text = page()
    missing = [
        word
        for _, option in _options()
        if option.param_type_name == "option"
        for word in option.opts
        if f"`{word}`" not in text
    ]
    assert missing == []


def test_no_option_relaxes_a_check():
    named = [(name, word) for name, option in _options() for word in option.opts]
    assert [pair for pair in named if any(word in pair[1] for word in RELAXING)] == []
