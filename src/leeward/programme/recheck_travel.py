"""The way from one posture to the next, in small steps: shares nothing with the search."""

import math
from bisect import bisect_left

from leeward.programme.recheck_day import load_of
from leeward.terms.case import Case
from leeward.terms.posture import Place, Posture
from leeward.terms.site import Site
from leeward.terms.sourced import Sourced
from leeward.tissue.load_ratios import LoadRatios

#: Length of the steps in which the surface is followed.
STEP = Sourced(15.0, "s", "convention of this project", "not applicable")


def travel_time(before: Posture, posture: Posture, case: Case) -> float:
    """How long the unit needs from one posture to the next.

    Parameters
    ----------
    before, posture : Posture
        Where the surface was, and where it goes.
    case : Case
        Holds the unit.

    Returns
    -------
    float
        Time; none for getting out of bed, or without a unit. [s]
    """
    if case.equipment is None or posture.place is not Place.BED:
        return 0.0
    ability = case.equipment.ability
    largest = max(ability.largest_turn_left, ability.largest_turn_right)
    if largest <= 0.0:
        return 0.0
    return ability.rise_time * abs(posture.turn - before.turn) / largest


def travelled(
    ratios: LoadRatios,
    case: Case,
    site: Site,
    way: tuple[Posture, Posture],
    longest: float,
) -> list[tuple[float, float]]:
    """Follow the load of a site from one posture to the next.

    Parameters
    ----------
    ratios : LoadRatios
        Load ratios at the turns that were computed.
    case : Case
        Holds the unit.
    site : Site
        Where.
    way : tuple of Posture
        Where the surface was, and where it goes.
    longest : float
        Length of the stay that the way is part of. [s]

    Returns
    -------
    list of (float, float)
        Length [s] of each step and its load ratio; NaN where a load on the way is unknown. [-]
    """
    before, posture = way
    time = min(travel_time(before, posture, case), longest)
    if not math.isfinite(time):
        # A turn that is no number leads nowhere known.
        return [(STEP.value, math.nan)]
    count = math.ceil(time / STEP.value)
    # Out of bed the surface waits level; up to level a turned surface keeps its backrest.
    kept = before if posture.turn == 0.0 and before.place is Place.BED else posture
    known = _known(ratios, kept, site) if count else []
    way_turned = posture.turn - before.turn
    return [
        (time / count, _at(known, before.turn + way_turned * (step + 0.5) / count))
        for step in range(count)
    ]


def _known(ratios: LoadRatios, like: Posture, site: Site) -> list[tuple[float, float]]:
    """Turns computed with this backrest, knees and supports, and the load in each."""
    turned = [one for one in ratios.postures if _all_but_turn(one) == _all_but_turn(like)]
    return sorted((one.turn, load_of(ratios, one, site)) for one in turned)


def _all_but_turn(posture: Posture) -> tuple[object, ...]:
    angles = posture.backrest, posture.knee_raise, posture.head_up
    return (*angles, posture.supports, posture.place)


def _at(known: list[tuple[float, float]], turn: float) -> float:
    """Straight between the computed turns next to this one."""
    place = max(1, bisect_left(known, (turn,)))
    if place >= len(known) or not known[place - 1][0] <= turn <= known[place][0]:
        return math.nan
    (low, load), (high, other) = known[place - 1 : place + 1]
    return load + (other - load) * (turn - low) / (high - low)
