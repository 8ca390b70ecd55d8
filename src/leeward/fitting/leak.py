"""How fast a held angle drops, and the smallest leak that a test could have seen."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from leeward.terms.errors import InvalidInput
from leeward.terms.sourced import Sourced
from leeward.terms.units import SECONDS_PER_HOUR, deg_from_radians, radians_from_deg

#: A surface that drops faster than this does not keep its turn for a night.
FAST_DROP: Final = Sourced(
    radians_from_deg(2.0) / SECONDS_PER_HOUR,
    "rad/s",
    "convention of this project: 2 degrees an hour",
    "not applicable",
)

#: 19 of 20 and, for what a test sees, 19 of 20 on either side. Normal quantiles. [-]
_TWO_SIDED: Final = 1.959963984540054
_ONE_SIDED: Final = 1.6448536269514722


@dataclass(frozen=True, slots=True)
class Drop:
    """How fast an angle dropped.

    Parameters
    ----------
    rate : float
        Loss of turn. [rad/s]
    low, high : float
        Its band, in which it lies in 19 of 20 tests. [rad/s]
    smallest_seen : float
        A leak this fast would have been seen in 19 of 20 tests. [rad/s]
    """

    rate: float
    low: float
    high: float
    smallest_seen: float


def drop_rate(times: tuple[float, ...], turns: tuple[float, ...], error: float) -> Drop:
    r"""Fit a straight line through angles read while the surface was to keep its turn.

    Parameters
    ----------
    times : tuple of float, length n
        When, at least two different ones. [s]
    turns : tuple of float, length n
        Size of the turn then. [rad]
    error : float
        How far a reading may be off, either way, in 19 of 20. [rad]

    Returns
    -------
    Drop
        The rate with its band.

    Raises
    ------
    InvalidInput
        If fewer than two times differ, or the error is not positive.

    Notes
    -----
    Least squares with known error of each reading,
    :math:`\sigma_b = \sigma / \sqrt{\sum (t_i - \bar t)^2}`; a band of 1.96 of them, and a
    leak is seen in 19 of 20 tests from 1.96 + 1.645 of them on. Valid for a drop that is
    even over the test.
    """
    at, read = np.asarray(times, dtype=float), np.asarray(turns, dtype=float)
    spread = float(np.sum((at - at.mean()) ** 2)) if at.size else 0.0
    if at.size < 2 or spread <= 0.0 or not error > 0.0:
        raise InvalidInput(
            f"{at.size} readings with an error of {error} rad",
            where="drop of a turn",
            expected="two readings at different times, and a positive error",
            remedy="read the angle again later, and state the instrument's error",
        )
    rate = -float(np.sum((at - at.mean()) * (read - read.mean()))) / spread
    deviation = error / _TWO_SIDED / float(np.sqrt(spread))
    half = _TWO_SIDED * deviation
    return Drop(rate, rate - half, rate + half, (_TWO_SIDED + _ONE_SIDED) * deviation)


def deg_per_hour(rate: float) -> float:
    """Say a rate in degrees an hour.

    Parameters
    ----------
    rate : float
        Rate. [rad/s]

    Returns
    -------
    float
        The same. [deg/h]
    """
    return deg_from_radians(rate) * SECONDS_PER_HOUR
