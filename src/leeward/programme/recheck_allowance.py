"""The allowance once more, by a plain loop from day to day: shares nothing with the search."""

import math
from collections.abc import Sequence
from typing import NamedTuple

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
LAG_STEP = Sourced(0.02, "-", _OURS, _NOBODY)
LINEAR_BELOW = Sourced(0.05, "-", _OURS, _NOBODY)

#: The day is repeated until it begins as it did the day before, to this accuracy. [-]
_SETTLED = 1e-12
_MOST_DAYS = 20_000


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

    with q' the load before while the lag runs, else q. The day is lived again and again from
    rest, each stay in closed form, until it changes no more.

    Examples
    --------
    >>> round(peak_allowance([3600.0], [1.0]), 6)
    4.0
    """
    if not ratios or not all(math.isfinite(q) and q >= 0.0 for q in ratios):
        return math.nan
    state = _State(allowance=0.0, before=ratios[-1], held=ratios[-1], lag_left=0.0)
    for _ in range(_MOST_DAYS):
        peak, after = _one_day(durations, ratios, state)
        grown = abs(after.allowance - state.allowance)
        settled = grown <= _SETTLED * max(1.0, peak) and after.lag_left == state.lag_left
        state = after
        if settled:
            return peak
    return math.nan


class _State(NamedTuple):
    """Where a site stands between two stays: load before, load recovery goes by, clock."""

    allowance: float
    before: float
    held: float
    lag_left: float


def _one_day(
    durations: Sequence[float], ratios: Sequence[float], start: _State
) -> tuple[float, _State]:
    allowance, before, held, lag_left = start
    peak = allowance
    for duration, q in zip(durations, ratios, strict=True):
        if q < before - LAG_STEP.value and lag_left <= 0.0:
            held, lag_left = before, LAG.value
        if q >= held:
            lag_left = 0.0
        lagging = min(lag_left, duration)
        while_lagging = _after(lagging, q, held, allowance)
        allowance = _after(duration - lagging, q, q, while_lagging)
        peak = max(peak, while_lagging, allowance)
        lag_left, before = lag_left - lagging, q
    return peak, _State(allowance, before, held, lag_left)


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
