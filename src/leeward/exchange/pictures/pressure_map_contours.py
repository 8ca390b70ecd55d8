"""Outlines of where a map lies above a level: closed, without seams from square to square."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Loop = tuple[tuple[float, float], ...]
#: A side of a square of four neighbouring values: "across" or "along", row, column.
_Side = tuple[str, int, int]

#: From side to side, with what lies above the level on the left. Sides: 0 below, 1 right, 2 above,
#: 3 left; corners above the level counted 1, 2, 4, 8 from lower left round.
_TURNS: dict[int, tuple[tuple[int, int], ...]] = {
    1: ((0, 3),), 2: ((1, 0),), 3: ((1, 3),), 4: ((2, 1),), 6: ((2, 0),), 7: ((2, 3),),
    8: ((3, 2),), 9: ((0, 2),), 11: ((1, 2),), 12: ((3, 1),), 13: ((0, 1),), 14: ((3, 0),),
}  # fmt: skip
#: Two opposite corners above the level: apart, or joined where the middle is above it too.
_APART = {5: ((0, 3), (2, 1)), 10: ((1, 0), (3, 2))}
_JOINED = {5: ((0, 1), (2, 3)), 10: ((1, 2), (3, 0))}


def contours(values: Array, level: float) -> tuple[Loop, ...]:
    """Outline the places at which a map lies above a level.

    Parameters
    ----------
    values : ndarray, shape (rows, columns)
        The map; beyond its rim it is taken as zero.
    level : float
        Level above zero, in the map's unit.

    Returns
    -------
    tuple of closed outlines
        Corners as (column, row); holes are outlines too, for filling by the even-odd rule.
    """
    padded = np.pad(values, 1)
    following = dict(_steps(padded, level))
    loops = []
    while following:
        first = next(iter(following))
        side, corners = first, []
        while side in following:
            corners.append(_crossing(padded, level, side))
            side = following.pop(side)
        loops.append(tuple(corners))
    return tuple(loops)


def _steps(padded: Array, level: float) -> Iterator[tuple[_Side, _Side]]:
    above = padded > level
    kind = above[:-1, :-1] * 1 + above[:-1, 1:] * 2 + above[1:, 1:] * 4 + above[1:, :-1] * 8
    for row, column in zip(*np.nonzero((kind > 0) & (kind < 15)), strict=True):
        i, j, case = int(row), int(column), int(kind[row, column])
        sides = (("across", i, j), ("along", i, j + 1), ("across", i + 1, j), ("along", i, j))
        turns = _TURNS.get(case)
        if turns is None:
            joined = padded[i : i + 2, j : j + 2].mean() > level
            turns = (_JOINED if joined else _APART)[case]
        for enter, leave in turns:
            yield sides[enter], sides[leave]


def _crossing(padded: Array, level: float, side: _Side) -> tuple[float, float]:
    """Where the level is crossed on a side, in columns and rows of the unpadded map."""
    direction, row, column = side
    if direction == "across":
        part = _part(padded[row, column], padded[row, column + 1], level)
        return column + part - 1.0, row - 1.0
    part = _part(padded[row, column], padded[row + 1, column], level)
    return column - 1.0, row + part - 1.0


def _part(first: float, second: float, level: float) -> float:
    return float((level - first) / (second - first))
