"""How hard a programme pulls the body sideways."""

from collections.abc import Mapping

import numpy as np

from leeward.programme.programme import Programme
from leeward.terms.posture import Place, Posture


def pull_of(programme: Programme, demand: Mapping[Posture, float]) -> float | None:
    """Find the hardest pull of the postures a programme turns to.

    Parameters
    ----------
    programme : Programme
        The programme.
    demand : mapping of Posture to float
        Highest friction demand of each posture over the draws; NaN where unknown. [-]

    Returns
    -------
    float or None
        Share of the friction there is, at most; prescribed postures are left out, since they
        are the same in every programme. None where one of the postures is unknown. [-]

    Notes
    -----
    Friction demand is the summed shear force over the friction there is. Shears that oppose one
    another cancel in it, so it ranks how hard the body is pulled down the slope, not the shear at
    one site.
    """
    turned = {
        stay.posture
        for window in programme.windows
        if len(window.cycle) > 1
        for stay in window.cycle
        if stay.posture.place is Place.BED
    }
    found = [demand.get(posture, np.nan) for posture in turned]
    return float(max(found)) if found and bool(np.isfinite(found).all()) else None
