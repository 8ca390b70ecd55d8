"""Two paths, one answer: what the search offers passes the recheck, what falls short does not."""

from dataclasses import replace
from datetime import date

from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from leeward.programme.decision import ChoiceName, Outcome
from leeward.programme.planning import find
from leeward.programme.recheck import recheck
from leeward.programme.recheck_day import RegimeLoads
from leeward.terms.case import Case
from leeward.terms.clock import DaySpan
from leeward.terms.day import PrescribedWindow
from leeward.terms.equipment import Order, SurfaceKind
from leeward.terms.person import ProtectedSite, SignedReason, TurnLimit
from leeward.terms.posture import Place, Posture
from leeward.terms.regime import Looks, Policy, Regime
from leeward.terms.site import Side, Site
from leeward.terms.units import radians_from_deg
from tests.unit.programme import invented
from tests.unit.programme.invented import HOUR, NOW

SIGNED = SignedReason("Invented practitioner", date(2026, 3, 1), "discussed")

abilities = st.fixed_dictionaries(
    {
        "largest_turn_left": st.sampled_from(invented.deg(20.0, 30.0)),
        "largest_turn_right": st.sampled_from(invented.deg(20.0, 30.0)),
        "orders": st.sets(st.sampled_from(Order), min_size=1).map(lambda s: tuple(sorted(s))),
        "turns_may_differ": st.booleans(),
        "stays_may_differ": st.booleans(),
        "level_stay_may_differ": st.booleans(),
        "programmes_per_day": st.sampled_from([1, 2]),
        "pauses_above_backrest": st.none() | st.just(radians_from_deg(25.0)),
    }
)
meals = st.sampled_from(
    [
        (),
        (PrescribedWindow("lunch", DaySpan(12 * HOUR, 13 * HOUR),
                          Posture(backrest=radians_from_deg(50.0)), False, "Dietitian"),),
        (PrescribedWindow("chair", DaySpan(14 * HOUR, 15.25 * HOUR),
                          Posture(place=Place.CHAIR), False, ""),),
        (PrescribedWindow("feed", DaySpan(21 * HOUR, 23.5 * HOUR),
                          Posture(backrest=radians_from_deg(30.0)), True, "Dietitian"),),
    ]
)  # fmt: skip
persons = st.sampled_from(
    [
        {},
        {"turn_limits": (TurnLimit(Side.LEFT, 0.0, "left hip"),)},
        {"turn_limits": (TurnLimit(Side.RIGHT, radians_from_deg(22.0), "right shoulder"),)},
        {"no_level_stays": SIGNED},
        {"protected_sites": (ProtectedSite(Site.SACRUM, "wound", 0.4, SIGNED),)},
    ]
)
policies = st.none() | st.just(Policy("invented", "invented", 1.5 * HOUR, radians_from_deg(30.0)))
regimes = st.tuples(st.sampled_from([20.0, 30.0]), st.sampled_from([90.0, 120.0, 180.0]))


@st.composite
def cases(draw: st.DrawFn) -> tuple[Case, Regime]:
    """A case and the regime seen clear that it is compared with."""
    unit = invented.unit(draw(st.sampled_from(SurfaceKind)), **draw(abilities))
    plain = invented.case(unit)
    given = replace(
        plain,
        person=replace(plain.person, **draw(persons)),
        day=replace(
            plain.day,
            prescribed=draw(meals),
            usual_backrest=draw(st.sampled_from(invented.deg(0.0, 20.0))),
        ),
        policy=draw(policies),
    )
    looks = Looks(6, date(2026, 2, 20), date(2026, 3, 1), "Invented nurse", True)
    lain = replace(invented.regime(given, *draw(regimes)), layers=(), looks=looks)
    return replace(given, regimes=(lain,)), lain


@settings(max_examples=25, suppress_health_check=list(HealthCheck))
@given(cases())
def test_the_recheck_agrees_with_the_search(asked: tuple[Case, Regime]):
    case, lain = asked
    ratios = invented.load_ratios(case, postures=invented.regime_postures(lain), draws=2)
    findings = find(case, ratios, invented.measured_by(case, ratios, lain), NOW)
    event(str(findings.outcome))
    for choice in findings.choices:
        loads = RegimeLoads(lain, ratios)
        found = recheck(choice.programme, case, ratios, loads, now=NOW)
        falls_short = choice.name is ChoiceName.CLOSEST
        assert bool(found) == falls_short, (choice, found)
    assert findings.outcome is not Outcome.OFFERED or findings.choices
