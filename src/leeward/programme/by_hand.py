"""What turns by hand on the carers' rounds would add to a programme that does not reach."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from leeward.programme.assessment import Judged
from leeward.programme.loads import protected_ceilings
from leeward.programme.offloading import TURN_WORK_MIN
from leeward.programme.problem import Problem
from leeward.programme.programme import ManualTask
from leeward.programme.programmes import DaySegments, moved_day
from leeward.programme.quantities import listed, minutes, minutes_in_words, plain
from leeward.programme.search import LARGEST_INDEX
from leeward.programme.turn_limits import is_barred
from leeward.terms.case import Case
from leeward.terms.clock import clock_text
from leeward.terms.site import RESPONSIVE_SITES, Side, Site
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
    Sides follow one another; a barred side, and one that a protected site lies on, is left
    out. While a turn lasts, those of the sites
    that lie on the mid-line or on the raised side bear no more than the class of a hand that
    passes under them. What the turn puts on other sites is not computed, and that is said.
    """
    rounds = tuple(sorted(given.case.day.rounds))
    columns = np.array([given.table.sites.index(site) for site in short], dtype=np.intp)
    sides = _sides(given, len(rounds))
    if not sides or not len(columns):
        return None
    tried = [
        (relief.value, _with_turns(given, one, columns, relief.value)) for relief in RELIEF_MIN
    ]
    relief_min, (worst, suffices) = next((t for t in tried if t[1][1]), tried[-1])
    relief = seconds_from_min(relief_min)
    return ByHand(
        _task(short, rounds, relief, sides),
        suffices,
        _reason(turns_in_words(rounds, sides), relief, worst, suffices),
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
    columns |= {int(n) for n in np.flatnonzero(one.index[0] > LARGEST_INDEX)}
    return tuple(
        site
        for number, site in enumerate(given.table.sites)
        if number in columns and site in RESPONSIVE_SITES
    )


def sides_that_free(case: Case, sites: tuple[Site, ...], count: int) -> list[Side]:
    """Choose the side turned to by hand on each round.

    Parameters
    ----------
    case : Case
        The case.
    sites : tuple of Site
        Sites no turn may lie on.
    count : int
        Rounds. [-]

    Returns
    -------
    list of Side
        In turn; never one that is barred or that one of the sites lies on. Empty where none is.
    """
    allowed = [
        side
        for side in Side
        if not is_barred(case, side) and all(_frees(side, site) for site in sites)
    ]
    return [allowed[number % len(allowed)] for number in range(count)] if allowed else []


def _with_turns(
    given: Problem, one: Judged, columns: NDArray[np.intp], relief_min: float
) -> tuple[float, bool]:
    relief = seconds_from_min(relief_min)
    counted, moving = _relieved(given, moved_day(one.day, given.table), columns, relief)
    day, ratio = _relieved(given, one.day, columns, relief)
    allowed = given.compared.allowed()[0]
    limited = np.flatnonzero(np.isfinite(allowed))
    known = limited[~np.isnan(moving[:, limited]).any(axis=0)]
    peak = steady_peak(counted.durations, moving[:, known])
    worst = float((peak / allowed[known]).max(initial=0.0))
    guarded = given.guarded
    longest = given.compared.longest_loaded[0, guarded]
    too_long = is_loaded_too_long(day.durations, ratio[:, guarded], longest, day.exempt)
    return worst, worst <= LARGEST_INDEX and not bool(too_long.any()) and len(known) == len(limited)


def _relieved(
    given: Problem, day: DaySegments, columns: NDArray[np.intp], relief: float
) -> tuple[DaySegments, NDArray[np.float64]]:
    """The day cut at the turns by hand, and its load ratios while they relieve the sites."""
    rounds = tuple(sorted(given.case.day.rounds))
    cut, relieved = _split(day, rounds, relief)
    ratio = given.central[cut.rows].copy()
    for column in columns.tolist():
        frees = [_frees(side, given.table.sites[column]) for side in _sides(given, len(rounds))]
        freed = relieved[frees].any(axis=0)
        ratio[freed, column] = np.fmin(ratio[freed, column], constants.HAND_PASSES.value)
    return cut, ratio


def _split(
    day: DaySegments, rounds: tuple[float, ...], relief: float
) -> tuple[DaySegments, NDArray[np.bool_]]:
    """Cut the day where turns by hand begin and end; say which pieces each round relieves."""
    start = float(day.starts[0])
    edges = np.concatenate(([0.0], np.cumsum(day.durations)))
    marks = [(time - start + shift) % SECONDS_PER_DAY for time in rounds for shift in (0.0, relief)]
    cut = np.unique(np.round(np.concatenate((edges, marks)), 6))
    place = np.searchsorted(edges, cut[:-1] + 1e-6, side="right") - 1
    since = np.array([(cut[:-1] + start - time) % SECONDS_PER_DAY for time in rounds])
    split = replace(
        day,
        durations=np.diff(cut),
        rows=day.rows[place],
        turns=day.turns[place],
        starts=np.asarray((start + cut[:-1]) % SECONDS_PER_DAY, dtype=np.float64),
        window=day.window[place],
        exempt=day.exempt[place],
    )
    return split, np.asarray(since < relief - 1e-6)


def _sides(given: Problem, count: int) -> list[Side]:
    """What is protected no turn by hand lies on: what it would bear there is not computed."""
    protected = protected_ceilings(given.case)
    return sides_that_free(
        given.case, tuple(site for site in protected if site in RESPONSIVE_SITES), count
    )


def _frees(turned_to: Side, site: Site) -> bool:
    """A turn frees the mid-line and the side it raises."""
    return site.side is not turned_to


def _task(
    sites: tuple[Site, ...], rounds: tuple[float, ...], relief: float, sides: list[Side]
) -> ManualTask:
    return ManualTask(
        sites=sites,
        what=f"Turn by hand: {turns_in_words(rounds, sides)}. A pillow behind the back until a "
        f"hand passes under the sacrum and the raised side; leave it so for "
        f"{minutes_in_words(relief)}.",
        times=rounds,
        duration=relief,
        work_min=TURN_WORK_MIN.value,
    )


def turns_in_words(rounds: tuple[float, ...], sides: list[Side]) -> str:
    """Say when people turn the person, and to which side.

    Parameters
    ----------
    rounds : tuple of float
        Times of day. [s]
    sides : list of Side
        Side turned to at each.

    Returns
    -------
    str
        With the side raised at each.
    """
    return listed(
        [
            f"at {clock_text(time)} to the {side.value}, {side.other.value} side raised"
            for time, side in zip(rounds, sides, strict=True)
        ]
    )


def _reason(said: str, relief: float, worst: float, suffices: bool) -> Reason:
    ending = "it would reach the regime compared" if suffices else "it would still not reach it"
    return Reason(
        "turns-by-hand",
        f"With turns by hand, {said}, that free the mid-line and the raised side for "
        f"{minutes_in_words(relief)} each time, {ending}: largest index {worst:.2f}. What such a "
        "turn puts on other sites is not computed.",
        (plain("largest index with turns by hand", worst), minutes("relief each time", relief)),
    )
