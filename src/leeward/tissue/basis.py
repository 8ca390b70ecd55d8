"""What programmes are compared with: peak allowances of the regimes, in the shared draws."""

import numpy as np
from numpy.typing import NDArray

from leeward.terms.errors import InvalidInput
from leeward.terms.regime import RegimeStanding
from leeward.tissue.allowance import steady_peak
from leeward.tissue.demand import Demand, RegimeDemand
from leeward.tissue.index import FailedPeaks, ReferencePeaks, reference_peaks
from leeward.tissue.movement import ratios_between, with_movements
from leeward.tissue.regime_day import regime_series
from leeward.tissue.standing import ComparedRegime, StandingDecision


def regime_peak(load: RegimeDemand) -> NDArray[np.float64]:
    """Peak allowance under a regime that repeats for ever.

    Parameters
    ----------
    load : RegimeDemand
        The regime and its load ratios.

    Returns
    -------
    ndarray, shape (d, s)
        Peak allowance in each draw, movements of a surface counted; NaN where a load is
        unknown. [-]
    """
    series = regime_series(load.regime)
    if load.rate > 0.0:
        series = with_movements(series, load.rate)
    return steady_peak(series.durations, ratios_between(load.ratios, series.postures))


def basis(standing: StandingDecision, found: Demand) -> ReferencePeaks:
    """Collect what every programme of one person is compared with.

    Parameters
    ----------
    standing : StandingDecision
        Which regimes count, and at which sites.
    found : Demand
        Their load ratios, in the order of `standing`.

    Returns
    -------
    ReferencePeaks
        Peak allowances and ceilings.

    Raises
    ------
    InvalidInput
        If no regime is compared.
    """
    if standing.compared is None:
        raise InvalidInput(
            "no regime to compare with",
            where="basis of comparison",
            expected="a regime seen clear, or one somebody assumed",
            remedy="ask the questions of the standing decision",
        )
    failed = tuple(
        FailedPeaks(one.sites, regime_peak(load))
        for one, load in zip(standing.failed, found.failed, strict=True)
    )
    return reference_peaks(
        found.ratios.sites, regime_peak(found.compared), standing.compared, failed
    )


def standing_in_words(compared: ComparedRegime) -> str:
    """Say what programmes are compared with, and on whose word.

    Parameters
    ----------
    compared : ComparedRegime
        The regime compared.

    Returns
    -------
    str
        Its name and standing, for every page.
    """
    regime = compared.regime
    if compared.standing is RegimeStanding.ASSUMED:
        return f"{regime.name} (assumed by {regime.assumed_by}; never seen clear)"
    return f"{regime.name} (skin seen clear under it)"
