from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from leeward.programme.decision import ChoiceName, Outcome, SiteStanding
from leeward.programme.planning import find, stopped
from leeward.programme.recheck import recheck
from leeward.programme.recheck_day import RegimeLoads
from leeward.terms.clock import DaySpan
from leeward.terms.day import PrescribedWindow
from leeward.terms.equipment import Order
from leeward.terms.person import (
    Consent,
    ConsentKind,
    Contraindication,
    ContraindicationKind,
    ProtectedSite,
    SignedReason,
    TurnLimit,
)
from leeward.terms.posture import Place, Posture
from leeward.terms.regime import Looks
from leeward.terms.site import Side, Site
from leeward.terms.units import radians_from_deg, seconds_from_min
from tests.unit.programme import invented
from tests.unit.programme.invented import HOUR, NOW

SIGNED = SignedReason("Invented nurse", date(2026, 3, 1), "tolerated before")


def codes(reasons):
    return [reason.code for reason in reasons]


def turns(choice):
    return {
        stay.posture.turn
        for window in choice.programme.windows
        for stay in window.cycle
        if len(window.cycle) > 1
    }


def with_prescribed(unit=None, *prescribed, **changes):
    given = invented.case(unit, **changes)
    return replace(given, day=replace(given.day, prescribed=prescribed))


def prescribed(name, start, end, posture, *, may_turn=False):
    return PrescribedWindow(name, DaySpan(start * HOUR, end * HOUR), posture, may_turn, "dietitian")


FEED = prescribed("overnight feed", 22, 4, Posture(backrest=radians_from_deg(35.0)), may_turn=True)
CHAIR = prescribed("out in chair", 12, 14, Posture(place=Place.CHAIR))


def test_an_ordinary_case_is_offered_programmes_that_differ():
    result = invented.found(invented.case())
    assert result.outcome is Outcome.OFFERED
    assert [choice.name for choice in result.choices] == [
        ChoiceName.GENTLEST,
        ChoiceName.BALANCED,
        ChoiceName.MOST_RELIEF,
    ]
    assert len({choice.programme.windows for choice in result.choices}) == 3
    assert all(choice.assessment.qualifies for choice in result.choices)


def test_the_independent_recheck_finds_nothing_against_what_is_offered():
    plain = with_prescribed(None, CHAIR)
    lain = replace(
        invented.regime(plain),
        layers=(),
        first=date(2026, 2, 1),
        last=date(2026, 3, 2),
        looks=Looks(5, date(2026, 2, 20), date(2026, 3, 1), "Invented nurse", True),
    )
    given = replace(plain, regimes=(lain,))
    ratios = invented.load_ratios(given, postures=invented.regime_postures(lain))
    result = find(given, ratios, invented.measured_by(given, ratios, lain), NOW)
    assert result.outcome is Outcome.OFFERED
    for choice in result.choices:
        loads = RegimeLoads(lain, ratios)
        assert recheck(choice.programme, given, ratios, loads, (), now=NOW) == ()


def test_every_index_offered_lies_inside_its_band():
    for choice in invented.found(invented.case()).choices:
        for site in choice.assessment.sites:
            if site.index is not None:
                assert site.index_low <= site.index <= site.index_high


def test_a_contraindication_stops_before_any_load_is_looked_at():
    one = Contraindication(ContraindicationKind.UNSTABLE_SPINE)
    given = invented.case(person=invented.person(contraindications=(one,)))
    result = stopped(given, NOW)
    assert result.outcome is Outcome.STOPPED
    assert codes(result.reasons) == ["contraindicated"]
    assert result.choices == ()
    assert invented.found(given).outcome is Outcome.STOPPED


def test_refusal_stops():
    refused = Consent(ConsentKind.REFUSED, "Invented nurse", date(2026, 3, 1))
    given = invented.case(person=invented.person(consent=refused))
    assert codes(stopped(given, NOW).reasons) == ["refused"]


