"""Where nothing qualifies: what comes closest, and what hands would have to add."""

from dataclasses import replace

import numpy as np

from leeward.programme.assessment import Judged, judged
from leeward.programme.by_hand import sites_that_fall_short, turns_by_hand
from leeward.programme.choices import as_choice
from leeward.programme.decision import Choice, ChoiceName
from leeward.programme.front import gentlest
from leeward.programme.problem import Problem
from leeward.programme.programmes import programme_at
from leeward.programme.search import Looked, look

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
        The one with the lowest index, and the gentlest of those about as close. Limits,
        stability and the ceilings of protected sites hold in both; guards hold where anything
        keeps them. Empty where no cycle that could be set spares every protected site.
    """
    looked = looked or look(given, with_guards=False)
    if looked is None or not bool(np.isfinite(looked.index).any()):
        return ()
    found = judged(given, [programme_at(given, looked, place) for place in _places(looked)])
    return tuple(_completed(given, one) for one in found)


def _places(looked: Looked) -> list[int]:
    index = np.where(np.isfinite(looked.index), looked.index, np.inf)
    if bool((looked.fits & np.isfinite(index)).any()):
        index = np.where(looked.fits, index, np.inf)
    lowest = int(np.argmin(index))
    near = np.flatnonzero(index <= index[lowest] + _ABOUT_AS_CLOSE)
    gentle = int(near[gentlest(looked.cost[near], index[near])])
    return list(dict.fromkeys((lowest, gentle)))


def _completed(given: Problem, one: Judged) -> Choice:
    """Add the manual work that would make it qualify, and say so."""
    hands = turns_by_hand(given, one, sites_that_fall_short(given, one))
    if hands is None:
        return as_choice(given, ChoiceName.CLOSEST, one)
    programme = replace(one.programme, tasks=(*one.programme.tasks, hands.task))
    choice = as_choice(given, ChoiceName.CLOSEST, replace(one, programme=programme))
    return replace(choice, reasons=(*choice.reasons, hands.reason))
