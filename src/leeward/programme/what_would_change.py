"""Where nothing qualifies: what forbids it, and what would change that, recomputed."""

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from leeward.programme.day_layout import chains
from leeward.programme.loads import protected_ceilings, ratio_table
from leeward.programme.problem import Problem
from leeward.programme.quantities import degrees, minutes, plain
from leeward.programme.search import LARGEST_INDEX, Looked, look
from leeward.programme.settable import TURN_BEYOND_THE_UNIT, beyond_the_unit
from leeward.programme.windows import DayWindow, WindowKind
from leeward.terms.equipment import Order, SurfaceKind
from leeward.terms.posture import Place
from leeward.terms.site import Side, Site
from leeward.terms.sourced import Sourced
from leeward.terms.units import deg_from_radians, seconds_from_min
from leeward.terms.verdict import Quantity, Reason
from leeward.tissue import constants

#: Stays tried below the shortest the unit has. [min]
SHORTER_STAYS_MIN = tuple(
    Sourced(value, "min", "convention of this project", "not applicable")
    for value in (30.0, 45.0, 60.0, 90.0)
)


class Variation(NamedTuple):
    """A change somebody could make, as another search.

    Parameters
    ----------
    code : str
        Its key.
    sentence : str
        The change in words, to begin a sentence.
    problem : Problem
        The search with the change made.
    numbers : tuple of Quantity
        The numbers of the change.
    """

    code: str
    sentence: str
    problem: Problem
    numbers: tuple[Quantity, ...] = ()


def what_would_change(given: Problem) -> tuple[Reason, ...]:
    """Search again under every change that can be recomputed.

    Parameters
    ----------
    given : Problem
        A search in which nothing qualifies.

    Returns
    -------
    tuple of Reason
        One for each change, saying whether something would then qualify, on central values;
        then changes whose loads were not computed, as questions.
    """
    found = tuple(_tried(one) for one in _variations(given))
    return (*found, *_not_recomputed(given))


def best(looked: Looked | None) -> float:
    """Lowest index of what fits the day.

    Parameters
    ----------
    looked : Looked or None
        What was looked at.

    Returns
    -------
    float
        The index; infinite where nothing fits. [-]
    """
    if looked is None:
        return float("inf")
    able = looked.fits & np.isfinite(looked.index)
    return float(np.min(looked.index[able], initial=np.inf))


def _tried(one: Variation) -> Reason:
    reached = best(look(one.problem)) if one.problem.chains else float("inf")
    if reached <= LARGEST_INDEX:
        outcome = f"a programme would qualify, with a largest index of {reached:.2f}"
    elif np.isfinite(reached):
        outcome = f"still none would: the lowest index would be {reached:.2f}"
    else:
        outcome = "still none would keep the limits and guards"
    numbers = (plain("lowest index", reached),) if np.isfinite(reached) else ()
    return Reason(one.code, f"{one.sentence.rstrip(',')}, {outcome}.", (*one.numbers, *numbers))


def _variations(given: Problem) -> Iterator[Variation]:
    settings = given.settings
    if settings.left and settings.right and Order.LEFT_RIGHT not in settings.orders:
        sides = replace(settings, orders=(Order.LEFT_RIGHT,))
        yield Variation(
            "without-level",
            "With level stays left out, which the unit cannot do by itself",
            replace(given, settings=sides),
        )
    yield from _farther(given)
    shorter = tuple(
        stay
        for stay in (seconds_from_min(one.value) for one in SHORTER_STAYS_MIN)
        if stay < given.unit.ability.shortest_stay - 1e-6
        and stay <= given.compared.stay_limit.value
    )
    if shorter:
        stays = replace(settings, stays=(*shorter, *settings.stays))
        yield Variation(
            "shorter-stays",
            "With shorter stays than the unit has",
            replace(given, settings=stays),
            (minutes("shortest stay of the unit", given.unit.ability.shortest_stay),),
        )
    yield from _backrest_lowered(given)
    yield from _hand_passes(given)


