"""Loads and pull of postures that people turn the person to, on the present bed."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import reduce

import numpy as np
from numpy.typing import NDArray

from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest, Solve
from leeward.terms.case import Case
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Posture
from leeward.terms.regime import TurnMeans
from leeward.tissue.demand import Demand, RegimeDemand
from leeward.tissue.further_demand import Further, further_ratios
from leeward.tissue.load_ratios import LoadRatios


@dataclass(frozen=True, slots=True, eq=False)
class LyingByHand:
    """What is known of postures people turn to.

    Parameters
    ----------
    ratios : LoadRatios
        Load ratios over the plan's draws, against its reference.
    pull : dict of Posture to float
        Highest friction demand over the draws; NaN where one of them is no place to lie. [-]
    """

    ratios: LoadRatios
    pull: dict[Posture, float]


def lying_by_hand(
    case: Case, found: Demand, postures: tuple[Posture, ...], now: datetime, solve: Solve
) -> LyingByHand:
    """Compute what postures turned to by hand put on the skin.

    Parameters
    ----------
    case : Case
        The case.
    found : Demand
        What the plan stands on; where the regime compared was turned by hand on the same bed
        its postures are not solved again.
    postures : tuple of Posture
        Turned, in bed; at least one.
    now : datetime
        Aware time.
    solve : Solve
        Computes the loads; asked once, and not at all where everything is known.

    Returns
    -------
    LyingByHand
        Of every posture, in the same order.
    """
    regime = by_hand_on_this_bed(case, found)
    known = () if regime is None else regime.ratios.postures
    wanted = tuple(one for one in postures if one not in known)
    parts = [] if regime is None else [_taken(regime, tuple(p for p in postures if p in known))]
    if wanted:
        parts.append(_solved(case, found, wanted, now, solve))
    return _together(parts)


def by_hand_on_this_bed(case: Case, found: Demand) -> RegimeDemand | None:
    """Find the loads of turns by hand that a plan has computed already.

    Parameters
    ----------
    case : Case
        The case.
    found : Demand
        What the plan stands on.

    Returns
    -------
    RegimeDemand or None
        The regime compared, where it was turned by hand on the present bed.
    """
    regime = found.compared.regime
    is_same = (regime.mattress, regime.layers) == (case.bed.mattress, case.bed.layers)
    return found.compared if regime.means is TurnMeans.BY_HAND and is_same else None


def _taken(regime: RegimeDemand, postures: tuple[Posture, ...]) -> LyingByHand:
    ratios, demand = regime.ratios.part(postures), regime.friction_demand
    if demand is None:
        return LyingByHand(ratios, dict.fromkeys(postures, float("nan")))
    rows = [regime.ratios.position(one) for one in postures]
    return LyingByHand(ratios, _highest(postures, demand[:, rows], ratios.is_stable))


def _solved(
    case: Case, found: Demand, postures: tuple[Posture, ...], now: datetime, solve: Solve
) -> LyingByHand:
    tables: list[LoadTable] = []

    def kept(requests: Sequence[LoadRequest]) -> Sequence[LoadTable]:
        tables.extend(solve(requests))
        return tables

    ratios = further_ratios(found, [Further(case, postures, by_hand=True)], now, kept)[0]
    pull: dict[Posture, float] = {}
    for table in tables:
        is_stable = np.asarray(table.state == EquilibriumState.STABLE)
        pull |= _highest(table.postures, table.friction_demand, is_stable)
    return LyingByHand(ratios, pull)


def _highest(
    postures: Sequence[Posture], demand: NDArray[np.float64], is_stable: NDArray[np.bool_]
) -> dict[Posture, float]:
    """Highest over the draws; unknown where one of them is no place to lie."""
    highest = np.where(is_stable, demand, np.nan).max(axis=0)
    return dict(zip(postures, highest.tolist(), strict=True))


def _together(parts: list[LyingByHand]) -> LyingByHand:
    return LyingByHand(
        reduce(LoadRatios.beside, [part.ratios for part in parts]),
        {posture: pull for part in parts for posture, pull in part.pull.items()},
    )
