"""Text from people made fit to show: nothing in it may steer the page or hide."""

import re
import unicodedata
from collections.abc import Iterator
from functools import lru_cache

#: Signs that are not seen, or turn the direction of reading, could make a sheet say the
#: other side: they are shown by their number instead.
_UNSEEN = {"Cc", "Cf", "Cs", "Co", "Cn"}
_BREAKS = frozenset("\t\n\v\f\r\u0085\u2028\u2029")
_RIGHT_TO_LEFT = {"R", "AL", "AN"}
_MOST_MARKS = 3
_MARKS = {"Mn", "Me"}
_ISOLATE, _END_OF_ISOLATE = "\u2068", "\u2069"
_ISOLATES = re.compile(f"[{_ISOLATE}{_END_OF_ISOLATE}]")
_INNERMOST = re.compile(f"{_ISOLATE}[^{_ISOLATE}{_END_OF_ISOLATE}]*{_END_OF_ISOLATE}")


@lru_cache(maxsize=1024)
def visible(text: str) -> str:
    """Make every character of a text one that can be seen.

    Parameters
    ----------
    text : str
        Any text, hostile or not.

    Returns
    -------
    str
        One line; control and direction signs appear as their number, such as ``‹U+202E›``;
        text that reads from right to left is kept apart from the words around it.

    Examples
    --------
    >>> visible("two\\nlines\\u202e")
    'two lines‹U+202E›'
    """
    kept = text if _are_paired(text) else _ISOLATES.sub("", text)
    line = " ".join("".join(_seen(kept)).split())
    is_apart = not any(map(_reads_from_the_right, _outside_isolates(line)))
    return line if is_apart else f"{_ISOLATE}{line}{_END_OF_ISOLATE}"


def _outside_isolates(line: str) -> str:
    shorter = _INNERMOST.sub("", line)
    return line if shorter == line else _outside_isolates(shorter)


def _seen(text: str) -> Iterator[str]:
    marks = 0
    for sign in text:
        category = unicodedata.category(sign)
        marks = marks + 1 if category in _MARKS else 0
        if sign in _BREAKS:
            yield " "
        elif (category in _UNSEEN and not _ISOLATES.match(sign)) or marks > _MOST_MARKS:
            yield by_number(sign)
        else:
            yield sign


def _reads_from_the_right(sign: str) -> bool:
    return unicodedata.bidirectional(sign) in _RIGHT_TO_LEFT


def _are_paired(text: str) -> bool:
    depth = 0
    for sign in text:
        depth += (sign == _ISOLATE) - (sign == _END_OF_ISOLATE)
        if depth < 0:
            return False
    return depth == 0


def by_number(sign: str) -> str:
    """Write a character by its number, for where it cannot be shown.

    Parameters
    ----------
    sign : str
        One character.

    Returns
    -------
    str
        For example ``‹U+1F600›``.
    """
    return f"‹U+{ord(sign):04X}›"


def shortened(text: str, most: int) -> str:
    """Cut a text so that the cut is seen.

    Parameters
    ----------
    text : str
        Text, already visible.
    most : int
        Most characters, the sign for the cut included.

    Returns
    -------
    str
        The text, or its beginning and an ellipsis.

    Examples
    --------
    >>> shortened("both heels floated", 11)
    'both heels…'
    """
    if len(text) <= most:
        return text
    return text[: most - 1].rstrip() + "…"
