"""Writes docs/reference/cli.md from the program itself, so that the page cannot fall behind."""

import re
import sys
from pathlib import Path
from typing import Any

import typer

from leeward.cli import app
from leeward.cli.exit_codes import Exit

PAGE = Path(__file__).parent.parent / "docs" / "reference" / "cli.md"
HEAD = """# Command line

Written by `make format` from the program itself; do not edit.

"""


def page() -> str:
    """The whole page as text."""
    program = typer.main.get_command(app)
    parts = [HEAD, _plain(program.help), "\n\n", "\n".join(_options(program)), "\n"]
    for name in sorted(program.commands):
        parts += ["\n", "\n".join(_command(name, program.commands[name])), "\n"]
    parts += ["\n## Exit codes\n\n| code | name |\n|---|---|\n"]
    parts += [f"| {code.value} | {code.name.lower().replace('_', ' ')} |\n" for code in Exit]
    return "".join(parts)


def _command(name: str, command: Any) -> list[str]:
    arguments = [p for p in command.params if p.param_type_name == "argument"]
    words = " ".join(p.name.upper() if p.required else f"[{p.name.upper()}]" for p in arguments)
    lines = [f"## leeward {name}", "", f"`leeward {name} {words} [OPTIONS]`", ""]
    lines += [_plain(command.help), ""]
    if arguments:
        lines += ["| argument | meaning |", "|---|---|"]
        lines += [f"| `{p.name.upper()}` | {_cell(p.help)} |" for p in arguments] + [""]
    return lines + _options(command)


def _options(command: Any) -> list[str]:
    options = [p for p in command.params if p.param_type_name == "option"]
    lines = ["| option | default | meaning |", "|---|---|---|"]
    for option in options:
        names = ", ".join(f"`{name}`" for name in [*option.opts, *option.secondary_opts])
        lines.append(f"| {names} | {_default(option)} | {_cell(option.help)} |")
    return lines if options else []


def _default(option: Any) -> str:
    if option.required:
        return "required"
    value = option.default
    if value is None or value is False or value in ((), "") or callable(value):
        return "-"
    return f"`{getattr(value, 'value', value)}`"


def _plain(text: str | None) -> str:
    return re.sub(r"\[/?bold\]", "`", " ".join((text or "").split("\n")).strip())


def _cell(text: str | None) -> str:
    return " ".join(_plain(text).replace("|", "\\|").split())


def main() -> int:
    """Write the page, or with --check say whether it is current."""
    text = page()
    if "--check" in sys.argv[1:]:
        return 0 if PAGE.exists() and PAGE.read_text() == text else 1
    PAGE.write_text(text)
    return 0


if __name__ == "__main__":
    sys.exit(main())
