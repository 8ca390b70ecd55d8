"""How hard a posture pulls the body sideways: the friction demand read off solved tables."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from leeward.contact.load_table import LoadTable
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Place, Posture


def pull_by_unit(tables: Sequence[LoadTable], postures: Sequence[Posture]) -> dict[Posture, float]:
    """Read friction demand off the solved turns of a surface.

    Parameters
    ----------
    tables : sequence of LoadTable
        One per setting of backrest and supports.
    postures : sequence of Posture
        Of any turn.

    Returns
    -------
    dict of Posture to float
        Highest over the draws, straight between solved turns; NaN outside them and where one
        beside it is no place to lie. [-]
    """
    found = dict.fromkeys(postures, float("nan"))
    for table in tables:
        setting = table.postures[0].with_turn(0.0)
        order = np.argsort([posture.turn for posture in table.postures])
        turns = np.array([table.postures[place].turn for place in order])
        stable = (table.state == EquilibriumState.STABLE).all(axis=0)
        highest = np.where(stable, table.friction_demand.max(axis=0), np.nan)[order]
        for posture in postures:
            inside = turns[0] - 1e-9 <= posture.turn <= turns[-1] + 1e-9
            if posture.with_turn(0.0) == setting and posture.place is Place.BED and inside:
                found[posture] = _between(turns, highest, posture.turn)
    return found


def _between(turns: NDArray[np.float64], values: NDArray[np.float64], turn: float) -> float:
    exact = np.flatnonzero(np.abs(turns - turn) < 1e-9)
    if len(exact):
        return float(values[exact[0]])
    return float(np.interp(turn, turns, values))
