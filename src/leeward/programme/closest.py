"""Where nothing qualifies: what comes closest, and what hands would have to add."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from leeward.programme.assessment import Judged, judged
from leeward.programme.by_hand import sites_that_fall_short, turns_by_hand
from leeward.programme.choices import as_choice
from leeward.programme.decision import Choice, ChoiceName
from leeward.programme.front import gentlest
from leeward.programme.loads import protected_ceilings
from leeward.programme.offloading import TURN_WORK_MIN
from leeward.programme.problem import Problem
from leeward.programme.programme import ManualTask
from leeward.programme.programmes import programme_at
from leeward.programme.quantities import listed
from leeward.programme.search import Looked, look
from leeward.programme.windows import WindowKind
from leeward.terms.site import Site
from leeward.terms.verdict import Reason

#: Programmes whose index is above the lowest by no more than this are about as close. [-]
_ABOUT_AS_CLOSE = 0.1


def closest(given: Problem, looked: Looked | None) -> tuple[Choice, ...]:
    """Pick the settable programmes that come closest.

    Parameters
    ----------
    given : Problem
        A search in which nothing qualifies.
    looked : Looked or None
        What was looked at.

    Returns
    -------
    tuple of Choice
        The one with the lowest index, and the gentlest of those about as close. Limits and
        stability hold in both; guards hold where anything keeps them. Where no settable turn
        spares a protected site, the person lies on the sides only, at the turns that load it
        least, and a pillow until a hand passes is part of the programme.
    """
    spared = given
    if looked is None:
        spared = _sides_only(given) if _protection_forbids(given) else given
        looked = look(spared) or look(spared, with_guards=False)
    if looked is None or not bool(np.isfinite(looked.index).any()):
        return ()
    found = judged(spared, [programme_at(spared, looked, place) for place in _places(looked)])
    return tuple(_completed(spared, one, needs_pillow=spared is not given) for one in found)


def _places(looked: Looked) -> list[int]:
    index = np.where(np.isfinite(looked.index), looked.index, np.inf)
    if bool((looked.fits & np.isfinite(index)).any()):
        index = np.where(looked.fits, index, np.inf)
    lowest = int(np.argmin(index))
    near = np.flatnonzero(index <= index[lowest] + _ABOUT_AS_CLOSE)
    gentle = int(near[gentlest(looked.cost[near], index[near])])
    return list(dict.fromkeys((lowest, gentle)))


def _protection_forbids(given: Problem) -> bool:
    return bool((given.table.known & ~given.table.protects).any())


def _sides_only(given: Problem) -> Problem:
    """Level is left out; of each side only the turns that load protected sites least stay."""
    table = given.table
    columns = [table.sites.index(site) for site in protected_ceilings(given.case)]
    usable = np.zeros_like(table.usable)
    turns = np.array(given.turns)
    for window in given.windows:
        if window.kind is not WindowKind.TURNING:
            continue
        rows = table.rows(window, given.turns)
        load = np.where(table.known[rows], _largest(table.ratio[:, rows][:, :, columns]), np.inf)
        for sign in (1.0, -1.0):
            least = np.min(load[turns * sign > 0.0], initial=np.inf)
            usable[rows[(turns * sign > 0.0) & (load <= least) & np.isfinite(load)]] = True
    return replace(given, table=replace(table, usable=usable))


def _largest(ratio: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(np.nan_to_num(ratio, nan=np.inf).max(axis=(0, 2), initial=0.0))


def _completed(given: Problem, one: Judged, *, needs_pillow: bool) -> Choice:
    """Add the manual work that would make it qualify, and say so."""
    tasks: list[ManualTask] = []
    reasons: list[Reason] = []
    if needs_pillow:
        sites = tuple(protected_ceilings(given.case))
        tasks.append(_pillow(given, sites))
        reasons.append(_pillow_reason(sites))
    hands = turns_by_hand(given, one, sites_that_fall_short(given, one))
    if hands is not None:
        tasks.append(hands.task)
        reasons.append(hands.reason)
    programme = replace(one.programme, tasks=(*one.programme.tasks, *tasks))
    choice = as_choice(given, ChoiceName.CLOSEST, replace(one, programme=programme))
    return replace(choice, reasons=(*choice.reasons, *reasons))


def _pillow(given: Problem, sites: tuple[Site, ...]) -> ManualTask:
    return ManualTask(
        sites=sites,
        what="At every turned stay put a pillow behind the back until a hand passes under "
        f"{listed([f'the {site.value}' for site in sites])}; write down the turn and how the hand "
        "passed.",
        times=tuple(sorted(given.case.day.rounds)),
        duration=0.0,
        work_min=TURN_WORK_MIN.value,
    )


def _pillow_reason(sites: tuple[Site, ...]) -> Reason:
    return Reason(
        "sides-only",
        "No settable turn by itself spares "
        f"{listed([f'the {site.value}' for site in sites])}: the person lies on the sides only, "
        "never level, with a pillow until a hand passes; a hand that passes, written down, is "
        "counted when planned again.",
    )
