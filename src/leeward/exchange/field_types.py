"""What fields of a written file are made of: words, times of day, dates, numbers with edges."""

import difflib
import re
import unicodedata
from datetime import date, datetime
from enum import StrEnum
from typing import Annotated, Any, ClassVar, Self

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Field,
    GetCoreSchemaHandler,
    PlainSerializer,
    PlainValidator,
    StringConstraints,
    WithJsonSchema,
    model_validator,
)

from leeward.exchange.problems import Place, shown
from leeward.terms.site import Side
from leeward.terms.units import SECONDS_PER_HOUR, SECONDS_PER_MINUTE

#: Most letters of one line of text.
LONGEST_LINE = 200
#: Most letters of a text of several lines.
LONGEST_PROSE = 2000

_BLANK = re.compile(r"<[^<>]+>")
_CLOCK = re.compile(r"([01][0-9]|2[0-3]):([0-5][0-9])")

#: Signs that turn the direction of text around: they could exchange left and right on a sheet.
_DIRECTION_SIGNS = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")

#: Letters by their class that draw nothing: fillers of the Korean and the Braille script.
_DRAWN_BLANK = frozenset("\u115f\u1160\u3164\uffa0\u2800")


class Group(BaseModel):
    """A group of fields in a file: unknown names, NaN and silent conversions are refused."""

    # A group inside another is built with it, not twice.
    model_config = ConfigDict(
        extra="forbid", strict=True, frozen=True, allow_inf_nan=False, defer_build=True
    )


class OneOfTwo(Group):
    """A group that says the same in one of two ways."""

    ways: ClassVar[tuple[str, str]]
    #: What the one that is kept says.
    says: ClassVar[str]

    @model_validator(mode="after")
    def _one_of_two(self) -> Self:
        first, second = (getattr(self, way) is None for way in self.ways)
        if first == second:
            raise Refusal(
                f"both or neither of `{self.ways[0]}` and `{self.ways[1]}` given",
                expected="exactly one of the two",
                remedy=f"keep the one that says {self.says}",
            )
        return self


class Refusal(ValueError):
    """What a validator raises: the parts every message has.

    Parameters
    ----------
    what : str
        What is wrong.
    expected : str
        What was expected.
    remedy : str
        What to do.
    place : tuple of str or int
        Steps from the group that was looked at to the value meant; empty for the group itself.
    """

    def __init__(self, what: str, *, expected: str, remedy: str, place: Place = ()) -> None:
        self.what = what
        self.expected = expected
        self.remedy = remedy
        self.place = place
        super().__init__(what)


def word(member: StrEnum) -> str:
    """The word a file uses for a term: the term's name in lower case with spaces.

    Parameters
    ----------
    member : StrEnum
        The term.

    Returns
    -------
    str
        For example ``by hand``.
    """
    return member.name.lower().replace("_", " ")


class Words:
    """Marks an enumeration as written in words.

    Parameters
    ----------
    spoken : bool
        Whether its values are the words, where names alone would not be understood.
    """

    def __init__(self, *, spoken: bool = False) -> None:
        self._spoken = spoken

    def _word(self, member: StrEnum) -> str:
        return member.value if self._spoken else word(member)

    def __get_pydantic_core_schema__(
        self, source: type[StrEnum], handler: GetCoreSchemaHandler
    ) -> Any:
        members = {self._word(member): member for member in source}

        def find(text: Any) -> StrEnum:
            found = members.get(text) if isinstance(text, str) else None
            if found is None:
                raise _unknown_word(text, tuple(members))
            return found

        schema = WithJsonSchema({"type": "string", "enum": list(members)})
        written = PlainSerializer(self._word, return_type=str)
        return handler.generate_schema(Annotated[source, PlainValidator(find), written, schema])


def _unknown_word(text: Any, known: tuple[str, ...]) -> Refusal:
    near = difflib.get_close_matches(str(text), known, n=1, cutoff=0.5)
    hint = f"perhaps `{near[0]}`; known words: " if near else "one of "
    return Refusal(
        f"{shown(text)} is not a word known here",
        expected=hint + ", ".join(known),
        remedy="write one of these",
    )


class TurnedTo(StrEnum):
    """Which side the person is turned to, by their own left and right."""

    LEFT = "left"
    RIGHT = "right"
    LEVEL = "level"

    @property
    def sign(self) -> float:
        """1 towards the person's left, -1 towards the right, 0 level. [-]"""
        return {TurnedTo.LEFT: 1.0, TurnedTo.RIGHT: -1.0, TurnedTo.LEVEL: 0.0}[self]


class Towards(StrEnum):
    """Which way something lies from a mid-line, by the person's own left and right."""

    LEFT = "left"
    RIGHT = "right"
    MIDDLE = "middle"

    @property
    def sign(self) -> float:
        """1 towards the person's left, -1 towards the right, 0 in the middle. [-]"""
        return {Towards.LEFT: 1.0, Towards.RIGHT: -1.0, Towards.MIDDLE: 0.0}[self]


