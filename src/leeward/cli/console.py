"""Where the commands write: results to standard output, progress and errors beside it."""

import io
import json
import sys
import unicodedata
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
#: Kinds of signs that turn the direction of text around.
_TURNING = ("LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI")
_STYLES = {"ok": "green", "attention": "yellow", "stop": "red", "unknown": "yellow"}


def make_printable() -> None:
    """Let no character that the terminal's encoding lacks end a command: it is written \\x.."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def plain(text: str) -> str:
    """Text from a file or the command line, as it may go to a terminal.

    Parameters
    ----------
    text : str
        Anything.

    Returns
    -------
    str
        Without markup, and with signs that steer a terminal or turn the direction of text
        written out.
    """
    return escape("".join(_sign(letter) for letter in text))


def _sign(letter: str) -> str:
    if letter in "\n\t":
        return letter
    steers = unicodedata.category(letter) in ("Cc", "Cs")
    if steers or unicodedata.bidirectional(letter) in _TURNING:
        return (
            letter.encode("ascii", "backslashreplace").decode()
            if ord(letter) > 127
            else (f"\\x{ord(letter):02x}")
        )
    return letter


def say(text: str = "") -> None:
    """Print one line of plain text, whatever characters a case file put into it."""
    OUT.print(plain(text))


def heading(text: str) -> None:
    """Print a heading with a blank line before it."""
    OUT.print()
    OUT.print(f"[bold]{plain(text)}[/bold]")


def mark(kind: str, text: str) -> None:
    """Print a line led by a marker for ok, attention, stop or unknown."""
    style = _STYLES[kind]
    OUT.print(f"[{style}]{MARKS[kind]}[/{style}] {plain(text)}")


def reasons(kind: str, listed: tuple[Reason, ...]) -> None:
    """Print reasons, one marked line each."""
    for reason in listed:
        mark(kind, reason.sentence)


def print_json(result: Any) -> None:
    """Print a result as JSON and nothing else."""
    as_ascii = OUT.encoding != "utf-8"
    text = json.dumps(result, ensure_ascii=as_ascii, indent=2, allow_nan=False)
    OUT.file.write(text + "\n")


class Told(Protocol):
    """Anything that says in one sentence what is wrong."""

    @property
    def sentence(self) -> str:
        """The sentence."""
        ...


def complain(errors: Sequence[Told]) -> None:
    """Print what is wrong, one sentence each, beside the results."""
    for error in errors:
        ERROR.print(f"[red]{MARKS['stop']}[/red] {plain(error.sentence)}")


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
