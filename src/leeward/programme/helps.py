"""What one change would do: the search made once more with it, and how far that reaches."""

from dataclasses import dataclass, replace

import numpy as np

from leeward.programme.assessment import Judged, judged
from leeward.programme.changes import Size
from leeward.programme.hand_turns import HandTurns
from leeward.programme.problem import Problem
from leeward.programme.programmes import programme_at
from leeward.programme.quantities import plain
from leeward.programme.search import LARGEST_INDEX, Looked, look
from leeward.programme.with_hands import WithHands, by_rank, first_that_qualifies
from leeward.terms.site import Site
from leeward.terms.verdict import Quantity, Reason


@dataclass(frozen=True, slots=True, eq=False)
class Variation:
    """A change somebody could make, as another search.

    Parameters
    ----------
    code : str
        Its key.
    sentence : str
        The change in words, to begin a sentence.
    problem : Problem
        The search with the change made.
    size : Size
        How much it asks for.
    numbers : tuple of Quantity
        The numbers of the change.
    decides : str
        What is left to whom, as a sentence; empty where nothing is.
    """

    code: str
    sentence: str
    problem: Problem
    size: Size
    numbers: tuple[Quantity, ...] = ()
    decides: str = ""


@dataclass(frozen=True, slots=True)
class Help:
    """What a change would do.

    Parameters
    ----------
    code : str
        Key of the change.
    change : str
        The change in words, to begin a sentence.
    size : Size
        How much it asks for.
    qualifies : bool
        Whether a programme would then qualify, on central values.
    index : float or None
        Lowest largest index of what could then be set; None where no day keeps limits and
        guards. [-]
    index_low, index_high : float or None
        Ends of its band over the draws; None where only the likeliest loads were computed. [-]
    site : Site or None
        Where that index is.
    share_of_draws : float or None
        Share of the draws in which that programme qualifies. [-]
    decides : str
        What is left to whom.
    by_hand : Reason or None
        Turns by hand on the rounds that would make a programme qualify besides, where none does
        without.
    share_by_hand : float or None
        Share of the draws in which it then qualifies. [-]
    numbers : tuple of Quantity
        The numbers of the change.
    """

    code: str
    change: str
    size: Size
    qualifies: bool
    index: float | None
    index_low: float | None
    index_high: float | None
    site: Site | None
    share_of_draws: float | None
    decides: str = ""
    by_hand: Reason | None = None
    share_by_hand: float | None = None
    numbers: tuple[Quantity, ...] = ()


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
    place = best_place(looked)
    return float("inf") if looked is None or place is None else float(looked.index[place])


def best_place(looked: Looked | None) -> int | None:
    """Find the programme with the lowest index of what fits the day.

    Parameters
    ----------
    looked : Looked or None
        What was looked at.

    Returns
    -------
    int or None
        Its position; None where nothing fits. [-]
    """
    if looked is None:
        return None
    index = np.where(looked.fits & np.isfinite(looked.index), looked.index, np.inf)
    return int(np.argmin(index)) if len(index) and bool(np.isfinite(index).any()) else None


def helped(one: Variation, hands: HandTurns | None) -> Help:
    """Search again with a change made.

    Parameters
    ----------
    one : Variation
        The change.
    hands : HandTurns or None
        Loads of turns by hand, for what falls short; None: not looked at.

    Returns
    -------
    Help
        What it would do.
    """
    looked = look(one.problem) if one.problem.chains else None
    place = best_place(looked)
    if looked is None or place is None:
        return _nothing(one)
    found = judged(one.problem, [programme_at(one.problem, looked, place)])[0]
    if bool(found.agrees[0]) or hands is None:
        return _reached(one, found)
    shared = replace(hands, ratios=hands.ratios.first_draws(len(one.problem.table.ratio)))
    turned = first_that_qualifies(one.problem, looked, by_rank(looked), shared)
    return _with_turns(_reached(one, found), turned)


def _with_turns(found: Help, turned: WithHands | None) -> Help:
    if turned is None or turned.turned is None:
        return found
    return replace(found, by_hand=turned.turned.reason, share_by_hand=turned.turned.share_of_draws)


def _nothing(one: Variation) -> Help:
    return Help(
        code=one.code,
        change=one.sentence,
        size=one.size,
        qualifies=False,
        index=None,
        index_low=None,
        index_high=None,
        site=None,
        share_of_draws=None,
        decides=one.decides,
        numbers=one.numbers,
    )


def _reached(one: Variation, found: Judged) -> Help:
    worst = found.worst
    has_band = len(worst) > 1
    return replace(
        _nothing(one),
        qualifies=bool(found.agrees[0]),
        index=float(worst[0]),
        index_low=float(worst.min()) if has_band else None,
        index_high=float(worst.max()) if has_band else None,
        site=one.problem.table.sites[int(np.argmax(found.index[0]))],
        share_of_draws=float(found.agrees.mean()) if has_band else None,
    )


def smallest_first(helps: list[Help]) -> tuple[Help, ...]:
    """Put changes in order: what suffices first, and of that what asks for least.

    Parameters
    ----------
    helps : list of Help
        What they would do.

    Returns
    -------
    tuple of Help
        Those after which a programme would qualify, by how much they ask for; those that need
        turns by hand besides, likewise; the rest by the index they reach.
    """
    return tuple(sorted(helps, key=_rank))


def _rank(one: Help) -> tuple[int, int, float]:
    index = float("inf") if one.index is None else one.index
    if one.qualifies:
        return (0, int(one.size), index)
    if one.by_hand is not None:
        return (1, int(one.size), index)
    return (2, 0, index)


def as_reason(one: Help) -> Reason:
    """Say what a change would do.

    Parameters
    ----------
    one : Help
        The change.

    Returns
    -------
    Reason
        In one or two sentences, with numbers.
    """
    said = [f"{one.change.rstrip(',')}, {_outcome(one)}."]
    if one.by_hand is not None:
        said.append(
            one.by_hand.sentence.replace("With turns by hand", "With turns by hand as well")
        )
    if one.decides:
        said.append(one.decides)
    numbers = one.numbers
    if one.index is not None:
        numbers = (*numbers, plain("lowest index", one.index))
    if one.index_low is not None and one.index_high is not None:
        numbers = (
            *numbers,
            plain("lowest over the draws", one.index_low),
            plain("highest over the draws", one.index_high),
        )
    return Reason(one.code, " ".join(said), numbers)


def _outcome(one: Help) -> str:
    if one.index is None:
        return "no day that can be set keeps the limits and guards"
    at = "" if one.site is None else f", at the {one.site.value}"
    band = "" if one.index_low is None else f" ({one.index_low:.2f} to {one.index_high:.2f})"
    likeliest = " on the likeliest loads" if one.index_low is None else ""
    if one.qualifies:
        reached = f"with a largest index of {one.index:.2f}{band}{at}"
        return f"a programme would qualify{likeliest}, {reached}"
    if one.index <= LARGEST_INDEX:
        return f"none keeps the guards{likeliest}"
    return f"none qualifies{likeliest}: the lowest index is {one.index:.2f}{band}{at}"
