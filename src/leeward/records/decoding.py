"""Reading values back from plain data, naming the first one that does not fit."""

from collections.abc import Callable
from datetime import date, datetime
from typing import Any

import numpy as np

from leeward.records.encoding import (
    NOT_FINITE,
    encode,
    member_value,
    shown,
    wrong_kind,
)
from leeward.records.nearest import nearest_name
from leeward.records.position import Position
from leeward.records.shape import Form, Plain, RecordField, Shape, record_fields, shape_of
from leeward.terms.errors import InvalidInput

_LARGEST = float(np.finfo(np.float64).max)


def decode(plain: object, hint: Any, at: Position) -> Any:
    """Read a value of a known type.

    Parameters
    ----------
    plain : object
        Plain data.
    hint : type
        Type of the field it stands in.
    at : Position
        Where it stands.

    Returns
    -------
    object
        The value.

    Raises
    ------
    InvalidInput
        Naming the first field that does not fit.
    """
    shape = shape_of(hint)
    return _DECODERS[shape.form](plain, shape, at)


def _same(plain: object, shape: Shape, at: Position) -> Any:
    """Text and flags are their own plain form."""
    kind = str if shape.form is Form.TEXT else bool
    if type(plain) is not kind:
        raise wrong_kind(plain, at, shape.form.value)
    return encode(plain, kind, at)


def _whole(plain: object, _: Shape, at: Position) -> int:
    if type(plain) is not int:
        raise wrong_kind(plain, at, "a whole number")
    return plain


def _number(plain: Any, _: Shape, at: Position) -> float:
    if isinstance(plain, str) and plain in NOT_FINITE:
        return NOT_FINITE[plain]
    if type(plain) not in (int, float):
        raise wrong_kind(plain, at, "a number")
    # Written the other way round, this would let NaN through.
    if not abs(plain) <= _LARGEST:
        raise wrong_kind(plain, at, "a finite number or one of the texts " + ", ".join(NOT_FINITE))
    return float(plain)


def _member(plain: object, shape: Shape, at: Position) -> Any:
    for member in shape.kind:
        value = member_value(member)
        if type(plain) is type(value) and plain == value:
            return member
    values = [str(member_value(member)) for member in shape.kind]
    near = nearest_name(plain, values) if isinstance(plain, str) else None
    raise at.refusal(
        shown(plain),
        expected="one of " + ", ".join(values),
        remedy=f"perhaps {near!r} was meant" if near else "correct this value",
    )


def _moment(plain: object, _: Shape, at: Position) -> datetime:
    expected = "a time with its offset, such as 2030-01-31T22:00:00+01:00"
    try:
        moment = datetime.fromisoformat(plain if isinstance(plain, str) else "")
    except ValueError:
        raise wrong_kind(plain, at, expected) from None
    if moment.utcoffset() is None:
        raise wrong_kind(plain, at, expected)
    return moment


def _date(plain: object, _: Shape, at: Position) -> date:
    try:
        return date.fromisoformat(plain if isinstance(plain, str) else "")
    except ValueError:
        raise wrong_kind(plain, at, "a date such as 2030-01-31") from None


def _array(plain: object, shape: Shape, at: Position) -> Any:
    if not isinstance(plain, list):
        raise wrong_kind(plain, at, "a list of numbers")
    kind = {"f": float, "b": bool}.get(np.dtype(shape.kind).kind, int)
    leaves = _leaves(plain, kind, at)
    try:
        return np.array(leaves, dtype=shape.kind)
    except (ValueError, OverflowError):
        raise at.refusal(
            "rows of unequal length or a number out of range",
            expected="lists of equal length",
            remedy="correct this table",
        ) from None


def _leaves(plain: list[Any], kind: type, at: Position) -> list[Any]:
    if any(isinstance(item, list) for item in plain):
        rows = [_only_list(item, at.item(i)) for i, item in enumerate(plain)]
        return [_leaves(row, kind, at.item(i)) for i, row in enumerate(rows)]
    at.add(len(plain))
    return [decode(item, kind, at) for item in plain]


