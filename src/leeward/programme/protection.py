"""Where every cycle would load a protected site: nothing is proposed, and it is said why."""

import math

import numpy as np

from leeward.programme.by_hand import sides_that_free, turns_in_words
from leeward.programme.cycles import cycle_count
from leeward.programme.loads import protected_ceilings
from leeward.programme.problem import Problem
from leeward.programme.quantities import listed, plain
from leeward.programme.windows import DayWindow, WindowKind
from leeward.terms.site import RESPONSIVE_SITES, Site
from leeward.terms.verdict import Quantity, Reason


def protection_forbids(given: Problem) -> tuple[Reason, ...]:
    """Say which protected sites leave no cycle to propose, and what hands do until then.

    Parameters
    ----------
    given : Problem
        The search.

    Returns
    -------
    tuple of Reason
        Empty while some cycle is left that loads no protected site beyond its ceiling, or where
        something else forbids every cycle.
    """
    forbidden = [chain for chain in given.chains if _is_forbidden(given, chain)]
    loaded = {
        site: (ceiling, loads)
        for site, ceiling in protected_ceilings(given.case).items()
        if (loads := _largest_loads(given, forbidden, site)) and not max(loads) <= ceiling
    }
    if not forbidden or not loaded:
        return ()
    return (_forbids(loaded), *_until_spared(given, tuple(loaded)))


def _is_forbidden(given: Problem, chain: tuple[DayWindow, ...]) -> bool:
    known = np.ones(len(given.turns), dtype=bool)
    for window in _turning(chain):
        known &= given.table.known[given.table.rows(window, given.turns)]
    left = cycle_count(given.settings, given.usable(chain))
    return left == 0 and cycle_count(given.settings, known) > 0


def _turning(chain: tuple[DayWindow, ...]) -> list[DayWindow]:
    return [window for window in chain if window.kind is WindowKind.TURNING]


def _largest_loads(
    given: Problem, chains: list[tuple[DayWindow, ...]], site: Site
) -> tuple[float, ...]:
    """Load ratio in the worst draw at each turn that could be run; unknown counts as endless."""
    table = given.table
    column = table.sites.index(site)
    found: list[float] = []
    for chain in chains:
        for window in _turning(chain):
            rows = table.rows(window, given.turns)
            loads = table.ratio[:, rows[table.known[rows]], column].max(axis=0)
            found.extend(np.where(np.isnan(loads), np.inf, loads).tolist())
    return tuple(found)


def _forbids(loaded: dict[Site, tuple[float, tuple[float, ...]]]) -> Reason:
    said, numbers = [], []
    for site, (ceiling, loads) in loaded.items():
        least, most = min(loads), max(loads)
        ending = f", where {ceiling:.2f} is allowed"
        if math.isinf(most):
            said.append(f"the {site.value} bears nobody knows how much{ending}")
        else:
            said.append(
                f"the {site.value} bears {least:.2f} to {most:.2f} of its reference load{ending}"
            )
        numbers.extend(_numbers(site, ceiling, least, most))
    return Reason(
        "protection-forbids",
        "Nothing is proposed, not even as what comes closest: in every cycle that could be set "
        f"some stay loads what is to be protected. At these turns {listed(said)}.",
        tuple(numbers),
    )


def _numbers(site: Site, ceiling: float, least: float, most: float) -> list[Quantity]:
    loads = {"least": least, "largest": most}
    return [
        *(
            plain(f"{name} load ratio at the {site.value}", load)
            for name, load in loads.items()
            if math.isfinite(load)
        ),
        plain(f"ceiling at the {site.value}", ceiling),
    ]


def _until_spared(given: Problem, loaded: tuple[Site, ...]) -> list[Reason]:
    """What people do in the meantime: no programme of the unit does it."""
    reasons = []
    turned = tuple(site for site in loaded if site in RESPONSIVE_SITES)
    if turned:
        reasons.append(_by_hand(given, turned))
    if Site.SACRUM in loaded:
        reasons.append(
            Reason(
                "pass-a-hand",
                "Pass a hand under the sacrum at the turns of the unit, with a pillow behind the "
                "back, and write down the turn and how it passed: a hand that passes is counted "
                "when planned again.",
            )
        )
    others = [f"the {site.value}" for site in loaded if site not in RESPONSIVE_SITES]
    if others:
        reasons.append(
            Reason(
                "no-turn-spares",
                f"No turn of the surface spares {listed(others)}: who frees it, how, and what it "
                "may bear meanwhile, is for a named practitioner to write down.",
            )
        )
    return reasons


def _by_hand(given: Problem, sites: tuple[Site, ...]) -> Reason:
    rounds = tuple(sorted(given.case.day.rounds))
    sides = sides_that_free(given.case, sites, len(rounds))
    named = listed([f"the {site.value}" for site in sites])
    if not sides:
        return Reason(
            "by-hand-until-spared",
            f"How the person may lie without load on {named} is for a named practitioner to say: "
            "there are no rounds on which to turn by hand, or no side that frees it and is not "
            "barred.",
        )
    return Reason(
        "by-hand-until-spared",
        f"Until a turn spares {named}, people turn the person on the rounds, "
        f"{turns_in_words(rounds, sides)}, with a pillow behind the back until a hand passes "
        f"under {named}. What such a turn puts on other sites is not computed.",
    )
