"""What is noticed in a log: when, how much, and what to look at; never whose fault."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from leeward.terms.verdict import Quantity


class FindingKind(StrEnum):
    """What kind of thing was noticed."""

    EMPTY = "no readings"
    SIDE_UNKNOWN = "side not declared"
    SIMULATED = "simulated"
    UNREADABLE_LINES = "lines that could not be read"
    SILENT = "sensor silent"
    MISSING = "lines without a reading"
    OUT_OF_RANGE = "readings out of range"
    TOO_FAST = "readings faster than a surface moves"
    FROZEN = "sensor frozen"
    OUT_OF_ORDER = "lines out of order"
    CLOCK_SET_BACK = "clock set back"
    CLOCK_AHEAD = "clock ahead for a while"
    CLOCK_UNSET = "clock not set"
    IN_THE_FUTURE = "times in the future"
    CONTRADICTING = "two readings at one time"
    DAYLIGHT_SAVING = "clock change"
    ZONE_CHANGED = "zone of the times changed"
    NEVER_TURNED = "no turn seen"
    OFFSET = "level reads beside zero"
    DRIFT = "angle drifts within stays"
    PAUSED = "paused"
    STOPPED = "stopped and not restarted"
    POWER_LOSS = "looks like a power loss"
    OTHER_SIDE = "turned to the other side than planned"
    OUT_OF_STEP = "out of step with the clock"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing noticed.

    Parameters
    ----------
    kind : FindingKind
        What kind.
    start, end : float
        Between which times, from the log's origin. [s]
    sentence : str
        What was noticed, with times and numbers.
    look_at : str
        What to look at next.
    numbers : tuple of Quantity
        The numbers of the sentence.
    """

    kind: FindingKind
    start: float
    end: float
    sentence: str
    look_at: str
    numbers: tuple[Quantity, ...] = ()


def when_in_words(origin: datetime, time: float) -> str:
    """Write a time of a log by the wall clock.

    Parameters
    ----------
    origin : datetime
        The log's origin, in the zone in which times are shown.
    time : float
        Seconds from the origin. [s]

    Returns
    -------
    str
        For example ``"2026-03-01 22:00"``; the zone is the origin's.
    """
    # Aware arithmetic stays on the wall clock of one zone: only through UTC is it elapsed time.
    utc_offset = origin.utcoffset() or timedelta(0)
    elapsed = origin.replace(tzinfo=None) - utc_offset + timedelta(seconds=time)
    zone = origin.tzinfo
    if zone is None:
        return elapsed.strftime("%Y-%m-%d %H:%M")
    return zone.fromutc(elapsed.replace(tzinfo=zone)).strftime("%Y-%m-%d %H:%M")


def span_in_words(origin: datetime, start: float, end: float) -> str:
    """Write a span of a log by the wall clock.

    Parameters
    ----------
    origin : datetime
        The log's origin, in the zone in which times are shown.
    start, end : float
        Seconds from the origin. [s]

    Returns
    -------
    str
        For example ``"from 2026-03-01 22:00 to 23:30"``.
    """
    first, last = when_in_words(origin, start), when_in_words(origin, end)
    if first[:10] == last[:10]:
        last = last[11:]
    return f"from {first} to {last}"
