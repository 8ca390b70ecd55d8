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
    days = math.ceil(LAG.value / max(sum(durations), 1.0))
    remembered: _Remembered = ()
    for _ in range(min(days, _MOST_DAYS)):
        _, _, remembered = _one_day(durations, ratios, 0.0, remembered)
    _, empty, _ = _one_day(durations, ratios, 0.0, remembered)
    _, one, _ = _one_day(durations, ratios, 1.0, remembered)
    steady = empty / (1.0 - (one - empty))
    return _one_day(durations, ratios, steady, remembered)[0]


#: Loads of the last minutes, and until when recovery still goes by each; the heaviest first.
_Remembered = tuple[tuple[float, float], ...]


def _one_day(
    durations: Sequence[float], ratios: Sequence[float], allowance: float, before: _Remembered
) -> tuple[float, float, _Remembered]:
    """Largest allowance of a day, the one it ends with, and what is remembered then."""
    remembered = deque(before)
    peak, now = allowance, 0.0
    for duration, q in zip(durations, ratios, strict=True):
        # A load that ended before a heavier one began is never the heaviest again.
        while remembered and remembered[-1][0] <= q:
            remembered.pop()
        end = now + duration
        while now < end:
            held, until = remembered[0] if remembered else (q, end)
            upto = min(until, end)
            allowance = _after(upto - now, q, held, allowance)
            peak, now = max(peak, allowance), upto
            if remembered and until <= now:
                remembered.popleft()
        remembered.append((q, end + LAG.value))
    return peak, allowance, tuple((load, until - now) for load, until in remembered)


def _after(duration: float, q: float, recovers_as: float, allowance: float) -> float:
    """Allowance after some time under one load."""
    rate = RECOVERY_UNDER_LOAD.value + RECOVERY_BY_RELIEF.value * max(0.0, 1.0 - recovers_as)
    target = _use(q) / rate
    return target + (allowance - target) * math.exp(-rate * duration / TIME_CONSTANT.value)


def _use(q: float) -> float:
    """How fast a load uses the allowance: s(q)."""
    if q > 1.0:
        return math.pow(q, 1.1)
    if q >= LINEAR_BELOW.value:
        return math.sqrt(q)
    return q * math.sqrt(LINEAR_BELOW.value) / LINEAR_BELOW.value
