"""Loads of the person turned by hand, with a pillow behind the back, in the windows of a day."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from leeward.programme.limbs import absent_sites
from leeward.programme.turn_limits import hand_turn_edges
from leeward.programme.windows import DayWindow, WindowKind
from leeward.terms.case import Case
from leeward.terms.limits import Limit, strictest_greatest
from leeward.terms.posture import Place, Posture
from leeward.terms.site import RESPONSIVE_SITES, Side
from leeward.terms.sourced import Sourced
from leeward.terms.units import radians_from_deg
from leeward.tissue.demand import Demand
from leeward.tissue.further_demand import Further
from leeward.tissue.load_ratios import LoadRatios
from leeward.tissue.lying_by_hand import by_hand_on_this_bed

#: How far people turn a person by hand. [deg]
HAND_TURN_DEG = Sourced(
    30.0,
    "deg",
    "20 to 30 degrees side lying, EPUAP/NPIAP/PPPIA guideline of 2019",
    "adults at risk",
    from_memory=True,
    low=20.0,
    high=30.0,
)
#: A turn by hand of less than this is not looked at. [deg]
LEAST_HAND_TURN_DEG = Sourced(15.0, "deg", "convention of this project", "not applicable")


@dataclass(frozen=True, slots=True, eq=False)
class HandTurns:
    """Load ratios of turns by hand.

    Parameters
    ----------
    ratios : LoadRatios
        Of the postures the person is turned to by hand, over the draws of the plan.
    at : mapping of (Posture, Side) to int
        Position of the turn to a side at a level setting, where it is stable in every draw and
        every responsive site is known. [-]
    """

    ratios: LoadRatios
    at: Mapping[tuple[Posture, Side], int]

    def place(self, setting: Posture, side: Side) -> int | None:
        """Find the turn by hand at a setting.

        Parameters
        ----------
        setting : Posture
            Backrest, knee and supports, level.
        side : Side
            Side the person is turned to.

        Returns
        -------
        int or None
            Its position; None where nobody should be turned so, or its load is unknown. [-]
        """
        return self.at.get((setting, side))


def turned_by_hand_in(windows: tuple[DayWindow, ...], interval: float) -> tuple[DayWindow, ...]:
    """Pick the windows in which people may turn the person by hand.

    Parameters
    ----------
    windows : tuple of DayWindow
        The day.
    interval : float
        Longest stay that may be planned. [s]

    Returns
    -------
    tuple of DayWindow
        Those in bed in which the unit turns or pauses, and prescribed ones longer than the
        interval: in them a turn by hand is for whoever prescribed the posture to allow.
    """
    return tuple(
        window
        for window in windows
        if window.posture.place is Place.BED
        and window.posture.turn == 0.0
        and (window.kind is not WindowKind.PRESCRIBED or window.span.duration > interval + 1e-6)
    )


def hand_turn(case: Case, towards: Side) -> float | None:
    """How far people turn the person by hand towards a side.

    Parameters
    ----------
    case : Case
        The case.
    towards : Side
        The side.

    Returns
    -------
    float or None
        30°, inside the person's limits and the slack of lines; None where those leave less
        than 15°. [rad]
    """
    usual = Limit(radians_from_deg(HAND_TURN_DEG.value), "rad", "turns by hand")
    allowed = strictest_greatest([usual, *hand_turn_edges(case, towards)]).value
    return allowed if allowed >= radians_from_deg(LEAST_HAND_TURN_DEG.value) - 1e-9 else None


def hand_postures(case: Case, windows: tuple[DayWindow, ...]) -> tuple[Posture, ...]:
    """List the postures people turn the person to.

    Parameters
    ----------
    case : Case
        The case.
    windows : tuple of DayWindow
        Where they do.

    Returns
    -------
    tuple of Posture
        Each once.
    """
    turns = {side: hand_turn(case, side) for side in Side}
    signed = [
        turn if side is Side.LEFT else -turn for side, turn in turns.items() if turn is not None
    ]
    settings = dict.fromkeys(window.posture.with_turn(0.0) for window in windows)
    return tuple(setting.with_turn(turn) for setting in settings for turn in signed)


def hand_turns(
    case: Case,
    found: Demand,
    windows: tuple[DayWindow, ...],
    further: Callable[[Further], LoadRatios],
) -> HandTurns:
    """Compute the loads of turns by hand on the present bed.

    Parameters
    ----------
    case : Case
        The case.
    found : Demand
        What the plan stands on; turns by hand it holds on the same bed are not solved again.
    windows : tuple of DayWindow
        Where people turn the person.
    further : callable
        Computes further load ratios, over as many draws as are wanted.

    Returns
    -------
    HandTurns
        Of every window and side that may be turned to.
    """
    wanted = hand_postures(case, windows)
    regime = by_hand_on_this_bed(case, found)
    known = found.ratios.part(()) if regime is None else regime.ratios
    ratios = known.part(tuple(one for one in wanted if one in known.postures))
    missing = tuple(one for one in wanted if one not in known.postures)
    if missing:
        solved = further(Further(case, missing, by_hand=True))
        ratios = ratios.first_draws(len(solved.ratio)).beside(solved)
    return as_hand_turns(case, ratios)


def as_hand_turns(case: Case, ratios: LoadRatios) -> HandTurns:
    """Judge which turns by hand are a place to lie.

    Parameters
    ----------
    case : Case
        The case.
    ratios : LoadRatios
        Their load ratios.

    Returns
    -------
    HandTurns
        Ready to be looked up.
    """
    absent = absent_sites(case.person.body)
    guarded = [site in RESPONSIVE_SITES and site not in absent for site in ratios.sites]
    known = np.isfinite(ratios.ratio[:, :, guarded]).all(axis=(0, 2))
    open_to = np.flatnonzero(known & ratios.is_stable.all(axis=0)).tolist()
    at = {}
    for number in open_to:
        posture = ratios.postures[number]
        if posture.turned_to is not None:
            at[posture.with_turn(0.0), posture.turned_to] = number
    return HandTurns(ratios, at)
