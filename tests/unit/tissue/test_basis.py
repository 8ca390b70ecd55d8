"""What programmes are compared with: peaks of the regime's own repeating day."""

from dataclasses import replace

import numpy as np
import pytest

from leeward.terms.errors import InvalidInput
from leeward.terms.regime import RegimeStanding
from leeward.terms.site import Site
from leeward.tissue.allowance import steady_peak
from leeward.tissue.basis import basis, regime_peak, standing_in_words
from leeward.tissue.demand import RegimeDemand
from leeward.tissue.load_ratios import LoadRatios
from leeward.tissue.standing import ComparedRegime, FailedRegime, StandingDecision
from tests.unit.tissue.lain import COMPARED, ON_THE_BACK, by_hand, found

CLEAR = ComparedRegime(COMPARED, RegimeStanding.CLEAR, frozenset(Site), frozenset())
STANDING = StandingDecision(CLEAR, (FailedRegime(ON_THE_BACK, frozenset({Site.SACRUM})),), (), ())


def invented(regime, *ratios: float) -> RegimeDemand:
    """A regime with one draw and one site, a ratio for each posture."""
    postures = tuple(dict.fromkeys(stay.posture for stay in regime.cycle))
    table = np.array(ratios, dtype=float).reshape(1, -1, 1)
    stable = np.ones(table.shape[:2], dtype=bool)
    return RegimeDemand(regime, LoadRatios(postures, (Site.SACRUM,), table, stable))


def test_the_peak_is_that_of_the_cycle_repeated_for_ever():
    regime = by_hand(20.0, 0.0)
    peak = regime_peak(invented(regime, 0.2, 1.1))
    by_itself = steady_peak(np.array([7200.0, 7200.0]), np.array([[[0.2], [1.1]]]))
    assert peak == pytest.approx(by_itself)


def test_a_regime_never_relieved_peaks_higher_than_one_that_is():
    always = regime_peak(invented(by_hand(0.0), 1.0))
    relieved = regime_peak(invented(by_hand(20.0, 0.0), 0.2, 1.0))
    assert always[0, 0] > 1.5 * relieved[0, 0]


def test_an_unknown_load_makes_the_peak_unknown():
    assert np.isnan(regime_peak(invented(by_hand(20.0, 0.0), np.nan, 1.0))).all()


def test_the_basis_holds_the_compared_peaks_and_a_ceiling_where_a_regime_failed():
    peaks = basis(STANDING, found())
    assert peaks.sites == found().ratios.sites
    without = basis(replace(STANDING, failed=()), replace(found(), failed=()))
    assert ceiling(peaks, Site.SACRUM) < ceiling(without, Site.SACRUM)
    assert ceiling(peaks, Site.SPINE) == ceiling(without, Site.SPINE)


def ceiling(peaks, site: Site) -> float:
    return float(peaks.ceiling[0, peaks.sites.index(site)])


def test_without_a_regime_there_is_no_basis():
    with pytest.raises(InvalidInput, match="no regime to compare with"):
        basis(StandingDecision(None, (), (), ()), found())


def test_an_assumed_regime_says_on_whose_word_and_that_nobody_saw_skin_clear():
    assumed = replace(COMPARED, assumed_by="A. Nurse")
    words = standing_in_words(replace(CLEAR, regime=assumed, standing=RegimeStanding.ASSUMED))
    assert words == "invented (assumed by A. Nurse; never seen clear)"
    assert standing_in_words(CLEAR) == "invented (skin seen clear under it)"
