"""Three programmes with a name, out of those that qualify, and why each."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from leeward.programme.assessment import Judged, assess, judged, worst_under_other_laws
from leeward.programme.decision import Assessment, Choice, ChoiceName, Disturbance
from leeward.programme.front import (
    NOT_TOLD_APART,
    balanced,
    gentlest,
    most_relief,
    non_dominated,
    spread_out,
)
from leeward.programme.problem import Problem
from leeward.programme.programmes import programme_at
from leeward.programme.quantities import degrees, listed, plain
from leeward.programme.search import LARGEST_INDEX, Looked
from leeward.programme.settings import by_hand_in_words, settings_in_words
from leeward.terms.units import deg_from_radians
from leeward.terms.verdict import Quantity, Reason

Array = NDArray[np.float64]

#: Programmes looked at in every draw. [-] Convention.
PROMISING = 32

#: Share of draws from which a programme is named while others reach it. [-] Convention.
CREDIBLE_SHARE = 0.5

#: Share of draws, and of conventions, in which two indices must keep their order. [-] Convention.
SAME_ORDER = 0.9

_WHY = {
    ChoiceName.GENTLEST: "Of all that qualify it disturbs least, by movements during sleep first "
    "and then by degrees moved through",
    ChoiceName.BALANCED: "It lies least far from the best in both disturbance and relief",
    ChoiceName.MOST_RELIEF: "Nothing that qualifies is known to relieve more, and of those that "
    "relieve alike it disturbs least",
    ChoiceName.CLOSEST: "It does not reach the regime compared, but comes close",
    ChoiceName.TODAYS: "It is how the person is turned today, and it qualifies",
}


def choose(given: Problem, looked: Looked) -> tuple[Choice, ...]:
    """Pick the programmes to put to the practitioner.

    Parameters
    ----------
    given : Problem
        The search.
    looked : Looked
        Every programme looked at.

    Returns
    -------
    tuple of Choice
        Gentlest, balanced, most relief, each programme once; empty where none qualifies.
    """
    able = looked.fits & (looked.index <= LARGEST_INDEX)
    while True:
        front = spread_out(non_dominated(looked.cost, looked.index, able), looked.index, PROMISING)
        if len(front) == 0:
            return ()
        found = judged(given, [programme_at(given, looked, int(place)) for place in front])
        sound = np.array([bool(one.agrees[0]) for one in found])
        if bool(sound.all()):
            return _named(given, *_credible(looked.cost[front], found))
        # The exact day of one disagrees with the joined maps: leave it out and look again.
        able[front[~sound]] = False


def _credible(cost: Array, found: list[Judged]) -> tuple[Array, list[Judged]]:
    """Those at least half of the draws agree on; all of them where there are none."""
    share = np.array([one.agrees.mean() for one in found])
    kept = np.flatnonzero(share >= CREDIBLE_SHARE)
    if len(kept) == 0:
        return cost, found
    return cost[kept], [found[place] for place in kept.tolist()]


def _named(given: Problem, cost: Array, found: list[Judged]) -> tuple[Choice, ...]:
    names = _places(cost, found)
    choices = [as_choice(given, names[place][0], found[place]) for place in names]
    shown = [found[place] for place in names]
    other_laws = worst_under_other_laws(given, shown)
    return tuple(
        replace(
            choice,
            reasons=(
                *choice.reasons,
                *_coincide([name.value for name in names[place][1:]], len(found)),
                *_not_told_apart(number, choices, shown, other_laws),
            ),
        )
        for number, (choice, place) in enumerate(zip(choices, names, strict=True))
    )


def _places(cost: Array, found: list[Judged]) -> dict[int, list[ChoiceName]]:
    """Which of the programmes each name stands for; one may bear several."""
    index = np.array([one.worst[0] for one in found])
    share = np.array([one.agrees.mean() for one in found])
    gentle, relieving = gentlest(cost, index), most_relief(cost, index)
    others = np.setdiff1d(np.arange(len(found)), (gentle, relieving))
    places = {gentle: [ChoiceName.GENTLEST]}
    if len(others):
        middle = balanced(cost[others], index[others], share[others])
        places[int(others[middle])] = [ChoiceName.BALANCED]
    places.setdefault(relieving, []).append(ChoiceName.MOST_RELIEF)
    return places


def as_choice(given: Problem, name: ChoiceName, one: Judged) -> Choice:
    """Put a judged programme into the form that is shown.

    Parameters
    ----------
    given : Problem
        The search.
    name : ChoiceName
        What it is called.
    one : Judged
        The programme with its numbers.

    Returns
    -------
    Choice
        With settings, assessment and reason; not yet rechecked.
    """
    assessment, programme = assess(given, one), one.programme
    return Choice(
        name=name,
        programme=programme,
        settings=by_hand_in_words(programme)
        if programme.turned_by_hand
        else settings_in_words(programme, given.unit),
        assessment=assessment,
        reasons=(_why(name, assessment, float(one.worst[0])),),
    )


def _why(name: ChoiceName, found: Assessment, worst: float) -> Reason:
    cost = found.disturbance
    site = "no site" if found.limiting_site is None else f"the {found.limiting_site.value}"
    return Reason(
        name.value.replace(" ", "-"),
        f"{_WHY[name]}: {cost.turns_in_sleep} movements during sleep of {cost.turns_per_day} a "
        f"day, {deg_from_radians(cost.turned_through):.0f}° moved through in a day"
        f"{_at_a_time(cost)}, largest turn {deg_from_radians(cost.largest_turn):.0f}°, {site} used "
        f"most with {worst:.2f} of the regime compared.",
        (
            Quantity("movements during sleep", float(cost.turns_in_sleep), "-"),
            Quantity("movements a day", float(cost.turns_per_day), "-"),
            degrees("largest turn", cost.largest_turn),
            degrees("moved through in a day", cost.turned_through),
            plain("largest index", worst),
            plain("share of draws", found.share_of_draws),
        ),
    )


def _at_a_time(cost: Disturbance) -> str:
    if not cost.turns_per_day:
        return ""
    mean = deg_from_radians(cost.turned_through) / cost.turns_per_day
    return f" (about {mean:.0f}° at a time)"


def _coincide(names: list[str], count: int) -> tuple[Reason, ...]:
    if not names:
        return ()
    if count == 1:
        return (
            Reason(
                "one-programme",
                "Gentlest, balanced and most relief are one programme: nothing else that "
                "qualifies disturbs less or relieves more.",
            ),
        )
    return (Reason("coincides", f"It is also the one called {listed(names)}."),)


def _not_told_apart(
    number: int, choices: list[Choice], shown: list[Judged], other_laws: Array
) -> tuple[Reason, ...]:
    """Say which indices are closer than the noise, or in an order that draw or law decides."""
    reasons = []
    for other, choice in enumerate(choices):
        if other == number:
            continue
        lower = shown[other].worst - shown[number].worst
        apart = abs(float(lower[0]))
        same_order = float((np.sign(lower) == np.sign(lower[0])).mean())
        by_law = np.sign(other_laws[:, other] - other_laws[:, number])
        same_by_law = float((by_law == np.sign(lower[0])).mean())
        if apart >= NOT_TOLD_APART and min(same_order, same_by_law) >= SAME_ORDER:
            continue
        reasons.append(
            Reason(
                "cannot-be-told-apart",
                f"By its index it cannot be told apart from the one called {choice.name.value}.",
                (
                    plain("difference", apart),
                    plain("share of draws in this order", same_order),
                    plain("share of conventions in this order", same_by_law),
                ),
            )
        )
    return tuple(reasons)
