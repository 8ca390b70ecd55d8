"""Pillows, bolsters and blocks named in a line of words, as somebody types them."""

from leeward.exchange.field_types import word
from leeward.exchange.problems import shown
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Support


def supports_named(words: str) -> frozenset[Support]:
    """Supports of a list such as ``pillow under calves, bolster left``.

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
    names = [" ".join(one.lower().split()) for one in words.split(",")]
    return frozenset(_of(name) for name in names if name)


def _of(name: str) -> Support:
    """A support by its whole name, or by the short one that case files use."""
    known = {one.value: one for one in Support} | {word(one): one for one in Support}
    if name not in known:
        raise InvalidInput(
            f"{shown(name)} is no support",
            where="supports",
            expected=f"names of: {', '.join(map(word, Support))}",
            remedy="separate them with commas",
        )
    return known[name]
