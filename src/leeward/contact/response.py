"""What draws that were not solved would bear, from those that were, and how far off that is.

Every site answers mainly to a few of the unknowns, and smoothly while nothing changes state:
so each is described apart, by a Gaussian process over the draws' places. How far off it is
comes from leaving each solved draw out in turn.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.terms.errors import InvalidInput
from leeward.terms.sourced import Sourced

Array = NDArray[np.float64]

_CHOICE: Final = "convention of this project: chosen on four bodies, docs/decisions/0015"

#: Draws solved directly before any is estimated.
FIRST_SOLVED: Final = Sourced(64.0, "-", _CHOICE, "not applicable")
#: Error of an estimated load ratio, 95 % of sites and draws, above which all are solved.
LARGEST_ERROR: Final = Sourced(0.03, "-", _CHOICE, "not applicable")

#: Patterns over the postures kept for each site.
_PATTERNS: Final = 4
#: Least say of an unknown beside the most telling one, and how fast its say falls off.
_LEAST_SAY: Final = 0.05
_SAY_POWER: Final = 0.7
#: Amplitudes and lengths of the curved part that are tried, and shares of noise.
_CURVED: Final = (0.3, 3.0, 30.0)
_REACHES: Final = (1.5, 3.0)
_NOISES: Final = (1e-4, 1e-3, 1e-2, 1e-1)
_CONSTANT: Final = 1e2
_STEP: Final = 0.3
#: Patterns smaller than this part of the first are rounding.
_ROUNDING: Final = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class _Covariance:
    """How alike the answers of two draws are: a constant, a plane and a curved part."""

    say: Array
    curved: float
    reach: float

    def between(self, first: Array, second: Array) -> Array:
        one, other = first * self.say, second * self.say
        apart = np.sum(one**2, axis=1)[:, None] + np.sum(other**2, axis=1)
        product = one @ other.T
        near = np.exp(np.minimum(2.0 * product - apart, 0.0) / (2.0 * self.reach**2))
        return np.asarray(_CONSTANT + product + self.curved * near)


@dataclass(frozen=True, slots=True, eq=False)
class _Pattern:
    """One pattern over the postures of one site, and how its size follows the draws."""

    covariance: _Covariance
    weight: Array
    left_out: Array


def _first_say(place: Array, size: Array) -> Array:
    """Say of each unknown, from a plane and a parabola each laid through the draws."""
    count = place.shape[1]
    terms = np.column_stack([np.ones(len(place)), place, place**2 - 1.0])
    ridge = 2.0 * np.eye(terms.shape[1])
    found = np.linalg.solve(terms.T @ terms + ridge, terms.T @ size)
    slope, bend = found[1 : count + 1], found[count + 1 :]
    return np.asarray(np.sqrt(slope**2 + 2.0 * bend**2), dtype=float)


def _slopes(place: Array, fitted: _Pattern) -> Array:
    """Root mean square slope of a fitted pattern in each unknown."""
    slopes = []
    for step in _STEP * np.eye(place.shape[1]):
        ahead = fitted.covariance.between(place + step, place) @ fitted.weight
        behind = fitted.covariance.between(place - step, place) @ fitted.weight
        slopes.append(np.sqrt(np.mean((ahead - behind) ** 2)))
    return np.array(slopes)


def _best(place: Array, size: Array, slope: Array) -> _Pattern:
    """The covariance that predicts left-out draws best."""
    say = np.maximum((slope / max(float(slope.max()), 1e-12)) ** _SAY_POWER, _LEAST_SAY)
    found: list[tuple[float, _Pattern]] = []
    for curved in _CURVED:
        for reach in _REACHES:
            covariance = _Covariance(say, curved, reach)
            level, vector = np.linalg.eigh(covariance.between(place, place))
            turned = vector.T @ size
            for noise in _NOISES:
                damped = np.maximum(level, 0.0) + noise
                weight = vector @ (turned / damped)
                left_out = weight / np.sum(vector**2 / damped, axis=1)
                pattern = _Pattern(covariance, weight, left_out)
                found.append((float(np.mean(left_out**2)), pattern))
    return min(found, key=lambda one: one[0])[1]


def _fit(place: Array, size: Array) -> _Pattern:
    """Fit one pattern twice: the first fit tells which unknowns have a say."""
    first = _best(place, size, _first_say(place, size))
    return _best(place, size, _slopes(place, first))


@dataclass(frozen=True, slots=True, eq=False)
class _SiteResponse:
    """How one site answers at every posture."""

    mean: Array
    shape: Array
    patterns: tuple[_Pattern, ...]

    def predict(self, place: Array, at: Array) -> Array:
        size = [one.covariance.between(at, place) @ one.weight for one in self.patterns]
        return np.asarray(
            self.mean + np.reshape(size, (len(self.patterns), len(at))).T @ self.shape
        )


def _site_response(place: Array, value: Array) -> tuple[_SiteResponse, Array]:
    """Response (d, p) of one site, and what it is off by with each draw left out."""
    mean = value.mean(axis=0)
    across, strength, along = np.linalg.svd(value - mean, full_matrices=False)
    kept = int(np.sum(strength[:_PATTERNS] > _ROUNDING * max(float(strength[0]), 1.0)))
    scale = strength[:kept] / np.sqrt(len(value))
    shape = scale[:, None] * along[:kept]
    size = across[:, :kept] * np.sqrt(len(value))
    patterns = tuple(_fit(place, column) for column in size.T)
    dropped = value - mean - size @ shape
    left_out = np.reshape([one.left_out for one in patterns], (kept, len(value))).T @ shape
    return _SiteResponse(mean, shape, patterns), left_out + dropped


@dataclass(frozen=True, slots=True, eq=False)
class Response:
    """How readings answer to what is drawn.

    Parameters
    ----------
    place : ndarray, shape (n, k)
        Places of the draws that were solved, from `positions`. [-]
    left_out : ndarray, shape (n, p, s)
        What each reading would be off by, had its draw not been solved; NaN where some
        draw has none. In the readings' unit. [-]
    sites : dict
        By position on the readings' last axis, how each site answers.
    """

    place: Array
    left_out: Array
    sites: dict[int, _SiteResponse]

    def predict(self, at: Array) -> Array:
        """Estimate readings of draws that were not solved.

        Parameters
        ----------
        at : ndarray, shape (m, k)
            Their places among all draws. [-]

        Returns
        -------
        ndarray, shape (m, p, s)
            Readings, at least 0; NaN wherever a single solved draw had none. [-]
        """
        estimate = np.full((len(at), *self.left_out.shape[1:]), np.nan)
        for site, response in self.sites.items():
            known = np.isfinite(self.left_out[0, :, site])
            value = response.predict(self.place, at)
            estimate[:, known, site] = np.maximum(value, 0.0)
        return estimate

    def error(self, counted: NDArray[np.bool_] | None = None, share: float = 0.95) -> float:
        """How far off estimates are, from the draws left out.

        Parameters
        ----------
        counted : ndarray of bool, shape (p, s), or None
            Readings that count; None for all that are known. [-]
        share : float
            Share of readings and draws that lie closer. [-]

        Returns
        -------
        float
            Size of the error at that share; infinite if nothing is known. [-]
        """
        size = np.abs(self.left_out if counted is None else self.left_out[:, counted])
        known = size[np.isfinite(size)]
        return float(np.quantile(known, share)) if known.size else float("inf")


def fit_response(place: Array, value: Array) -> Response:
    """Describe how readings answer to what is drawn.

    Parameters
    ----------
    place : ndarray, shape (n, k)
        Places of draws that were solved directly, from `positions` of all draws. [-]
    value : ndarray, shape (n, p, s)
        Their readings, such as load ratios; NaN where one is unknown or not stable. [-]

    Returns
    -------
    Response
        Estimates nothing at a posture and site for which a single solved draw has no
        reading: a change of state is not smooth, and is solved directly.

    Raises
    ------
    InvalidInput
        If the shapes disagree or fewer than eight draws are given.

    Notes
    -----
    Valid between the draws only. For each site the readings at all postures are reduced to
    four patterns; the size of each follows the draws by a Gaussian process whose covariance
    is constant + linear + squared exponential, each unknown weighted by the slope found.
    What is chosen is chosen by the error with one draw left out, in closed form.

    References
    ----------
    .. [1] C. E. Rasmussen and C. K. I. Williams, Gaussian Processes for Machine Learning,
       MIT Press 2006, eq. 2.25 and 5.12 (from memory).
    """
    if value.ndim != 3 or len(value) != len(place) or len(place) < 8:
        raise InvalidInput(
            f"places of shape {place.shape} and readings of shape {value.shape}",
            where="response",
            expected="at least eight draws, the same in both",
            remedy="solve more draws directly",
        )
    left_out = np.full(value.shape, np.nan)
    sites = {}
    for site in range(value.shape[2]):
        known = np.isfinite(value[:, :, site]).all(axis=0)
        if known.any():
            sites[site], error = _site_response(place, value[:, known, site])
            left_out[:, known, site] = error
    return Response(place, left_out, sites)
