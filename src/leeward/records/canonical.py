"""Records as plain data and as canonical JSON, so that equal records have equal digests.

The one stated form: fields by name; members of fixed lists by value; sets as lists in the
order of their JSON text; arrays as nested lists; times in ISO 8601 with offset, dates in
ISO 8601. In a field that is a number, what is not finite is written as one of the texts
"NaN", "Infinity", "-Infinity"; anywhere else it is refused. Minus zero is written as zero.
JSON has its keys sorted by code point, no spaces, UTF-8, floats as the shortest digits that
read back to the same number, and whole ones below 2^53 without a decimal point.
"""

import hashlib
import json
import re
from typing import Any, TypeVar, cast

from leeward.records.decoding import decode
from leeward.records.encoding import encode
from leeward.records.position import GREATEST_DEPTH, GREATEST_LENGTH, root
from leeward.records.shape import Plain
from leeward.terms.errors import InvalidInput

Record = TypeVar("Record")

_STRING_OR_BRACKET = re.compile(r'"(?:[^"\\]|\\.)*"|[\[\]{}]')
_EXACT_WHOLE = 2.0**53


def to_plain(value: object) -> Plain:
    """Write a record, or data that may hold records, as plain data.

    Parameters
    ----------
    value : object
        A frozen dataclass, or lists and objects of them.

    Returns
    -------
    Plain
        A fresh copy made of what JSON can hold.

    Raises
    ------
    InvalidInput
        Naming the first field whose value has no plain form.

    Examples
    --------
    >>> from leeward.terms.clock import DaySpan
    >>> to_plain(DaySpan(start=79200.0, end=25200.0))
    {'start': 79200.0, 'end': 25200.0}
    """
    return encode(value, Plain, root())


def from_plain(kind: type[Record], plain: object) -> Record:
    """Read a record back from plain data.

    Parameters
    ----------
    kind : type
        The frozen dataclass, or a tuple type of them.
    plain : object
        Plain data.

    Returns
    -------
    object
        The record; fields left out take their defaults.

    Raises
    ------
    InvalidInput
        Naming by its path the first field that is missing, unknown, or does not fit.

    Examples
    --------
    >>> from leeward.terms.clock import DaySpan
    >>> from_plain(DaySpan, {"start": 79200, "end": 25200})
    DaySpan(start=79200.0, end=25200.0)
    """
    return cast(Record, decode(plain, kind, root()))


def canonical_json(value: object) -> bytes:
    """Write a record or plain data as canonical JSON.

    Parameters
    ----------
    value : object
        A record, or plain data.

    Returns
    -------
    bytes
        UTF-8; the same bytes for equal values.

    Examples
    --------
    >>> canonical_json({"turn": -0.0, "stay": 7200.0})
    b'{"stay":7200,"turn":0}'
    """
    text = json.dumps(
        _whole_without_point(to_plain(value)),
        sort_keys=True,
        separators=(",", ":"),
        ensure_ascii=False,
        allow_nan=False,
    )
    return text.encode("utf-8")


def digest(value: object) -> str:
    """Give the SHA-256 of a value's canonical JSON.

    Parameters
    ----------
    value : object
        A record, or plain data.

    Returns
    -------
    str
        64 lower-case hexadecimal digits.
    """
    return hashlib.sha256(canonical_json(value)).hexdigest()


def plain_from_json(data: bytes) -> Plain:
    """Read JSON that may come from anywhere.

    Parameters
    ----------
    data : bytes
        JSON in UTF-8.

    Returns
    -------
    Plain
        What it holds.

    Raises
    ------
    InvalidInput
        If it is too long or too deep, is not UTF-8 or not JSON, repeats a key, or holds a
        number that is not finite.
    """
    if len(data) > GREATEST_LENGTH:
        raise _refusal(f"{len(data)} bytes", f"at most {GREATEST_LENGTH} bytes")
    try:
        text = data.decode("utf-8")
        _refuse_deep(text)
        plain = json.loads(text, object_pairs_hook=_object, parse_constant=_no_constant)
    except UnicodeDecodeError as error:
        raise _refusal(f"byte {error.start} is not UTF-8", "UTF-8 text") from None
    except json.JSONDecodeError as error:
        raise _refusal(f"{error.msg} in line {error.lineno}", "JSON") from None
    except RecursionError:
        raise _refusal("nested too deeply", f"at most {GREATEST_DEPTH} levels") from None
    except InvalidInput:
        raise
    except ValueError:
        raise _refusal("a number of too many digits", "numbers below 1.8e308") from None
    return to_plain(plain)


def _refusal(what: str, expected: str) -> InvalidInput:
    return InvalidInput(
        what, where="JSON", expected=expected, remedy="use a file that leeward has written"
    )


def _refuse_deep(text: str) -> None:
    depth = 0
    for found in _STRING_OR_BRACKET.finditer(text):
        first = found[0][0]
        depth += (first in "[{") - (first in "]}")
        if depth > GREATEST_DEPTH:
            raise _refusal("nested too deeply", f"at most {GREATEST_DEPTH} levels")


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    if len(made) != len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise _refusal(f"the key {twice[:40]!r} stands twice", "each key once")
    return made


def _no_constant(name: str) -> float:
    raise _refusal(f"the word {name}", "finite numbers")


def _whole_without_point(plain: Plain) -> Plain:
    """Equal numbers get equal text, whether they were read as whole or not."""
    if isinstance(plain, dict):
        return {key: _whole_without_point(item) for key, item in plain.items()}
    if isinstance(plain, list):
        return [_whole_without_point(item) for item in plain]
    if isinstance(plain, float) and plain.is_integer() and abs(plain) < _EXACT_WHOLE:
        return int(plain)
    return plain
