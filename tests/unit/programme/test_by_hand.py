"""Turns by hand laid into a programme that falls short: judged at every site."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from leeward.programme.assessment import judged
from leeward.programme.by_hand import sites_that_fall_short, turns_by_hand
from leeward.programme.hand_day import HandStay, judged_by_hand, with_hand_stays
from leeward.programme.hand_turns import hand_postures, hand_turn, turned_by_hand_in
from leeward.programme.problem import Problem
from leeward.programme.programmes import programme_at
from leeward.programme.search import look
from leeward.terms.clock import DaySpan
from leeward.terms.day import PrescribedWindow
from leeward.terms.person import Line, ProtectedSite, SignedReason, TurnLimit
from leeward.terms.posture import Posture
from leeward.terms.site import Side, Site
from leeward.terms.units import deg_from_radians, radians_from_deg, seconds_from_min
from tests.unit.programme import invented
from tests.unit.programme.invented import HOUR

#: A long lunch sitting up, in which nothing turns: no programme qualifies beside it.
LUNCH = PrescribedWindow(
    "long lunch",
    DaySpan(12 * HOUR, 15 * HOUR),
    Posture(backrest=radians_from_deg(45.0)),
    False,
    "dietitian",
)
SIGNED = SignedReason("Invented nurse", invented.NOW.date(), "agreed")


def with_lunch(*rounds, **changes):
    case = invented.case(**changes)
    rounds = tuple(hour * HOUR for hour in rounds)
    return replace(case, day=replace(case.day, rounds=rounds, prescribed=(LUNCH,)))


@cache
def falls_short() -> Problem:
    return invented.searched(with_lunch(0, 3, 6, 9, 12.5, 14, 16, 20))


def best_of(given):
    looked = look(given)
    place = int(np.argmin(np.where(np.isfinite(looked.index), looked.index, np.inf)))
    return judged(given, [programme_at(given, looked, place)])[0]


def added(given, *, likeliest_only=False):
    one = best_of(given)
    hands = invented.More().hands(given, likeliest_only=likeliest_only)
    return turns_by_hand(given, one, sites_that_fall_short(given, one), hands)


def test_turns_by_hand_on_the_rounds_make_a_day_reach_that_sits_for_long():
    turned = added(falls_short())
    assert turned.makes_it_qualify
    assert turned.worst[0] <= 1.0
    assert set(turned.task.times) <= set(falls_short().case.day.rounds)
    assert turned.more_rounds == ()
    assert "for its prescriber to say" in turned.reason.sentence


def test_of_rounds_that_suffice_no_single_one_can_be_left_out():
    given, one = falls_short(), best_of(falls_short())
    turned = added(given)
    hands = invented.More().hands(given, likeliest_only=False)
    sides = list(Side)
    said = turned.reason.sentence
    for left_out in turned.task.times:
        kept = [time for time in turned.task.times if time != left_out]
        stays = [
            HandStay(time, turned.task.duration, sides[number % 2])
            for number, time in enumerate(kept)
        ]
        day = with_hand_stays(given, hands, one.programme, stays)
        found = judged_by_hand(given, day, hands.ratios.ratio, draws=slice(1))
        assert not found.agrees[0], f"{said}: {left_out} is not needed"


def test_no_turn_by_hand_leaves_the_programme_as_it_was_judged():
    given, one = falls_short(), best_of(falls_short())
    hands = invented.More().hands(given, likeliest_only=False)
    found = judged_by_hand(
        given, with_hand_stays(given, hands, one.programme, []), hands.ratios.ratio
    )
    np.testing.assert_allclose(found.index, one.index, rtol=1e-9)


def test_what_a_turn_by_hand_lies_on_is_loaded_by_it():
    given, one = falls_short(), best_of(falls_short())
    hands = invented.More().hands(given, likeliest_only=True)
    always_left = [HandStay(hour * HOUR, 2 * HOUR, Side.LEFT) for hour in range(0, 24, 2)]
    day = with_hand_stays(given, hands, one.programme, always_left)
    found = judged_by_hand(given, day, hands.ratios.ratio, draws=slice(1))
    column = given.table.sites.index(Site.LEFT_BUTTOCK)
    assert found.index[0, column] > one.index[0, column]
    guarded = list(given.guarded)
    assert found.breaks_guard[0, guarded.index(column)]


def test_without_rounds_nobody_turns_anybody():
    given = falls_short()
    nobody = replace(given, case=replace(given.case, day=replace(given.case.day, rounds=())))
    assert added(nobody) is None


def test_rounds_nobody_makes_yet_are_named_as_such():
    given = invented.searched(with_lunch(0, 9, 16))
    turned = added(given)
    assert turned.makes_it_qualify
    assert turned.more_rounds
    assert set(turned.more_rounds) == set(turned.task.times) - set(given.case.day.rounds)
    assert "more round" in turned.reason.sentence


def test_nobody_is_turned_by_hand_onto_a_protected_site():
    wound = ProtectedSite(Site.LEFT_TROCHANTER, "open wound", 0.5, SIGNED)
    person = invented.person(protected_sites=(wound,))
    turned = added(invented.searched(with_lunch(0, 6, 12.5, 14, 20, person=person)))
    assert "to the left" not in turned.reason.sentence
    assert "to the right, left side raised" in turned.reason.sentence


@pytest.mark.parametrize("share", [0.0, 0.4])
def test_a_side_barred_or_hardly_allowed_is_not_turned_to_by_hand(share):
    limit = TurnLimit(Side.LEFT, share * radians_from_deg(30.0), "unstable left shoulder")
    case = invented.case(person=invented.person(turn_limits=(limit,)))
    assert hand_turn(case, Side.LEFT) is None
    assert hand_turn(case, Side.RIGHT) == pytest.approx(radians_from_deg(30.0))


def test_a_line_that_reaches_less_far_limits_a_turn_by_hand():
    drain = Line("drain", Side.RIGHT, radians_from_deg(20.0), radians_from_deg(40.0))
    case = invented.case(person=invented.person(lines=(drain,)))
    assert deg_from_radians(hand_turn(case, Side.LEFT)) == pytest.approx(20.0)
    assert deg_from_radians(hand_turn(case, Side.RIGHT)) == pytest.approx(30.0)


def test_a_meal_is_not_turned_through_but_a_long_feed_may_be():
    backrest = Posture(backrest=radians_from_deg(35.0))
    day = [
        PrescribedWindow("lunch", DaySpan(12 * HOUR, 13 * HOUR), backrest, False, "dietitian"),
        PrescribedWindow("feed", DaySpan(22 * HOUR, 4 * HOUR), backrest, False, "dietitian"),
    ]
    case = invented.case()
    given = invented.searched(replace(case, day=replace(case.day, prescribed=tuple(day))))
    may = turned_by_hand_in(given.windows, seconds_from_min(120.0))
    assert "feed" in [window.name for window in may]
    assert "lunch" not in [window.name for window in may]
    assert {deg_from_radians(p.backrest) for p in hand_postures(given.case, may)} == {0.0, 35.0}
