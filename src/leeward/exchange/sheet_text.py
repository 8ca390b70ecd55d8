"""Text shortened on the page and told in full behind it."""

from leeward.exchange.pictures.plain_text import shortened, visible

#: One text must end too: what is beyond this is counted, not printed.
MOST_IN_FULL = 1500


class Notes:
    """Texts that were too long for their place, numbered in order."""

    def __init__(self) -> None:
        self._full: list[str] = []

    def short(self, text: str, most: int) -> str:
        """Fit a text to its place; a cut one points to its note."""
        whole = visible(text)
        if len(whole) <= most:
            return whole
        number = self._number(_ended(whole))
        pointer = f" [note {number}]"
        return visible(shortened(whole, most - len(pointer))) + pointer

    def moved(self, sentences: list[str], most: int, what: str) -> list[str]:
        """Keep the first sentences; the rest go, every one, to a note that is pointed to."""
        if len(sentences) <= most:
            return sentences
        rest = sentences[most:]
        number = self._number(" ".join(rest))
        return [*sentences[:most], f"{len(rest)} more {what}: note {number}, next page."]

    @property
    def in_full(self) -> list[str]:
        """The whole texts."""
        return list(self._full)

    def _number(self, whole: str) -> int:
        if whole not in self._full:
            self._full.append(whole)
        return self._full.index(whole) + 1


def _ended(text: str) -> str:
    if len(text) <= MOST_IN_FULL:
        return text
    return visible(f"{text[:MOST_IN_FULL]}… ({len(text) - MOST_IN_FULL} characters more)")
