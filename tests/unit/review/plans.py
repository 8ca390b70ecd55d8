"""Small plans for tests, and logs that a unit following them would write."""

from datetime import UTC, datetime

import numpy as np

from leeward.delivered.delivered import Delivered, read_delivered
from leeward.programme.programme import Programme, Window
from leeward.review.skin_looks import SkinLooks
from leeward.terms.clock import DaySpan
from leeward.terms.day import Day
from leeward.terms.posture import Posture
from leeward.terms.regime import Stay
from leeward.terms.units import radians_from_deg
from tests.unit.delivered.logs import CYCLE, START, epoch_map, readings, written

NOW = datetime(2026, 3, 9, 12, tzinfo=UTC)
_SEEN = datetime(2026, 3, 9, 8, tzinfo=UTC)
LOOKS = SkinLooks(now=NOW, last=_SEEN, whole=_SEEN)
DAY = Day(sleep=DaySpan(79200.0, 21600.0), rounds=(32400.0,), time_zone="UTC")


def cycle(stays=CYCLE) -> tuple[Stay, ...]:
    """Stays of a cycle from degrees and minutes."""
    return tuple(
        Stay(Posture(turn=radians_from_deg(angle)), minutes * 60.0) for angle, minutes in stays
    )


def whole_day(stays=CYCLE) -> Programme:
    """One cycle from midnight to midnight."""
    return Programme((Window("day", DaySpan(0.0, 0.0), cycle(stays)),))


def delivered(times: np.ndarray, angles: np.ndarray, column_map=None) -> Delivered:
    """The log of these readings, as read."""
    return read_delivered(written(times, angles), column_map or epoch_map(), now=NOW)


def as_planned(hours: float = 72.0, **how) -> Delivered:
    """A log that keeps its plan."""
    return delivered(*readings(hours, **how))


__all__ = [
    "CYCLE",
    "DAY",
    "LOOKS",
    "NOW",
    "START",
    "SkinLooks",
    "as_planned",
    "cycle",
    "delivered",
    "whole_day",
]
