"""What a hand found against what the model says."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from leeward.terms.posture import Place, Posture
from leeward.terms.regime import Event, EventKind
from leeward.terms.site import Site
from leeward.terms.skin import HandCheck, HandPassage
from leeward.tissue.hand_check import standing_hand_checks, with_hand_checks
from leeward.tissue.load_ratios import LoadRatios
from tests.unit.tissue.test_standing import CASE

WHEN = datetime(2026, 11, 20, 9, 0, tzinfo=UTC)
TURNS = (-0.4, -0.2, 0.0, 0.2, 0.3, 0.4)
POSTURES = (*(Posture(turn=turn) for turn in TURNS), Posture(turn=0.4, backrest=0.5))
SITES = (Site.SACRUM, Site.COCCYX)
MODEL = LoadRatios(POSTURES, SITES, np.full((2, 7, 2), 0.5), np.ones((2, 7), dtype=bool))


def check(turn: float, passage: HandPassage, site: Site = Site.SACRUM, hour: int = 0) -> HandCheck:
    return HandCheck(WHEN + timedelta(hours=hour), "nurse", site, turn, passage)


def sacrum(*checks: HandCheck) -> list[float]:
    found = with_hand_checks(MODEL, checks, usual_backrest=0.0)
    assert (found.ratio[0] == found.ratio[1]).all()
    return [float(q) for q in found.ratio[0, :, 0]]


def test_without_a_check_the_model_stays():
    assert sacrum() == [0.5] * 7


def test_a_passing_hand_rules_from_its_turn_on_towards_that_side_only():
    assert sacrum(check(0.3, HandPassage.PASSES))[:6] == [0.5, 0.5, 0.5, 0.5, 0.2, 0.2]


def test_a_check_rules_up_to_the_next_one():
    found = sacrum(check(0.2, HandPassage.TIGHT), check(0.4, HandPassage.PASSES))
    assert found[3:6] == [0.6, 0.6, 0.2]


def test_a_hand_that_does_not_pass_at_more_turn_leaves_no_relief_at_less():
    assert sacrum(check(0.4, HandPassage.DOES_NOT_PASS))[3:6] == [0.85, 0.85, 0.85]


def test_the_later_of_two_checks_at_one_turn_holds():
    passes, fails = HandPassage.PASSES, HandPassage.DOES_NOT_PASS
    assert sacrum(check(0.4, fails, hour=2), check(0.4, passes))[5] == 0.85
    assert sacrum(check(0.4, passes, hour=2), check(0.4, fails))[5] == 0.2


def test_at_another_backrest_the_heavier_of_the_checks_around_counts():
    turned = (Posture(turn=0.3, backrest=0.5),)
    model = LoadRatios(turned, SITES, np.full((1, 1, 2), 0.5), np.ones((1, 1), dtype=bool))
    checks = (check(0.2, HandPassage.PASSES), check(0.4, HandPassage.DOES_NOT_PASS))
    assert with_hand_checks(model, checks, 0.0).ratio[0, 0].tolist() == [0.85, 0.5]


def test_a_check_rules_at_the_backrest_it_was_made_at():
    found = with_hand_checks(MODEL, [check(0.4, HandPassage.PASSES)], usual_backrest=0.5)
    assert found.ratio[0, 5:, 0].tolist() == [0.5, 0.2]


def test_at_another_backrest_a_check_can_only_raise_the_load():
    assert sacrum(check(0.4, HandPassage.PASSES))[6] == 0.5
    assert sacrum(check(0.4, HandPassage.DOES_NOT_PASS))[6] == 0.85


@pytest.mark.parametrize("passage", HandPassage)
def test_a_check_at_level_changes_nothing(passage: HandPassage):
    assert sacrum(check(0.0, passage)) == [0.5] * 7


def test_under_another_site_a_hand_can_only_raise_the_load():
    for passage, expected in ((HandPassage.PASSES, 0.5), (HandPassage.TIGHT, 0.6)):
        found = with_hand_checks(MODEL, [check(0.4, passage, Site.COCCYX)], 0.0)
        assert found.ratio[0, 5].tolist() == [0.5, expected]


def test_out_of_bed_and_unknown_loads_stay_unknown():
    chair = (Posture(turn=0.4, place=Place.CHAIR), Posture(turn=0.2))
    model = LoadRatios(chair, SITES, np.full((1, 2, 2), np.nan), np.ones((1, 2), dtype=bool))
    found = with_hand_checks(model, [check(0.4, HandPassage.PASSES)], 0.0)
    assert np.isnan(found.ratio).all()


def test_the_model_given_is_left_as_it_was():
    sacrum(check(0.2, HandPassage.PASSES))
    assert (MODEL.ratio == 0.5).all()


def test_a_hand_that_passed_says_nothing_of_a_new_mattress():
    before, after = datetime(2026, 11, 1, 9, tzinfo=UTC), datetime(2026, 11, 20, 9, tzinfo=UTC)
    now = datetime(2026, 11, 25, 9, tzinfo=UTC)
    checks = tuple(
        HandCheck(when, "therapist", Site.SACRUM, 0.4, passage)
        for when in (before, after)
        for passage in (HandPassage.PASSES, HandPassage.DOES_NOT_PASS)
    )
    event = Event(EventKind.NEW_MATTRESS, date(2026, 11, 10))
    case = replace(CASE, hand_checks=checks, events=(event,))
    kept = [(one.when, one.passage) for one in standing_hand_checks(case, now)]
    assert kept == [
        (before, HandPassage.DOES_NOT_PASS),
        (after, HandPassage.PASSES),
        (after, HandPassage.DOES_NOT_PASS),
    ]


def test_a_hand_check_dated_later_is_no_evidence():
    later = datetime(2026, 11, 26, 9, tzinfo=UTC)
    check_later = HandCheck(later, "therapist", Site.SACRUM, 0.4, HandPassage.PASSES)
    case = replace(CASE, hand_checks=(check_later,))
    assert standing_hand_checks(case, datetime(2026, 11, 25, 9, tzinfo=UTC)) == ()
