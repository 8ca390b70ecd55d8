"""Whatever the loads and the unit: what is offered keeps every rule, judged by other code."""

from dataclasses import replace
from datetime import date

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from leeward.programme.decision import Outcome
from leeward.programme.planning import find
from leeward.programme.recheck import recheck
from leeward.programme.recheck_day import RegimeLoads
from leeward.terms.clock import DaySpan
from leeward.terms.day import PrescribedWindow
from leeward.terms.person import ProtectedSite, SignedReason, TurnLimit
from leeward.terms.posture import Place, Posture
from leeward.terms.regime import Looks
from leeward.terms.site import Side, Site
from leeward.terms.units import radians_from_deg, seconds_from_min
from tests.unit.programme import invented
from tests.unit.programme.invented import HOUR

DAYS = (
    (),
    (PrescribedWindow("chair", DaySpan(9 * HOUR, 11 * HOUR), Posture(place=Place.CHAIR), False),),
    (
        PrescribedWindow(
            "lunch", DaySpan(12 * HOUR, 13 * HOUR), Posture(backrest=radians_from_deg(50.0)), False
        ),
        PrescribedWindow(
            "feed", DaySpan(23 * HOUR, 2 * HOUR), Posture(backrest=radians_from_deg(25.0)), True
        ),
    ),
)
SIGNED = SignedReason("Invented nurse", date(2026, 3, 1), "tolerated before")
PEOPLE = (
    {},
    {"turn_limits": (TurnLimit(Side.LEFT, radians_from_deg(20.0), "sore hip"),)},
    {"turn_limits": (TurnLimit(Side.LEFT, 0.0, "unstable hip"),)},
    {"protected_sites": (ProtectedSite(Site.SACRUM, "healing", 0.7, SIGNED),)},
    {"no_level_stays": SIGNED},
)
units = st.builds(
    lambda turns, stays, level, programmes, pauses: invented.unit(
        turns_may_differ=turns,
        stays_may_differ=stays,
        level_stay_may_differ=level,
        programmes_per_day=programmes,
        pauses_above_backrest=pauses,
        stay_step=seconds_from_min(45.0),
    ),
    st.booleans(),
    st.booleans(),
    st.booleans(),
    st.sampled_from([1, 2]),
    st.sampled_from([None, radians_from_deg(20.0), radians_from_deg(30.0)]),
)


@settings(max_examples=30)
@given(units, st.sampled_from(DAYS), st.sampled_from(PEOPLE), st.integers(0, 2**32 - 1))
def test_the_independent_recheck_finds_nothing_against_anything_offered(unit, day, person, seed):
    case = invented.case(unit, person=invented.person(**person))
    case = replace(case, day=replace(case.day, prescribed=day))
    lain = replace(
        invented.regime(case),
        layers=(),
        first=date(2026, 2, 1),
        last=date(2026, 3, 2),
        looks=Looks(5, date(2026, 2, 20), date(2026, 3, 1), "Invented nurse", True),
    )
    case = replace(case, regimes=(lain,))
    ratios = invented.load_ratios(case, postures=invented.regime_postures(lain))
    noise = np.exp(0.25 * np.random.default_rng(seed).standard_normal(ratios.ratio.shape))
    ratios = replace(ratios, ratio=ratios.ratio * noise)
    result = find(case, ratios, invented.measured_by(case, ratios, lain), invented.NOW)
    assert result.outcome in (Outcome.OFFERED, Outcome.NONE_QUALIFIES)
    assert (result.outcome is Outcome.OFFERED) == any(
        choice.assessment.qualifies for choice in result.choices
    )
    for choice in result.choices:
        found = recheck(
            choice.programme, case, ratios, RegimeLoads(lain, ratios), (), now=invented.NOW
        )
        assert bool(found) == (result.outcome is Outcome.NONE_QUALIFIES)