def _farther(given: Problem) -> Iterator[Variation]:
    turning = [window for window in given.windows if window.kind is WindowKind.TURNING]
    able = {
        side: bool(turning)
        and all(
            beyond_the_unit(given.case, given.unit, side, window.posture) is not None
            for window in turning
        )
        for side in Side
    }
    if not any(able.values()):
        return
    more = (TURN_BEYOND_THE_UNIT,)
    settings = given.settings
    wider = replace(
        settings,
        left=settings.left + (more if able[Side.LEFT] else ()),
        right=settings.right + (more if able[Side.RIGHT] else ()),
    )
    ability = given.unit.ability
    yield Variation(
        "more-turn",
        f"With a unit that turns to {deg_from_radians(TURN_BEYOND_THE_UNIT):.0f}°",
        replace(given, settings=wider),
        (
            degrees("turn", TURN_BEYOND_THE_UNIT),
            degrees("largest turn of the unit to the left", ability.largest_turn_left),
            degrees("largest turn of the unit to the right", ability.largest_turn_right),
        ),
    )


def _backrest_lowered(given: Problem) -> Iterator[Variation]:
    """Where the unit pauses in bed, as if the backrest were that of a window that turns."""
    paused = [
        window
        for window in given.windows
        if window.posture.place is Place.BED
        and window.kind is not WindowKind.TURNING
        and _is_above(given, window)
    ]
    turning = [window for window in given.windows if window.kind is WindowKind.TURNING]
    if not paused or not turning:
        return
    flat = turning[0].posture
    windows = tuple(
        replace(window, kind=WindowKind.TURNING, posture=flat, prescribed_by="")
        if window in paused
        else window
        for window in given.windows
    )
    is_one_cycle = given.unit.ability.programmes_per_day == 1
    changed = replace(given, windows=windows, chains=chains(windows, is_one_cycle=is_one_cycle))
    yield Variation(
        "backrest-lowered",
        "With the backrest as in the other windows, so that the unit does not pause",
        changed,
        (
            degrees("backrest now", max(window.posture.backrest for window in paused)),
            degrees("backrest then", flat.backrest),
        ),
    )


def _hand_passes(given: Problem) -> Iterator[Variation]:
    """As if a hand were found to pass under a protected sacrum at the largest turns."""
    ceiling = protected_ceilings(given.case).get(Site.SACRUM)
    passes = constants.HAND_PASSES.value
    if ceiling is None or ceiling < passes:
        return
    table = given.table
    ratio = table.ratio.copy()
    largest = max(given.turns), min(given.turns)
    for window in given.windows:
        if window.kind is WindowKind.TURNING:
            rows = table.rows(window, tuple(turn for turn in largest if turn != 0.0))
            column = table.sites.index(Site.SACRUM)
            ratio[:, rows, column] = np.minimum(ratio[:, rows, column], passes)
    found = replace(table.ratios, ratio=ratio[:, : len(table.ratios.postures)])
    yield Variation(
        "hand-passes",
        "With a pillow, and a hand found to pass under the sacrum at the largest turns,",
        replace(given, table=ratio_table(given.case, found)),
        (plain("load ratio counted then", passes), plain("ceiling", ceiling)),
    )


def _is_above(given: Problem, window: DayWindow) -> bool:
    edge = given.unit.ability.pauses_above_backrest
    return edge is not None and window.posture.backrest > edge


def _not_recomputed(given: Problem) -> tuple[Reason, ...]:
    reasons = []
    offset = given.case.placement.line_offset
    if given.unit.geometry.kind is SurfaceKind.SPLIT and (offset is None or abs(offset) > 0.01):
        reasons.append(
            Reason(
                "centre-the-body",
                "Not computed here: centre the body on the surface's line, measure it, and plan "
                "again; 50 mm change how far the body rolls by about seven degrees.",
            )
        )
    if given.unit.geometry.kind is SurfaceKind.WHOLE and given.case.bed.friction is None:
        reasons.append(
            Reason(
                "measure-friction",
                "Not computed here: with a measured friction or a side support, turns above 15° "
                "could be looked at.",
            )
        )
    return tuple(reasons)