def _only_list(item: Any, at: Position) -> list[Any]:
    if not isinstance(item, list):
        raise wrong_kind(item, at, "a list like those beside it")
    return item


def _optional(plain: object, shape: Shape, at: Position) -> Any:
    return None if plain is None else decode(plain, shape.inner[0], at)


def _list(plain: object, shape: Shape, at: Position) -> tuple[Any, ...]:
    if not isinstance(plain, list):
        raise wrong_kind(plain, at, "a list")
    return tuple(decode(item, shape.inner[0], at.item(i)) for i, item in enumerate(plain))


def _fixed_list(plain: object, shape: Shape, at: Position) -> tuple[Any, ...]:
    if not isinstance(plain, list) or len(plain) != len(shape.inner):
        raise wrong_kind(plain, at, f"a list of {len(shape.inner)}")
    pairs = zip(plain, shape.inner, strict=True)
    return tuple(decode(item, hint, at.item(i)) for i, (item, hint) in enumerate(pairs))


def _set(plain: object, shape: Shape, at: Position) -> frozenset[Any]:
    if not isinstance(plain, list):
        raise wrong_kind(plain, at, "a list")
    members = frozenset(_list(plain, Shape(Form.LIST, inner=shape.inner), at))
    if len(members) != len(plain):
        raise at.refusal(
            "a set that names a member twice", expected="each once", remedy="remove one"
        )
    return members


def _table(plain: object, shape: Shape, at: Position) -> dict[str, Any]:
    if not isinstance(plain, dict):
        raise wrong_kind(plain, at, "an object")
    return {key: decode(item, shape.inner[0], at.field(key)) for key, item in plain.items()}


def _record(plain: object, shape: Shape, at: Position) -> Any:
    if not isinstance(plain, dict):
        raise wrong_kind(plain, at, "an object with the fields of " + shape.kind.__name__)
    fields = record_fields(shape.kind)
    _refuse_unknown(plain, fields, at)
    given: dict[str, Any] = {}
    for field in fields:
        if field.name in plain:
            given[field.name] = decode(plain[field.name], field.hint, at.field(field.name))
        elif field.is_required:
            raise at.field(field.name).refusal(
                "nothing there", expected="this field", remedy="add it"
            )
    return _made(shape.kind, given, at)


def _refuse_unknown(plain: dict[str, Any], fields: tuple[RecordField, ...], at: Position) -> None:
    names = [field.name for field in fields]
    for key in plain:
        if key not in names:
            near = nearest_name(str(key), names)
            raise at.field(str(key)[:64]).refusal(
                "a field nobody knows",
                expected="one of " + ", ".join(names),
                remedy=f"perhaps {near!r} was meant" if near else "remove it",
            )


def _made(kind: type, given: dict[str, Any], at: Position) -> Any:
    """Make the record; its own rules may refuse what each field alone allows."""
    try:
        return kind(**given)
    except InvalidInput as error:
        where = f"{at.path}: {error.where}" if at.path else error.where
        raise InvalidInput(
            error.what, where=where, expected=error.expected, remedy=error.remedy
        ) from error
    except ValueError as error:
        raise at.refusal(
            str(error),
            expected=f"what {kind.__name__} allows",
            remedy="correct the values together",
        ) from error


def _plain(plain: object, _: Shape, at: Position) -> Plain:
    """Copy data whose type nobody declared: records and dates have no place in it."""
    if isinstance(plain, list):
        return [_plain(item, _, at.item(i)) for i, item in enumerate(plain)]
    if isinstance(plain, dict):
        return {key: _plain(item, _, at.field(key)) for key, item in plain.items()}
    if plain is not None and type(plain) not in (bool, int, float, str):
        raise wrong_kind(plain, at, "data that JSON can hold")
    return encode(plain, Plain, at)


_DECODERS: dict[Form, Callable[[Any, Shape, Position], Any]] = {
    Form.TEXT: _same,
    Form.FLAG: _same,
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
