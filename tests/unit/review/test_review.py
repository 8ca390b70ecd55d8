"""The whole account of a log: the surface against its plan, and what the skin was asked."""

from dataclasses import replace

import numpy as np
import pytest

from leeward.programme.programme import Programme, Window, daily_series
from leeward.review.review import review_delivered, watched_postures
from leeward.terms.bed import Bed, Mattress
from leeward.terms.body import Body, Sex
from leeward.terms.case import Case
from leeward.terms.clock import DaySpan
from leeward.terms.errors import InvalidInput
from leeward.terms.person import Person
from leeward.terms.posture import Place, Posture
from leeward.terms.regime import Stay
from leeward.terms.site import Site
from leeward.terms.units import deg_from_radians
from leeward.terms.verdict import Verdict
from leeward.tissue.allowance import steady_peak
from tests.unit.delivered.logs import START, readings
from tests.unit.review.asked import asked, ratios_at
from tests.unit.review.plans import DAY, NOW, as_planned, cycle, delivered, whole_day

PLAN = whole_day()
CASE = Case(Person("invented", Body(1.7, 70.0, Sex.FEMALE)), Bed(Mattress()), None, DAY)


def reviewed(log, plan=PLAN, demand=None):
    return review_delivered(CASE, plan, log, demand or asked(), now=NOW)


def site(review, which=Site.SACRUM):
    return next(one for one in review.sites if one.site is which)


def test_a_log_as_planned_bore_what_was_planned():
    found = site(reviewed(as_planned(72.0)))
    assert found.delivered_low <= found.planned_peak <= found.delivered_high
    assert found.delivered_high == pytest.approx(found.planned_peak, rel=0.15)


def test_what_was_planned_is_the_repeating_day_of_the_central_draw():
    day = daily_series(PLAN)
    central = steady_peak(day.durations, ratios_at(day.postures)[0])
    assert site(reviewed(as_planned(24.0))).planned_peak == pytest.approx(central[0])


def test_turns_left_out_bore_more_than_planned():
    level = ((0.0, 240.0),)
    found = site(reviewed(delivered(*readings(72.0, stays=level))))
    assert found.delivered_low > 2.0 * found.planned_peak
    # The lighter draw relieves itself a little; the heavier one bears all that level bears.
    assert found.delivered_low < found.compared_peak <= found.delivered_high
    assert found.longest_low > 60.0 * 3600.0


def test_silence_widens_what_was_borne_and_is_not_counted_as_relief():
    times, angles = readings(72.0)
    heard = (times < START + 40 * 3600.0) | (times > START + 46 * 3600.0)
    whole, holed = (
        site(reviewed(delivered(times[keep], angles[keep])))
        for keep in (np.ones_like(heard), heard)
    )
    assert holed.delivered_high > whole.delivered_high
    assert holed.longest_high >= whole.longest_high + 5.0 * 3600.0


def test_a_site_without_a_load_is_unknown_and_not_nothing():
    found = site(reviewed(as_planned(24.0)), Site.LEFT_EAR)
    assert found.planned_peak is None
    assert found.compared_peak is None
    assert found.delivered_high is None


def test_the_first_of_two_days_only_settles_the_start():
    one, two = (site(reviewed(as_planned(hours))) for hours in (24.0, 72.0))
    assert one.delivered_high > 1.5 * two.delivered_high


def test_without_a_regime_to_compare_with_only_the_surface_is_judged():
    review = review_delivered(CASE, PLAN, as_planned(24.0), None, now=NOW)
    assert review.sites == ()
    assert review.comparison.judgement.verdict is Verdict.AS_PLANNED


def test_no_look_recorded_is_never_shown_as_good():
    review = reviewed(as_planned(24.0))
    assert review.comparison.judgement.verdict is Verdict.AS_PLANNED
    assert not review.comparison.may_be_green
    assert "no look at the skin is recorded" in review.comparison.sentence


def with_backrest(backrest: float) -> Programme:
    stays = tuple(Stay(replace(stay.posture, backrest=backrest), stay.duration) for stay in cycle())
    return Programme((Window("day", DaySpan(0.0, 0.0), stays),))


def test_a_backrest_that_was_not_measured_is_taken_from_the_plan():
    flat, raised = (site(reviewed(as_planned(72.0), with_backrest(back))) for back in (0.0, 0.5))
    assert raised.delivered_low > flat.delivered_low


def test_watched_are_turns_beyond_the_largest_seen_on_every_planned_backrest():
    watched = watched_postures(with_backrest(0.5), as_planned(24.0))
    assert {posture.backrest for posture in watched} == {0.0, 0.5}
    turns_deg = sorted({round(deg_from_radians(posture.turn), 6) for posture in watched})
    assert turns_deg[-1] >= 25.0
    assert turns_deg == [-angle for angle in reversed(turns_deg)]
    assert set(np.diff(turns_deg).round(6)) == {5.0}


def test_a_wild_angle_does_not_ask_for_what_is_not_modelled():
    times, angles = readings(24.0)
    angles[100:160] = 80.0
    watched = watched_postures(PLAN, delivered(times, angles))
    assert max(deg_from_radians(posture.turn) for posture in watched) <= 45.0 + 1e-9


def test_time_out_of_bed_is_not_watched():
    chair = Window("chair", DaySpan(0.0, 0.0), (Stay(Posture(place=Place.CHAIR), 3600.0),))
    watched = watched_postures(Programme((chair,)), as_planned(24.0))
    assert {posture.place for posture in watched} == {Place.BED}


def test_no_log_of_a_surface_is_held_against_turns_by_hand():
    with pytest.raises(InvalidInput, match="turned by hand"):
        watched_postures(replace(PLAN, turned_by_hand=True), as_planned(24.0))
