"""Where nothing qualifies: what comes closest, and what hands would have to add."""

from dataclasses import replace

import numpy as np

from leeward.programme.assessment import judged
from leeward.programme.choices import as_choice
from leeward.programme.decision import Choice, ChoiceName
from leeward.programme.front import gentlest
from leeward.programme.more_loads import More
from leeward.programme.problem import Problem
from leeward.programme.programmes import programme_at
from leeward.programme.search import Looked, look
from leeward.programme.with_hands import (
    WithHands,
    by_rank,
    first_that_qualifies,
    turned_anew,
    with_hands,
)

#: Programmes whose index is above the lowest by no more than this are about as close. [-]
_ABOUT_AS_CLOSE = 0.1


def closest(given: Problem, looked: Looked | None, more: More | None = None) -> tuple[Choice, ...]:
    """Pick the settable programmes that come closest.

    Parameters
    ----------
    given : Problem
        A search in which nothing qualifies.
    looked : Looked or None
        What was looked at.
    more : More or None
        Computes the loads of turns by hand: the likeliest, then every draw's where they suffice.
        None: none are laid in.

    Returns
    -------
    tuple of Choice
        The one with the lowest index, and the gentlest of those about as close; where turns by
        hand make neither of them qualify but another that was tried, that one first. Limits,
        stability and the ceilings of protected sites hold in all; guards hold where anything
        keeps them. Empty where no cycle that could be set spares every protected site.
    """
    looked = looked or look(given, with_guards=False)
    if looked is None or not bool(np.isfinite(looked.index).any()):
        return ()
    lowest = by_rank(looked)[0]
    places = list(dict.fromkeys((lowest, _gentle(looked, lowest))))
    if more is None:
        found = judged(given, [programme_at(given, looked, place) for place in places])
        return tuple(as_choice(given, ChoiceName.CLOSEST, one) for one in found)
    return tuple(_completed(given, one) for one in _turned(given, looked, places, more))


def _turned(given: Problem, looked: Looked, places: list[int], more: More) -> list[WithHands]:
    """The nearest with their turns by hand, those that qualify by them first."""
    hands = more.hands(given, likeliest_only=True)
    nearest = with_hands(given, looked, places, hands)
    if not any(one.qualifies for one in nearest) and any(one.is_near for one in nearest):
        another = first_that_qualifies(given, looked, by_rank(looked)[1:], hands)
        nearest = nearest if another is None else [another, nearest[0]]
    nearest.sort(key=lambda one: not one.qualifies)
    is_likeliest = len(hands.ratios.ratio) < len(given.table.ratio)
    if not is_likeliest or not nearest[0].qualifies:
        return nearest
    every_draw = more.hands(given, likeliest_only=False)
    return [turned_anew(given, one, every_draw) if one.qualifies else one for one in nearest]


def _gentle(looked: Looked, lowest: int) -> int:
    fits = looked.fits if bool(looked.fits[lowest]) else np.isfinite(looked.index)
    index = np.where(fits & np.isfinite(looked.index), looked.index, np.inf)
    near = np.flatnonzero(index <= index[lowest] + _ABOUT_AS_CLOSE)
    return int(near[gentlest(looked.cost[near], index[near])])


def _completed(given: Problem, found: WithHands) -> Choice:
    """Add the manual work that would make it qualify, and say so."""
    one, turned = found.one, found.turned
    if turned is None:
        return as_choice(given, ChoiceName.CLOSEST, one)
    programme = replace(one.programme, tasks=(*one.programme.tasks, turned.task))
    choice = as_choice(given, ChoiceName.CLOSEST, replace(one, programme=programme))
    return replace(choice, reasons=(*choice.reasons, turned.reason))
