"""What must hold of load ratios, guards and indices whatever the loads."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from leeward.terms.bed import Mattress
from leeward.terms.posture import Posture
from leeward.terms.regime import Regime, RegimeStanding, Stay, TurnMeans
from leeward.terms.site import REFERENCE_SITES, Site
from leeward.tissue.allowance import steady_peak
from leeward.tissue.index import compare, reference_peaks
from leeward.tissue.law import AllowanceLaw
from leeward.tissue.reference_load import load_ratios, reference_load
from leeward.tissue.runs import longest_loaded, longest_relief, longest_seen_loaded
from leeward.tissue.standing import ComparedRegime

SITES = (*REFERENCE_SITES, Site.LEFT_TROCHANTER)
PRESSURES = st.floats(0.0, 2e4)
LAIN = Regime(
    "by hand", RegimeStanding.CLEAR, TurnMeans.BY_HAND, (Stay(Posture(), 7200.0),), Mattress()
)
CLEAR = ComparedRegime(LAIN, RegimeStanding.CLEAR, frozenset(Site), frozenset())


def row(elements: st.SearchStrategy[float], count: int) -> st.SearchStrategy[np.ndarray]:
    return st.lists(elements, min_size=count, max_size=count).map(np.array)


@given(row(PRESSURES, 6), row(st.floats(500.0, 2e4), 6), st.floats(0.1, 10.0))
def test_only_loads_relative_to_level_matter(load, level, factor: float):
    plain = load_ratios(load[np.newaxis, np.newaxis], level[np.newaxis], SITES)
    scaled = load_ratios(factor * load[np.newaxis, np.newaxis], factor * level[np.newaxis], SITES)
    np.testing.assert_allclose(scaled, plain, rtol=1e-12)


@given(PRESSURES, st.floats(500.0, 2e4))
def test_the_reference_is_never_below_the_smaller_of_own_and_common(own: float, common: float):
    found = float(reference_load(own, common))
    assert min(own, common) - 1e-9 <= found <= max(own, common) + 1e-9
    assert found >= 0.25 * common


@given(row(st.floats(0.0, 1.5), 5), row(st.floats(0.0, 7200.0), 5), row(st.floats(0.0, 1.0), 5))
def test_more_relief_never_lengthens_a_load_nor_shortens_a_relief(ratio, durations, shares):
    ratio = ratio[:, np.newaxis]
    relieved = ratio * shares[:, np.newaxis]
    assert longest_loaded(durations, relieved) <= longest_loaded(durations, ratio)
    for repeats in (True, False):
        longer = longest_relief(durations, relieved, repeats=repeats)
        assert longer >= longest_relief(durations, ratio, repeats=repeats)


@given(row(st.floats(0.0, 1.5), 5), row(st.floats(1.0, 7200.0), 5), st.integers(0, 4))
def test_not_knowing_a_load_never_helps(ratio, durations, place: int):
    known = ratio[:, np.newaxis]
    unknown = known.copy()
    unknown[place] = np.nan
    assert longest_loaded(durations, unknown) >= longest_loaded(durations, known)
    assert longest_seen_loaded(durations, unknown) <= longest_seen_loaded(durations, known)
    assert longest_relief(durations, unknown, repeats=True) <= longest_relief(
        durations, known, repeats=True
    )


@given(row(st.floats(0.3, 1.5), 12), row(st.floats(0.0, 1.0), 12))
def test_the_index_falls_or_stays_when_relief_is_added(ratios, shares):
    law = AllowanceLaw()
    durations, ratio = [7200.0, 5400.0], ratios.reshape(2, 6)
    regime = steady_peak(durations, np.ones((1, 2, 6)), law)
    made = reference_peaks(SITES, regime, CLEAR)
    before = compare(made, steady_peak(durations, ratio[np.newaxis], law))
    after = compare(made, steady_peak(durations, (ratio * shares.reshape(2, 6))[np.newaxis], law))
    assert all(b.index <= a.index + 1e-12 for a, b in zip(before, after, strict=True))


@given(row(st.floats(0.0, 3.0), 6), st.integers(0, 5))
def test_an_unknown_peak_never_has_an_index(peak, place: int):
    peak[place] = np.nan
    found = compare(reference_peaks(SITES, np.full((1, 6), 2.0), CLEAR), peak[np.newaxis])
    assert found[place].index is None
    assert all(one.index is not None for n, one in enumerate(found) if n != place)
