"""Readings over all draws, some solved and the rest estimated, and the band they span."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.draws import Draw, positions
from leeward.contact.response import FIRST_SOLVED, LARGEST_ERROR, fit_response
from leeward.terms.sourced import Sourced

Array = NDArray[np.float64]

#: Readings of draws solved directly, shape (n, p, s); NaN where unknown or not stable.
Solve = Callable[[Sequence[Draw]], Array]

#: A site bears load where its mean load ratio over the draws is above this.
BEARS: Final = Sourced(0.2, "-", "convention of this project", "not applicable")

#: Share of draws inside a band: nine in ten, one in twenty beyond each end.
BAND_SHARE: Final = Sourced(0.9, "-", "convention of this project", "not applicable")


@dataclass(frozen=True, slots=True, eq=False)
class DrawnReadings:
    """Readings over all draws.

    Parameters
    ----------
    value : ndarray, shape (d, p, s)
        Readings; NaN where unknown, or where a solved draw is not stable. In their own
        unit. [-]
    solved : int
        How many of the draws, the first ones, were solved directly. [-]
    error : float
        What an estimated reading is off by, at 95 % of draws and of sites that bear load;
        0 when all were solved, NaN when nothing could be estimated. In the readings' unit. [-]
    """

    value: Array
    solved: int
    error: float

    def band(self) -> tuple[Array, Array]:
        """Ends between which nine readings in ten lie.

        Returns
        -------
        low, high : ndarray, shape (p, s)
            Quantiles of 5 and 95 % over the draws, moved apart by the error of estimating;
            NaN where a single draw is unknown. [-]
        """
        beyond = 0.5 * (1.0 - BAND_SHARE.value)
        # a quantile of anything with a NaN in it is NaN: one unknown draw leaves no band
        low, high = np.quantile(self.value, (beyond, 1.0 - beyond), axis=0)
        return np.maximum(low - self.error, 0.0), high + self.error


def bearing(value: Array) -> NDArray[np.bool_]:
    """Which readings are of sites that bear load.

    Parameters
    ----------
    value : ndarray, shape (d, p, s)
        Load ratios over draws. [-]

    Returns
    -------
    ndarray of bool, shape (p, s)
        Mean over the draws known and above `BEARS`. [-]
    """
    return np.asarray(value.mean(axis=0) > BEARS.value)


def drawn_readings(drawn: Sequence[Draw], solve: Solve) -> DrawnReadings:
    """Readings over all draws from a few solved ones, or from all where few do not tell.

    Parameters
    ----------
    drawn : sequence of Draw, length d
        Draws. [-]
    solve : callable
        Gives load ratios (n, p, s) of draws solved directly. [-]

    Returns
    -------
    DrawnReadings
        The first `FIRST_SOLVED` solved and the rest estimated if the draws left out say
        that this is off by at most `LARGEST_ERROR`; else every draw solved.

    Notes
    -----
    A posture that is not stable in one of the solved draws has no readings at all: it is
    no place to lie, and a change of state is not estimated. Where that leaves no reading at
    any posture no more draws are solved, since none could give a band.
    """
    first = int(FIRST_SOLVED.value)
    value = solve(drawn[:first])
    if len(drawn) <= first:
        return DrawnReadings(value, len(drawn), 0.0)
    place = positions(tuple(drawn))
    response = fit_response(place[:first], value)
    if not np.isfinite(value).all(axis=0).any():
        nothing = np.full((len(drawn) - first, *value.shape[1:]), np.nan)
        return DrawnReadings(np.concatenate([value, nothing]), first, np.nan)
    error = response.error(bearing(value))
    if not error <= LARGEST_ERROR.value:
        rest = solve(drawn[first:])
        return DrawnReadings(np.concatenate([value, rest]), len(drawn), 0.0)
    estimated = response.predict(place[first:])
    return DrawnReadings(np.concatenate([value, estimated]), first, error)
