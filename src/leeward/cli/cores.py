"""Spreading independent work over the machine's cores."""

import os
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

Item = TypeVar("Item")
Result = TypeVar("Result")

#: More threads than this only wait for one another.
_MOST = 4


def on_all_cores(work: Callable[[Item], Result], items: Sequence[Item], /) -> Iterable[Result]:
    """Do the same work for every item, several at once; results come in order.

    Threads, since the arrays are large enough that most of the time is spent outside the
    interpreter.
    """
    with ThreadPoolExecutor(min(_MOST, os.cpu_count() or 1)) as pool:
        return list(pool.map(work, items))
