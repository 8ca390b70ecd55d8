"""The lag: recovery goes by the heaviest load of the last minutes, the use by the present one."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leeward.tissue.law import AllowanceLaw

Array = NDArray[np.float64]

#: A day shorter than the lag goes through the state at its start more than once, at most so often.
_MOST_ROUNDS = 10

#: Sums of durations differ by less than this. [s]
_ROUNDING = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Lag:
    """The loads of the last minutes, as far as recovery still goes by them.

    Parameters
    ----------
    loads : tuple of ndarray, shape (..., s)
        Load ratio of each segment of the last minutes, the latest first. [-]
    left : tuple of ndarray, shape (..., 1)
        Time for which recovery will still go by it where nothing heavier follows; the latest
        first, and none longer than the one before. [s]
    """

    loads: tuple[Array, ...]
    left: tuple[Array, ...]


def settled(ratio: Array, law: AllowanceLaw) -> Lag:
    """State after a stay longer than the lag.

    Parameters
    ----------
    ratio : ndarray, shape (..., s)
        Load ratio of that stay. [-]
    law : AllowanceLaw
        Conventions.

    Returns
    -------
    Lag
        Only that stay counts.
    """
    return Lag((ratio,), (np.full((*ratio.shape[:-1], 1), law.lag),))


def parts(lag: Lag, ratio: Array, duration: Array) -> list[tuple[Array, Array]]:
    r"""Divide a segment where the load that recovery goes by changes.

    Parameters
    ----------
    lag : Lag
        State at its start.
    ratio : ndarray, shape (..., s)
        Load ratio of the segment. [-]
    duration : ndarray, shape (..., 1)
        Length of the segment. [s]

    Returns
    -------
    list of (ndarray, ndarray)
        In order of time the length of each part [s], none where it is one of other
        candidates, and the load ratio that recovery goes by in it; what no candidate has is
        left out. [-]

    Notes
    -----
    .. math:: q'(t) = \max_{t - \mathrm{lag} \le u \le t} q(u)

    However finely a course of the load is cut, it is the same course.
    """
    if not bool(duration.any()):
        return [(duration, ratio)]
    heaviest, governs = ratio, []
    for load in lag.loads:
        heaviest = np.maximum(heaviest, load)
        governs.append(heaviest)
    found, begin = [], np.zeros_like(duration)
    for load, left in zip(reversed(governs), reversed(lag.left), strict=True):
        end = np.minimum(np.maximum(left, begin), duration)
        if bool((end > begin).any()):
            found.append((end - begin, load))
        if bool((end >= duration).all()):
            return found
        begin = end
    return [*found, (duration - begin, ratio)]


def after(lag: Lag, ratio: Array, duration: Array, law: AllowanceLaw) -> Lag:
    """State at the end of a segment.

    Parameters
    ----------
    lag : Lag
        State at its start.
    ratio : ndarray, shape (..., s)
        Load ratio of the segment. [-]
    duration : ndarray, shape (..., 1)
        Length of the segment; one of no length changes nothing. [s]
    law : AllowanceLaw
        Conventions.

    Returns
    -------
    Lag
        What is longer ago than the lag is forgotten.
    """
    lasts = duration > 0.0
    if not bool(lasts.any()):
        return lag
    loads = [ratio, *lag.loads]
    left = [np.full_like(duration, law.lag), *(one - duration for one in lag.left)]
    if not bool(lasts.all()):
        kept, still = (*lag.loads, loads[-1]), (*lag.left, np.zeros_like(duration))
        loads = [np.where(lasts, new, old) for new, old in zip(loads, kept, strict=True)]
        left = [np.where(lasts, new, old) for new, old in zip(left, still, strict=True)]
    # None is left longer than the one before: the first that is forgotten ends the row.
    count = len(left)
    while count and not bool((left[count - 1] > 0.0).any()):
        count -= 1
    return Lag(tuple(loads[:count]), tuple(left[:count]))


def at_wrap(durations: Array, ratio: Array, law: AllowanceLaw) -> Lag:
    """State at the start of a day that follows days like itself.

    Parameters
    ----------
    durations : ndarray, shape (..., n)
        Length of each segment; 0 for padding. [s]
    ratio : ndarray, shape (..., n, s)
        Load ratios of the day. [-]
    law : AllowanceLaw
        Conventions.

    Returns
    -------
    Lag
        The same state that the day ends in.

    Notes
    -----
    The last minutes of a day longer than the lag are all its own, so one pass is enough.
    """
    count = ratio.shape[-2]
    lag = settled(_outermost(durations, ratio, range(count)), law)
    shortest = float(durations.sum(axis=-1).min())
    if shortest < law.lag:
        rounds = int(min(np.ceil(law.lag / shortest), _MOST_ROUNDS))
        order = [*range(count)] * rounds
    else:
        order = [*range(_latest(durations, law.lag), count)]
    for number in order:
        lag = after(lag, ratio[..., number, :], durations[..., number, np.newaxis], law)
    return lag


def _latest(durations: Array, time: float) -> int:
    """First segment of those at the end that last longer than this together, or 0."""
    left = np.cumsum(durations[..., ::-1], axis=-1).reshape(-1, durations.shape[-1]).min(axis=0)
    longer = np.flatnonzero(left > time + _ROUNDING)
    return durations.shape[-1] - 1 - int(longer[0]) if len(longer) else 0


def at_rest(durations: Array, ratio: Array, law: AllowanceLaw) -> Lag:
    """State at the start of a row of segments that nothing is known to precede.

    Parameters
    ----------
    durations : ndarray, shape (..., n)
        Length of each segment; 0 for padding. [s]
    ratio : ndarray, shape (..., n, s)
        Load ratios of the row. [-]
    law : AllowanceLaw
        Conventions.

    Returns
    -------
    Lag
        As after a long stay under the load of the first segment that lasts.
    """
    return settled(_outermost(durations, ratio, reversed(range(ratio.shape[-2]))), law)


def _outermost(durations: Array, ratio: Array, order: Iterable[int]) -> Array:
    """Load ratio of the last segment, in the order given, that lasts."""
    found = ratio[..., 0, :]
    for number in order:
        lasts = durations[..., number, np.newaxis] > 0.0
        found = np.where(lasts, ratio[..., number, :], found)
    return found
