"""What turns by hand on the carers' rounds would add to a programme that does not reach."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from leeward.programme.assessment import Judged
from leeward.programme.offloading import TURN_WORK_MIN
from leeward.programme.problem import Problem
from leeward.programme.programme import ManualTask
from leeward.programme.programmes import DaySegments
from leeward.programme.quantities import listed, minutes, minutes_in_words, plain
from leeward.terms.clock import clock_text
from leeward.terms.site import RESPONSIVE_SITES, Site
from leeward.terms.sourced import Sourced
from leeward.terms.units import SECONDS_PER_DAY, seconds_from_min
from leeward.terms.verdict import Reason
from leeward.tissue import constants
from leeward.tissue.allowance import steady_peak
from leeward.tissue.guards import is_loaded_too_long

#: How long one turn by hand may relieve, tried from the shortest. [min]
RELIEF_MIN = tuple(
    Sourced(value, "min", "convention of this project", "not applicable")
    for value in (30.0, 60.0, 120.0)
)


@dataclass(frozen=True, slots=True)
class ByHand:
    """Turns by hand added to a programme.

    Parameters
    ----------
    task : ManualTask
        What is done and when; nobody is named yet.
    makes_it_qualify : bool
        Whether, with them, no index passes 1 and no load lasts too long.
    reason : Reason
        What they change, with numbers.
    """

    task: ManualTask
    makes_it_qualify: bool
    reason: Reason


def turns_by_hand(given: Problem, one: Judged, short: tuple[Site, ...]) -> ByHand | None:
    """Find how long turns by hand on the rounds must relieve the sites that fall short.

    Parameters
    ----------
    given : Problem
        The search.
    one : Judged
        A programme that does not qualify.
    short : tuple of Site
        Sites used or loaded too much.

    Returns
    -------
    ByHand or None
        The shortest relief that suffices, or the longest tried; None without rounds or
        without such a site.

    Notes
    -----
    While it lasts, the sites named bear no more than the class of a hand that passes under
    them. What the turn puts on other sites is not computed, and that is said.
    """
    rounds = tuple(sorted(given.case.day.rounds))
    columns = np.array([given.table.sites.index(site) for site in short], dtype=np.intp)
    if not rounds or not len(columns):
        return None
    tried = [
        (relief.value, _with_turns(given, one, columns, relief.value)) for relief in RELIEF_MIN
    ]
    relief_min, (worst, suffices) = next((t for t in tried if t[1][1]), tried[-1])
    return ByHand(
        _task(short, rounds, relief_min),
        suffices,
        _reason(short, rounds, seconds_from_min(relief_min), worst, suffices),
    )


def sites_that_fall_short(given: Problem, one: Judged) -> tuple[Site, ...]:
    """Name the sites that turns by hand would have to relieve.

    Parameters
    ----------
    given : Problem
        The search.
    one : Judged
        A programme that does not qualify.

    Returns
    -------
    tuple of Site
        Sites with an index above 1, or loaded without a break for too long.
    """
    guarded = given.guarded
    too_long = is_loaded_too_long(
        one.day.durations,
        given.central[one.day.rows][:, guarded],
        given.compared.longest_loaded[0, guarded],
        one.day.exempt,
    )
    columns = {int(guarded[n]) for n in np.flatnonzero(too_long)}
    columns |= {int(n) for n in np.flatnonzero(one.index[0] > 1.0)}
    return tuple(
        site
        for number, site in enumerate(given.table.sites)
        if number in columns and site in RESPONSIVE_SITES
    )


def _with_turns(
    given: Problem, one: Judged, columns: NDArray[np.intp], relief_min: float
) -> tuple[float, bool]:
    day, relieved = _split(one.day, given.case.day.rounds, seconds_from_min(relief_min))
    ratio = given.central[day.rows].copy()
    freed = np.ix_(np.flatnonzero(relieved), columns)
    ratio[freed] = np.fmin(ratio[freed], constants.HAND_PASSES.value)
    allowed = given.compared.allowed()[0]
    limited = np.flatnonzero(np.isfinite(allowed))
    known = limited[~np.isnan(ratio[:, limited]).any(axis=0)]
    peak = steady_peak(day.durations, ratio[:, known])
    worst = float((peak / allowed[known]).max(initial=0.0))
    guarded = given.guarded
    longest = given.compared.longest_loaded[0, guarded]
    too_long = is_loaded_too_long(day.durations, ratio[:, guarded], longest, day.exempt)
    return worst, worst <= 1.0 and not bool(too_long.any()) and len(known) == len(limited)


def _split(
    day: DaySegments, rounds: tuple[float, ...], relief: float
) -> tuple[DaySegments, NDArray[np.bool_]]:
    """Cut the day where turns by hand begin and end; say which pieces they relieve."""
    start = float(day.starts[0])
    edges = np.concatenate(([0.0], np.cumsum(day.durations)))
    marks = [(time - start + shift) % SECONDS_PER_DAY for time in rounds for shift in (0.0, relief)]
    cut = np.unique(np.round(np.concatenate((edges, marks)), 6))
    place = np.searchsorted(edges, cut[:-1] + 1e-6, side="right") - 1
    since = np.array([(cut[:-1] + start - time) % SECONDS_PER_DAY for time in rounds])
    relieved = np.any(since < relief - 1e-6, axis=0)
    split = replace(
        day,
        durations=np.diff(cut),
        rows=day.rows[place],
        turns=day.turns[place],
        starts=np.asarray((start + cut[:-1]) % SECONDS_PER_DAY, dtype=np.float64),
        window=day.window[place],
        exempt=day.exempt[place],
    )
    return split, np.asarray(relieved)


def _task(sites: tuple[Site, ...], rounds: tuple[float, ...], relief_min: float) -> ManualTask:
    named = listed([f"the {site.value}" for site in sites])
    return ManualTask(
        sites=sites,
        what=f"Turn by hand, with a pillow behind the back, until a hand passes under {named}; "
        f"leave it so for {relief_min:g} min.",
        times=rounds,
        duration=seconds_from_min(relief_min),
        work_min=TURN_WORK_MIN.value,
    )


def _reason(
    sites: tuple[Site, ...], rounds: tuple[float, ...], relief: float, worst: float, suffices: bool
) -> Reason:
    named = listed([f"the {site.value}" for site in sites])
    times = listed([clock_text(time) for time in rounds])
    ending = "it would reach the regime compared" if suffices else "it would still not reach it"
    return Reason(
        "turns-by-hand",
        f"With a turn by hand at {times} that frees {named} for {minutes_in_words(relief)} each "
        f"time, {ending}: largest index {worst:.2f}. What such a turn puts on other sites is not "
        "computed.",
        (plain("largest index with turns by hand", worst), minutes("relief each time", relief)),
    )
