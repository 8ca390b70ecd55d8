"""What relief costs in movements during sleep: the best programme of each number of them."""

from dataclasses import dataclass

import numpy as np

from leeward.programme.assessment import judged
from leeward.programme.decision import Choice, ChoiceName
from leeward.programme.ground import Ground
from leeward.programme.programmes import programme_at
from leeward.programme.search import Looked, look

#: Numbers of movements in sleep that are written out and computed in every draw. [-] Convention.
MOST_POINTS = 24


@dataclass(frozen=True, slots=True)
class TradeOffPoint:
    """The programmes of one number of movements during sleep that keep limits and guards.

    Parameters
    ----------
    turns_in_sleep : int
        Movements of the surface during sleep. [-]
    programmes : int
        How many were looked at. [-]
    index, index_low, index_high : float
        Largest index of the best of them, central and over the draws; infinite at its upper end
        where a draw is unknown. [-]
    worst_index : float
        Largest index of the worst of them, on central values. [-]
    """

    turns_in_sleep: int
    programmes: int
    index: float
    index_low: float
    index_high: float
    worst_index: float


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
    """

    points: tuple[TradeOffPoint, ...]
    choices: tuple[NamedPoint, ...]
    compared_with: str


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
        points=() if looked is None else _points(stands, looked),
        choices=tuple(_named(stands, choice) for choice in choices),
        compared_with=stands.problem.compared.name,
    )


def _points(stands: Ground, looked: Looked) -> tuple[TradeOffPoint, ...]:
    able = np.flatnonzero(looked.fits & np.isfinite(looked.index))
    asleep = looked.cost[able, 0].astype(int)
    numbers = np.unique(asleep)[:MOST_POINTS]
    groups = [able[asleep == number] for number in numbers]
    if not groups:
        return ()
    best = [int(group[np.argmin(looked.index[group])]) for group in groups]
    given = stands.problem
    found = judged(given, [programme_at(given, looked, place) for place in best])
    return tuple(
        TradeOffPoint(
            turns_in_sleep=int(number),
            programmes=len(group),
            index=float(one.worst[0]),
            index_low=float(np.nan_to_num(one.worst, nan=np.inf).min()),
            index_high=float(np.nan_to_num(one.worst, nan=np.inf).max()),
            worst_index=float(looked.index[group].max()),
        )
        for number, group, one in zip(numbers, groups, found, strict=True)
    )


def _named(stands: Ground, choice: Choice) -> NamedPoint:
    worst = judged(stands.problem, [choice.programme])[0].worst
    known = bool(np.isfinite(worst).all())
    return NamedPoint(
        name=choice.name,
        turns_in_sleep=choice.assessment.disturbance.turns_in_sleep,
        index=float(worst[0]) if np.isfinite(worst[0]) else None,
        index_low=float(worst.min()) if known else None,
        index_high=float(worst.max()) if known else None,
    )
