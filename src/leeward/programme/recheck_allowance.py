"""The allowance once more, by a plain loop from day to day: shares nothing with the search."""

import math
from collections import deque
from collections.abc import Sequence

from leeward.terms.sourced import Sourced

_OURS = "convention of this project"
_NOBODY = "not applicable"

TIME_CONSTANT = Sourced(7200.0, "s", _OURS, _NOBODY, low=3600.0, high=14400.0)
RECOVERY_UNDER_LOAD = Sourced(0.25, "-", _OURS, _NOBODY, low=0.1, high=0.5)
RECOVERY_BY_RELIEF = Sourced(
    math.log(10.0) / 0.75,
    "-",
    "full relief clears 90 % in 0.75 T: " + _OURS + ", from hyperaemia that lasts half to three "
    "quarters of the arrest (AMA Arch Surg 1955;70:25)",
    "people, blood flow arrested for minutes",
)
LAG = Sourced(300.0, "s", _OURS, _NOBODY, low=120.0, high=600.0)
LINEAR_BELOW = Sourced(0.05, "-", _OURS, _NOBODY)

#: Days shorter than the lag are lived so often before the loads of the last minutes are taken.
_MOST_DAYS = 10


def peak_allowance(durations: Sequence[float], ratios: Sequence[float]) -> float:
    r"""Largest allowance of one site over a day that repeats for ever.

    Parameters
    ----------
    durations : sequence of float
        Length of each stay. [s]
    ratios : sequence of float
        Load ratio q in each stay. [-]

    Returns
    -------
    float
        Peak; NaN when a load is unknown or there is no stay. [-]

    Notes
    -----
    .. math::
        \dot A = \frac{s(q) - A\,(\rho + k_0 \max(0, 1 - q'))}{T}

    with q' the heaviest load of the last five minutes. What a day makes of an allowance is a
    straight line, so the days begun from 0 and from 1 tell the one that ends as it began.

    Examples
    --------
    >>> round(peak_allowance([3600.0], [1.0]), 6)
    4.0
    """
    if not ratios or not all(math.isfinite(q) and q >= 0.0 for q in ratios):
        return math.nan
    remembered: _Remembered = ()
    for _ in range(min(math.ceil(LAG.value / max(sum(durations), 1.0)), _MOST_DAYS)):
        _, remembered = _steps(*_last_minutes(durations, ratios), remembered)
    steps, _ = _steps(durations, ratios, remembered)
    empty, one = 0.0, 1.0
    for left, target in steps:
        empty = target + (empty - target) * left
        one = target + (one - target) * left
    peak = allowance = empty / (1.0 - (one - empty))
    for left, target in steps:
        allowance = target + (allowance - target) * left
        peak = max(peak, allowance)
    return peak


#: Loads of the last minutes, and until when recovery still goes by each; the heaviest first.
_Remembered = tuple[tuple[float, float], ...]


def _steps(
    durations: Sequence[float], ratios: Sequence[float], before: _Remembered
) -> tuple[list[tuple[float, float]], _Remembered]:
    """A day as steps under one load: what is left after each of how far the allowance was from
    where it goes to, and that; then what is remembered at the end of the day.
    """
    remembered = deque(before)
    now = 0.0
    steps = []
    for duration, q in zip(durations, ratios, strict=True):
        # A load that ended before a heavier one began is never the heaviest again.
        while remembered and remembered[-1][0] <= q:
            remembered.pop()
        end, use = now + duration, _use(q)
        while now < end:
            held, until = remembered[0] if remembered else (q, end)
            upto = min(until, end)
            rate = RECOVERY_UNDER_LOAD.value + RECOVERY_BY_RELIEF.value * max(0.0, 1.0 - held)
            steps.append((math.exp(-rate * (upto - now) / TIME_CONSTANT.value), use / rate))
            now = upto
            if remembered and until <= now:
                remembered.popleft()
        remembered.append((q, end + LAG.value))
    return steps, tuple((load, until - now) for load, until in remembered)


def _last_minutes(
    durations: Sequence[float], ratios: Sequence[float]
) -> tuple[Sequence[float], Sequence[float]]:
    """The end of a day, as much of it as recovery may still go by."""
    first, length = len(durations), 0.0
    while first and length < LAG.value:
        first -= 1
        length += durations[first]
    return durations[first:], ratios[first:]


def _use(q: float) -> float:
    """How fast a load uses the allowance: s(q)."""
    if q > 1.0:
        return math.pow(q, 1.1)
    if q >= LINEAR_BELOW.value:
        return math.sqrt(q)
    return q * math.sqrt(LINEAR_BELOW.value) / LINEAR_BELOW.value
