"""Turns while the person sleeps: how many were planned, how many were seen."""

from dataclasses import dataclass
from datetime import datetime, tzinfo

from leeward.delivered.delivered import Delivered
from leeward.terms.clock import DaySpan
from leeward.terms.series import PostureSeries
from leeward.terms.units import SECONDS_PER_HOUR, SECONDS_PER_MINUTE


@dataclass(frozen=True, slots=True)
class SleepTurns:
    """Turns in the sleep window over all nights under review.

    Parameters
    ----------
    planned : int
        Planned. [-]
    seen : int
        Seen in the log; turns in unknown time are not among them. [-]
    """

    planned: int
    seen: int


def sleep_turns(
    delivered: Delivered, planned: PostureSeries, sleep: DaySpan, zone: tzinfo
) -> SleepTurns:
    """Count turns while the person sleeps.

    Parameters
    ----------
    delivered : Delivered
        The log.
    planned : PostureSeries
        The plan, from the log's origin.
    sleep : DaySpan
        When the person sleeps, by the wall clock.
    zone : tzinfo
        Zone of the wall clock.

    Returns
    -------
    SleepTurns
        Both counts, within the time of the plan.
    """
    zero = delivered.origin.timestamp()

    def in_sleep(time: float) -> bool:
        wall = datetime.fromtimestamp(zero + time, tz=zone)
        of_day = wall.hour * SECONDS_PER_HOUR + wall.minute * SECONDS_PER_MINUTE + wall.second
        return sleep.contains(of_day)

    changes = [
        float(planned.edges[number])
        for number in range(1, len(planned.postures))
        if planned.postures[number].turn != planned.postures[number - 1].turn
    ]
    low, high = float(planned.edges[0]), float(planned.edges[-1])
    seen = [turn.start for turn in delivered.turns if low <= turn.start <= high]
    return SleepTurns(sum(map(in_sleep, changes)), sum(map(in_sleep, seen)))
