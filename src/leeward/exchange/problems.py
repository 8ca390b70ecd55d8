"""What is wrong with a file, said so that whoever wrote it can put it right."""

from collections.abc import Sequence
from dataclasses import dataclass

from leeward.terms.errors import UnreadableFile

#: Steps from the top of a document to one value: names of fields and places in lists.
Place = tuple[str | int, ...]

#: A longer name of a field is cut, so that the sentence stays a sentence.
_LONGEST_NAME = 60


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong in one file.

    Parameters
    ----------
    file : str
        Name of the file.
    line : int or None
        Line, counted from 1; None where the whole file is meant.
    field : str
        Path of the field, empty where the whole file is meant.
    what : str
        What is wrong, with the value found.
    expected : str
        What was expected.
    remedy : str
        What to do.
    """

    file: str
    line: int | None
    field: str
    what: str
    expected: str
    remedy: str

    @property
    def where(self) -> str:
        """File, line and field."""
        line = "" if self.line is None else f" line {self.line}"
        field = f", {self.field}" if self.field else ""
        return f"{self.file}{line}{field}"

    @property
    def sentence(self) -> str:
        """The whole message on one line."""
        return f"{self.where}: {self.what}; expected {self.expected}; {self.remedy}."


class FileRefused(UnreadableFile):
    """A file with one problem or more; the message is that of the first.

    Parameters
    ----------
    problems : sequence of Problem
        At least one, in the order of the file.
    """

    def __init__(self, problems: Sequence[Problem]) -> None:
        first = problems[0]
        self.problems = tuple(problems)
        super().__init__(
            first.what, where=first.where, expected=first.expected, remedy=first.remedy
        )


def field_path(place: Place) -> str:
    """Write a place as a field path.

    Parameters
    ----------
    place : tuple of str or int
        Steps from the top.

    Returns
    -------
    str
        For example ``regimes[1].cycle[2].stay_min``; list entries count from 1, as people do.

    Examples
    --------
    >>> field_path(("regimes", 0, "cycle", 1, "stay_min"))
    'regimes[1].cycle[2].stay_min'
    """
    text = ""
    for step in place:
        if isinstance(step, int):
            text += f"[{step + 1}]"
        else:
            name = step if step.isprintable() and len(step) <= _LONGEST_NAME else shown(step)
            text += f".{name}" if text else name
    return text


def shown(value: object, longest: int = 60) -> str:
    """Show a value found in a file, cut to a length a sentence can carry.

    Parameters
    ----------
    value : object
        The value.
    longest : int
        Longest text returned.

    Returns
    -------
    str
        The value as text on one line.
    """
    if isinstance(value, dict):
        return "a group of fields"
    if isinstance(value, (list, tuple)):
        return "a list"
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    text = repr(value) if isinstance(value, str) else str(value)
    return text if len(text) <= longest else f"{text[: longest - 1]}…"
