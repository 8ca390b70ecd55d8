"""Programmes that fall short, each with the turns by hand that bring it nearest."""

from dataclasses import dataclass

import numpy as np

from leeward.programme.assessment import Judged, judged
from leeward.programme.by_hand import NEAR_ENOUGH, ByHand, sites_that_fall_short, turns_by_hand
from leeward.programme.hand_turns import HandTurns
from leeward.programme.problem import Problem
from leeward.programme.programmes import programme_at
from leeward.programme.search import Looked

#: Ranks by index that turns by hand are laid into: what is best alone need not be best with
#: them. Convention of this project.
_RANKS = (0, 20, 100, 400)


@dataclass(frozen=True, slots=True, eq=False)
class WithHands:
    """A programme and its turns by hand.

    Parameters
    ----------
    one : Judged
        The programme by itself.
    turned : ByHand or None
        Turns by hand; None where there are none to be had.
    """

    one: Judged
    turned: ByHand | None

    @property
    def qualifies(self) -> bool:
        """Whether the turns by hand make it qualify, on central values."""
        return self.turned is not None and self.turned.makes_it_qualify

    @property
    def is_near(self) -> bool:
        """Whether they bring it near the regime compared, on central values."""
        return self.turned is not None and bool(self.turned.worst[0] <= NEAR_ENOUGH)


def by_rank(looked: Looked) -> list[int]:
    """Pick programmes of several ranks by their index.

    Parameters
    ----------
    looked : Looked
        What was looked at.

    Returns
    -------
    list of int
        Positions, lowest index first; of those that fit the day where any does. [-]
    """
    index = np.where(np.isfinite(looked.index), looked.index, np.inf)
    if bool((looked.fits & np.isfinite(index)).any()):
        index = np.where(looked.fits, index, np.inf)
    order = np.argsort(index, kind="stable")[: int(np.isfinite(index).sum())]
    return [int(order[rank]) for rank in _RANKS if rank < len(order)]


def with_hands(
    given: Problem, looked: Looked, places: list[int], hands: HandTurns
) -> list[WithHands]:
    """Lay turns by hand into programmes that fall short.

    Parameters
    ----------
    given : Problem
        The search.
    looked : Looked
        What was looked at.
    places : list of int
        Which programmes. [-]
    hands : HandTurns
        Loads of turns by hand.

    Returns
    -------
    list of WithHands
        In the same order.
    """
    if not places:
        return []
    found = judged(given, [programme_at(given, looked, place) for place in places])
    return [_turned(given, one, hands) for one in found]


def turned_anew(given: Problem, one: WithHands, hands: HandTurns) -> WithHands:
    """Lay turns by hand into a programme once more, by other loads of them.

    Parameters
    ----------
    given : Problem
        The search.
    one : WithHands
        A programme that falls short.
    hands : HandTurns
        Loads of turns by hand.

    Returns
    -------
    WithHands
        The same programme.
    """
    return _turned(given, one.one, hands)


def _turned(given: Problem, one: Judged, hands: HandTurns) -> WithHands:
    return WithHands(one, turns_by_hand(given, one, sites_that_fall_short(given, one), hands))


def first_that_qualifies(
    given: Problem, looked: Looked, places: list[int], hands: HandTurns
) -> WithHands | None:
    """Find a programme that turns by hand make qualify.

    Parameters
    ----------
    given : Problem
        The search.
    looked : Looked
        What was looked at.
    places : list of int
        Programmes to be tried, in order. [-]
    hands : HandTurns
        Loads of turns by hand.

    Returns
    -------
    WithHands or None
        The first, or None; where turns by hand leave one far off, no other is tried.
    """
    for place in places:
        (found,) = with_hands(given, looked, [place], hands)
        if found.qualifies:
            return found
        if not found.is_near:
            return None
    return None
