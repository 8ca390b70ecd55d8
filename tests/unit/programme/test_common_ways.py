"""What people do today stands beside the choices, judged alike, and is never proposed."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest
from leeward.exchange.bundled import bundled_document
from leeward.programme.beside import rechecked_beside
from leeward.programme.common_ways import (
    common_by_hand,
    keep_todays,
    todays_regime,
    unit_default,
)
from leeward.programme.decision import Beside, ChoiceName
from leeward.programme.ground import Ground, no_findings
from leeward.programme.laid_ways import hand_windows, laid, times_of_turns
from leeward.programme.planning import Findings
from leeward.programme.recheck import recheck
from leeward.programme.way_remarks import remarks
from leeward.terms.clock import DaySpan
from leeward.terms.day import Day, PrescribedWindow
from leeward.terms.equipment import DefaultCycle, Order
from leeward.terms.person import TurnLimit
from leeward.terms.posture import Posture
from leeward.terms.regime import Regime, RegimeStanding
from leeward.terms.site import Side
from leeward.terms.units import radians_from_deg, seconds_from_min
from leeward.tissue.lying_by_hand import lying_by_hand
from tests.unit.programme import asked, invented
from tests.unit.programme.recheck_sound import CASE, COMPARED, NOW, RATIOS

HOUR = 3600.0
TODAY = {"first": date(2026, 2, 1), "last": date(2026, 3, 1)}


def solve_nothing(requests: Sequence[LoadRequest]) -> list[LoadTable]:
    raise AssertionError("the regime compared was turned by hand on this bed: all is known")


def stands_on(regime: Regime | None = None, **changes: object) -> Ground:
    """An invented plan's ground, with the regime compared dated to the day of planning."""
    stands = asked.plain().stands
    lain = replace(stands.case.regimes[0], **TODAY) if regime is None else regime
    compared = stands.standing.compared
    assert compared is not None
    return replace(
        stands,
        case=replace(stands.case, regimes=(lain,), **changes),  # type: ignore[arg-type]
        standing=replace(stands.standing, compared=replace(compared, regime=lain)),
        demand=replace(stands.demand, compared=replace(stands.demand.compared, regime=lain)),
    )


def beside(stands: Ground) -> Findings:
    empty = no_findings(stands)
    return rechecked_beside(
        stands.case, empty, stands.demand, stands.standing, stands.now, solve_nothing
    )


def named(found: Findings, part: str) -> Beside:
    return next(one for one in found.beside if part in one.name)


def codes(found: Beside) -> set[str]:
    return {reason.code for reason in found.against}


def test_two_three_and_four_hourly_by_hand_are_judged_with_source_and_people():
    found = beside(stands_on())
    for hours, turns in (("two", 12), ("three", 8), ("four", 6)):
        way = named(found, f"{hours}-hourly by hand, 30°")
        cost = way.assessment.disturbance
        assert "no source" in way.source
        assert "Bergstrom" in way.source
        assert (cost.turns_per_day, cost.two_person_tasks) == (turns, turns)
        assert way.programme.turned_by_hand


def test_longer_stays_than_were_ever_seen_clear_break_a_rule_that_is_named():
    found = beside(stands_on())
    assert named(found, "two-hourly").qualifies
    assert "stay-too-long" in codes(named(found, "four-hourly"))


def test_none_of_the_common_ways_is_ever_offered():
    assert {choice.name for choice in beside(stands_on()).choices} <= {ChoiceName.TODAYS}


def test_todays_way_is_the_regime_compared_and_comes_to_one_of_itself():
    found = beside(stands_on())
    (kept,) = found.choices
    limiting = next(s for s in kept.assessment.sites if s.site is kept.assessment.limiting_site)
    assert kept.name is ChoiceName.TODAYS
    assert limiting.index == pytest.approx(1.0, abs=1e-9)
    assert {one.code for one in named(found, "as today").remarks} == {"is-what-is-compared"}


def test_a_meal_that_the_record_of_todays_way_does_not_hold_is_named():
    upright = Posture(backrest=radians_from_deg(30.0))
    lunch = PrescribedWindow("lunch", DaySpan(12 * HOUR, 13 * HOUR), upright, False, "A. Nurse")
    stands = stands_on(day=replace(asked.plain().stands.case.day, prescribed=(lunch,)))
    (remark,) = named(beside(stands), "as today").remarks
    assert remark.code == "day-adds-to-what-is-compared"
    assert "lunch (12:00 to 13:00, backrest 30°)" in remark.sentence


def test_an_assumed_policy_compared_with_itself_is_said_to_prove_nothing():
    compared = asked.plain().stands.standing.compared
    assert compared is not None
    usual = compared.regime.cycle[:3]
    assumed = replace(compared.regime, standing=RegimeStanding.ASSUMED, cycle=usual)
    stands = stands_on(assumed)
    standing = replace(
        stands.standing,
        compared=replace(compared, regime=assumed, standing=RegimeStanding.ASSUMED),
    )
    found = beside(replace(stands, standing=standing))
    (remark,) = named(found, "two-hourly").remarks
    assert remark.code == "is-what-is-assumed"
    assert "says nothing of this person's skin" in remark.sentence
    assert [one.code for one in found.not_beside] == ["default-not-entered", "todays-not-known"]
    assert found.choices == ()


