"""Where nothing qualifies: what forbids it, and what would change that, recomputed."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from leeward.programme.changes import (
    Size,
    changes_at_the_bed,
    changes_of_the_day,
    held_up,
    not_computed,
)
from leeward.programme.day_layout import chains
from leeward.programme.helps import Help, Variation, as_reason, helped, smallest_first
from leeward.programme.loads import protected_ceilings, ratio_table
from leeward.programme.more_loads import More
from leeward.programme.problem import Problem
from leeward.programme.quantities import degrees, listed, minutes, plain
from leeward.programme.settable import TURN_BEYOND_THE_UNIT, beyond_the_unit
from leeward.programme.windows import DayWindow, WindowKind
from leeward.terms.equipment import Order
from leeward.terms.site import Side, Site
from leeward.terms.sourced import Sourced
from leeward.terms.units import deg_from_radians, seconds_from_min
from leeward.terms.verdict import Reason
from leeward.tissue import constants

#: Stays tried below the shortest the unit has. [min]
SHORTER_STAYS_MIN = tuple(
    Sourced(value, "min", "convention of this project", "not applicable")
    for value in (30.0, 45.0, 60.0, 90.0)
)


#: Key of the search without any change.
AS_IT_IS = "as-it-is"


def what_would_change(given: Problem, more: More | None = None) -> tuple[Reason, ...]:
    """Search again under every change that costs few loads, the smallest that suffices first.

    Parameters
    ----------
    given : Problem
        A search in which nothing qualifies.
    more : More or None
        Computes further loads: of the day, on the likeliest loads. Those of the bed are computed
        when somebody asks what would help.

    Returns
    -------
    tuple of Reason
        One for each change, saying whether something would then qualify; then what was not
        computed, and why.
    """
    variations = list(own_variations(given))
    if more is not None:
        variations.extend(more.variations(given, changes_of_the_day(given), likeliest_only=True))
    found = smallest_first([helped(one, None) for one in variations])
    return (*(as_reason(one) for one in found), *not_computed(given), *_left_for_later(given))


def what_would_help(given: Problem, more: More) -> tuple[Help, ...]:
    """Search again under every change, in every draw, with turns by hand where it falls short.

    Parameters
    ----------
    given : Problem
        A search.
    more : More
        Computes further loads.

    Returns
    -------
    tuple of Help
        How it is now, then the smallest change that suffices first.
    """
    changes = (*changes_of_the_day(given), *changes_at_the_bed(given))
    hands = more.hands(given, likeliest_only=False)
    variations = (
        *own_variations(given),
        *more.variations(given, changes, likeliest_only=False),
    )
    now = helped(Variation(AS_IT_IS, "As it is", given, Size.SETTING), hands)
    found = [helped(one, None if one.size is Size.MATTRESS else hands) for one in variations]
    return (now, *smallest_first(found))  # hands turned the person on the mattress there is


def _left_for_later(given: Problem) -> tuple[Reason, ...]:
    left = changes_at_the_bed(given)
    if not left:
        return ()
    named = [f"{one.sentence[:1].lower()}{one.sentence[1:]}" for one in left]
    return (
        Reason(
            "ask-what-would-help",
            f"Not computed here: what would change {listed(named)}. Each is computed, with "
            "turns by hand and in every draw, when the plan is asked what would help.",
        ),
    )


def own_variations(given: Problem) -> Iterator[Variation]:
    """List the changes whose loads the plan knows.

    Parameters
    ----------
    given : Problem
        A search.

    Yields
    ------
    Variation
        Level stays left out, a unit that turns farther or has shorter stays, a lower backrest
        where the unit pauses, a hand found to pass under a protected sacrum.
    """
    settings = given.settings
    if settings.left and settings.right and Order.LEFT_RIGHT not in settings.orders:
        sides = replace(settings, orders=(Order.LEFT_RIGHT,))
        yield Variation(
            "without-level",
            "With level stays left out, which the unit cannot do by itself",
            replace(given, settings=sides),
            Size.UNIT,
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
            Size.UNIT,
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
        Size.UNIT,
        (
            degrees("turn", TURN_BEYOND_THE_UNIT),
            degrees("largest turn of the unit to the left", ability.largest_turn_left),
            degrees("largest turn of the unit to the right", ability.largest_turn_right),
        ),
    )


def _backrest_lowered(given: Problem) -> Iterator[Variation]:
    """Where the unit pauses in bed, as if the backrest were that of a window that turns."""
    paused = held_up(given)
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
        f"With the backrest during {_names(paused)} as in the other windows, so that the unit does "
        "not pause",
        changed,
        Size.SETTING,
        (
            degrees("backrest now", max(window.posture.backrest for window in paused)),
            degrees("backrest then", flat.backrest),
        ),
        f"Whether so low a backrest is enough is for whoever prescribed {_names(paused)}.",
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
        Size.SUPPORT,
        (plain("load ratio counted then", passes), plain("ceiling", ceiling)),
    )


def _names(windows: tuple[DayWindow, ...]) -> str:
    return listed([window.name for window in windows])
