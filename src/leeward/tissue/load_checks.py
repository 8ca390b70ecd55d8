"""How far the load ratios of one person can be trusted as numbers."""

from typing import Final

import numpy as np

from leeward.contact.load_table import LoadTable
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
    probes = {number: _between(found, table) for number, table in enumerate(found.tables)}
    asked = tuple(posture for postures in probes.values() for posture in postures)
    if not asked:
        return 0.0
    direct = posture_loads(present_request(case, asked, found.scenarios[:1]))
    level = found.level_patch_load[:1]
    worst = 0.0
    for number, postures in probes.items():
        if not postures:
            continue
        table = found.tables[number]
        solved = direct.patch_load[:, [direct.position(posture) for posture in postures]]
        turns = np.array([posture.turn for posture in postures])
        read = table.interpolated(turns, like=postures[0].with_turn(0.0))[:1]
        there, here = (load_ratios(loads, level, table.sites) for loads in (solved, read))
        gap = np.abs(there - here)
        worst = max(worst, float(gap[np.isfinite(gap)].max(initial=0.0)))
    return worst


def _between(found: Demand, table: LoadTable) -> tuple[Posture, ...]:
    """Smallest and largest turn of one setting that was interpolated."""
    setting = table.postures[0].with_turn(0.0)
    solved = {posture.turn for posture in table.postures}
    asked = {p.turn for p in found.ratios.postures if p.with_turn(0.0) == setting}
    between = sorted(asked - solved)
    return tuple(setting.with_turn(turn) for turn in dict.fromkeys((*between[:1], *between[-1:])))


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
    turns = [posture.turn for posture in found.ratios.postures]
    edges = {max(turns, default=0.0), min(turns, default=0.0)} - {0.0}
    if not edges:
        return 0.0
    steps = (-_NEIGHBOUR, 0.0, _NEIGHBOUR)
    probes = tuple(Posture(turn=0.5 * edge + step) for edge in sorted(edges) for step in steps)
    table = posture_loads(present_request(case, probes, found.scenarios[:1]))
    q = load_ratios(table.patch_load, found.level_patch_load[:1], table.sites)[0]
    q = q.reshape(len(edges), len(steps), -1)
    jump = np.abs(q[:, 1] - 0.5 * (q[:, 0] + q[:, 2]))
    return float(jump[np.isfinite(jump)].max(initial=0.0))
