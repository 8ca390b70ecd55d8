"""What the smaller turns of the build-up load on the way to the full ones."""

import math
from collections.abc import Iterator

from leeward.programme.recheck_day import Examined, largest_load_of
from leeward.programme.recheck_finding import finding, is_within, number_of
from leeward.programme.recheck_limits import ceiling_of
from leeward.terms.equipment import Ability
from leeward.terms.posture import Posture, turn_in_words
from leeward.terms.verdict import Reason

#: No unit has more turns than this to choose from.
_MOST_TURNS = 1000


def protected_site_loaded_on_the_way(seen: Examined) -> Iterator[Reason]:
    """Find steps of the build-up whose smaller turns load a protected site beyond its ceiling.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Yields
    ------
    Reason
        One for each step, posture and site.
    """
    unit = seen.case.equipment
    if unit is None:
        return
    turned = [stay.posture for stay in seen.turning if stay.posture.turn != 0.0]
    for number, step in enumerate(seen.programme.build_up, start=1):
        if step.share_of_turn < 1.0:
            for full in turned:
                turn = _part(full.turn, step.share_of_turn, unit.ability)
                yield from _loaded(seen, number, full.with_turn(turn))


def _loaded(seen: Examined, number: int, posture: Posture) -> Iterator[Reason]:
    for one in seen.case.person.protected_sites:
        load = largest_load_of(seen.ratios, posture, one.site)
        if not is_within(load, ceiling_of(one)):
            yield finding(
                "protected-site-loaded",
                f"Step {number} of the build-up: {turn_in_words(posture.turn)} loads the "
                f"{one.site}, which is to be protected ({one.reason})"
                + (", by nobody knows how much." if math.isnan(load) else "."),
                number_of("load ratio", load),
                number_of("ceiling", ceiling_of(one)),
            )


def _part(turn: float, share: float, ability: Ability) -> float:
    """The largest turn that can be set up to a share of the full one, else the smallest."""
    part = ability.smallest_turn
    for number in range(1, _MOST_TURNS):
        farther = ability.smallest_turn + number * ability.turn_step
        if ability.turn_step <= 0.0 or not is_within(farther, share * abs(turn)):
            break
        part = farther
    return math.copysign(min(part, abs(turn)), turn)
