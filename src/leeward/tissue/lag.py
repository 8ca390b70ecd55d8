"""The lag: for some minutes after a step down a site recovers as under the load before."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leeward.tissue.law import AllowanceLaw


@dataclass(frozen=True, slots=True, eq=False)
class Lag:
    """Where every site stands in its lag between two segments.

    Parameters
    ----------
    previous : ndarray, shape (..., s)
        Load ratio of the last segment that lasted. [-]
    held : ndarray, shape (..., s)
        Load ratio that recovery still goes by while the clock runs. [-]
    left : ndarray, shape (..., s)
        Time left on the clock; 0 when it does not run. [s]
    """

    previous: NDArray[np.float64]
    held: NDArray[np.float64]
    left: NDArray[np.float64]


def settled(ratio: NDArray[np.float64]) -> Lag:
    """State after a stay longer than the lag.

    Parameters
    ----------
    ratio : ndarray, shape (..., s)
        Load ratio of that stay. [-]

    Returns
    -------
    Lag
        No clock runs.
    """
    return Lag(previous=ratio, held=ratio, left=np.zeros_like(ratio))


def entering(
    lag: Lag, ratio: NDArray[np.float64], lasts: NDArray[np.bool_], law: AllowanceLaw
) -> Lag:
    """State at the start of a segment.

    Parameters
    ----------
    lag : Lag
        State before it.
    ratio : ndarray, shape (..., s)
        Load ratio of the segment. [-]
    lasts : ndarray of bool, shape (..., 1)
        False for a segment of no length, which changes nothing.
    law : AllowanceLaw
        Conventions.

    Returns
    -------
    Lag
        A step down starts the clock unless it runs; load back at what is held stops it.
    """
    steps_down = (ratio < lag.previous - law.step) & lasts
    starts = steps_down & (lag.left <= 0.0)
    held = np.where(starts, lag.previous, lag.held)
    stops = (ratio >= held) & lasts
    left = np.where(stops, 0.0, np.where(starts, law.lag, lag.left))
    return Lag(previous=np.where(lasts, ratio, lag.previous), held=held, left=left)


def leaving(lag: Lag, duration: NDArray[np.float64]) -> Lag:
    """State at the end of a segment.

    Parameters
    ----------
    lag : Lag
        State at its start.
    duration : ndarray, shape (..., 1)
        Length of the segment. [s]

    Returns
    -------
    Lag
        The clock has run on.
    """
    return Lag(lag.previous, lag.held, np.maximum(0.0, lag.left - duration))


def at_wrap(durations: NDArray[np.float64], ratio: NDArray[np.float64], law: AllowanceLaw) -> Lag:
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
    One pass is enough: whatever the state it starts from, the clock stops at the day's
    largest load ratio, and from there on the pass is that of every later day.
    """
    lag = settled(_outermost(durations, ratio, range(ratio.shape[-2])))
    for number in range(ratio.shape[-2]):
        duration = durations[..., number, np.newaxis]
        lag = leaving(entering(lag, ratio[..., number, :], duration > 0.0, law), duration)
    return lag


def at_rest(durations: NDArray[np.float64], ratio: NDArray[np.float64]) -> Lag:
    """State at the start of a row of segments that nothing is known to precede.

    Parameters
    ----------
    durations : ndarray, shape (..., n)
        Length of each segment; 0 for padding. [s]
    ratio : ndarray, shape (..., n, s)
        Load ratios of the row. [-]

    Returns
    -------
    Lag
        As after a long stay under the load of the first segment that lasts.
    """
    return settled(_outermost(durations, ratio, reversed(range(ratio.shape[-2]))))


def _outermost(
    durations: NDArray[np.float64], ratio: NDArray[np.float64], order: Iterable[int]
) -> NDArray[np.float64]:
    """Load ratio of the last segment, in the order given, that lasts."""
    found = ratio[..., 0, :]
    for number in order:
        lasts = durations[..., number, np.newaxis] > 0.0
        found = np.where(lasts, ratio[..., number, :], found)
    return found
