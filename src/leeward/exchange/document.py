"""YAML 1.2 and JSON as plain values with line numbers; everything surprising is refused.

The parser's events are read one by one, so that a hostile file meets the caps on depth and
size before anything is built. Only what JSON can say is accepted: `22:00` and `no` stay text.
"""

import math
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    Event,
    MappingEndEvent,
    MappingStartEvent,
    NodeEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

from leeward.exchange.problems import FileRefused, Place, Problem, field_path, shown

#: What JSON can say.
Plain: TypeAlias = "bool | int | float | str | list[Plain] | dict[str, Plain] | None"

#: Caps, far above any honest case; conventions of this project.
LARGEST_FILE = 256 * 1024
DEEPEST = 12
MOST_VALUES = 20_000
MOST_ALIASES = 20
LONGEST_NUMBER = 40

_INTEGER = re.compile(r"[-+]?[0-9]+")
_DECIMAL = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
_HALF_CHARACTER = re.compile("[\ud800-\udfff]")
_NOTHING = ("", "~", "null", "Null", "NULL")
_TRUTH = {"true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False}


@dataclass(frozen=True, slots=True)
class Document:
    """A file's content as plain values.

    Parameters
    ----------
    plain : dict
        The fields.
    lines : mapping of place to int
        Line of every field, counted from 1.
    """

    plain: dict[str, Plain]
    lines: Mapping[Place, int]


def parse_document(text: str, file: str) -> Document:
    """Read YAML 1.2 or JSON text into plain values.

    Parameters
    ----------
    text : str
        The text.
    file : str
        Name of the file, for messages.

    Returns
    -------
    Document
        Plain values and their lines.

    Raises
    ------
    FileRefused
        If the text is no YAML, holds more than one document, tags, duplicate or
        non-text keys, too many aliases, or is nested too deep or too large.
    """
    reader = _Reader(file)
    try:
        events = _checked(YAML(typ="safe", pure=True).parse(text), file)
        plain = reader.read(events)
        for _ in events:  # what follows the end: nothing, or it is refused
            pass
    except YAMLError as error:
        raise FileRefused([_syntax_problem(error, file)]) from error
    if not isinstance(plain, dict):
        raise _refused(
            file, 1, "", f"{shown(plain)} instead of fields", "lines such as `schema_version: 1`"
        )
    return Document(plain, reader.lines)


def line_of(lines: Mapping[Place, int], place: Place) -> int | None:
    """Find the line of a field, or of the nearest group around it.

    Parameters
    ----------
    lines : mapping of place to int
        Lines of a document.
    place : tuple of str or int
        Where.

    Returns
    -------
    int or None
        Line counted from 1; None when not even the top is known.
    """
    for length in range(len(place), -1, -1):
        found = lines.get(place[:length])
        if found is not None:
            return found
    return None


def _refused(file: str, line: int | None, field: str, what: str, expected: str) -> FileRefused:
    return FileRefused([Problem(file, line, field, what, expected, "correct this line")])


def _syntax_problem(error: YAMLError, file: str) -> Problem:
    mark = error.problem_mark if isinstance(error, MarkedYAMLError) else None
    what = error.problem if isinstance(error, MarkedYAMLError) else str(error).split("\n", 1)[0]
    return Problem(
        file,
        None if mark is None else mark.line + 1,
        "",
        f"not readable as YAML: {what}",
        "YAML 1.2 or JSON, indented with spaces",
        "check indentation, colons and quotes here and one line above",
    )


def _checked(events: Iterable[Event], file: str) -> Iterator[Event]:
    documents = 0
    for event in events:
        if isinstance(event, DocumentStartEvent):
            documents += 1
            if documents > 1:
                line = _line(event)
                raise _refused(file, line, "", "a second document", "one document in a file")
            if event.version not in (None, (1, 2)):
                raise _refused(file, 1, "", "another version of YAML", "YAML 1.2")
        elif isinstance(event, (NodeEvent, MappingEndEvent, SequenceEndEvent)):
            yield event


def _line(event: Event) -> int:
    return int(event.start_mark.line) + 1


class _Reader:
    """Builds plain values from events, counting as it goes."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.lines: dict[Place, int] = {}
        self._anchored: dict[str, tuple[Plain, int]] = {}
        self._aliases = 0
        self._values = 0

    def read(self, events: Iterator[Event]) -> Plain:
        first = next(events, None)
        return None if first is None else self._value(first, events, ())

    def _value(self, event: Event, events: Iterator[Event], place: Place) -> Plain:
        self.lines.setdefault(place, _line(event))
        self._count(1, event, place)
        if len(place) > DEEPEST:
            raise self._refusal(event, place, "nested too deep", f"at most {DEEPEST} levels")
        if isinstance(event, AliasEvent):
            return self._aliased(event, place)
        before = self._values
        tag = getattr(event, "ctag", None)
        if tag is not None:
            raise self._refusal(
                event, place, f"a tag, {shown(str(tag))}", "plain values without tags"
            )
        value = self._built(event, events, place)
        anchor = getattr(event, "anchor", None)
        if anchor is not None:
            self._anchored[anchor] = (value, self._values - before + 1)
        return value

    def _built(self, event: Event, events: Iterator[Event], place: Place) -> Plain:
        if isinstance(event, MappingStartEvent):
            return self._fields(events, place)
        if isinstance(event, SequenceStartEvent):
            return self._entries(events, place)
        if not isinstance(event, ScalarEvent):
            raise self._refusal(event, place, "an end without a beginning", "a value")
        value = _scalar(event)
        if isinstance(value, str) and _HALF_CHARACTER.search(value):
            raise self._refusal(event, place, "half of a character", "whole characters")
        return value

    def _fields(self, events: Iterator[Event], place: Place) -> dict[str, Plain]:
        fields: dict[str, Plain] = {}
        for event in events:
            if isinstance(event, MappingEndEvent):
                break
            if not isinstance(event, ScalarEvent):
                what = "a field whose name is not text"
                raise self._refusal(event, place, what, "a field name")
            name = _joined_surrogates(event.value)
            if name in fields:
                first = self.lines[(*place, name)]
                what = f"{shown(name)} given twice, first on line {first}"
                raise self._refusal(event, place, what, "every field once")
            self.lines[(*place, name)] = _line(event)
            fields[name] = self._value(next(events), events, (*place, name))
        return fields

    def _entries(self, events: Iterator[Event], place: Place) -> list[Plain]:
        entries: list[Plain] = []
        for event in events:
            if isinstance(event, SequenceEndEvent):
                break
            entries.append(self._value(event, events, (*place, len(entries))))
        return entries

    def _aliased(self, event: AliasEvent, place: Place) -> Plain:
        self._aliases += 1
        if self._aliases > MOST_ALIASES:
            what = f"more than {MOST_ALIASES} references to other parts"
            raise self._refusal(event, place, what, "values written out")
        if event.anchor not in self._anchored:
            what = f"a reference to {shown(event.anchor)}, which is not complete above"
            raise self._refusal(event, place, what, "a reference to a part above")
        value, size = self._anchored[event.anchor]
        self._count(size, event, place)
        return value

    def _count(self, size: int, event: Event, place: Place) -> None:
        self._values += size
        if self._values > MOST_VALUES:
            raise self._refusal(
                event, place, "too many values", f"at most {MOST_VALUES} values in a file"
            )

    def _refusal(self, event: Event, place: Place, what: str, expected: str) -> FileRefused:
        return _refused(self.file, _line(event), field_path(place), what, expected)


def _scalar(event: ScalarEvent) -> Plain:
    text = str(event.value)
    if not event.implicit[0]:
        return _joined_surrogates(text)
    if text in _NOTHING:
        return None
    if text in _TRUTH:
        return _TRUTH[text]
    if len(text) <= LONGEST_NUMBER:
        if _INTEGER.fullmatch(text):
            return int(text)
        # A number too large for the machine stays text, and is refused as not a number.
        if _DECIMAL.fullmatch(text) and math.isfinite(float(text)):
            return float(text)
    return text


def _joined_surrogates(text: str) -> str:
    # JSON may write one character as two escapes; a half left alone is refused above.
    try:
        return text.encode("utf-16", "surrogatepass").decode("utf-16")
    except UnicodeDecodeError:
        return text
