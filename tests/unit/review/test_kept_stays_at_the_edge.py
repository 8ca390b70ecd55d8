"""What the edge of a log leaves of a stay."""

import numpy as np

from leeward.review.kept_stays import kept_stays
from leeward.review.real_days import Period
from leeward.terms.posture import Posture
from leeward.terms.series import PostureSeries, Validity
from leeward.terms.units import radians_from_deg

LEFT, LEVEL = Posture(turn=radians_from_deg(30.0)), Posture()


def _stays(last_minutes: float) -> int:
    edges = np.array([0.0, 3600.0, 3600.0 + 60.0 * last_minutes])
    series = PostureSeries(edges, (LEFT, LEVEL), (Validity.KNOWN,) * 2, "2026-11-25T00:00:00Z")
    return len(kept_stays(series, Period(0.0, float(edges[-1])), 3600.0))


def test_a_minute_at_the_end_of_a_log_is_no_stay() -> None:
    assert _stays(1.0) == 1


def test_six_minutes_at_the_end_of_a_log_are_a_stay() -> None:
    assert _stays(6.0) == 2
