"""Where the commands write: results to standard output, progress and errors beside it."""

import io
import json
import re
import sys
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any, Protocol

from rich.console import Console
from rich.markup import escape
from rich.text import Text

from leeward.terms.verdict import Reason

OUT = Console(highlight=False, soft_wrap=False, emoji=False)
ERROR = Console(stderr=True, highlight=False, emoji=False)

#: Markers that carry the meaning without colour.
MARKS = {"ok": "+", "attention": "!", "stop": "x", "unknown": "?"}
#: Kinds of signs that turn the direction of text around.
_TURNING = ("LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI")
#: What stands before the words of a line: blanks, and a list's number, count or dash.
_LEAD = re.compile(r" *(?:(?:\d+\.|\d+(?=  )|-) +)?")
#: On a terminal narrower than this, words are let run on rather than stand one to a line.
_LEAST_ROOM = 20
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
    return escape(_printable(text))


def _printable(text: str) -> str:
    return "".join(_sign(letter) for letter in text)


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
    """Print plain text, whatever characters a case file put into it; what wraps is set in."""
    _print_hung(OUT, "", text)


def heading(text: str) -> None:
    """Print a heading with a blank line before it."""
    OUT.print()
    OUT.print(f"[bold]{plain(text)}[/bold]")


def mark(kind: str, text: str) -> None:
    """Print a line led by a marker for ok, attention, stop or unknown."""
    style = _STYLES[kind]
    _print_hung(OUT, f"[{style}]{MARKS[kind]}[/{style}] ", text)


def _print_hung(console: Console, marker: str, text: str) -> None:
    """Lines after the first begin under its words, so that markers and numbers stand out."""
    lead = _LEAD.match(text)
    start = lead.end() if lead else 0
    first = Text.from_markup(marker) + Text(text[:start])
    words = Text(_printable(text[start:]))
    further = Text(" " * first.cell_len)
    room = max(console.width - first.cell_len, _LEAST_ROOM)
    for number, line in enumerate(words.wrap(console, room)):
        console.print((first if number == 0 else further) + line)


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
        _print_hung(ERROR, f"[red]{MARKS['stop']}[/red] ", error.sentence)


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
