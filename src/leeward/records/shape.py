"""What the type of a field says about how its values are written."""

import dataclasses
import types
from collections.abc import Mapping
from dataclasses import MISSING, dataclass
from datetime import date, datetime
from enum import Enum, StrEnum
from functools import lru_cache
from typing import Any, TypeAlias, Union, get_args, get_origin, get_type_hints

import numpy as np

#: What JSON can hold; objects have text keys, numbers are finite.
Plain: TypeAlias = bool | int | float | str | list[Any] | dict[str, Any] | None


class Form(StrEnum):
    """A kind of value that has a plain form."""

    TEXT = "text"
    FLAG = "true or false"
    WHOLE = "a whole number"
    NUMBER = "a number"
    MEMBER = "one of a fixed list"
    MOMENT = "a time with its offset from UTC"
    DATE = "a date"
    ARRAY = "an array of numbers"
    OPTIONAL = "a value or nothing"
    LIST = "a list"
    FIXED_LIST = "a list of fixed length"
    SET = "a set"
    TABLE = "an object"
    RECORD = "a record"
    PLAIN = "plain data"


@dataclass(frozen=True, slots=True)
class Shape:
    """A type, taken apart.

    Parameters
    ----------
    form : Form
        What kind of value it is.
    kind : type
        The class of a record, a member or an array's elements; object for others.
    inner : tuple of object
        Types of what it holds.
    """

    form: Form
    kind: Any = object
    inner: tuple[Any, ...] = ()


@dataclass(frozen=True, slots=True)
class RecordField:
    """A field of a record.

    Parameters
    ----------
    name : str
        Its name.
    hint : object
        Its type.
    is_required : bool
        Whether it has no default.
    """

    name: str
    hint: Any
    is_required: bool


_SINGLE: dict[Any, Form] = {
    str: Form.TEXT,
    bool: Form.FLAG,
    int: Form.WHOLE,
    float: Form.NUMBER,
    datetime: Form.MOMENT,
    date: Form.DATE,
}
_HOLDING: dict[Any, Form] = {frozenset: Form.SET, dict: Form.TABLE, Mapping: Form.TABLE}


@lru_cache(maxsize=1024)
def shape_of(hint: Any) -> Shape:
    """Take a type apart.

    Parameters
    ----------
    hint : type
        Type of a field, as written.

    Returns
    -------
    Shape
        How its values are written.

    Raises
    ------
    TypeError
        When values of that type have no plain form: the record itself must change.
    """
    if hint == Plain:
        return Shape(Form.PLAIN)
    if hint in _SINGLE:
        return Shape(_SINGLE[hint])
    origin, inner = get_origin(hint), get_args(hint)
    if origin in (Union, types.UnionType):
        rest = tuple(kind for kind in inner if kind is not type(None))
        if len(rest) == 1:
            return Shape(Form.OPTIONAL, inner=rest)
    if origin is np.ndarray:
        return Shape(Form.ARRAY, kind=get_args(inner[1])[0])
    if origin is tuple:
        if inner[-1:] == (Ellipsis,):
            return Shape(Form.LIST, inner=inner[:1])
        return Shape(Form.FIXED_LIST, inner=inner)
    if origin in _HOLDING:
        return Shape(_HOLDING[origin], inner=inner[-1:])
    return _class_shape(hint)


def _class_shape(hint: Any) -> Shape:
    if isinstance(hint, type) and issubclass(hint, Enum):
        return Shape(Form.MEMBER, kind=hint)
    if isinstance(hint, type) and dataclasses.is_dataclass(hint):
        return Shape(Form.RECORD, kind=hint)
    raise TypeError(f"values of type {hint} have no plain form; use a type listed in Form")


@lru_cache(maxsize=512)
def record_fields(kind: Any) -> tuple[RecordField, ...]:
    """List what a record is made from.

    Parameters
    ----------
    kind : type
        A dataclass.

    Returns
    -------
    tuple of RecordField
        In the order written; what the record works out by itself is left out.
    """
    hints = get_type_hints(kind)
    return tuple(
        RecordField(
            field.name,
            hints[field.name],
            field.default is MISSING and field.default_factory is MISSING,
        )
        for field in dataclasses.fields(kind)
        if field.init
    )
