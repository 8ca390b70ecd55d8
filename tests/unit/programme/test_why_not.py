"""A what-if meets the rules and the numbers of the plan it is asked about."""

from dataclasses import replace

import pytest

from leeward.contact.loads import each_in_turn
from leeward.programme.explained import Question, explained
from leeward.programme.one_step import steps_either_way
from leeward.programme.settings import order_of
from leeward.programme.traced import traced
from leeward.programme.trade_off import trade_off
from leeward.programme.what_if import WhatIf, with_change
from leeward.programme.why_not import why_not
from leeward.terms.equipment import Order
from leeward.terms.errors import InvalidInput
from leeward.terms.site import Side, Site
from leeward.terms.units import radians_from_deg, seconds_from_min
from tests.unit.programme.asked import plain


def codes(asked: WhatIf) -> set[str]:
    answer = why_not(plain().stands, plain().choices[0], asked)
    assert answer.qualifies is (answer.reasons[0].code == "would-qualify")
    return {reason.code for reason in answer.reasons}


def test_what_is_not_asked_stays_as_it_is():
    choice = plain().choices[0]
    changed = with_change(plain().stands, choice.programme, WhatIf(stay=3600.0, window="night"))
    for before, after in zip(choice.programme.windows, changed.windows, strict=True):
        if before.name == "day":
            assert after == before
        else:
            assert {s.duration for s in after.cycle if s.posture.turn} == {3600.0}
            assert [s.posture for s in after.cycle] == [s.posture for s in before.cycle]


def test_a_change_to_what_is_set_already_changes_no_number():
    choice = plain().choices[0]
    cycle = choice.programme.windows[0].cycle
    same = WhatIf(turn=abs(cycle[0].posture.turn), window="day")
    answer = why_not(plain().stands, choice, same)
    assert answer.qualifies
    assert answer.assessment == choice.assessment


@pytest.mark.parametrize(
    ("asked", "code"),
    [
        (WhatIf(stay=seconds_from_min(180.0)), "stay-too-long"),
        (WhatIf(stay=seconds_from_min(47.0)), "stay-not-settable"),
        (WhatIf(turn=radians_from_deg(20.0), towards=Side.LEFT, window="night"), "turns-differ"),
        (WhatIf(level_stay=seconds_from_min(120.0)), "index-above-one"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_the_rule_that_stops_it_is_named(asked: WhatIf, code: str):
    found = codes(asked)
    assert code in found
    assert "would-not-qualify" in found


def test_an_answer_says_by_how_much():
    asked = WhatIf(stay=seconds_from_min(180.0))
    answer = why_not(plain().stands, plain().choices[0], asked)
    reason = next(one for one in answer.reasons if one.code == "stay-too-long")
    numbers = {number.name: number.value for number in reason.numbers}
    assert numbers["allowed"] == 120.0
    assert numbers["longest stay"] >= 180.0


def test_every_turn_asked_about_is_said_with_the_side_raised():
    said = WhatIf(turn=radians_from_deg(20.0), towards=Side.RIGHT, stay=5400.0).in_words()
    assert said.startswith("turned to the right 20°, left side raised, for 90 min")
    both = WhatIf(turn=radians_from_deg(20.0)).in_words()
    assert "turned to the left 20°, right side raised" in both
    assert "turned to the right 20°, left side raised" in both


def test_level_stays_can_be_left_out_and_put_in():
    programme = plain().choices[0].programme
    none = with_change(plain().stands, programme, WhatIf(level_stay=0.0))
    some = with_change(plain().stands, none, WhatIf(level_stay=1800.0))
    assert {order_of(window.cycle) for window in none.windows} == {Order.LEFT_RIGHT}
    assert {order_of(w.cycle) for w in some.windows} == {Order.LEFT_LEVEL_RIGHT_LEVEL}


def test_a_window_that_does_not_turn_is_refused_by_name():
    with pytest.raises(InvalidInput, match="lunch"):
        with_change(plain().stands, plain().choices[0].programme, WhatIf(stay=60.0, window="lunch"))


def test_one_step_either_way_is_tried_in_every_setting_by_day_and_by_night():
    steps = steps_either_way(plain().stands, plain().choices[0])
    first, *others = steps
    assert first.qualifies is True
    settings = {step.setting for step in others}
    assert {
        f"{one} both sides, {when}" for one in ("turn", "stay") for when in ("day", "night")
    } <= (settings)
    assert all(step.blocked or step.qualifies is not None for step in others)
    assert all(step.against or step.qualifies for step in others if not step.blocked)


def test_the_trace_ends_where_the_plan_says():
    choice = plain().choices[0]
    for site in (Site.SACRUM, Site.LEFT_SCAPULA):
        trace = traced(plain().stands, choice, site)
        assert sum(stay.duration for stay in trace.stays) == pytest.approx(86400.0)
        most = max(stay.allowance_most or 0.0 for stay in trace.stays)
        result = next(one for one in choice.assessment.sites if one.site is site)
        assert most == pytest.approx(result.peak_allowance, abs=1e-9)
        assert trace.stays[0].allowance_before == pytest.approx(trace.stays[-1].allowance_after)


def test_the_trace_names_the_source_of_every_number():
    trace = traced(plain().stands, plain().choices[0], Site.SACRUM)
    assert len(trace.constants) >= 12
    assert all(one.constant.source and one.constant.population for one in trace.constants)


def test_a_plan_explained_finds_its_own_numbers_again():
    question = Question(plain().choices, asked=WhatIf(stay=3600.0), traced=Site.SACRUM)
    found = explained(plain().stands, plain().choices, question, each_in_turn)
    assert found.notes == ()
    assert found.answer is not None
    assert found.trace is not None


def test_the_best_of_each_number_of_movements_is_no_worse_than_the_choices():
    found = trade_off(plain().stands, plain().choices)
    best = {point.turns_in_sleep: point for point in found.points}
    for choice in found.choices:
        assert best[choice.turns_in_sleep].index <= choice.index + 1e-9
        assert best[choice.turns_in_sleep].worst_index >= choice.index - 1e-9


def test_what_people_turn_is_not_explained_by_the_loads_of_the_unit():
    choice = plain().choices[0]
    by_hand = replace(choice, programme=replace(choice.programme, turned_by_hand=True))
    with pytest.raises(InvalidInput, match="turned by hand"):
        explained(plain().stands, (by_hand,), Question((by_hand,), with_steps=True), each_in_turn)
