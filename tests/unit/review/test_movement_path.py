"""A week kept as planned used what was planned: plan and log count the same movements."""

import numpy as np
import pytest

from leeward.programme.programme import daily_series
from leeward.review.allowance_delivered import allowance_through
from leeward.review.movement_path import laid_on_path
from leeward.terms.posture import Posture
from leeward.terms.series import PostureSeries, Validity
from leeward.terms.units import radians_from_deg
from leeward.tissue.allowance import steady_peak
from leeward.tissue.movement import with_movements
from tests.unit.review.asked import ratios_at
from tests.unit.review.plans import as_planned, whole_day

#: From side to side in 8 min: the mid-line is loaded on the way.
SIDES = ((20.0, 90.0), (-20.0, 90.0))
RISE_S = 480.0


def test_a_log_kept_as_planned_used_the_sacrum_as_planned_within_three_hundredths():
    plan, log = whole_day(SIDES), as_planned(72.0, stays=SIDES, rise_s=RISE_S)
    rate = radians_from_deg(40.0) / RISE_S
    day = with_movements(daily_series(plan), rate)
    planned = steady_peak(day.durations, ratios_at(day.postures)[0])[0]
    at_once = daily_series(plan)
    without = steady_peak(at_once.durations, ratios_at(at_once.postures)[0])[0]
    lain = laid_on_path(log.series, rate)
    through = allowance_through(lain, ratios_at, (Posture(),), side_known=True)
    later = through.central_high[np.searchsorted(through.edges, 2 * 86400.0) :, 0]
    assert later.max() == pytest.approx(planned, rel=0.03)
    assert planned > 1.1 * without


def series(*segments: tuple[float, float, Validity]) -> PostureSeries:
    edges = np.concatenate(([0.0], np.cumsum([length for _, length, _ in segments])))
    postures = tuple(Posture(turn=turn) for turn, _, _ in segments)
    return PostureSeries(edges, postures, tuple(v for _, _, v in segments), "midnight")


def test_a_movement_that_halted_is_left_as_it_was_measured():
    halted = series(
        (0.5, 3600.0, Validity.KNOWN), (0.3, 600.0, Validity.MOVING), (-0.5, 3600.0, Validity.KNOWN)
    )
    assert laid_on_path(halted).postures == halted.postures


def test_a_movement_beside_unknown_time_is_left_as_it_was_measured():
    unseen = series(
        (0.5, 3600.0, Validity.UNKNOWN),
        (0.0, 600.0, Validity.MOVING),
        (-0.5, 3600.0, Validity.KNOWN),
    )
    assert laid_on_path(unseen).postures == unseen.postures
