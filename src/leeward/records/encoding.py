"""Writing values as plain data: each kind of value in one stated way."""

import json
import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import is_dataclass
from datetime import date, datetime
from enum import Enum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from leeward.records.position import Position
from leeward.records.shape import Form, Plain, Shape, record_fields, shape_of
from leeward.terms.errors import InvalidInput

#: JSON has no word for these, so a field that is a number may hold one of three texts.
NOT_FINITE = {"NaN": math.nan, "Infinity": math.inf, "-Infinity": -math.inf}


def encode(value: object, hint: Any, at: Position) -> Plain:
    """Write a value of a known type.

    Parameters
    ----------
    value : object
        The value.
    hint : type
        Type of the field it stands in.
    at : Position
        Where it stands.

    Returns
    -------
    Plain
        The value as plain data, sharing nothing that can change with it.

    Raises
    ------
    InvalidInput
        If the value is not of that type or has no plain form.
    """
    shape = shape_of(hint)
    return _ENCODERS[shape.form](value, shape, at)


def wrong_kind(value: object, at: Position, expected: str) -> InvalidInput:
    """Say that a value is of the wrong kind.

    Parameters
    ----------
    value : object
        What was received.
    at : Position
        Where.
    expected : str
        What belongs there.

    Returns
    -------
    InvalidInput
        To be raised.
    """
    return at.refusal(shown(value), expected=expected, remedy="correct this value")


def shown(value: object) -> str:
    """Show a received value shortly and on one line.

    Parameters
    ----------
    value : object
        Anything received.

    Returns
    -------
    str
        At most 40 characters.
    """
    if isinstance(value, str):
        return repr(value) if len(value) < 36 else f"{value[:33]!r}..."
    if value is None or isinstance(value, bool | float):
        return repr(value)
    if isinstance(value, int):
        return str(value) if abs(value) < 10**30 else "a whole number of more than 30 digits"
    return f"a value of kind {type(value).__name__}"


def _text(value: object, _: Shape, at: Position) -> Plain:
    if not isinstance(value, str) or isinstance(value, Enum):
        raise wrong_kind(value, at, "text")
    if any("\ud800" <= letter <= "\udfff" for letter in value):
        raise at.refusal(
            "text with half a character", expected="text that UTF-8 can hold", remedy="retype it"
        )
    return str(value)


def _flag(value: object, _: Shape, at: Position) -> Plain:
    if not isinstance(value, bool | np.bool_):
        raise wrong_kind(value, at, "true or false")
    return bool(value)


def _whole(value: object, _: Shape, at: Position) -> Plain:
    if isinstance(value, bool | Enum) or not isinstance(value, int | np.integer):
        raise wrong_kind(value, at, "a whole number")
    return int(value)


def _number(value: object, _: Shape, at: Position) -> Plain:
    if isinstance(value, bool | Enum) or not isinstance(
        value, int | float | np.integer | np.floating
    ):
        raise wrong_kind(value, at, "a number")
    try:
        return _number_text(float(value))
    except OverflowError:
        raise wrong_kind(int(value), at, "a number below 1.8e308") from None


def _number_text(number: float) -> float | str:
    if math.isfinite(number):
        return number + 0.0  # minus zero becomes zero: equal numbers, equal digests
    if math.isnan(number):
        return "NaN"
    return "Infinity" if number > 0.0 else "-Infinity"


def _member(value: object, shape: Shape, at: Position) -> Plain:
    if not isinstance(value, shape.kind) or not isinstance(value, Enum):
        raise wrong_kind(value, at, f"a member of {shape.kind.__name__}")
    return member_value(value)


def member_value(member: Enum) -> int | str:
    """Give the plain value by which a member of a fixed list is written.

    Parameters
    ----------
    member : Enum
        The member.

    Returns
    -------
    int or str
        Its value; a whole number for a numbered list. [-]
    """
    value = member.value
    return int(value) if isinstance(value, int) else str(value)


def _moment(value: object, _: Shape, at: Position) -> Plain:
    if not isinstance(value, datetime) or value.utcoffset() is None:
        raise wrong_kind(value, at, "a time with its offset from UTC")
    return value.isoformat()


def _date(value: object, _: Shape, at: Position) -> Plain:
    if not isinstance(value, date) or isinstance(value, datetime):
        raise wrong_kind(value, at, "a date")
    return value.isoformat()


