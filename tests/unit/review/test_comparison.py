"""The verdict about the surface: doubt first, differences next, as planned last."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from leeward.delivered.column_map import PositiveMeans
from leeward.delivered.findings import FindingKind
from leeward.programme.programme import Programme, Window
from leeward.review.comparison import compare
from leeward.review.judged_stays import AgreedDeparture, StayOutcome
from leeward.terms.clock import DaySpan
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Place, Posture, Support
from leeward.terms.regime import Stay
from leeward.terms.verdict import Verdict
from tests.unit.delivered.logs import angle_at, epoch_map, readings
from tests.unit.review.plans import (
    CYCLE,
    DAY,
    LOOKS,
    NOW,
    START,
    SkinLooks,
    as_planned,
    cycle,
    delivered,
    whole_day,
)

PLAN = whole_day()


def codes(comparison):
    return {reason.code for reason in comparison.judgement.reasons}


def kinds(comparison):
    return {finding.kind for finding in comparison.findings}


def halted(at_h: float, length_h: float, hours: float = 72.0, seed: int = 2):
    """A log in which the surface stood still for a while and then went on."""
    times, _ = readings(hours)
    seconds = times - START
    first, length = at_h * 3600.0, length_h * 3600.0
    running = np.where(seconds < first, seconds, np.maximum(seconds - length, first))
    noise = np.random.default_rng(seed).normal(0.0, 0.3, seconds.shape)
    return delivered(times, angle_at()(running) + noise)


def test_a_log_that_keeps_its_plan_is_as_planned():
    found = compare(PLAN, as_planned(), DAY, LOOKS)
    assert found.judgement.verdict is Verdict.AS_PLANNED
    assert found.judgement.assessed_fraction == 1.0
    assert found.count(StayOutcome.KEPT) == 72
    assert found.may_be_green


def test_every_verdict_says_that_the_person_was_not_measured():
    sentence = compare(PLAN, as_planned(), DAY, LOOKS).sentence
    assert sentence == (
        "surface moved as planned; person not measured; skin last looked at 2026-03-09 08:00"
    )


@pytest.mark.parametrize(
    "last", [None, NOW - timedelta(hours=25), NOW + timedelta(hours=1)], ids=str
)
def test_it_is_never_green_while_a_look_is_overdue(last):
    found = compare(PLAN, as_planned(), DAY, SkinLooks(now=NOW, last=last, whole=last))
    assert not found.may_be_green
    assert found.judgement.reasons[0].code == "skin-look-overdue"
    assert "overdue" in found.sentence


def test_an_empty_log_never_passes():
    found = compare(PLAN, delivered(np.array([]), np.array([])), DAY, LOOKS)
    assert found.judgement.verdict is Verdict.CANNOT_TELL
    assert found.judgement.assessed_fraction == 0.0


def test_an_undeclared_side_cannot_be_told():
    found = compare(
        PLAN, delivered(*readings(72.0), epoch_map(PositiveMeans.UNDECLARED)), DAY, LOOKS
    )
    assert found.judgement.verdict is Verdict.CANNOT_TELL
    assert "side-unknown" in codes(found)


@pytest.mark.parametrize(
    ("hours", "verdict"), [(14.0, Verdict.AS_PLANNED), (15.0, Verdict.CANNOT_TELL)]
)
def test_below_four_fifths_judged_nothing_is_told(hours, verdict):
    times, angles = readings(72.0)
    heard = (times < START + 30 * 3600.0) | (times > START + (30 + hours) * 3600.0)
    found = compare(PLAN, delivered(times[heard], angles[heard]), DAY, LOOKS)
    assert found.judgement.verdict is verdict
    assert found.time.unknown == pytest.approx(hours * 3600.0, abs=120.0)


def test_silence_outside_the_log_counts_when_the_period_is_given():
    week = (datetime(2026, 3, 2, tzinfo=UTC), datetime(2026, 3, 9, tzinfo=UTC))
    found = compare(PLAN, as_planned(), DAY, LOOKS, period=week)
    assert found.judgement.verdict is Verdict.CANNOT_TELL
    assert found.judgement.assessed_fraction == pytest.approx(3 / 7, abs=0.001)


def test_exchanged_sides_are_found():
    found = compare(PLAN, delivered(*readings(72.0), epoch_map(PositiveMeans.RIGHT)), DAY, LOOKS)
    assert found.judgement.verdict is Verdict.DIFFERS
    assert FindingKind.OTHER_SIDE in kinds(found)


def test_a_side_the_plan_never_uses_is_found_stay_by_stay():
    times, angles = readings(72.0, stays=((20.0, 60.0), (0.0, 60.0)))
    one_sided = whole_day(((20.0, 60.0), (0.0, 60.0)))
    found = compare(one_sided, delivered(times, -angles), DAY, LOOKS)
    assert found.count(StayOutcome.OTHER_SIDE) == 35


def test_a_side_left_out_is_missing():
    left_only = as_planned(stays=((20.0, 60.0), (0.0, 60.0)))
    found = compare(PLAN, left_only, DAY, LOOKS)
    assert found.judgement.verdict is Verdict.DIFFERS
    assert found.left_out >= 30


def test_short_silences_do_not_hide_a_side_left_out():
    times, angles = readings(72.0, stays=((20.0, 60.0), (0.0, 60.0)))
    heard = (times - START) % 7200.0 > 700.0
    found = compare(PLAN, delivered(times[heard], angles[heard]), DAY, LOOKS)
    assert found.judgement.assessed_fraction > 0.8
    assert found.judgement.verdict is Verdict.DIFFERS
    assert found.left_out >= 30


def test_a_small_turn_does_not_reach_its_angle():
    times, angles = readings(72.0)
    found = compare(PLAN, delivered(times, 0.6 * angles), DAY, LOOKS)
    assert found.count(StayOutcome.ANGLE_NOT_REACHED) == 36


def test_stays_of_another_length_are_short_or_long():
    quicker = as_planned(stays=tuple((angle, 40.0) for angle, _ in CYCLE))
    slower = as_planned(stays=tuple((angle, 80.0) for angle, _ in CYCLE))
    assert compare(PLAN, quicker, DAY, LOOKS).count(StayOutcome.SHORT) > 70
    assert compare(PLAN, slower, DAY, LOOKS).count(StayOutcome.LONG) > 50


def test_a_pause_is_named_with_its_length():
    found = compare(PLAN, halted(33.4, 0.6), DAY, LOOKS)
    assert found.judgement.verdict is Verdict.DIFFERS
    (pause,) = [f for f in found.findings if f.kind is FindingKind.PAUSED]
    assert "36 min longer than the 60 min planned" in pause.sentence
    assert "carers' round" in pause.sentence


def test_stopped_during_care_and_not_restarted_is_named():
    found = compare(PLAN, halted(33.4, 6.0), DAY, LOOKS)
    (stop,) = [f for f in found.findings if f.kind is FindingKind.STOPPED]
    assert "started again after care" in stop.look_at
    assert found.left_out == 6


def test_a_surface_that_never_moves_differs():
    times, _ = readings(72.0)
    still = np.random.default_rng(1).normal(0.0, 0.3, times.shape)
    found = compare(PLAN, delivered(times, still), DAY, LOOKS)
    assert found.judgement.verdict is Verdict.DIFFERS
    assert {FindingKind.NEVER_TURNED, FindingKind.STOPPED} <= kinds(found)


def test_silence_and_then_no_movement_looks_like_a_power_loss():
    times, _ = readings(72.0)
    seconds = times - START
    lost, back, on = 30.5 * 3600.0, 32.0 * 3600.0, 38.0 * 3600.0
    running = np.where(seconds < lost, seconds, np.maximum(seconds - (on - lost), 0.0))
    angles = np.where(
        (seconds >= lost) & (seconds < on), 0.0, angle_at()(running)
    ) + np.random.default_rng(1).normal(0.0, 0.3, seconds.shape)
    heard = (seconds < lost) | (seconds > back)
    found = compare(PLAN, delivered(times[heard], angles[heard]), DAY, LOOKS)
    assert FindingKind.POWER_LOSS in kinds(found)
    assert found.judgement.verdict is Verdict.DIFFERS


START_OF_DAY = datetime.fromtimestamp(START, tz=UTC)


def test_an_agreed_departure_is_no_deviation():
    visit = AgreedDeparture(
        START_OF_DAY + timedelta(hours=33), START_OF_DAY + timedelta(hours=40), "visit", "person"
    )
    found = compare(PLAN, halted(33.4, 6.0), DAY, LOOKS, [visit])
    assert found.judgement.verdict is Verdict.AS_PLANNED
    assert found.time.agreed == 7 * 3600.0
    assert found.count(StayOutcome.AGREED) >= 1


def test_an_agreed_departure_needs_its_zone():
    naive = START_OF_DAY.replace(tzinfo=None)
    with pytest.raises(InvalidInput, match="zone"):
        AgreedDeparture(naive, naive + timedelta(hours=1), "visit", "person")


def test_a_unit_out_of_step_is_compared_by_order_and_length():
    times, angles = readings(76.0)
    found = compare(PLAN, delivered(times[60:], angles[60:]), DAY, LOOKS)
    in_step = compare(PLAN, delivered(times, angles), DAY, LOOKS)
    shifted = compare(PLAN, delivered(times + 4500.0, angles), DAY, LOOKS)
    for one in (found, in_step, shifted):
        assert one.judgement.verdict is Verdict.AS_PLANNED
    assert FindingKind.OUT_OF_STEP in kinds(shifted)
    assert FindingKind.OUT_OF_STEP not in kinds(in_step)


def test_turns_in_the_sleep_window_are_counted():
    found = compare(PLAN, as_planned(), DAY, LOOKS)
    assert (found.sleep.planned, found.sleep.seen) == (23, 23)


def meals() -> Programme:
    """Turning but for lunch, level with the backrest up, and an afternoon in a chair."""
    turning, back = cycle(), Posture(backrest=0.8)
    return Programme(
        (
            Window("day", DaySpan(0.0, 43200.0), turning),
            Window("lunch", DaySpan(43200.0, 46800.0), (Stay(back, 3600.0),), "dietitian"),
            Window(
                "chair",
                DaySpan(46800.0, 57600.0),
                (Stay(Posture(place=Place.CHAIR), 3600.0),),
                "person",
            ),
            Window("evening", DaySpan(57600.0, 0.0), turning),
        )
    )


def follow(programme_hours: float, level_from_h: float = 12.0, level_to_h: float = 16.0):
    times, _ = readings(programme_hours)
    of_day = (times - START) % 86400.0
    since = np.where(of_day < 43200.0, of_day, of_day - 57600.0)
    angles = np.where(
        (of_day >= level_from_h * 3600) & (of_day < level_to_h * 3600),
        0.0,
        angle_at()(np.abs(since)),
    )
    return delivered(times, angles + np.random.default_rng(1).normal(0.0, 0.3, times.shape))


def test_prescribed_windows_are_kept_level_and_the_chair_is_not_judged():
    found = compare(meals(), follow(72.0), DAY, LOOKS)
    assert found.judgement.verdict is Verdict.AS_PLANNED
    assert found.time.out_of_bed == 3 * 3 * 3600.0


def test_level_that_goes_on_after_a_prescribed_window_is_long():
    found = compare(meals(), follow(72.0, level_to_h=20.0), DAY, LOOKS)
    assert found.judgement.verdict is Verdict.DIFFERS


def test_a_summer_time_night_is_judged_by_the_wall_clock():
    zone_day = type(DAY)(sleep=DAY.sleep, time_zone="Europe/Amsterdam")
    start = datetime(2025, 3, 28, 23, tzinfo=UTC).timestamp()
    times, _ = readings(71.0)
    seconds = times - START
    # The cycle begins afresh each midnight by the wall clock; the second day has 23 hours.
    midnight = np.where(seconds < 47 * 3600.0, seconds % 86400.0, seconds - 47 * 3600.0)
    noise = np.random.default_rng(1).normal(0.0, 0.3, times.shape)
    log = delivered(start + seconds, angle_at()(midnight) + noise)
    found = compare(PLAN, log, zone_day, LOOKS)
    assert found.judgement.verdict is Verdict.AS_PLANNED
    assert [w.end - w.start for w in found.windows[:3]] == [86400.0, 82800.0, 86400.0]
    assert found.sides.same > 0.95


def test_a_log_does_not_show_whether_the_plans_blocks_were_in_place():
    held = frozenset({Support.LEG_BLOCK_LEFT})
    stays = tuple(replace(s, posture=replace(s.posture, supports=held)) for s in cycle())
    propped = Programme((Window("day", DaySpan(0.0, 0.0), stays),))
    found = compare(propped, as_planned(), DAY, LOOKS)
    said = {reason.code: reason.sentence for reason in found.judgement.reasons}
    assert "block along the left leg" in said["supports-not-seen"]
    assert "supports-not-seen" not in codes(compare(whole_day(), as_planned(), DAY, LOOKS))
