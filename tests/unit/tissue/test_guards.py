"""Guards of the responsive sites."""

import numpy as np
import pytest

from leeward.terms.bed import Mattress
from leeward.terms.posture import Posture
from leeward.terms.regime import Policy, Regime, RegimeStanding, Stay, TurnMeans
from leeward.terms.site import RESPONSIVE_SITES, Side, Site
from leeward.tissue.guards import (
    guard_reach,
    is_loaded_too_long,
    lacks_relief,
    loaded_reasons,
    relief_reasons,
    stay_limit,
    stay_reasons,
)
from leeward.tissue.law import AllowanceLaw

MIN = 60.0
SITES = (Site.SACRUM, Site.LEFT_HEEL)


def regime(*stays: Stay) -> Regime:
    return Regime("by hand", RegimeStanding.CLEAR, TurnMeans.BY_HAND, stays, Mattress())


@pytest.mark.parametrize(("minutes", "lacks"), [(25.0, False), (24.9, True)])
def test_relief_counts_from_20_minutes_beyond_the_lag(minutes: float, lacks: bool):
    durations = [(120.0 - minutes) * MIN, minutes * MIN]
    assert lacks_relief(durations, [[1.0], [0.9]], repeats=True).tolist() == [lacks]


def test_a_longer_lag_asks_for_longer_relief():
    durations = [95.0 * MIN, 25.0 * MIN]
    slow = AllowanceLaw(lag=600.0)
    assert lacks_relief(durations, [[1.0], [0.9]], repeats=True, law=slow).tolist() == [True]


def test_unknown_relief_does_not_hold_a_guard():
    assert lacks_relief([7200.0, 7200.0], [[1.0], [np.nan]], repeats=True).tolist() == [True]


def test_a_day_like_the_regime_is_not_loaded_too_long():
    durations, ratios = [7200.0, 3600.0], [[1.0], [0.4]]
    assert is_loaded_too_long(durations, ratios, [7200.0]).tolist() == [False]
    assert is_loaded_too_long(durations, ratios, [7199.0]).tolist() == [True]


def test_an_unknown_time_allowed_allows_nothing():
    assert is_loaded_too_long([3600.0, 3600.0], [[1.0], [0.4]], [np.nan]).tolist() == [True]


def test_every_finding_names_site_time_and_edge():
    found = relief_reasons("the day's cycle", [7200.0], [[1.0, 1.0]], SITES, repeats=True)
    assert [reason.code for reason in found] == ["relief-too-short"]
    assert "sacrum" in found[0].sentence
    assert [(q.value, q.unit) for q in found[0].numbers] == [(0.0, "min"), (25.0, "min")]


def test_relief_of_exactly_the_time_needed_is_no_finding():
    durations = [95.0 * MIN, 25.0 * MIN]
    assert relief_reasons("a cycle", durations, [[1.0], [0.9]], SITES[:1], repeats=True) == ()


def test_the_guards_leave_manually_offloaded_sites_to_hands():
    found = loaded_reasons([7200.0, 60.0], [[1.0, 1.0], [0.1, 1.0]], [3600.0, 3600.0], SITES)
    assert len(found) == 1
    assert found[0].numbers[0].value == 120.0


def test_without_a_barred_side_every_responsive_site_is_guarded():
    assert guard_reach(()).guarded == RESPONSIVE_SITES
    assert guard_reach(()).stay_loaded == ()


def test_a_barred_right_leaves_the_left_back_loaded():
    """Turned to the right, the left side is raised: bar that turn and nothing raises it."""
    reach = guard_reach([Side.RIGHT])
    assert set(reach.stay_loaded) == {Site.LEFT_SCAPULA, Site.LEFT_BUTTOCK}
    assert Site.SACRUM in reach.guarded
    assert set(reach.guarded) | set(reach.stay_loaded) == set(RESPONSIVE_SITES)


def test_the_shorter_of_regime_and_policy_limits_a_stay():
    seen = regime(Stay(Posture(turn=0.5), 7200.0), Stay(Posture(turn=-0.5), 9000.0))
    assert stay_limit(seen, None).value == 9000.0
    assert stay_limit(seen, Policy("ward", "ward book", 7200.0, 0.5)).value == 7200.0
    assert stay_limit(seen, Policy("ward", "ward book", 14400.0, 0.5)).value == 9000.0


def test_a_stay_at_its_limit_passes_and_one_beyond_is_named():
    limit = stay_limit(regime(Stay(Posture(), 7200.0), Stay(Posture(turn=0.3), 60.0)), None)
    assert stay_reasons(7200.0, limit) == ()
    assert stay_reasons(7260.0, limit)[0].numbers[0].value == 121.0
