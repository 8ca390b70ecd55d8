"""Which cycles keep the guards in their own chain of windows, judged by patterns of load.

Whether a site is relieved depends only on which places of the order relieve it: at most
sixteen patterns, so every choice of stays is judged once for each pattern, and every choice
of turns looks its sites' patterns up.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from leeward.programme.cycles import CycleFamily
from leeward.tissue import constants
from leeward.tissue.guards import lacks_relief
from leeward.tissue.runs import longest_loaded

#: A load ratio that is relief, and one that is not.
_RELIEVED, _LOADED = 0.0, 1.0
_ROUNDING = 1e-6


class GuardedWindow(NamedTuple):
    """A window in which the guards hold.

    Parameters
    ----------
    length : float
        How long it lasts. [s]
    owes_relief : bool
        Whether it is longer than the interval, so that relief is owed in it by itself.
    """

    length: float
    owes_relief: bool


def keeps_guards(
    family: CycleFamily,
    ratio: NDArray[np.float64],
    longest: NDArray[np.float64],
    windows: tuple[GuardedWindow, ...],
) -> NDArray[np.bool_]:
    """Judge every cycle of a family inside each window.

    Parameters
    ----------
    family : CycleFamily
        The cycles.
    ratio : ndarray, shape (options, g)
        Load ratio of each turn option at each guarded site. [-]
    longest : ndarray, shape (g,)
        Longest time each site may be loaded without a break. [s]
    windows : tuple of GuardedWindow
        The windows it runs in.

    Returns
    -------
    ndarray of bool, shape (turns, stays)
        True where relief is given once per cycle and in every window that owes it, and no
        site is loaded too long inside a window. Loads that run on across the edges of
        windows are judged over the whole day.
    """
    places = family.turns.shape[1]
    bits = 1 << np.arange(places)
    loads = np.where(np.arange(2**places) & bits[:, np.newaxis], _LOADED, _RELIEVED)
    relieved = ~lacks_relief(family.stays, loads[np.newaxis], repeats=True)
    run = np.zeros(relieved.shape)
    for window in windows:
        durations, place = _unrolled(family.stays, window.length)
        if window.owes_relief:
            relieved &= ~lacks_relief(durations, loads[place][np.newaxis], repeats=False)
        run = np.maximum(run, _longest_inside(durations, loads[place]))
    heavy = ~(ratio <= constants.RELIEVED_AT.value)
    code = (heavy[family.turns] * bits[:, np.newaxis]).sum(axis=1)
    kept = np.ones((len(family.turns), len(family.stays)), dtype=bool)
    for column, most in enumerate(longest.tolist()):
        kept &= (relieved & (run <= most + _ROUNDING))[:, code[:, column]].T
    return kept


def _longest_inside(
    durations: NDArray[np.float64], loads: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Longest load in a window that does not follow itself: a relief closes the circle."""
    closing = np.ones((len(durations), 1))
    relief = np.full((1, loads.shape[1]), _RELIEVED)
    closed = np.concatenate((loads, relief))[np.newaxis]
    return longest_loaded(np.concatenate((durations, closing), axis=1), closed)


def _unrolled(
    stays: NDArray[np.float64], length: float
) -> tuple[NDArray[np.float64], NDArray[np.intp]]:
    left = np.full(len(stays), length)
    columns: list[NDArray[np.float64]] = []
    while bool(np.any(left > _ROUNDING)):
        stay = np.minimum(stays[:, len(columns) % stays.shape[1]], np.maximum(left, 0.0))
        columns.append(np.where(left > _ROUNDING, stay, 0.0))
        left = left - stay
    return np.stack(columns, axis=1), np.arange(len(columns)) % stays.shape[1]
