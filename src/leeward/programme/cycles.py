"""Every cycle the unit can be set to: turns and stays of each order, as arrays."""

from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from leeward.programme.settable import Settings
from leeward.terms.equipment import Order

#: Position 0 of the turn options is level; the turns to the left follow, then to the right.
LEVEL = 0

#: Places of each order: L to the left, R to the right, - level.
SIDES_OF_ORDER: dict[Order, str] = {
    Order.LEFT_LEVEL_RIGHT_LEVEL: "L-R-",
    Order.LEFT_RIGHT: "LR",
    Order.LEFT_LEVEL: "L-",
    Order.RIGHT_LEVEL: "R-",
}


@dataclass(frozen=True, slots=True, eq=False)
class CycleFamily:
    """The cycles of one order: any of its turns with any of its stays.

    Parameters
    ----------
    order : Order
        The order.
    turns : ndarray of int, shape (t, k)
        For each choice of turns, the turn option at each place of the order. [-]
    stays : ndarray, shape (n, k)
        For each choice of stays, the stay at each place of the order. [s]
    """

    order: Order
    turns: NDArray[np.intp]
    stays: NDArray[np.float64]

    @property
    def count(self) -> int:
        """Number of cycles. [-]"""
        return len(self.turns) * len(self.stays)


def turn_options(settings: Settings) -> tuple[float, ...]:
    """List the turns a cycle can hold: level, to the left, to the right.

    Parameters
    ----------
    settings : Settings
        What may be set.

    Returns
    -------
    tuple of float
        Signed turns, positive to the person's left. [rad]
    """
    return (0.0, *settings.left, *(-turn for turn in settings.right))


def families(
    settings: Settings, usable: NDArray[np.bool_] | None = None
) -> tuple[CycleFamily, ...]:
    """List every cycle that may be set.

    Parameters
    ----------
    settings : Settings
        What may be set.
    usable : ndarray of bool, shape (options,), optional
        Which turn options may be used at all; by default every one.

    Returns
    -------
    tuple of CycleFamily
        One for each order; an order of which nothing is left is not listed.
    """
    if usable is None:
        usable = np.ones(len(turn_options(settings)), dtype=bool)
    found = (
        CycleFamily(order, _turns(settings, order, usable), _stays(settings, order))
        for order in settings.orders
    )
    return tuple(family for family in found if family.count > 0)


def cycle_count(settings: Settings, usable: NDArray[np.bool_] | None = None) -> int:
    """Count the cycles that may be set.

    Parameters
    ----------
    settings : Settings
        What may be set.
    usable : ndarray of bool, shape (options,), optional
        Which turn options may be used at all; by default every one.

    Returns
    -------
    int
        Their number. [-]
    """
    return sum(family.count for family in families(settings, usable))


def _turns(settings: Settings, order: Order, usable: NDArray[np.bool_]) -> NDArray[np.intp]:
    sides = SIDES_OF_ORDER[order]
    lefts = range(1, 1 + len(settings.left))
    rights = range(1 + len(settings.left), 1 + len(settings.left) + len(settings.right))
    if "L" in sides and "R" in sides:
        pairs = (
            list(product(lefts, rights))
            if settings.turns_may_differ
            else list(zip(lefts, rights, strict=False))
        )
    elif "L" in sides:
        pairs = [(left, LEVEL) for left in lefts]
    else:
        pairs = [(LEVEL, right) for right in rights]
    rows = [
        [{"L": left, "R": right, "-": LEVEL}[place] for place in sides] for left, right in pairs
    ]
    turns = np.array(rows, dtype=np.intp).reshape(-1, len(sides))
    return np.asarray(turns[usable[turns].all(axis=1)])


def _stays(settings: Settings, order: Order) -> NDArray[np.float64]:
    sides = SIDES_OF_ORDER[order]
    stays = [
        {"L": left, "R": right, "-": level}
        for left, right in _side_stays(settings, sides)
        for level in _level_stays(settings, sides, left)
    ]
    rows = [[stay[place] for place in sides] for stay in stays]
    return np.array(rows, dtype=np.float64).reshape(-1, len(sides))


def _side_stays(settings: Settings, sides: str) -> list[tuple[float, float]]:
    if settings.stays_may_differ and "L" in sides and "R" in sides:
        return list(product(settings.stays, settings.stays))
    return [(stay, stay) for stay in settings.stays]


def _level_stays(settings: Settings, sides: str, side_stay: float) -> tuple[float, ...]:
    is_free = settings.level_stay_may_differ or settings.stays_may_differ
    return settings.stays if is_free and "-" in sides else (side_stay,)
