"""A chain of stays as passages: from one minute in which all is settled to the next.

A stay that outlasts the movement into it by the lag is *settled* from then on: how it was reached
no longer matters. What lies between two settled minutes, a passage, hangs on few numbers and comes
back again and again in a day, so it is computed once.

For example, a chain of 60 min to the left, 4 min level and 56 min to the right, on a unit that
needs 1 min to or from level and 2 min from side to side, with a lag of 5 min::

    minute  0     7                      60   64      70                    120
            |head |  left: rest of 53    | passage    |  right: rest of 50  | tail: none
            | left|                      |level right |

Left is settled after 7 min, whichever way it was reached; that much is the passage *into* the
chain, its head, and differs with what came before. Level is too short to be settled (1 + 5 min),
right is settled 6 min after it begins: level and those 6 min are one passage inside. Nothing
follows on the last settled minute, so the tail is only the row of right. In `Passages` that
candidate has two steps: the empty passage, left, 53 min; then the passage of level and right,
right, 50 min.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import product
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from leeward.programme.loads import RatioTable
from leeward.programme.moved_days import predecessors
from leeward.tissue.law import STANDARD_LAW

Array = NDArray[np.float64]
Rows = NDArray[np.intp]


class Passage(NamedTuple):
    """Stays between two settled minutes, each with the movement that leads into it.

    Parameters
    ----------
    rows : tuple of int
        Row of the posture before, of a passage into a chain -1, then of each stay. [-]
    lengths : tuple of float
        Length of each stay, cut where it would be settled. [s]
    known : tuple of bool
        Stays that are counted; of the others only their movements are.
    """

    rows: tuple[int, ...] = ()
    lengths: tuple[float, ...] = ()
    known: tuple[bool, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Passages:
    """Candidates of a chain: a passage into each, then settled time and passages in turn.

    Parameters
    ----------
    heads : tuple of Passage
        The passages into the chain that some candidate has.
    head : ndarray of int, shape (n,)
        Which of them each candidate has. [-]
    inner : tuple of Passage
        The passages inside; the first has no stay.
    step : ndarray of int, shape (n, k)
        Passages of each candidate in order, the first and any padding the one without a stay. [-]
    row : ndarray of int, shape (n, k)
        Row of the posture that follows each. [-]
    rest : ndarray, shape (n, k)
        Settled time after each. [s]
    tails : tuple of Passage
        What has followed on the last settled minute at the end of the chain.
    tail : ndarray of int, shape (n,)
        Which of them each candidate has. [-]
    """

    heads: tuple[Passage, ...]
    head: Rows
    inner: tuple[Passage, ...]
    step: Rows
    row: Rows
    rest: Array
    tails: tuple[Passage, ...]
    tail: Rows


class _Stay(NamedTuple):
    """One stay: its length, as much of it as is not settled, and whether any of it is."""

    row: int
    duration: float
    counted: float
    is_settled: bool
    is_known: bool


class _Places(NamedTuple):
    """Numbers of one candidate's passages; each step is one, the row after it, and its rest."""

    head: int
    steps: list[tuple[int, int, float]]
    tail: int


class _Walk:
    """Candidates divided one after another, their passages numbered as they are met."""

    def __init__(self) -> None:
        self.heads: dict[Passage, int] = {}
        self.inner: dict[Passage, int] = {Passage(): 0}
        self.tails: dict[Passage, int] = {}

    def along(self, stays: Iterable[_Stay]) -> _Places:
        """Walk along one candidate."""
        steps: list[tuple[int, int, float]] = []
        head = -1
        rows: list[int] = [-1]
        lengths: list[float] = []
        known: list[bool] = []
        for stay in stays:
            if stay.duration <= 0.0:
                continue
            rows.append(stay.row)
            lengths.append(stay.counted)
            known.append(stay.is_known)
            if not stay.is_settled:
                continue
            passed = Passage(tuple(rows), tuple(lengths), tuple(known))
            rest = stay.duration - stay.counted
            if head < 0:
                head = self.heads.setdefault(passed, len(self.heads))
                steps.append((0, stay.row, rest))
            else:
                inner = self.inner.setdefault(passed, len(self.inner))
                steps.append((inner, stay.row, rest))
            rows, lengths, known = [stay.row], [], []
        last = Passage(tuple(rows), tuple(lengths), tuple(known))
        tail = self.tails.setdefault(last, len(self.tails))
        if head < 0:
            head = self.heads.setdefault(last, len(self.heads))
            return _Places(head, [(0, rows[-1], 0.0)], tail)
        if lengths:
            steps.append((self.inner.setdefault(last, len(self.inner)), rows[-1], 0.0))
        return _Places(head, steps, tail)


