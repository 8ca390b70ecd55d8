"""Loads beside those of a plan: by hand, at other settings, on another bed."""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np

from leeward.contact.loads import each_in_turn
from leeward.terms.posture import Place, Posture
from leeward.terms.site import Site
from leeward.terms.skin import HandCheck, HandPassage
from leeward.terms.units import radians_from_deg
from leeward.tissue.demand import LEVEL
from leeward.tissue.further_demand import Further, further_ratios, further_tables, rows_by_hand
from tests.unit.tissue.lain import CASE, FOAM, found, turned

NOW = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


def ratios(*asked, likeliest_only=False):
    return further_ratios(found(), asked, NOW, each_in_turn, likeliest_only=likeliest_only)


def test_a_turn_by_hand_bears_what_the_regime_turned_by_hand_did():
    (by_hand,) = ratios(Further(CASE, (turned(20.0), turned(-20.0)), by_hand=True))
    regime = found().compared.ratios
    rows = [regime.position(posture) for posture in by_hand.postures]
    np.testing.assert_allclose(by_hand.ratio, regime.ratio[:, rows], atol=1e-6)
    assert by_hand.is_stable.all()


def test_what_the_unit_does_is_what_the_plan_says_it_does():
    (by_unit,) = ratios(Further(CASE, (turned(20.0), LEVEL, Posture(place=Place.CHAIR))))
    assert by_unit.postures == (turned(20.0), LEVEL)
    known = found().ratios
    rows = [known.position(posture) for posture in by_unit.postures]
    np.testing.assert_allclose(by_unit.ratio, known.ratio[:, rows], atol=1e-6)


def test_the_likeliest_loads_are_the_first_of_all_draws():
    asked = Further(CASE, (turned(20.0),), by_hand=True)
    (likeliest,) = ratios(asked, likeliest_only=True)
    (tables,) = further_tables([asked], NOW, each_in_turn, likeliest_only=True)
    assert likeliest.ratio.shape[0] == 1
    assert rows_by_hand(CASE, tables[0]) == [0]
    regime = found().compared.ratios
    at = regime.position(turned(20.0))
    np.testing.assert_allclose(likeliest.ratio[0, 0], regime.ratio[0, at], atol=1e-6)


def test_a_softer_mattress_is_measured_by_the_loads_of_the_present_one():
    softer = replace(CASE, bed=replace(CASE.bed, mattress=replace(FOAM, cv40=2000.0)))
    on_softer, on_present = ratios(
        Further(softer, (LEVEL,)), Further(CASE, (LEVEL,)), likeliest_only=True
    )
    seat = [found().ratios.sites.index(s) for s in (Site.SACRUM, Site.LEFT_BUTTOCK)]
    assert (on_softer.ratio[0, 0, seat] < on_present.ratio[0, 0, seat]).all()


def test_what_a_hand_found_stands_where_the_unit_turns_but_not_where_people_do():
    check = HandCheck(
        NOW, "Invented nurse", Site.SACRUM, radians_from_deg(20.0), HandPassage.PASSES
    )
    looked = replace(CASE, hand_checks=(check,))
    by_unit, by_hand = ratios(
        Further(looked, (turned(20.0),)),
        Further(looked, (turned(20.0),), by_hand=True),
        likeliest_only=True,
    )
    column = found().ratios.sites.index(Site.SACRUM)
    assert by_unit.ratio[0, 0, column] == 0.2
    assert by_hand.ratio[0, 0, column] > 0.5
