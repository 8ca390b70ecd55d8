"""Where in a record a value lies, and how deep and how large a record may be."""

from dataclasses import dataclass

from leeward.terms.errors import InvalidInput

#: Deepest nesting of lists and objects; the deepest record of leeward nests about 12.
GREATEST_DEPTH = 64

#: Most values in one record; a plan with all its draws holds about 200 000.
GREATEST_COUNT = 4_000_000

#: Longest JSON text read. [byte]
GREATEST_LENGTH = 64 * 1024 * 1024


@dataclass(slots=True)
class Tally:
    """Values met so far in one record.

    Parameters
    ----------
    count : int
        How many. [-]
    """

    count: int = 0


@dataclass(frozen=True, slots=True)
class Position:
    """A place inside a record.

    Parameters
    ----------
    path : str
        Fields and indices from the record's root, as in ``person.body.stature``.
    depth : int
        How many fields and indices that is. [-]
    tally : Tally
        Shared by every position of one record.
    """

    path: str
    depth: int
    tally: Tally

    def field(self, name: str) -> "Position":
        """Step into a field.

        Parameters
        ----------
        name : str
            Its name.

        Returns
        -------
        Position
            The place inside.
        """
        return self._inside(f"{self.path}.{name}" if self.path else name)

    def item(self, index: int) -> "Position":
        """Step into a list.

        Parameters
        ----------
        index : int
            Place in the list, from 0. [-]

        Returns
        -------
        Position
            The place inside.
        """
        return self._inside(f"{self.path}[{index}]")

    def _inside(self, path: str) -> "Position":
        inside = Position(path, self.depth + 1, self.tally)
        if inside.depth > GREATEST_DEPTH:
            raise inside.refusal(
                "nested too deeply",
                expected=f"at most {GREATEST_DEPTH} levels",
                remedy="look for a record that holds itself",
            )
        inside.add(1)
        return inside

    def add(self, count: int) -> None:
        """Count values met here.

        Parameters
        ----------
        count : int
            How many. [-]

        Raises
        ------
        InvalidInput
            When the record has become too large.
        """
        self.tally.count += count
        if self.tally.count > GREATEST_COUNT:
            raise self.refusal(
                "the record is too large",
                expected=f"at most {GREATEST_COUNT} values",
                remedy="split it into several records",
            )

    def refusal(self, what: str, *, expected: str, remedy: str) -> InvalidInput:
        """Say that a value cannot be kept or read here.

        Parameters
        ----------
        what : str
            What is wrong.
        expected : str
            What was expected.
        remedy : str
            What to do.

        Returns
        -------
        InvalidInput
            To be raised.
        """
        return InvalidInput(what, where=self.path or "record", expected=expected, remedy=remedy)


def root() -> Position:
    """Begin at the root of a record.

    Returns
    -------
    Position
        With nothing counted yet.
    """
    return Position("", 0, Tally())