def passages(durations: Array, rows: Rows, table: RatioTable, known: NDArray[np.bool_]) -> Passages:
    """Divide candidates of a chain into passages.

    Parameters
    ----------
    durations : ndarray, shape (n, m)
        Length of each stay; 0 for padding, the first lasts. [s]
    rows : ndarray of int, shape (n, m)
        Row of each stay's posture. [-]
    table : RatioTable
        The movements between postures.
    known : ndarray of bool, shape (m,)
        Stays that are counted; of the others only their movements are.

    Returns
    -------
    Passages
        A chain that is settled nowhere is one passage into it, and its own tail.
    """
    unsettled = _unsettled(durations, rows, table)
    is_settled = known & (durations >= unsettled)
    columns = (rows, durations, np.minimum(durations, unsettled), is_settled)
    walk = _Walk()
    places = [
        walk.along(map(_Stay, *one, known.tolist()))
        for one in zip(*(column.tolist() for column in columns), strict=True)
    ]
    most = max(len(one.steps) for one in places)
    steps = np.zeros((3, len(places), most))
    for number, one in enumerate(places):
        steps[:, number, : len(one.steps)] = np.array(one.steps).T
    return Passages(
        tuple(walk.heads),
        np.array([one.head for one in places], dtype=np.intp),
        tuple(walk.inner),
        steps[0].astype(np.intp),
        steps[1].astype(np.intp),
        steps[2],
        tuple(walk.tails),
        np.array([one.tail for one in places], dtype=np.intp),
    )


def _unsettled(durations: Array, rows: Rows, table: RatioTable) -> Array:
    """Time from the start of each stay to where it is settled, whatever comes before the first."""
    time = table.movements.time[predecessors(durations, rows, rows[:, 0]), rows]
    time[:, 0] = table.movements.time[:, rows[:, 0]].max(axis=0)
    return np.asarray(time + STANDARD_LAW.lag)


def in_common(
    first: Passages, second: Passages, table: RatioTable
) -> tuple[Passages, Passages, dict[Passage, int]]:
    """Number the inner passages of two chains in one list, as far as the lists are the same.

    Parameters
    ----------
    first, second : Passages
        Candidates of the two chains that make the day.
    table : RatioTable
        The movements between postures.

    Returns
    -------
    first, second : Passages
        The same with one list of inner passages.
    numbers : dict of Passage to int
        That list, to which the passages of one stay between the chains are added. [-]
    """
    numbers = {passage: number for number, passage in enumerate(first.inner)}
    for passage in second.inner:
        numbers.setdefault(passage, len(numbers))
    for heads, tails in ((first.heads, second.tails), (second.heads, first.tails)):
        for head, tail in product(heads, tails):
            between = between_chains(head, tail, table)
            if between is not None:
                numbers.setdefault(between, len(numbers))
    place = np.array([numbers[passage] for passage in second.inner], dtype=np.intp)
    inner = tuple(numbers)
    return (
        replace(first, inner=inner),
        replace(second, inner=inner, step=place[second.step]),
        numbers,
    )


def between_chains(head: Passage, tail: Passage, table: RatioTable) -> Passage | None:
    """Passage from the last settled minute of a chain to the first of the next, where it is simple.

    Parameters
    ----------
    head : Passage
        Passage into a chain.
    tail : Passage
        What has followed on the last settled minute of the chain before.
    table : RatioTable
        The movements between postures.

    Returns
    -------
    Passage or None
        None where stays lie in between that are not settled.
    """
    if len(head.lengths) != 1 or tail.lengths:
        return None
    before, row = tail.rows[-1], head.rows[1]
    length = float(table.movements.time[before, row] + STANDARD_LAW.lag)
    return Passage((before, row), (length,), (True,)) if length <= head.lengths[0] else None
