"""Text from people made fit to show: nothing in it may steer the page or hide."""

import unicodedata

#: Signs that are not seen, or turn the direction of reading, could make a sheet say the
#: other side: they are shown by their number instead.
_UNSEEN = {"Cc", "Cf", "Cs", "Co", "Cn"}
_BREAKS = frozenset("\t\n\v\f\r\u0085\u2028\u2029")
_RIGHT_TO_LEFT = {"R", "AL", "AN"}
_MOST_MARKS = 3
_ISOLATE, _END_OF_ISOLATE = "\u2068", "\u2069"


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
    keeps_isolates = _are_paired(text)
    shown: list[str] = []
    marks = depth = 0
    is_apart = True
    for sign in text:
        category = unicodedata.category(sign)
        marks = marks + 1 if category in ("Mn", "Me") else 0
        if sign in (_ISOLATE, _END_OF_ISOLATE):
            shown.append(sign if keeps_isolates else "")
            depth += keeps_isolates if sign == _ISOLATE else -keeps_isolates
        elif sign in _BREAKS:
            shown.append(" ")
        elif category in _UNSEEN or marks > _MOST_MARKS:
            shown.append(by_number(sign))
        else:
            shown.append(sign)
            is_apart &= depth > 0 or unicodedata.bidirectional(sign) not in _RIGHT_TO_LEFT
    line = " ".join("".join(shown).split())
    return line if is_apart else f"{_ISOLATE}{line}{_END_OF_ISOLATE}"


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
