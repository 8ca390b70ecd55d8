"""How far the load ratios of one person can be trusted as numbers."""

from typing import Final

import numpy as np

from leeward.contact.loads import posture_loads
from leeward.terms.case import Case
from leeward.terms.posture import Posture
from leeward.terms.units import radians_from_deg
from leeward.tissue.demand import Demand, present_request
from leeward.tissue.reference_load import load_ratios

#: Half the distance between neighbouring postures over which noise is looked for. [rad]
#: Source: convention of this project.
_NEIGHBOUR: Final = radians_from_deg(0.5)


def interpolation_error(case: Case, found: Demand) -> float:
    """Largest error of the interpolated load ratios, against direct solves.

    Parameters
    ----------
    case : Case
        The case.
    found : Demand
        What was computed.

    Returns
    -------
    float
        Largest difference of the central values at the smallest and the largest turn that
        was interpolated, per setting; 0 where nothing was. [-]
    """
    worst = 0.0
    for table in found.tables:
        setting = table.postures[0].with_turn(0.0)
        solved = {posture.turn for posture in table.postures}
        asked = {p.turn for p in found.ratios.postures if p.with_turn(0.0) == setting}
        between = sorted(asked - solved)
        if not between:
            continue
        probes = tuple(setting.with_turn(turn) for turn in (between[0], between[-1]))
        direct = posture_loads(present_request(case, probes, found.scenarios[:1]))
        turns = np.array([posture.turn for posture in probes])
        level = found.level_patch_load[:1]
        there = load_ratios(direct.patch_load, level, table.sites)
        here = load_ratios(table.interpolated(turns, like=setting)[:1], level, table.sites)
        gap = np.abs(there - here)
        worst = max(worst, float(gap[np.isfinite(gap)].max(initial=0.0)))
    return worst


def load_noise(case: Case, found: Demand) -> float:
    """Largest jump of the load ratios between neighbouring postures beyond a smooth course.

    Parameters
    ----------
    case : Case
        The case.
    found : Demand
        What was computed.

    Returns
    -------
    float
        Largest deviation of any site's central load ratio from the mean of its neighbours
        half a degree away, at half the largest turn each way; 0 where nothing turns. [-]

    Notes
    -----
    The curvature of a smooth course over so short a distance is counted in: an upper bound.
    """
    worst = 0.0
    turns = [posture.turn for posture in found.ratios.postures]
    for edge in {max(turns, default=0.0), min(turns, default=0.0)} - {0.0}:
        middle = 0.5 * edge
        probes = tuple(Posture(turn=middle + step) for step in (-_NEIGHBOUR, 0.0, _NEIGHBOUR))
        table = posture_loads(present_request(case, probes, found.scenarios[:1]))
        q = load_ratios(table.patch_load, found.level_patch_load[:1], table.sites)[0]
        jump = np.abs(q[1] - 0.5 * (q[0] + q[2]))
        worst = max(worst, float(jump[np.isfinite(jump)].max(initial=0.0)))
    return worst
