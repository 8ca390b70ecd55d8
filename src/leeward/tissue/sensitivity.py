"""How far the conventions of the allowance decide: the ranking of days, and pass or fail."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import ArrayLike, NDArray

from leeward.terms.errors import InvalidInput
from leeward.terms.sourced import Sourced
from leeward.tissue import constants
from leeward.tissue.allowance import steady_peak
from leeward.tissue.law import STANDARD_LAW, AllowanceLaw

#: Worst indices closer than this are a tie: the noise allowed in the load ratio. [-]
_TIE = 0.005


@dataclass(frozen=True, slots=True, eq=False)
class RepeatingDay:
    """A day to be ranked, in central values.

    Parameters
    ----------
    durations : ndarray, shape (n,)
        Length of each segment. [s]
    ratio : ndarray, shape (n, s)
        Load ratio of each segment at each site. [-]
    """

    durations: NDArray[np.float64]
    ratio: NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class RankingSensitivity:
    """Worst indices of days under every corner of the conventions.

    Parameters
    ----------
    laws : tuple of AllowanceLaw, length l
        The standard law first, then the corners.
    worst_index : ndarray, shape (l, c)
        Largest index of each day over the sites compared. [-]
    same_order : ndarray, shape (l,)
        Share of pairs of days, told apart by the standard law, in the same order. [-]
    same_side : ndarray, shape (l,)
        Share of days on the same side of an index of 1 as by the standard law. [-]
    """

    laws: tuple[AllowanceLaw, ...]
    worst_index: NDArray[np.float64]
    same_order: NDArray[np.float64]
    same_side: NDArray[np.float64]


def law_corners() -> tuple[AllowanceLaw, ...]:
    """List the standard law and every combination of the ends of its stated ranges.

    Returns
    -------
    tuple of AllowanceLaw
        The standard law, then those with the least, standard or greatest time constant,
        recovery under load, and lag.
    """
    corners = product(
        _range(constants.TIME_CONSTANT),
        _range(constants.LOADED_RECOVERY),
        _range(constants.LAG),
    )
    laws = (AllowanceLaw(time_constant=t, loaded_recovery=rho, lag=lag) for t, rho, lag in corners)
    return (STANDARD_LAW, *(law for law in laws if law != STANDARD_LAW))


def law_draws(count: int) -> tuple[AllowanceLaw, ...]:
    """Draw laws evenly over the stated ranges of their four numbers, without chance.

    Parameters
    ----------
    count : int
        How many. [-]

    Returns
    -------
    tuple of AllowanceLaw
        Points of a Halton sequence, even in the logarithm of every number.

    References
    ----------
    .. [1] Halton 1960, Numer Math 2:84, from memory.
    """
    return tuple(
        AllowanceLaw(
            time_constant=_between(constants.TIME_CONSTANT, _halton(number, 2)),
            loaded_recovery=_between(constants.LOADED_RECOVERY, _halton(number, 3)),
            relief_recovery=_between(constants.RELIEF_RECOVERY, _halton(number, 5)),
            lag=_between(constants.LAG, _halton(number, 7)),
        )
        for number in range(1, count + 1)
    )


def _halton(number: int, base: int) -> float:
    """Digits of a number behind the point, the last first."""
    found, share = 0.0, 1.0
    while number:
        share /= base
        number, digit = divmod(number, base)
        found += digit * share
    return found


def _between(constant: Sourced, share: float) -> float:
    low = constant.value if constant.low is None else constant.low
    high = constant.value if constant.high is None else constant.high
    return float(low * (high / low) ** share)


def _range(constant: Sourced) -> tuple[float, ...]:
    ends = (constant.low, constant.value, constant.high)
    return tuple(end for end in ends if end is not None)


def ranking_sensitivity(
    days: Sequence[RepeatingDay], regime: RepeatingDay, is_compared: ArrayLike
) -> RankingSensitivity:
    """Rank days under every corner of the conventions.

    Parameters
    ----------
    days : sequence of RepeatingDay, length c
        Days to rank; at least two.
    regime : RepeatingDay
        Day of the regime compared.
    is_compared : array_like of bool, shape (s,)
        Sites with an index; at least one.

    Returns
    -------
    RankingSensitivity
        Shares are 1 where nothing was told apart that could change places; NaN where a load
        is unknown.

    Raises
    ------
    InvalidInput
        If there are fewer than two days, or no site is compared.
    """
    sites = np.asarray(is_compared, dtype=bool)
    if len(days) < 2 or not bool(sites.any()):
        raise InvalidInput(
            f"{len(days)} days and {int(sites.sum())} sites compared",
            where="ranking under other conventions",
            expected="at least two days and one site",
            remedy="give more candidates, or compare the regime's loaded sites",
        )
    laws = law_corners()
    worst = np.array([[_worst_index(day, regime, sites, law) for day in days] for law in laws])
    order = np.sign(_apart(worst))
    told = order[0] != 0.0
    agree = [float(np.mean(signs[told] * order[0][told] >= 0.0)) for signs in order]
    unknown = np.isnan(worst).any(axis=1)
    return RankingSensitivity(
        laws=laws,
        worst_index=worst,
        same_order=np.where(unknown, np.nan, agree if bool(told.any()) else 1.0),
        same_side=np.where(unknown, np.nan, np.mean((worst <= 1.0) == (worst[0] <= 1.0), axis=1)),
    )


def _worst_index(
    day: RepeatingDay, regime: RepeatingDay, sites: NDArray[np.bool_], law: AllowanceLaw
) -> float:
    below = steady_peak(regime.durations, regime.ratio[:, sites], law)
    above = steady_peak(day.durations, day.ratio[:, sites], law)
    return float(np.max(above / below))


def _apart(worst: NDArray[np.float64]) -> NDArray[np.float64]:
    """Differences of every pair of days under every law; 0 where they are a tie."""
    first, second = np.triu_indices(worst.shape[1], k=1)
    gap = worst[:, first] - worst[:, second]
    return np.where(np.abs(gap) <= _TIE, 0.0, gap)