def _printable(text: str) -> str:
    for letter in text:
        if letter in _DIRECTION_SIGNS:
            raise Refusal(
                "a hidden sign that turns the direction of text",
                expected="text without hidden direction signs",
                remedy="type the text again",
            )
        if unicodedata.category(letter) in ("Cc", "Cs") and letter not in "\n\t":
            raise Refusal(
                f"an unprintable sign, U+{ord(letter):04X}",
                expected="printable text",
                remedy="type the text again",
            )
    return text


def is_blank(value: object) -> bool:
    """Whether a value is still the ``<...>`` of the template.

    Parameters
    ----------
    value : object
        A value found.

    Returns
    -------
    bool
        True for text in angle brackets.
    """
    return isinstance(value, str) and _BLANK.fullmatch(value.strip()) is not None


def _filled_in(text: str) -> str:
    if is_blank(text):
        raise Refusal(
            f"{shown(text)} is not filled in yet",
            expected="what the angle brackets ask for",
            remedy="fill it in, or take the line out",
        )
    return text


def _one_line(text: str) -> str:
    joined = " ".join(text.split())
    # Dashes, signs without width, and letters that draw nothing, say no more than blanks.
    if not any(unicodedata.category(letter)[0] in "LN" for letter in _drawn(joined)):
        raise Refusal(
            f"{shown(joined)} says nothing" if joined and joined.isprintable() else "an empty text",
            expected="a text with letters or digits",
            remedy="write it or leave it out",
        )
    return joined


def _drawn(text: str) -> str:
    return "".join(letter for letter in text if letter not in _DRAWN_BLANK)


def with_letters(text: str) -> str:
    """Accept a name or a reason only where it holds words.

    Parameters
    ----------
    text : str
        As given.

    Returns
    -------
    str
        The same.

    Raises
    ------
    Refusal
        If no letter in it can be seen.
    """
    if not any(letter.isalpha() for letter in _drawn(text)):
        raise Refusal(
            f"{shown(text)} says nothing" if text.isprintable() else "nothing that can be read",
            expected="words: a name and role, or a reason",
            remedy="let the practitioner write it, or take the signature out",
        )
    return text


def checked_line(text: str, longest: int = LONGEST_LINE) -> str:
    """Accept one line of text by the rules of every line in a file.

    Parameters
    ----------
    text : str
        As given.
    longest : int
        Most letters. [-]

    Returns
    -------
    str
        The same on one line.

    Raises
    ------
    Refusal
        If it is empty, too long, not filled in, or holds hidden or unprintable signs.
    """
    line = _one_line(_filled_in(_printable(text)))
    if len(line) > longest:
        raise Refusal(
            f"a text of {len(line)} letters",
            expected=f"at most {longest} letters",
            remedy="shorten it",
        )
    return line


def _seconds(text: Any) -> float:
    found = _CLOCK.fullmatch(text) if isinstance(text, str) else None
    if found is None:
        raise Refusal(
            f"{shown(text)} is not a time of day",
            expected="hours and minutes from 00:00 to 23:59, such as 07:30",
            remedy="correct it",
        )
    return int(found[1]) * SECONDS_PER_HOUR + int(found[2]) * SECONDS_PER_MINUTE


#: One line of text, at most 200 letters.
Line = Annotated[
    str,
    StringConstraints(min_length=1, max_length=LONGEST_LINE),
    AfterValidator(_printable),
    AfterValidator(_filled_in),
    AfterValidator(_one_line),
]
#: Text of any number of lines, at most 2000 letters.
Prose = Annotated[
    str,
    StringConstraints(max_length=LONGEST_PROSE, strip_whitespace=True),
    AfterValidator(_printable),
    AfterValidator(_filled_in),
]
#: A time of day. [s]
ClockTime = Annotated[
    float,
    PlainValidator(_seconds),
    WithJsonSchema({"type": "string", "pattern": f"^{_CLOCK.pattern}$"}),
]
#: A calendar date.
Day = Annotated[date, WithJsonSchema({"type": "string", "format": "date"})]
#: A moment; without an offset it is read on the day's own clock.
Moment = Annotated[datetime, WithJsonSchema({"type": "string", "format": "date-time"})]
#: A turn or another angle that has a side beside it. [deg]
SidedAngle = Annotated[float, Field(ge=0, le=90)]
#: A backrest. [deg]
Backrest = Annotated[float, Field(ge=0, le=90)]
#: A knee section. [deg]
KneeRaise = Annotated[float, Field(ge=0, le=60)]
#: How long something lasts. [min]
Minutes = Annotated[float, Field(gt=0, le=24 * 60)]
#: How long a posture is kept: below a minute nobody turns anyone. [min]
StayMinutes = Annotated[float, Field(ge=1, le=24 * 60)]

SideWord = Annotated[Side, Words()]
TurnedToWord = Annotated[TurnedTo, Words()]
TowardsWord = Annotated[Towards, Words()]