def test_nobody_is_turned_to_a_barred_side():
    barred = invented.person(turn_limits=(TurnLimit(Side.RIGHT, 0.0, "unstable right hip"),))
    result = invented.found(invented.case(person=barred), invented.regime(invented.case(), 10.0))
    assert result.choices
    assert all(turn >= 0.0 for choice in result.choices for turn in turns(choice))
    said = [reason for choice in result.choices for reason in choice.assessment.reasons]
    assert any("left scapula" in r.sentence for r in said if r.code == "stay-loaded")


def test_turning_to_one_side_only_never_qualifies_while_both_are_open():
    one_sided = invented.unit(orders=(Order.LEFT_LEVEL, Order.RIGHT_LEVEL))
    result = invented.found(invented.case(one_sided))
    assert result.outcome is Outcome.NONE_QUALIFIES
    assert not any(choice.assessment.qualifies for choice in result.choices)


def test_a_protected_site_is_loaded_beyond_its_ceiling_in_no_offered_stay():
    allowed = ProtectedSite(Site.SACRUM, "healing wound", 0.6, SIGNED)
    given = invented.case(person=invented.person(protected_sites=(allowed,)))
    result = invented.found(given)
    assert result.outcome is Outcome.OFFERED
    for choice in result.choices:
        assert min(abs(turn) for turn in turns(choice)) >= radians_from_deg(20.0) - 1e-9


def test_an_unsigned_ceiling_does_not_raise_what_a_protected_site_may_bear():
    unsigned = ProtectedSite(Site.SACRUM, "healing wound", 0.6, replace(SIGNED, by=""))
    given = invented.case(person=invented.person(protected_sites=(unsigned,)))
    assert invented.found(given).outcome is Outcome.NONE_QUALIFIES


def test_a_wound_no_turn_spares_leaves_nothing_to_propose_and_is_named():
    wound = ProtectedSite(Site.SACRUM, "open wound")
    given = invented.case(person=invented.person(protected_sites=(wound,)))
    result = invented.found(given)
    assert result.outcome is Outcome.NONE_QUALIFIES
    assert result.choices == ()
    loads = invented.load_ratios(given)
    reach = given.equipment.ability.largest_turn_left
    settable = [n for n, posture in enumerate(loads.postures) if abs(posture.turn) <= reach]
    largest = loads.ratio[:, settable, loads.sites.index(Site.SACRUM)].max(axis=0)
    forbids, by_hand, hand, *others = result.reasons
    assert forbids.code == "protection-forbids"
    borne = f"the sacrum bears {largest.min():.2f} to {largest.max():.2f} of its reference load"
    assert borne in forbids.sentence
    assert by_hand.code == "by-hand-until-spared"
    assert "to the left, right side raised, at 07:00 and 17:00" in by_hand.sentence
    assert hand.code == "pass-a-hand"
    assert "nothing-settable" in codes(others)


def test_no_turn_by_hand_lies_on_what_is_protected():
    wound = ProtectedSite(Site.LEFT_TROCHANTER, "open wound", 0.1, SIGNED)
    result = invented.found(invented.case(person=invented.person(protected_sites=(wound,))))
    (by_hand,) = [r for r in result.reasons if r.code == "by-hand-until-spared"]
    assert "to the right, left side raised" in by_hand.sentence
    assert "to the left" not in by_hand.sentence


def test_a_protected_site_no_turn_spares_or_nobody_computes_is_left_to_a_practitioner():
    ear = ProtectedSite(Site.LEFT_EAR, "open wound")
    result = invented.found(invented.case(person=invented.person(protected_sites=(ear,))))
    assert result.choices == ()
    assert codes(result.reasons)[:2] == ["protection-forbids", "no-turn-spares"]
    assert "the left ear bears nobody knows how much" in result.reasons[0].sentence


