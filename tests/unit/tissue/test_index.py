"""What can be said of each site beside the regime compared."""

from dataclasses import replace

import numpy as np
import pytest

from leeward.terms.bed import Mattress
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Posture
from leeward.terms.regime import Regime, RegimeStanding, Stay, TurnMeans
from leeward.terms.site import Site
from leeward.tissue.index import (
    ComparisonKind,
    FailedPeaks,
    ReferencePeaks,
    SiteComparison,
    compare,
    reference_peaks,
)
from leeward.tissue.standing import ComparedRegime

SITES = (Site.SACRUM, Site.LEFT_TROCHANTER, Site.LEFT_HEEL, Site.SPINE)

LAIN = Regime(
    "by hand",
    RegimeStanding.CLEAR,
    TurnMeans.BY_HAND,
    (Stay(Posture(turn=0.5), 7200.0), Stay(Posture(turn=-0.5), 7200.0)),
    Mattress(),
)
CLEAR = ComparedRegime(LAIN, RegimeStanding.CLEAR, frozenset(Site), frozenset())


def reference(peak: list[list[float]], failed: float | None = None) -> ReferencePeaks:
    limits = (
        ()
        if failed is None
        else (FailedPeaks(frozenset({Site.SACRUM}), np.full((len(peak), 4), failed)),)
    )
    return reference_peaks(SITES, peak, CLEAR, limits)


def sites(found: tuple[SiteComparison, ...]) -> dict[Site, SiteComparison]:
    return {one.site: one for one in found}


def test_the_regime_itself_has_index_one():
    found = compare(reference([[2.0, 1.0, 3.0, 1.5]]), [[2.0, 1.0, 3.0, 1.5]])
    assert sites(found)[Site.SACRUM].index == 1.0
    assert sites(found)[Site.SACRUM].kind is ComparisonKind.COMPARED


@pytest.mark.parametrize(
    ("peak", "kind"), [(0.8, ComparisonKind.COMPARED), (0.7999, ComparisonKind.UNTRIED)]
)
def test_a_site_the_regime_hardly_used_is_untried(peak: float, kind: ComparisonKind):
    found = sites(compare(reference([[2.0, peak, 3.0, 1.5]]), [[1.0, 0.1, 1.0, 1.0]]))
    assert found[Site.LEFT_TROCHANTER].kind is kind
    assert (found[Site.LEFT_TROCHANTER].index is None) == (kind is ComparisonKind.UNTRIED)


def test_a_site_nobody_looked_at_is_untried():
    compared = replace(CLEAR, seen_sites=frozenset({Site.SPINE}))
    made = reference_peaks(SITES, [[2.0] * 4], compared)
    assert sites(compare(made, [[1.0] * 4]))[Site.SACRUM].kind is ComparisonKind.UNTRIED


def test_a_site_that_is_not_clear_cannot_be_told_of():
    compared = replace(CLEAR, not_clear_sites=frozenset({Site.SACRUM}))
    made = reference_peaks(SITES, [[2.0] * 4], compared)
    assert sites(compare(made, [[1.0] * 4]))[Site.SACRUM].kind is ComparisonKind.CANNOT_TELL


def test_heels_show_their_allowance_and_no_index():
    heel = sites(compare(reference([[2.0, 1.0, 3.0, 1.5]]), [[1.0, 1.0, 2.5, 1.0]]))[Site.LEFT_HEEL]
    assert (heel.kind, heel.index, heel.peak_allowance) == (ComparisonKind.NEEDS_HANDS, None, 2.5)


def test_an_assumed_policy_is_said_to_be_assumed():
    made = reference_peaks(SITES, [[2.0] * 4], replace(CLEAR, standing=RegimeStanding.ASSUMED))
    assert made.kinds[0] is ComparisonKind.ASSUMED


@pytest.mark.parametrize(
    ("regime", "day"), [([np.nan, 1.0, 1.0, 1.0], [1.0] * 4), ([1.0] * 4, [np.nan, 1.0, 1.0, 1.0])]
)
def test_an_unknown_load_on_either_side_cannot_tell(regime: list[float], day: list[float]):
    sacrum = sites(compare(reference([regime]), [day]))[Site.SACRUM]
    assert sacrum.kind is ComparisonKind.CANNOT_TELL
    assert (sacrum.index, sacrum.index_low, sacrum.index_high) == (None, None, None)


def test_the_band_runs_over_the_draws():
    peaks = [[2.0] * 4, [1.0] * 4, [4.0] * 4]
    sacrum = sites(compare(reference(peaks), [[1.0] * 4] * 3))[Site.SACRUM]
    assert (sacrum.index, sacrum.index_low, sacrum.index_high) == (0.5, 0.25, 1.0)


def test_one_unknown_draw_leaves_the_band_open_above():
    sacrum = sites(compare(reference([[2.0] * 4] * 2), [[1.0] * 4, [np.nan] * 4]))[Site.SACRUM]
    assert (sacrum.index, sacrum.index_low, sacrum.index_high) == (0.5, 0.5, None)


@pytest.mark.parametrize(("peak", "exceeds"), [(1.6, False), (1.6001, True), (np.nan, True)])
def test_four_fifths_of_a_failed_regime_is_the_ceiling(peak: float, exceeds: bool):
    made = reference([[3.0] * 4], failed=2.0)
    found = sites(compare(made, [[peak, 9.0, 9.0, 9.0]]))
    assert found[Site.SACRUM].exceeds_failed is exceeds
    assert found[Site.SACRUM].failed_ceiling == pytest.approx(1.6)
    assert not found[Site.SPINE].exceeds_failed


def test_a_failed_regime_of_unknown_load_leaves_no_room():
    assert compare(reference([[3.0] * 4], failed=np.nan), [[0.1] * 4])[0].exceeds_failed


def test_a_lower_tolerance_raises_the_index():
    made = reference_peaks(SITES, [[2.0] * 4], CLEAR, tolerance=0.5)
    assert compare(made, [[1.0] * 4])[0].index == 1.0


def test_many_days_are_compared_at_once():
    made = reference([[2.0, 0.1, 1.0, 1.0]] * 3)
    index = made.index(np.ones((7, 3, 4)))
    assert index.shape == (7, 3, 4)
    assert np.isnan(index[..., 1]).all()


def test_regimes_over_other_draws_are_refused():
    failed = (FailedPeaks(frozenset({Site.SACRUM}), np.ones((2, 4))),)
    with pytest.raises(InvalidInput):
        reference_peaks(SITES, [[1.0] * 4], CLEAR, failed)


@pytest.mark.parametrize("tolerance", [0.0, [1.0, 1.0, 0.0, 1.0], [1.0, 1.0, np.nan, 1.0]])
def test_a_tolerance_of_nothing_is_refused(tolerance: float | list[float]):
    with pytest.raises(InvalidInput):
        reference_peaks(SITES, [[1.0] * 4], CLEAR, tolerance=tolerance)


@pytest.mark.parametrize("peak", [[2.0] * 4, [[2.0] * 3]])
def test_peaks_of_another_shape_are_refused(peak: list[object]):
    with pytest.raises(InvalidInput):
        reference_peaks(SITES, peak, CLEAR)


def test_a_draw_in_which_the_regime_uses_nothing_gives_no_number():
    found = compare(reference([[2.0] * 4, [0.0] * 4]), [[1.0] * 4] * 2)
    assert (found[0].index, found[0].index_high) == (0.5, None)
