"""The best programme of each number of movements during sleep, of all that were looked at."""

import numpy as np

from leeward.programme.assessment import judged
from leeward.programme.decision import TradeOffPoint
from leeward.programme.problem import Problem
from leeward.programme.programmes import programme_at
from leeward.programme.search import Looked

#: Numbers of movements in sleep that are written out and computed in every draw. [-] Convention.
MOST_POINTS = 24


def trade_off_points(given: Problem, looked: Looked | None) -> tuple[TradeOffPoint, ...]:
    """Sum up what was looked at by its movements during sleep.

    Parameters
    ----------
    given : Problem
        The search.
    looked : Looked or None
        Every programme looked at; None where none could be set.

    Returns
    -------
    tuple of TradeOffPoint
        By rising number of movements, on the known part of the day, as the search ranks; empty
        where nothing keeps limits and guards.
    """
    if looked is None:
        return ()
    able = np.flatnonzero(looked.fits & np.isfinite(looked.index))
    asleep = looked.cost[able, 0].astype(int)
    numbers = np.unique(asleep)[:MOST_POINTS]
    groups = [able[asleep == number] for number in numbers]
    if not groups:
        return ()
    best = [int(group[np.argmin(looked.index[group])]) for group in groups]
    found = judged(given, [programme_at(given, looked, place) for place in best])
    return tuple(
        TradeOffPoint(
            turns_in_sleep=int(number),
            programmes=len(group),
            index=float(one.worst[0]),
            index_low=float(np.nanmin(one.worst)),
            index_high=float(one.worst.max()) if bool(np.isfinite(one.worst).all()) else None,
            worst_index=float(looked.index[group].max()),
        )
        for number, group, one in zip(numbers, groups, found, strict=True)
    )
