"""What each site is asked to bear, by the evidence that stands at a time."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from leeward.contact.loads import Solve, each_in_turn
from leeward.terms.case import Case
from leeward.terms.posture import Posture
from leeward.tissue.demand import Demand, demand
from leeward.tissue.hand_check import standing_hand_checks
from leeward.tissue.standing import StandingDecision
from leeward.tissue.standing_correction import with_standing_correction


def standing_demand(
    case: Case,
    standing: StandingDecision,
    postures: Sequence[Posture],
    now: datetime,
    solve: Solve = each_in_turn,
) -> Demand | None:
    """Compute load ratios against the regime that stands, with the hand checks that do.

    Parameters
    ----------
    case : Case
        The case.
    standing : StandingDecision
        Which regimes stand at that time.
    postures : sequence of Posture
        Postures asked for.
    now : datetime
        Aware time.
    solve : Solve
        Computes the loads of all beds and settings.

    Returns
    -------
    Demand or None
        None where there is no regime to compare with.
    """
    if standing.compared is None:
        return None
    failed = [one.regime for one in standing.failed]
    lasting = with_standing_correction(case, now)
    there = replace(lasting, hand_checks=standing_hand_checks(case, now))
    return demand(there, standing.compared.regime, failed, postures, solve)
