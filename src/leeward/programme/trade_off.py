"""What relief costs in movements during sleep: the best programme of each number of them."""

from dataclasses import dataclass

import numpy as np

from leeward.programme.assessment import judged
from leeward.programme.decision import (
    Assessment,
    Beside,
    Choice,
    ChoiceName,
    Decision,
    TradeOffPoint,
)
from leeward.programme.ground import Ground
from leeward.programme.search import look
from leeward.programme.trade_off_points import trade_off_points


@dataclass(frozen=True, slots=True)
class NamedPoint:
    """A choice of the plan.

    Parameters
    ----------
    name : ChoiceName
        Which.
    turns_in_sleep : int
        Movements of the surface during sleep. [-]
    index, index_low, index_high : float or None
        Largest index with band; None where unknown. [-]
    """

    name: ChoiceName
    turns_in_sleep: int
    index: float | None
    index_low: float | None
    index_high: float | None


@dataclass(frozen=True, slots=True)
class WayPoint:
    """What people do, beside the choices.

    Parameters
    ----------
    name : str
        Which, in words.
    turns_in_sleep : int
        Movements during sleep, whoever makes them. [-]
    index, index_low, index_high : float or None
        Largest index with band; None where unknown. [-]
    qualifies : bool
        Whether nothing was found against it.
    """

    name: str
    turns_in_sleep: int
    index: float | None
    index_low: float | None
    index_high: float | None
    qualifies: bool


@dataclass(frozen=True, slots=True)
class TradeOff:
    """Relief against sleep.

    Parameters
    ----------
    points : tuple of TradeOffPoint
        By rising number of movements; empty where nothing keeps limits and guards.
    choices : tuple of NamedPoint
        The plan's own choices.
    compared_with : str
        What an index of 1 stands for.
    ways : tuple of WayPoint
        What people do, by the same computation.
    """

    points: tuple[TradeOffPoint, ...]
    choices: tuple[NamedPoint, ...]
    compared_with: str
    ways: tuple[WayPoint, ...] = ()


def trade_off(stands: Ground, choices: tuple[Choice, ...]) -> TradeOff:
    """Search once more, and sum up what was looked at by its movements during sleep.

    Parameters
    ----------
    stands : Ground
        What the plan stands on.
    choices : tuple of Choice
        Its choices.

    Returns
    -------
    TradeOff
        On the known part of the day, as the search ranks.
    """
    looked = look(stands.problem) if stands.problem.chains else None
    return TradeOff(
        points=trade_off_points(stands.problem, looked),
        choices=tuple(_named(stands, choice) for choice in choices),
        compared_with=stands.problem.compared.name,
    )


def _named(stands: Ground, choice: Choice) -> NamedPoint:
    if choice.programme.turned_by_hand:
        return named_point(choice.name, choice.assessment)
    worst = judged(stands.problem, [choice.programme])[0].worst
    known = bool(np.isfinite(worst).all())
    return NamedPoint(
        name=choice.name,
        turns_in_sleep=choice.assessment.disturbance.turns_in_sleep,
        index=float(worst[0]) if np.isfinite(worst[0]) else None,
        index_low=float(worst.min()) if known else None,
        index_high=float(worst.max()) if known else None,
    )


def trade_off_of(decision: Decision) -> TradeOff:
    """Gather what a plan holds of relief against sleep.

    Parameters
    ----------
    decision : Decision
        The plan.

    Returns
    -------
    TradeOff
        Its points, its choices, and what people do; today's way once, as a choice where it is
        one.
    """
    names = {one.name for one in decision.choices}
    return TradeOff(
        points=decision.trade_off,
        choices=tuple(named_point(one.name, one.assessment) for one in decision.choices),
        compared_with=decision.compared_with,
        ways=tuple(_way_point(one) for one in decision.beside if one.name not in names),
    )


def _way_point(one: Beside) -> WayPoint:
    found = one.assessment
    return WayPoint(
        one.name, found.disturbance.turns_in_sleep, *_limiting(found), qualifies=one.qualifies
    )


def named_point(name: ChoiceName, found: Assessment) -> NamedPoint:
    """Place a choice by what the plan itself says of it.

    Parameters
    ----------
    name : ChoiceName
        Which.
    found : Assessment
        How it was judged.

    Returns
    -------
    NamedPoint
        At the index of the site that limits it.
    """
    return NamedPoint(name, found.disturbance.turns_in_sleep, *_limiting(found))


def _limiting(found: Assessment) -> tuple[float | None, float | None, float | None]:
    one = found.limiting
    return (None, None, None) if one is None else (one.index, one.index_low, one.index_high)
