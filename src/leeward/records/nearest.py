"""The known name a mistyped one most likely meant."""

from collections.abc import Iterable

#: Longer names are compared by their first part: a hostile one must not cost time.
_COMPARED_LENGTH = 64


def nearest_name(word: str, known: Iterable[str]) -> str | None:
    """Find the known name that takes the fewest changed letters.

    Parameters
    ----------
    word : str
        The name received.
    known : iterable of str
        Names that would have been understood.

    Returns
    -------
    str or None
        The nearest one; None when more than half of the letters differ from every one.

    Examples
    --------
    >>> nearest_name("statuer", ["stature", "mass"])
    'stature'
    >>> nearest_name("colour", ["stature", "mass"]) is None
    True
    """
    short = word[:_COMPARED_LENGTH]
    ranked = sorted((_letters_changed(short, name), name) for name in known)
    if not ranked:
        return None
    changed, name = ranked[0]
    return name if changed <= max(len(short), len(name)) / 2 else None


def _letters_changed(one: str, other: str) -> int:
    """Levenshtein's distance, row by row."""
    row = list(range(len(other) + 1))
    for count, letter in enumerate(one, start=1):
        previous, row = row, [count]
        for place, against in enumerate(other):
            row.append(
                min(previous[place + 1] + 1, row[place] + 1, previous[place] + (letter != against))
            )
    return row[-1]