def _array(value: object, shape: Shape, at: Position) -> Plain:
    if not isinstance(value, np.ndarray) or not np.issubdtype(value.dtype, shape.kind):
        raise wrong_kind(value, at, f"an array of {shape.kind.__name__}")
    if value.ndim == 0 or (value.size == 0 and value.ndim > 1):
        raise at.refusal(
            f"an array of shape {value.shape}",
            expected="at least one axis, and none of length 0 beside others",
            remedy="leave the empty table out: nested lists cannot keep its shape",
        )
    at.add(value.size)
    if value.dtype.kind != "f":
        return list(value.tolist())
    numbers: NDArray[np.floating[Any]] = value + value.dtype.type(0.0)
    if bool(np.isfinite(numbers).all()):
        return list(numbers.tolist())
    return [_not_finite_named(row) for row in numbers.tolist()]


def _not_finite_named(row: Any) -> Any:
    if isinstance(row, list):
        return [_not_finite_named(inner) for inner in row]
    return _number_text(row)


def _optional(value: object, shape: Shape, at: Position) -> Plain:
    return None if value is None else encode(value, shape.inner[0], at)


def _list(value: object, shape: Shape, at: Position) -> Plain:
    if not isinstance(value, tuple | list):
        raise wrong_kind(value, at, "a list")
    return [encode(item, shape.inner[0], at.item(i)) for i, item in enumerate(value)]


def _fixed_list(value: object, shape: Shape, at: Position) -> Plain:
    if not isinstance(value, tuple | list) or len(value) != len(shape.inner):
        raise wrong_kind(value, at, f"a list of {len(shape.inner)}")
    pairs = zip(value, shape.inner, strict=True)
    return [encode(item, hint, at.item(i)) for i, (item, hint) in enumerate(pairs)]


def _set(value: object, shape: Shape, at: Position) -> Plain:
    if not isinstance(value, frozenset | set):
        raise wrong_kind(value, at, "a set")
    return in_order(encode(item, shape.inner[0], at.item(i)) for i, item in enumerate(value))


def in_order(items: Iterable[Plain]) -> list[Plain]:
    """Put the members of a set into the order in which they are written.

    Parameters
    ----------
    items : iterable of Plain
        Members as plain data.

    Returns
    -------
    list of Plain
        Sorted by their JSON text.
    """
    return sorted(items, key=lambda item: json.dumps(item, sort_keys=True))


def _table(value: object, shape: Shape, at: Position) -> Plain:
    if not isinstance(value, Mapping):
        raise wrong_kind(value, at, "an object")
    return {
        key: encode(item, shape.inner[0], at.field(key))
        for key, item in zip(_keys(value, at), value.values(), strict=True)
    }


def _keys(value: Mapping[Any, object], at: Position) -> list[str]:
    return [str(_text(key, Shape(Form.TEXT), at)) for key in value]


def _record(value: object, shape: Shape, at: Position) -> Plain:
    fields = record_fields(shape.kind)
    if type(value) is not shape.kind:
        raise wrong_kind(value, at, f"a record of kind {shape.kind.__name__}")
    return {
        field.name: encode(getattr(value, field.name), field.hint, at.field(field.name))
        for field in fields
    }


def _plain(value: object, shape: Shape, at: Position) -> Plain:
    """Write a value whose type nobody declared; a number must then be finite."""
    if isinstance(value, list | tuple):
        return [_plain(item, shape, at.item(i)) for i, item in enumerate(value)]
    if isinstance(value, Mapping):
        keys = _keys(value, at)
        pairs = zip(keys, value.values(), strict=True)
        return {key: _plain(item, shape, at.field(key)) for key, item in pairs}
    if value is None:
        return None
    kind: Any = type(value)
    if isinstance(value, Enum) or is_dataclass(value):
        return encode(value, kind, at)
    for single in (bool, str, int, float, datetime, date):
        if isinstance(value, single):
            return _finite(encode(value, single, at), value, at)
    raise wrong_kind(value, at, "data that JSON can hold, or a record")


def _finite(plain: Plain, value: object, at: Position) -> Plain:
    if isinstance(value, float) and isinstance(plain, str):
        raise wrong_kind(value, at, "a finite number: only a record's own field may lack one")
    return plain


_ENCODERS: dict[Form, Callable[[object, Shape, Position], Plain]] = {
    Form.TEXT: _text,
    Form.FLAG: _flag,
    Form.WHOLE: _whole,
    Form.NUMBER: _number,
    Form.MEMBER: _member,
    Form.MOMENT: _moment,
    Form.DATE: _date,
    Form.ARRAY: _array,
    Form.OPTIONAL: _optional,
    Form.LIST: _list,
    Form.FIXED_LIST: _fixed_list,
    Form.SET: _set,
    Form.TABLE: _table,
    Form.RECORD: _record,
    Form.PLAIN: _plain,
}
