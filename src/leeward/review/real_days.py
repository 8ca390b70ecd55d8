"""A programme laid over real days: by the wall clock, also when a day has 23 or 25 hours."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta, tzinfo
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np

from leeward.programme.programme import Programme, Window
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Place
from leeward.terms.regime import Stay
from leeward.terms.series import PostureSeries, Validity


@dataclass(frozen=True, slots=True)
class Period:
    """The time under review.

    Parameters
    ----------
    start, end : float
        From the log's origin. [s]
    """

    start: float
    end: float


@dataclass(frozen=True, slots=True)
class RealWindow:
    """A window of the programme on one real day.

    Parameters
    ----------
    name : str
        Its name in the programme.
    start, end : float
        From the log's origin; the length follows the wall clock. [s]
    cycle : tuple of Stay
        Stays, begun afresh at the start.
    """

    name: str
    start: float
    end: float
    cycle: tuple[Stay, ...]

    @property
    def is_turning(self) -> bool:
        """Whether the unit turns in it, rather than keeping one posture."""
        return len(self.cycle) > 1

    @property
    def is_in_bed(self) -> bool:
        """Whether the person is planned to be in bed."""
        return all(stay.posture.place is Place.BED for stay in self.cycle)


def zone_of(name: str) -> tzinfo:
    """Find a time zone.

    Parameters
    ----------
    name : str
        IANA name.

    Returns
    -------
    tzinfo
        The zone.

    Raises
    ------
    InvalidInput
        If there is none of that name.
    """
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise InvalidInput(
            f"time zone {name!r}",
            where="the person's day",
            expected="an IANA name, for example Europe/Amsterdam",
            remedy="name the zone the times of the day are in",
        ) from None


def real_windows(
    programme: Programme, zone: tzinfo, origin: datetime, period: Period
) -> tuple[RealWindow, ...]:
    """Lay a programme's windows over real days.

    Parameters
    ----------
    programme : Programme
        The programme.
    zone : tzinfo
        Zone of its clock times.
    origin : datetime
        Second zero, aware.
    period : Period
        Which time is wanted.

    Returns
    -------
    tuple of RealWindow
        All windows that touch the period, whole, in order, without overlap.
    """
    if not period.end > period.start:
        return ()
    zero = origin.timestamp()
    day = datetime.fromtimestamp(zero + period.start, tz=zone).replace(tzinfo=None)
    midnight = day.replace(hour=0, minute=0, second=0, microsecond=0) - timedelta(days=1)
    found: list[RealWindow] = []
    at = -np.inf
    while _instant(midnight, zone) - zero < period.end:
        for window in programme.windows:
            start = _instant(midnight + timedelta(seconds=window.span.start), zone) - zero
            end = _end(midnight, window, zone) - zero
            start = max(start, at)
            if end > start:
                found.append(RealWindow(window.name, float(start), float(end), window.cycle))
                at = end
        midnight += timedelta(days=1)
    touching = [w for w in found if w.end > period.start and w.start < period.end]
    return tuple(touching)


def _end(midnight: datetime, window: Window, zone: tzinfo) -> float:
    return _instant(midnight + timedelta(seconds=window.span.start + window.span.duration), zone)


def _instant(wall: datetime, zone: tzinfo) -> float:
    return wall.replace(tzinfo=zone).timestamp()


def planned_series(
    windows: Sequence[RealWindow], origin: datetime, period: Period
) -> PostureSeries:
    """Unroll real windows into the postures planned.

    Parameters
    ----------
    windows : sequence of RealWindow
        Windows in order.
    origin : datetime
        Second zero, aware.
    period : Period
        Which time is wanted.

    Returns
    -------
    PostureSeries
        The plan over the period.
    """
    edges = [period.start]
    postures = []
    for window in windows:
        at, number = window.start, 0
        while at < window.end - 1e-6:
            stay = window.cycle[number % len(window.cycle)]
            following = min(at + stay.duration, window.end)
            low, high = max(at, period.start), min(following, period.end)
            if high > max(low, edges[-1]):
                edges.append(high)
                postures.append(stay.posture)
            at, number = following, number + 1
    return PostureSeries(
        edges=np.array(edges),
        postures=tuple(postures),
        validity=(Validity.KNOWN,) * len(postures),
        origin=origin.astimezone(UTC).isoformat(),
    )


def laid_over(
    delivered: PostureSeries, planned: PostureSeries, *, has_backrest: bool
) -> PostureSeries:
    """Fill in what a log of one angle cannot show from the plan of the same time.

    Parameters
    ----------
    delivered : PostureSeries
        Turns measured.
    planned : PostureSeries
        The plan from the same origin.
    has_backrest : bool
        Whether the log measured the backrest, which is then kept.

    Returns
    -------
    PostureSeries
        The time common to both, or planned only, which is then unknown: turns from the log;
        knee section, supports, place and, where not measured, backrest as planned.
    """
    inside = delivered.edges[
        (delivered.edges > planned.edges[0]) & (delivered.edges < planned.edges[-1])
    ]
    edges = np.unique(np.concatenate((planned.edges, inside)))
    postures, validity = [], []
    for start in edges[:-1]:
        plan = planned.postures[int(np.searchsorted(planned.edges, start, side="right")) - 1]
        number = int(np.searchsorted(delivered.edges, start, side="right")) - 1
        if not 0 <= number < len(delivered.postures):
            postures.append(plan)
            validity.append(Validity.UNKNOWN)
            continue
        measured = delivered.postures[number]
        backrest = measured.backrest if has_backrest else plan.backrest
        postures.append(replace(plan, turn=measured.turn, backrest=backrest))
        validity.append(delivered.validity[number])
    return PostureSeries(edges, tuple(postures), tuple(validity), delivered.origin)