def test_what_is_closest_loads_no_protected_site_not_even_while_it_is_built_up():
    person = invented.person(
        protected_sites=(ProtectedSite(Site.SACRUM, "healing wound", 0.6, SIGNED),)
    )
    lunch = prescribed("long lunch", 12, 15, Posture(backrest=radians_from_deg(45.0)))
    result = invented.found(with_prescribed(None, lunch, person=person))
    assert result.outcome is Outcome.NONE_QUALIFIES
    assert result.choices
    for choice in result.choices:
        assert min(abs(turn) for turn in turns(choice)) >= radians_from_deg(20.0) - 1e-9
        assert not any("10°" in step.look for step in choice.programme.build_up)


def test_what_a_hand_that_passes_would_change_is_recomputed():
    wound = ProtectedSite(Site.SACRUM, "open wound")
    result = invented.found(invented.case(person=invented.person(protected_sites=(wound,))))
    (change,) = [reason for reason in result.reasons if reason.code == "hand-passes"]
    assert "would qualify" in change.sentence


def test_a_backrest_that_pauses_the_unit_overnight_is_said_first():
    unit = invented.unit(pauses_above_backrest=radians_from_deg(30.0))
    result = invented.found(with_prescribed(unit, FEED))
    assert result.reasons[0].code == "unit-pauses"
    for choice in result.choices:
        (feed,) = [w for w in choice.programme.windows if w.name == "overnight feed"]
        assert len(feed.cycle) == 1
    assert "backrest-lowered" in codes(result.reasons)


def test_a_unit_whose_backrest_always_pauses_it_is_offered_nothing():
    given = invented.case(invented.unit(pauses_above_backrest=radians_from_deg(10.0)))
    given = replace(given, day=replace(given.day, usual_backrest=radians_from_deg(15.0)))
    result = invented.found(given)
    assert result.outcome is Outcome.NONE_QUALIFIES
    assert codes(result.reasons)[:2] == ["unit-pauses", "unit-pauses"]
    assert "never-turns" in codes(result.reasons)
    assert result.choices == ()


def test_a_unit_of_too_small_reach_is_told_what_more_would_change():
    small = invented.unit(
        largest_turn_left=radians_from_deg(10.0),
        largest_turn_right=radians_from_deg(10.0),
        shortest_stay=seconds_from_min(120.0),
    )
    result = invented.found(invented.case(small))
    assert result.outcome is Outcome.NONE_QUALIFIES
    (more,) = [reason for reason in result.reasons if reason.code == "more-turn"]
    assert "would qualify" in more.sentence
    assert result.choices
    assert all(choice.name is ChoiceName.CLOSEST for choice in result.choices)


def test_turns_by_hand_that_would_make_it_qualify_are_planned_without_an_owner():
    lunch = prescribed("long lunch", 12, 15, Posture(backrest=radians_from_deg(45.0)))
    given = with_prescribed(None, lunch)
    given = replace(given, day=replace(given.day, rounds=(13.5 * HOUR, 22 * HOUR)))
    result = invented.found(given)
    assert result.outcome is Outcome.NONE_QUALIFIES
    (reason,) = [r for r in result.choices[0].reasons if r.code == "turns-by-hand"]
    assert "to the right, left side raised, at 13:30" in reason.sentence
    assert "it would reach the regime compared" in reason.sentence
    assert "for its prescriber to say" in reason.sentence
    by_hand = [t for t in result.choices[0].programme.tasks if "Turn by hand" in t.what]
    assert [task.owner for task in by_hand] == [""]
    assert "no-owner" in codes(result.cannot_accept)


def test_a_chair_leaves_its_sites_untold_and_the_rest_of_the_day_ranked():
    result = invented.found(with_prescribed(None, CHAIR))
    assert result.outcome is Outcome.OFFERED
    assert "out-of-bed" in codes(result.cautions)
    for choice in result.choices:
        sacrum = next(one for one in choice.assessment.sites if one.site is Site.SACRUM)
        assert sacrum.standing is SiteStanding.CANNOT_TELL
        assert sacrum.index is sacrum.peak_allowance is None
        assert "rest-of-day" in codes(choice.assessment.reasons)


