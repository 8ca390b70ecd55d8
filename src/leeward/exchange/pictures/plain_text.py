"""Text from people made fit to show: nothing in it may steer the page or hide."""

import unicodedata

#: A reader who turned the text's direction, or wrote with unseen signs, could make a sheet
#: say the other side: such signs are shown by their number instead.
_UNSEEN = {"Cc", "Cf", "Cs", "Co", "Cn"}
_BREAKS = frozenset("\t\n\v\f\r\u0085\u2028\u2029")
_MOST_MARKS = 3


def visible(text: str) -> str:
    """Make every character of a text one that can be seen.

    Parameters
    ----------
    text : str
        Any text, hostile or not.

    Returns
    -------
    str
        One line; control and direction signs appear as their number, such as ``‹U+202E›``.

    Examples
    --------
    >>> visible("two\\nlines\\u202e")
    'two lines‹U+202E›'
    """
    shown: list[str] = []
    marks = 0
    for sign in text:
        category = unicodedata.category(sign)
        marks = marks + 1 if category in ("Mn", "Me") else 0
        if sign in _BREAKS:
            shown.append(" ")
        elif category in _UNSEEN or marks > _MOST_MARKS:
            shown.append(by_number(sign))
        else:
            shown.append(sign)
    return " ".join("".join(shown).split())


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
