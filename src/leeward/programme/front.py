"""Programmes none of the others beats in everything, and the three with a name."""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

#: Indices closer than this cannot be told apart: the noise allowed in a load ratio. [-]
NOT_TOLD_APART = 0.005

#: How finely angles moved through are told apart. [rad]
_ANGLE_STEP = 0.05
#: How many of the others each is compared with at once.
_MOST = 2000


def non_dominated(cost: Array, index: Array, able: NDArray[np.bool_]) -> NDArray[np.intp]:
    """Pick the programmes that no other beats in everything at once.

    Parameters
    ----------
    cost : ndarray, shape (m, k)
        What each costs: movements in sleep, largest turn, angle moved through. [-]
    index : ndarray, shape (m,)
        Largest index. [-]
    able : ndarray of bool, shape (m,)
        Which may be picked.

    Returns
    -------
    ndarray of int, shape (f,)
        Positions, gentlest first. [-]
    """
    place = np.flatnonzero(able)
    if len(place) == 0:
        return place
    values = np.column_stack((cost[place, :3], index[place]))
    values[:, 2] = np.round(values[:, 2] / _ANGLE_STEP)
    place, values = _best_of_each_kind(place, values)
    place, values = _falling_in_class(place, values)
    kept = np.ones(len(place), dtype=bool)
    for start in range(0, len(place), _MOST):
        part = values[start : start + _MOST, np.newaxis]
        no_worse = np.all(values <= part, axis=2)
        better = np.any(values < part, axis=2)
        kept[start : start + _MOST] = ~np.any(no_worse & better, axis=1)
    return place[kept]


def _best_of_each_kind(place: NDArray[np.intp], values: Array) -> tuple[NDArray[np.intp], Array]:
    order = np.lexsort((values[:, 3], values[:, 2], values[:, 1], values[:, 0]))
    ordered = values[order]
    is_new = np.ones(len(order), dtype=bool)
    is_new[1:] = (ordered[1:, :3] != ordered[:-1, :3]).any(axis=1)
    return place[order[is_new]], ordered[is_new]


def _falling_in_class(place: NDArray[np.intp], values: Array) -> tuple[NDArray[np.intp], Array]:
    """Among equal sleep and size, more movement must buy a lower index."""
    starts = np.ones(len(place), dtype=bool)
    starts[1:] = (values[1:, :2] != values[:-1, :2]).any(axis=1)
    kept = np.zeros(len(place), dtype=bool)
    lowest = np.inf
    for number, (begins, index) in enumerate(
        zip(starts.tolist(), values[:, 3].tolist(), strict=True)
    ):
        lowest = np.inf if begins else lowest
        kept[number] = index < lowest
        lowest = min(lowest, index)
    return place[kept], values[kept]


def spread_out(front: NDArray[np.intp], index: Array, most: int) -> NDArray[np.intp]:
    """Thin a front so that its ends stay and the rest is spread over the index.

    Parameters
    ----------
    front : ndarray of int, shape (f,)
        Positions, gentlest first. [-]
    index : ndarray, shape (m,)
        Largest index of every programme. [-]
    most : int
        How many may stay. [-]

    Returns
    -------
    ndarray of int, shape (n,)
        Positions, gentlest first. [-]
    """
    if len(front) <= most:
        return front
    by_index = np.argsort(index[front], kind="stable")
    spread = by_index[np.linspace(0, len(front) - 1, most - 1).round().astype(np.intp)]
    return np.asarray(front[np.unique(np.append(spread, 0))])


def gentlest(cost: Array, index: Array) -> int:
    """Pick the least disturbing: movements in sleep, then degrees moved through in a day.

    Parameters
    ----------
    cost : ndarray, shape (n, 4)
        Movements in sleep, largest turn [rad], angle moved through [rad], movements. [-]
    index : ndarray, shape (n,)
        Largest index. [-]

    Returns
    -------
    int
        Position. [-]

    Notes
    -----
    Of those that move the person through as many degrees, fewer movements are gentler: a stop
    on the way is felt as one more.
    """
    through = np.round(cost[:, 2] / _ANGLE_STEP)
    return int(np.lexsort((index, cost[:, 1], cost[:, 3], through, cost[:, 0]))[0])


def most_relief(cost: Array, index: Array) -> int:
    """Pick the lowest index; among those that cannot be told from it, the gentlest.

    Parameters
    ----------
    cost : ndarray, shape (n, k)
        What each costs. [-]
    index : ndarray, shape (n,)
        Largest index. [-]

    Returns
    -------
    int
        Position. [-]
    """
    near = np.flatnonzero(index <= index.min() + NOT_TOLD_APART)
    return int(near[gentlest(cost[near], index[near])])


def balanced(cost: Array, index: Array, share: Array) -> int:
    """Pick the one least far from the best in both disturbance and relief.

    Parameters
    ----------
    cost : ndarray, shape (n, k)
        What each costs. [-]
    index : ndarray, shape (n,)
        Largest index. [-]
    share : ndarray, shape (n,)
        Share of draws in which each qualifies. [-]

    Returns
    -------
    int
        Position. Only those that nine draws in ten agree on are looked at, where there are
        any; else those that most draws agree on. [-]
    """
    wanted = min(0.9, float(share.max()))
    firm = np.flatnonzero(share >= wanted)
    scaled = _scaled(np.column_stack((cost[:, :3], index)))
    distance = np.maximum(scaled[:, :3].mean(axis=1), scaled[:, 3])
    return int(firm[np.lexsort((index[firm], distance[firm]))[0]])


def _scaled(values: Array) -> Array:
    low, high = values.min(axis=0), values.max(axis=0)
    return np.asarray((values - low) / np.where(high > low, high - low, 1.0))
