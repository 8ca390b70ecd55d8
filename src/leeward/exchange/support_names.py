"""Pillows, bolsters and blocks named in a line of words, as somebody types them."""

from leeward.exchange.problems import shown
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Support


def supports_named(words: str) -> frozenset[Support]:
    """Supports of a list such as ``pillow under calves, bolster along the left side``.

    Parameters
    ----------
    words : str
        Names separated by commas; empty for none.

    Returns
    -------
    frozenset of Support
        Those named.

    Raises
    ------
    InvalidInput
        If a name is none.
    """
    names = [" ".join(word.lower().split()) for word in words.split(",")]
    return frozenset(_of(name) for name in names if name)


def _of(name: str) -> Support:
    bare = name.removeprefix("night posture ")
    found = [one for one in Support if one.value.removeprefix("night posture ") == bare]
    if not found:
        raise InvalidInput(
            f"{shown(name)} is no support",
            where="supports",
            expected=f"names of: {', '.join(one.value for one in Support)}",
            remedy="separate them with commas",
        )
    return found[0]