def test_an_unknown_load_in_a_turning_window_is_never_offered():
    given = invented.case()
    lain = invented.regime(given)
    ratios = invented.load_ratios(given, postures=invented.regime_postures(lain))
    unknown = ratios.ratio.copy()
    turned = ratios.position(Posture(turn=radians_from_deg(10.0)))
    unknown[1, turned, ratios.sites.index(Site.SPINE)] = np.nan
    yardstick = invented.measured_by(given, ratios, lain)
    result = find(given, replace(ratios, ratio=unknown), yardstick, NOW)
    assert result.outcome is Outcome.OFFERED
    for choice in result.choices:
        assert radians_from_deg(10.0) not in turns(choice)


def test_a_posture_unstable_in_one_draw_is_never_offered():
    given = invented.case()
    lain = invented.regime(given)
    ratios = invented.load_ratios(given, postures=invented.regime_postures(lain))
    stable = ratios.is_stable.copy()
    far = ratios.postures.index(Posture(turn=given.equipment.ability.largest_turn_left))
    stable[2, far] = False
    shaky = replace(ratios, is_stable=stable)
    result = find(given, shaky, invented.measured_by(given, ratios, lain), NOW)
    assert result.outcome is Outcome.OFFERED
    for choice in result.choices:
        assert max(turns(choice)) < radians_from_deg(29.0)


def test_a_regime_whose_load_is_unknown_ends_without_an_answer():
    given = invented.case()
    lain = invented.regime(given)
    ratios = invented.load_ratios(given, postures=invented.regime_postures(lain))
    yardstick = invented.measured_by(given, ratios, lain)
    peak = yardstick.peaks.peak.copy()
    peak[:, ratios.sites.index(Site.SACRUM)] = np.nan
    blind = replace(yardstick, peaks=replace(yardstick.peaks, peak=peak))
    result = find(given, ratios, blind, NOW)
    assert result.outcome is Outcome.CANNOT_TELL
    assert "sacrum" in result.reasons[0].sentence


def test_what_each_rule_removed_is_counted_with_an_example():
    result = invented.found(invented.case())
    assert result.candidates == 2 * (3 * 16 + 3 * 4 + 2 * 3 * 16)
    assert all(one.count > 0 and one.example.sentence for one in result.ruled_out)


def test_choices_too_close_to_tell_apart_are_said_to_be():
    alike = invented.unit(
        smallest_turn=radians_from_deg(26.0),
        turn_step=radians_from_deg(2.0),
        orders=(Order.LEFT_RIGHT,),
    )
    result = invented.found(invented.case(alike), spread=0.2, draws=9, by_posture=True)
    said = [codes(choice.reasons) for choice in result.choices]
    assert any("cannot-be-told-apart" in one for one in said)


def test_a_programme_few_draws_agree_on_is_not_named_while_others_are_agreed_on():
    result = invented.found(invented.case(), spread=0.6, draws=9, by_posture=True)
    assert result.outcome is Outcome.OFFERED
    shares = [choice.assessment.share_of_draws for choice in result.choices]
    assert min(shares) >= 0.5


def test_no_sentence_promises_safety_or_names_a_side_without_saying_which_is_raised():
    for given in (invented.case(), with_prescribed(None, CHAIR)):
        result = invented.found(given)
        said = [reason.sentence for reason in (*result.reasons, *result.cautions)]
        for choice in result.choices:
            said.extend(r.sentence for r in (*choice.reasons, *choice.assessment.reasons))
            said.extend(choice.settings)
        assert not any("safe" in sentence.lower() for sentence in said)
        turned = [sentence for sentence in said if "turned to the" in sentence]
        assert all("side raised" in sentence for sentence in turned)


@pytest.mark.parametrize("programmes", [1, 2])
def test_planning_twice_gives_the_same_answer(programmes):
    given = invented.case(invented.unit(programmes_per_day=programmes))
    assert invented.found(given) == invented.found(given)
