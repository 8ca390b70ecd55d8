"""Sites named in a line of words, as somebody types them."""

from leeward.exchange.problems import shown
from leeward.terms.errors import InvalidInput
from leeward.terms.site import Site

#: Plurals that are not the name and an s.
_PLURALS = {"calves": "calf", "toes": "toes"}


def sites_named(words: str) -> tuple[Site, ...]:
    """Sites of a list such as ``sacrum, left trochanter, heels``.

    Parameters
    ----------
    words : str
        Names separated by commas; a plural means both sides.

    Returns
    -------
    tuple of Site
        In the order named, each once.

    Raises
    ------
    InvalidInput
        If a name is none.
    """
    found: dict[Site, None] = {}
    for word in words.split(","):
        found.update(dict.fromkeys(_of(" ".join(word.lower().split()))))
    return tuple(found)


def _of(name: str) -> tuple[Site, ...]:
    alone = name.removeprefix("both ")
    one = _PLURALS.get(alone, alone.removesuffix("s"))
    names = [name, f"left {one}", f"right {one}"]
    sites = tuple(site for site in Site if site.value in names)
    if not sites:
        raise InvalidInput(
            f"{shown(name)} is no site",
            where="sites",
            expected=f"names of: {', '.join(site.value for site in Site)}; heels means both",
            remedy="separate them with commas",
        )
    return sites
