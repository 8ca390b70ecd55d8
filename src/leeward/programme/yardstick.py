"""What every programme of one person is measured by: the regime compared, over the draws."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.terms.errors import InvalidInput
from leeward.terms.limits import Limit
from leeward.terms.regime import Policy, Regime
from leeward.terms.site import Site
from leeward.tissue.allowance import steady_peak
from leeward.tissue.guards import stay_limit
from leeward.tissue.index import ComparisonKind, ReferencePeaks
from leeward.tissue.law import STANDARD_LAW
from leeward.tissue.law_ends import LAW_ENDS
from leeward.tissue.load_ratios import LoadRatios
from leeward.tissue.regime_day import regime_series
from leeward.tissue.runs import longest_seen_loaded
from leeward.tissue.sensitivity import law_draws

#: Conventions under which the order of choices is looked at once more. Convention of this project.
OTHER_LAWS: Final = law_draws(12)

_WITH_INDEX = (ComparisonKind.COMPARED, ComparisonKind.ASSUMED)


@dataclass(frozen=True, slots=True, eq=False)
class Yardstick:
    """What is known of a person's skin under the regime compared, on the draws shared by all.

    Parameters
    ----------
    name : str
        The regime and its standing, in words.
    peaks : ReferencePeaks
        Peak allowance under it, and what failed regimes leave.
    longest_loaded : ndarray, shape (d, s)
        Longest time it is known to have loaded each site without a break. [s]
    stay_limit : Limit
        Longest stay that may be planned. [s]
    under_other_laws : ndarray, shape (l, s)
        Central peak allowance under other conventions, `OTHER_LAWS`, over that under the
        standard one. [-]
    at_law_ends : ndarray, shape (e, s)
        The same for each of `LAW_ENDS`. [-]
    """

    name: str
    peaks: ReferencePeaks
    longest_loaded: NDArray[np.float64]
    stay_limit: Limit
    under_other_laws: NDArray[np.float64]
    at_law_ends: NDArray[np.float64]

    def __post_init__(self) -> None:
        if self.longest_loaded.shape != self.peaks.peak.shape:
            raise InvalidInput(
                f"longest loads of shape {self.longest_loaded.shape}",
                where="yardstick",
                expected=f"one per draw and site, {self.peaks.peak.shape}",
                remedy="compute them in the same draws and for the same sites",
            )

    @property
    def sites(self) -> tuple[Site, ...]:
        """The sites, in order of the last axis."""
        return self.peaks.sites

    @property
    def untried(self) -> tuple[Site, ...]:
        """Sites the regime hardly loaded, or nobody looked at: they have no index."""
        kinds = zip(self.sites, self.peaks.kinds, strict=True)
        return tuple(site for site, kind in kinds if kind is ComparisonKind.UNTRIED)

    def allowed(self) -> NDArray[np.float64]:
        """Largest allowance a programme may reach at each site.

        Returns
        -------
        ndarray, shape (d, s)
            Tolerance times the regime's peak where the site is compared, and never above what
            failed regimes leave; infinite where neither says anything, NaN where a regime
            failed at a load nobody knows. [-]
        """
        is_compared = np.array([kind in _WITH_INDEX for kind in self.peaks.kinds])
        own = np.where(is_compared, self.peaks.tolerance * self.peaks.peak, np.inf)
        return np.asarray(np.minimum(own, self.peaks.ceiling))


def yardstick(
    name: str,
    peaks: ReferencePeaks,
    regime: Regime,
    regime_ratios: LoadRatios,
    policy: Policy | None,
) -> Yardstick:
    """Collect what the search needs of the regime compared.

    Parameters
    ----------
    name : str
        The regime and its standing, in words.
    peaks : ReferencePeaks
        Peak allowance under it.
    regime : Regime
        The regime.
    regime_ratios : LoadRatios
        Load ratios of its postures in the shared draws.
    policy : Policy or None
        Local policy in force.

    Returns
    -------
    Yardstick
        With the longest unbroken load of each site and the longest stay allowed. Under other
        conventions its turns are counted as reached at once.
    """
    series = regime_series(regime)
    rows = [regime_ratios.position(posture) for posture in series.postures]
    lain = regime_ratios.ratio[0, rows]
    laws = (STANDARD_LAW, *OTHER_LAWS, *(end.law for end in LAW_ENDS))
    peak = np.stack([steady_peak(series.durations, lain, law) for law in laws])
    own = np.where(peak[0] > 0.0, peak[0], 1.0)
    changed = np.where(peak[0] > 0.0, peak[1:] / own, 1.0)
    return Yardstick(
        name=name,
        peaks=peaks,
        longest_loaded=longest_seen_loaded(series.durations, regime_ratios.ratio[:, rows]),
        stay_limit=stay_limit(regime, policy),
        under_other_laws=changed[: len(OTHER_LAWS)],
        at_law_ends=changed[len(OTHER_LAWS) :],
    )
