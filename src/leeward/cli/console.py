"""Where the commands write: results to standard output, progress and errors beside it."""

import json
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any, Protocol

from rich.console import Console
from rich.markup import escape

from leeward.terms.verdict import Reason

OUT = Console(highlight=False, soft_wrap=False)
ERROR = Console(stderr=True, highlight=False)

#: Markers that carry the meaning without colour.
MARKS = {"ok": "+", "attention": "!", "stop": "x", "unknown": "?"}
_STYLES = {"ok": "green", "attention": "yellow", "stop": "red", "unknown": "yellow"}


def say(text: str = "") -> None:
    """Print one line of plain text, whatever characters a case file put into it."""
    OUT.print(escape(text))


def heading(text: str) -> None:
    """Print a heading with a blank line before it."""
    OUT.print()
    OUT.print(f"[bold]{escape(text)}[/bold]")


def mark(kind: str, text: str) -> None:
    """Print a line led by a marker for ok, attention, stop or unknown."""
    style = _STYLES[kind]
    OUT.print(f"[{style}]{MARKS[kind]}[/{style}] {escape(text)}")


def reasons(kind: str, listed: tuple[Reason, ...]) -> None:
    """Print reasons, one marked line each."""
    for reason in listed:
        mark(kind, reason.sentence)


def print_json(plain: Any) -> None:
    """Print a result as JSON and nothing else."""
    OUT.file.write(json.dumps(plain, ensure_ascii=False, indent=2, allow_nan=False) + "\n")


class Told(Protocol):
    """Anything that says in one sentence what is wrong."""

    @property
    def sentence(self) -> str:
        """The sentence."""
        ...


def complain(errors: Sequence[Told]) -> None:
    """Print what is wrong, one sentence each, beside the results."""
    for error in errors:
        ERROR.print(f"[red]{MARKS['stop']}[/red] {escape(error.sentence)}")


@contextmanager
def progress(title: str) -> Iterator[Callable[[str], None]]:
    """Show which step a long computation is at; a plain line each when piped.

    Parameters
    ----------
    title : str
        What is being done.

    Yields
    ------
    callable
        Called with the name of each step as it begins.
    """
    if not ERROR.is_terminal:
        yield lambda step: ERROR.print(f"{escape(title)}: {escape(step)}")
        return
    with ERROR.status(escape(title)) as status:
        yield lambda step: status.update(f"{escape(title)}: {escape(step)}")
