"""The allowance through real days: one function for plan and log, a band where unknown."""

import numpy as np
import pytest

from leeward.delivered.column_map import PositiveMeans
from leeward.review.allowance_delivered import allowance_through
from leeward.review.comparison import compare
from leeward.review.real_days import laid_over
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Place, Posture
from leeward.terms.series import PostureSeries, Validity
from leeward.terms.units import radians_from_deg
from tests.unit.delivered.logs import epoch_map, readings
from tests.unit.review.plans import DAY, LOOKS, START, as_planned, delivered, whole_day

PLAN = whole_day()
POSSIBLE = tuple(Posture(turn=radians_from_deg(angle)) for angle in (-20.0, 0.0, 20.0))


def ratios_at(postures):
    """Two sites and two draws, synthetic: one loaded at level, one on the left side."""
    turn = np.array([p.turn for p in postures])
    at_level = 1.0 - 2.0 * np.abs(turn)
    on_left = 0.6 + 1.2 * turn
    central = np.stack([at_level, on_left], axis=-1)
    return np.stack([central, 1.1 * central])


def through(series, **how):
    return allowance_through(series, ratios_at, POSSIBLE, side_known=True, **how)


def test_plan_and_log_of_it_agree():
    found = compare(PLAN, as_planned(noise_deg=0.5), DAY, LOOKS)
    planned = through(found.planned)
    kept = through(laid_over(as_planned(noise_deg=0.5).series, found.planned, has_backrest=False))
    np.testing.assert_allclose(kept.peak_high, planned.peak_high, rtol=0.02)
    np.testing.assert_allclose(kept.low[-1], planned.low[-1], rtol=0.02)


def test_unknown_time_widens_the_band_around_what_was():
    times, angles = readings(72.0)
    heard = (times < START + 40 * 3600.0) | (times > START + 46 * 3600.0)
    whole, holed = (
        through(delivered(times[keep], angles[keep]).series)
        for keep in (np.ones_like(heard), heard)
    )
    at = START + 46 * 3600.0 - START
    width = [float((r.high - r.low)[np.searchsorted(r.edges, at), 0]) for r in (whole, holed)]
    assert width[1] > 2.0 * width[0]
    assert (holed.peak_high >= whole.peak_high - 1e-9).all()
    assert (holed.peak_low <= whole.peak_low + 1e-9).all()


def test_an_unknown_side_is_taken_both_ways():
    log = delivered(*readings(48.0), epoch_map(PositiveMeans.UNDECLARED))
    both = allowance_through(log.series, ratios_at, POSSIBLE, side_known=False)
    known = through(delivered(*readings(48.0)).series)
    assert both.high[-1, 1] >= known.high[-1, 1]
    assert both.low[-1, 1] <= known.low[-1, 1]


def series(*segments):
    edges = np.concatenate([[0.0], np.cumsum([length for length, _, _ in segments])])
    return PostureSeries(
        edges, tuple(p for _, p, _ in segments), tuple(v for _, _, v in segments), "midnight"
    )


def test_out_of_bed_cannot_be_told_at_the_upper_edge():
    chair = Posture(place=Place.CHAIR)
    found = through(series((3600.0, Posture(), Validity.KNOWN), (3600.0, chair, Validity.KNOWN)))
    assert np.isfinite(found.high[1]).all()
    assert np.isnan(found.high[2]).all()
    assert np.isfinite(found.low).all()


def test_unknown_time_counts_as_loaded_only_at_the_upper_edge():
    found = through(
        series(
            (3600.0, Posture(), Validity.KNOWN),
            (1800.0, Posture(), Validity.UNKNOWN),
            (3600.0, Posture(), Validity.KNOWN),
        )
    )
    assert found.longest_low[0] == 3600.0
    assert found.longest_high[0] == 9000.0
    assert found.known_fraction == pytest.approx(0.8)


def test_nothing_is_computed_from_nothing():
    with pytest.raises(InvalidInput, match="cannot tell"):
        through(PostureSeries(np.array([0.0]), (), (), "midnight"))


def test_what_a_log_cannot_show_comes_from_the_plan():
    planned = series((3600.0, Posture(backrest=0.8, knee_raise=0.2), Validity.KNOWN))
    log = series((1800.0, Posture(turn=0.3, backrest=0.1), Validity.KNOWN))
    for has_backrest, backrest in ((False, 0.8), (True, 0.1)):
        laid = laid_over(log, planned, has_backrest=has_backrest)
        first = laid.postures[0]
        assert (first.turn, first.backrest, first.knee_raise) == (0.3, backrest, 0.2)
        assert laid.validity == (Validity.KNOWN, Validity.UNKNOWN)
