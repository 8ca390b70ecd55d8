"""Whether parts of this room run as machine code, and the decorator that makes them so.

Numba is an optional extra. Where it can be used, functions marked `entry` become machine code on
their first call, with all `part` functions they call, and are kept for the next process. Elsewhere
they stay plain Python: the same, but far too slow for use, so that the room goes by NumPy.

Every function is compiled once for itself and once within each that calls it: an entry calls parts,
and parts call little.
"""

import hashlib
from collections.abc import Callable
from typing import Any, Final, TypeVar, cast

import numpy as np

try:
    from numba import njit as _njit
except ImportError:
    _njit = None

_Function = TypeVar("_Function", bound=Callable[..., Any])


def _nothing() -> None:
    """What is compiled to see whether anything can be."""


def _can_compile() -> bool:
    """Whether machine code can be made, and kept: made anew each time it is slower than NumPy."""
    if _njit is None:
        return False
    try:
        _njit(cache=True)(_nothing)
    except RuntimeError:
        # numba found no folder that it may write to
        return False
    return True


#: Whether `entry` functions run as machine code here.
IS_COMPILED: Final = _can_compile()


def part(function: _Function) -> _Function:
    """Have a function be compiled into the entries that call it.

    Parameters
    ----------
    function : callable
        Of numbers, arrays and named tuples of them, by loops.

    Returns
    -------
    callable
        The same function.

    Notes
    -----
    In double precision and in the order written: no reassociation, so that answers do not depend on
    what a machine can add up at once. Dividing by zero gives infinity, as in NumPy.
    """
    if not IS_COMPILED:
        return function
    return cast(_Function, _njit(error_model="numpy")(function))


def entry(function: _Function) -> _Function:
    """Have a function run as machine code where that can be, and keep it for the next process.

    Parameters
    ----------
    function : callable
        As for `part`; called from outside.

    Returns
    -------
    callable
        The same function, fast or slow.

    Notes
    -----
    Numba keeps code by a function's name and the age of its own file. The name here tells of every
    part and constant too, so that nothing outdated is taken up again.
    """
    if not IS_COMPILED:
        return function
    function.__qualname__ = f"{function.__name__}_{_digest(function).hexdigest()[:16]}"
    return cast(_Function, _njit(cache=True, error_model="numpy")(function))


def _digest(function: Callable[..., Any]) -> Any:
    """What a function would be compiled from: its own code, its constants, and its parts."""
    code = function.__code__
    digest = hashlib.sha256(code.co_code + repr(code.co_consts).encode())
    for name in code.co_names:
        value: Any = function.__globals__.get(name)
        if isinstance(value, int | float):
            digest.update(f"{name}={value!r}".encode())
        elif isinstance(value, np.ndarray):
            digest.update(value.tobytes())
        elif hasattr(value, "py_func"):
            digest.update(_digest(value.py_func).digest())
    return digest