def test_what_is_assumed_or_long_past_is_nobodys_today():
    case = asked.plain().stands.case
    lain = replace(case.regimes[0], **TODAY)
    assert todays_regime(replace(case, regimes=(lain,)), invented.NOW) is lain
    for other in (
        replace(lain, standing=RegimeStanding.ASSUMED),
        replace(lain, last=date(2026, 2, 20)),
        replace(lain, first=None, last=None),
    ):
        assert todays_regime(replace(case, regimes=(other,)), invented.NOW) is None


def test_of_two_regimes_that_end_on_one_day_neither_is_todays():
    case = asked.plain().stands.case
    lain = replace(case.regimes[0], **TODAY)
    twice = replace(case, regimes=(lain, replace(lain, name="another")))
    assert todays_regime(twice, invented.NOW) is None


def test_the_units_default_is_judged_as_entered_and_a_missing_one_is_named():
    default = DefaultCycle(Order.LEFT_RIGHT, *invented.deg(20.0, 20.0), 60.0 * 60.0)
    unit = replace(asked.plain().stands.case.equipment, default=default)
    found = beside(stands_on(equipment=unit))
    way = named(found, "default")
    assert way.assessment.disturbance.largest_turn == pytest.approx(radians_from_deg(20.0))
    assert way.assessment.disturbance.two_person_tasks == 0
    assert not [one for one in found.not_beside if one.code == "default-not-entered"]
    assert unit_default(stands_on().case, invented.unit(), ()) is None


def test_a_side_nobody_may_lie_on_speaks_against_turns_by_hand():
    person = replace(
        asked.plain().stands.case.person, turn_limits=(TurnLimit(Side.LEFT, 0.0, "new hip"),)
    )
    found = named(beside(stands_on(person=person)), "two-hourly")
    assert "turn-beyond-limit" in codes(found)


def test_hands_turn_where_the_unit_pauses():
    raised = Posture(backrest=radians_from_deg(35.0))
    feed = PrescribedWindow("feed", DaySpan(22 * HOUR, 4 * HOUR), raised, True, "A. Dietitian")
    case = invented.case(
        invented.unit(pauses_above_backrest=radians_from_deg(30.0)),
        day=Day(DaySpan(22 * HOUR, 7 * HOUR), (feed,), (7 * HOUR,)),
    )
    way = common_by_hand(case, case.equipment, ())[0]
    night = next(window for window in way.programme.windows if window.name == "feed")
    assert len(night.cycle) == 3


def test_a_way_that_keeps_one_posture_is_not_taken_for_a_prescription():
    case = invented.case()
    regime = replace(invented.regime(case), cycle=invented.regime(case).cycle[1:2])
    windows = hand_windows(case, case.equipment, night_differs=False)
    assert all(len(window.cycle) > 1 for window in laid(windows, regime.cycle, regime.cycle))


def test_by_hand_the_recheck_asks_who_turns_and_not_what_the_unit_can_be_set_to():
    case = replace(CASE, day=replace(CASE.day, prescribed=()))
    way = common_by_hand(case, case.equipment, ())[0]
    laid_alike = replace(way.programme, tasks=())
    found = recheck(laid_alike, case, RATIOS, COMPARED, now=NOW)
    nobody = [one for one in found if one.code == "turned-by-nobody"]
    assert len(nobody) == len(times_of_turns(way.programme)) == 12
    assert not [one for one in found if "settable" in one.code or one.code == "no-unit"]
    asked_people = recheck(way.programme, case, RATIOS, COMPARED, now=NOW)
    assert not [one for one in asked_people if one.code == "turned-by-nobody"]


@pytest.mark.parametrize(
    ("policy", "hours"), [("two-hourly", 2), ("three-hourly", 3), ("four-hourly-on-foam", 4)]
)
def test_the_usual_ways_by_hand_are_those_of_the_bundled_policies(policy: str, hours: int):
    written = bundled_document("policies", policy).plain
    case = invented.case()
    way = common_by_hand(case, case.equipment, ())[hours - 2]
    turns = [stay.posture.turn for stay in way.programme.windows[0].cycle]
    stays = {stay.duration for stay in way.programme.windows[0].cycle}
    assert stays == {seconds_from_min(written["interval_min"])}
    assert max(turns) == -min(turns) == radians_from_deg(written["turn_deg"])
    assert written["order"] == ["left", "level", "right"]
    assert [np.sign(turn) for turn in turns] == [1.0, 0.0, -1.0]


def test_todays_way_lain_in_otherwise_is_not_called_the_regime_compared():
    compared = asked.plain().stands.case.regimes[0]
    raised = [
        replace(stay, posture=replace(stay.posture, knee_raise=0.3)) for stay in compared.cycle
    ]
    stands = stands_on(replace(compared, cycle=tuple(raised), **TODAY))
    way = keep_todays(stands.case, invented.unit(), stands.case.regimes[0], ())
    assert [one.code for one in remarks(way, stands, stands.case.regimes[0])] == [
        "lain-in-other-postures"
    ]


def test_what_is_no_place_to_lie_in_one_draw_has_no_pull():
    stands = stands_on()
    known = stands.demand.compared.ratios
    rows = [n for n, one in enumerate(known.postures) if one.turn != 0.0]
    turned = tuple(known.postures[n] for n in rows)
    is_stable = known.is_stable.copy()
    is_stable[1, rows[0]] = False
    lain = replace(
        stands.demand.compared,
        ratios=replace(known, is_stable=is_stable),
        friction_demand=np.full(is_stable.shape, 0.4),
    )
    found = lying_by_hand(
        stands.case, replace(stands.demand, compared=lain), turned, stands.now, solve_nothing
    )
    assert np.isnan(found.pull[turned[0]])
    assert found.pull[turned[1]] == 0.4
