"""The index: how a day uses each site, beside what this person's skin was seen to take."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from leeward.terms.errors import InvalidInput
from leeward.terms.regime import RegimeStanding
from leeward.terms.site import MANUALLY_OFFLOADED_SITES, Site
from leeward.tissue import constants
from leeward.tissue.standing import ComparedRegime


class ComparisonKind(StrEnum):
    """What kind of statement can be made of a site."""

    COMPARED = "compared with the regime seen clear"
    ASSUMED = "compared with an assumed policy"
    UNTRIED = "untried: no regime has loaded it"
    NEEDS_HANDS = "no turn relieves it: hands must"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True, slots=True, eq=False)
class ReferencePeaks:
    """What every programme of one person is compared with; made once.

    Parameters
    ----------
    sites : tuple of Site, length s
        The sites, in order of the last axis.
    kinds : tuple of ComparisonKind, length s
        What can be said of each site when its load under a programme is known.
    peak : ndarray, shape (d, s)
        Peak allowance under the regime compared, in each draw. [-]
    ceiling : ndarray, shape (d, s)
        Peak allowance that failed regimes forbid to exceed; infinite where none failed,
        NaN where one failed at an unknown load. [-]
    tolerance : ndarray, shape (s,)
        theta: this person's tolerance as a multiple of `peak`. [-]
    """

    sites: tuple[Site, ...]
    kinds: tuple[ComparisonKind, ...]
    peak: NDArray[np.float64]
    ceiling: NDArray[np.float64]
    tolerance: NDArray[np.float64]

    def index(self, peak: ArrayLike) -> NDArray[np.float64]:
        """Index of many days at once.

        Parameters
        ----------
        peak : array_like, shape (..., d, s)
            Peak allowance of each day in the same draws. [-]

        Returns
        -------
        ndarray, shape (..., d, s)
            Peak allowance over tolerance times that of the regime compared; NaN where it
            is not compared or unknown. [-]
        """
        is_compared = np.array([kind in _WITH_INDEX for kind in self.kinds])
        below = np.where(is_compared & (self.peak > 0.0), self.tolerance * self.peak, np.nan)
        return np.asarray(np.asarray(peak, dtype=float) / below)

    def exceeds_ceiling(self, peak: ArrayLike) -> NDArray[np.bool_]:
        """Whether many days use a site more than a failed regime leaves room for.

        Parameters
        ----------
        peak : array_like, shape (..., d, s)
            Peak allowance of each day in the same draws. [-]

        Returns
        -------
        ndarray of bool, shape (..., d, s)
            True also where a regime failed and either peak is unknown.
        """
        room = np.asarray(peak, dtype=float) <= self.ceiling
        return np.asarray(~room & ~np.isposinf(self.ceiling))


_WITH_INDEX = (ComparisonKind.COMPARED, ComparisonKind.ASSUMED)


@dataclass(frozen=True, slots=True, eq=False)
class FailedPeaks:
    """Peak allowance under a regime the skin was not clear under.

    Parameters
    ----------
    sites : frozenset of Site
        Sites that were not clear.
    peak : ndarray, shape (d, s)
        Peak allowance under it, in each draw, at every listed site. [-]
    """

    sites: frozenset[Site]
    peak: NDArray[np.float64]


def reference_peaks(
    sites: Sequence[Site],
    peak: ArrayLike,
    compared: ComparedRegime,
    failed: Sequence[FailedPeaks] = (),
    tolerance: ArrayLike = 1.0,
) -> ReferencePeaks:
    """Settle what can be said of each site, from the central draw of the regime compared.

    Parameters
    ----------
    sites : sequence of Site, length s
        The sites, in order of the last axis.
    peak : array_like, shape (d, s)
        Peak allowance under the regime compared; draw 0 is central. [-]
    compared : ComparedRegime
        The regime and the sites its evidence speaks for.
    failed : sequence of FailedPeaks, optional
        Every regime the skin was not clear under, the one compared among them where skin is
        not clear at some site.
    tolerance : array_like, shape (s,) or scalar, optional
        theta, above 0. [-]

    Returns
    -------
    ReferencePeaks
        What programmes are compared with.

    Raises
    ------
    InvalidInput
        If the shapes disagree or the tolerance is not positive.
    """
    reference = np.asarray(peak, dtype=float)
    theta = np.broadcast_to(np.asarray(tolerance, dtype=float), (len(sites),))
    shapes = {reference.shape, *(one.peak.shape for one in failed)}
    if reference.ndim != 2 or reference.shape[1] != len(sites) or len(shapes) != 1:
        raise InvalidInput(
            f"peak allowances of shapes {sorted(shapes)} for {len(sites)} sites",
            where="regimes compared",
            expected="one shape (draws, sites) for all",
            remedy="compute every regime over the same draws and sites",
        )
    if not bool(np.all(theta > 0.0)):
        raise InvalidInput(
            f"a tolerance of {theta.min():g}",
            where="regimes compared",
            expected="a tolerance above 0 [-]",
            remedy="use 1 unless skin checks say otherwise",
        )
    ceiling = np.full(reference.shape, np.inf)
    for one in failed:
        is_failed = np.array([site in one.sites for site in sites])
        room = np.where(is_failed, constants.FAILED_SHARE.value * one.peak, np.inf)
        ceiling = np.minimum(ceiling, room)
    kinds = tuple(
        _kind(site, central, compared)
        for site, central in zip(sites, reference[0].tolist(), strict=True)
    )
    return ReferencePeaks(tuple(sites), kinds, reference, ceiling, theta)


def _kind(site: Site, peak: float, compared: ComparedRegime) -> ComparisonKind:
    if site in MANUALLY_OFFLOADED_SITES:
        return ComparisonKind.NEEDS_HANDS
    if np.isnan(peak) or site in compared.not_clear_sites:
        return ComparisonKind.CANNOT_TELL
    if peak < constants.TRIED_FROM.value or site not in compared.seen_sites:
        return ComparisonKind.UNTRIED
    is_assumed = compared.standing is RegimeStanding.ASSUMED
    return ComparisonKind.ASSUMED if is_assumed else ComparisonKind.COMPARED


@dataclass(frozen=True, slots=True)
class SiteComparison:
    """One site under one day.

    Parameters
    ----------
    site : Site
        Where.
    kind : ComparisonKind
        What kind of statement this is.
    peak_allowance : float or None
        Peak allowance, central; None where unknown. [-]
    index, index_low, index_high : float or None
        Index, central and over the draws; None unless compared or assumed. The upper end
        is None also where a single draw is unknown: no bound can be given then. [-]
    failed_ceiling : float or None
        Peak allowance not to be exceeded because a regime failed here; None where none
        did or its load is unknown. [-]
    exceeds_failed : bool
        Whether the central peak goes beyond it, or cannot be told from it.
    """

    site: Site
    kind: ComparisonKind
    peak_allowance: float | None
    index: float | None
    index_low: float | None
    index_high: float | None
    failed_ceiling: float | None
    exceeds_failed: bool


def compare(reference: ReferencePeaks, peak: ArrayLike) -> tuple[SiteComparison, ...]:
    """Compare one day with the regime, site by site.

    Parameters
    ----------
    reference : ReferencePeaks
        What it is compared with.
    peak : array_like, shape (d, s)
        Peak allowance of the day in the same draws; draw 0 is central. [-]

    Returns
    -------
    tuple of SiteComparison
        One for each site, in order.
    """
    day = np.asarray(peak, dtype=float)
    index, exceeds = reference.index(day), reference.exceeds_ceiling(day)
    return tuple(
        _comparison(reference, number, day[:, number], index[:, number], bool(exceeds[0, number]))
        for number in range(len(reference.sites))
    )


def _comparison(
    reference: ReferencePeaks,
    number: int,
    peak: NDArray[np.float64],
    index: NDArray[np.float64],
    exceeds: bool,
) -> SiteComparison:
    ceiling = float(reference.ceiling[0, number])
    kind = reference.kinds[number]
    if np.isnan(peak[0]) and kind is not ComparisonKind.NEEDS_HANDS:
        kind = ComparisonKind.CANNOT_TELL
    has_index = kind in _WITH_INDEX
    known = index[np.isfinite(index)] if has_index else index[:0]
    return SiteComparison(
        site=reference.sites[number],
        kind=kind,
        peak_allowance=_known(float(peak[0])),
        index=float(index[0]) if has_index else None,
        index_low=float(known.min()) if has_index else None,
        index_high=float(known.max()) if known.size == index.size else None,
        failed_ceiling=_known(ceiling),
        exceeds_failed=exceeds,
    )


def _known(value: float) -> float | None:
    return value if np.isfinite(value) else None
