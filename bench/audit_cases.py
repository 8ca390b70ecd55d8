"""Random cases and units, planned: what the audit looks at. Invented, all of it."""

import math
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime

import numpy as np

from bench.audit_rules import CHOICE_RULES, NEAR_INDEX, Audited, Loads, indices
from leeward.programme.build_up import build_up
from leeward.programme.decision import (
    Assessment,
    Choice,
    ChoiceName,
    Decision,
    Disturbance,
    Outcome,
)
from leeward.programme.offloading import manual_tasks
from leeward.programme.planning import Findings, find, stopped
from leeward.programme.problem import Problem, problem
from leeward.programme.programme import Programme, Window
from leeward.programme.settable import needed_postures
from leeward.programme.windows import WindowKind, day_windows
from leeward.programme.yardstick import Yardstick, yardstick
from leeward.terms.bed import Bed, Mattress, MattressKind
from leeward.terms.body import Body, Sex
from leeward.terms.case import Case, Placement
from leeward.terms.clock import DaySpan
from leeward.terms.day import Day, OffloadingAssignment, PrescribedWindow
from leeward.terms.equipment import (
    Ability,
    AfterPowerLoss,
    Equipment,
    Order,
    SurfaceGeometry,
    SurfaceKind,
)
from leeward.terms.limits import Limit
from leeward.terms.person import (
    Aim,
    Consent,
    ConsentKind,
    Contraindication,
    ContraindicationKind,
    Line,
    Person,
    ProtectedSite,
    SignedReason,
    TurnLimit,
)
from leeward.terms.posture import Place, Posture
from leeward.terms.posture_limits import PostureLimits
from leeward.terms.regime import Policy, Regime, RegimeStanding, Stay, TurnMeans
from leeward.terms.site import RESPONSIVE_SITES, Side, Site
from leeward.tissue.allowance import steady_peak
from leeward.tissue.index import reference_peaks
from leeward.tissue.load_ratios import LoadRatios
from leeward.tissue.regime_day import regime_series
from leeward.tissue.standing import ComparedRegime

NOW = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
HOUR, MINUTE = 3600.0, 60.0
SIGNED = SignedReason("Invented practitioner", date(2026, 3, 1), "weighed with the team")
DRAWS = 2
MATTRESS = Mattress(MattressKind.FOAM, 0.14, 4000.0, 40.0)


@dataclass(frozen=True)
class Planned:
    """A case that was planned, with its search."""

    regime: Regime
    problem: Problem
    findings: Findings


def audited(rng: np.random.Generator) -> Audited:
    """One random case on one random unit, planned by the search alone: no recheck withholds."""
    case, regime, ratios = _random(rng)
    return audited_alone(case, regime, ratios)


def planned_pair(rng: np.random.Generator) -> Planned | None:
    """The same with its search; None where planning stops."""
    case, regime, ratios = _random(rng)
    if case.equipment is None or stopped(case, NOW) is not None:
        return None
    measure = _yardstick(case, regime, ratios)
    given = problem(case, case.equipment, ratios, measure)
    return Planned(regime, given, find(case, ratios, measure, NOW))


def _random(rng: np.random.Generator) -> tuple[Case, Regime, LoadRatios]:
    case, regime = random_case(rng), random_regime(rng)
    return replace(case, regimes=(regime,)), regime, random_ratios(rng, case, regime)


def _yardstick(case: Case, regime: Regime, ratios: LoadRatios) -> Yardstick:
    series = regime_series(regime)
    rows = [ratios.position(posture) for posture in series.postures]
    peak = steady_peak(series.durations, ratios.ratio[:, rows])
    seen = ComparedRegime(regime, regime.standing, frozenset(Site), frozenset())
    peaks = reference_peaks(ratios.sites, peak, seen)
    return yardstick(regime.name, peaks, regime, ratios, case.policy)


def as_decision(findings: Findings) -> Decision:
    """What the audit is shown of a planning."""
    return Decision(
        outcome=findings.outcome,
        choices=findings.choices,
        reasons=findings.reasons,
        cautions=findings.cautions,
        cannot_accept=findings.cannot_accept,
        ruled_out=findings.ruled_out,
        compared_with=findings.compared_with,
        missing=(),
        narrowing=None,
        candidates=findings.candidates,
        load_noise=0.0,
        interpolation_error=0.0,
        made_at=NOW,
        seed=0,
        software="audit",
        case_digest="",
    )


def random_case(rng: np.random.Generator) -> Case:
    """A case in which every restriction is there in some, and none in all."""
    owned = [s for s in (Site.OCCIPUT, Site.LEFT_HEEL, Site.RIGHT_HEEL) if rng.random() < 0.9]
    unit = random_unit(rng)
    friction = 0.4 if rng.random() < 0.6 else None
    return Case(
        person=random_person(rng),
        bed=Bed(mattress=MATTRESS, layers=(), friction=friction),
        equipment=unit,
        day=random_day(rng),
        policy=_maybe(rng, 0.4, Policy("invented", "invented", _stay(rng, 60, 240), 0.5)),
        offloading=tuple(OffloadingAssignment(site, "night carer", "floated") for site in owned),
        placement=Placement(0.0, "Invented nurse"),
        posture_limits=PostureLimits(
            turn_left=_some(rng, 0.15, Limit(_angle(rng, 10, 35), "rad", "rail")),
            turn_right=_some(rng, 0.15, Limit(_angle(rng, 10, 35), "rad", "rail")),
        ),
        invented="invented for the audit",
    )


def random_unit(rng: np.random.Generator) -> Equipment:
    """A unit of few settings: more would only take longer."""
    least, step = rng.choice([10.0, 15.0]), rng.choice([5.0, 10.0])
    steps = rng.integers(1, 4, 2)
    shortest, stay_step = rng.choice([30.0, 45.0, 60.0]), rng.choice([30.0, 45.0, 60.0])
    count = int(rng.integers(1, 5))
    orders = tuple(order for order in Order if rng.random() < 0.7) or (Order.LEFT_RIGHT,)
    ability = Ability(
        largest_turn_left=math.radians(least + step * steps[0]),
        largest_turn_right=math.radians(least + step * steps[1]),
        smallest_turn=math.radians(least),
        turn_step=math.radians(step),
        shortest_stay=shortest * MINUTE,
        longest_stay=(shortest + stay_step * count) * MINUTE,
        stay_step=stay_step * MINUTE,
        orders=orders,
        turns_may_differ=bool(rng.random() < 0.3),
        stays_may_differ=bool(rng.random() < 0.15),
        level_stay_may_differ=bool(rng.random() < 0.5),
        programmes_per_day=int(rng.integers(1, 3)),
        pauses_above_backrest=_maybe(rng, 0.5, _angle(rng, 15, 45)),
        rise_time=float(rng.choice([30.0, 120.0, 300.0])),
        least_mass=40.0,
        greatest_mass=180.0,
        least_width=0.8,
        greatest_width=1.0,
        after_power_loss=AfterPowerLoss.RESUMES,
    )
    kind = SurfaceKind.SPLIT if rng.random() < 0.6 else SurfaceKind.WHOLE
    geometry = SurfaceGeometry(kind, 1.9, 0.88, 0.1, 0.1, 18.0)
    return Equipment("Invented unit", "invented instructions", ability, geometry)


def random_person(rng: np.random.Generator) -> Person:
    """An adult inside the tables, with restrictions."""
    sites = rng.choice(np.array(RESPONSIVE_SITES, dtype=object), 2, replace=False)
    protected = [
        ProtectedSite(site, "wound", *_ceiling(rng)) for site in sites if rng.random() < 0.08
    ]
    limits = [
        TurnLimit(side, 0.0 if rng.random() < 0.3 else _angle(rng, 10, 35), "sore")
        for side in Side
        if rng.random() < 0.15
    ]
    signed = SIGNED if rng.random() < 0.6 else None
    kinds = list(ContraindicationKind)
    contra = Contraindication(kinds[int(rng.integers(len(kinds)))], signed)
    line = Line("drip", Side.LEFT, _maybe(rng, 0.7, _angle(rng, 10, 40)), _angle(rng, 10, 40))
    return Person(
        label="Invented person",
        body=Body(stature=1.70, mass=70.0, sex=Sex.FEMALE, age=71.0),
        has_dark_skin=False,
        goals="To sleep.",
        knows_right_to_refuse=True,
        consent=Consent(ConsentKind.GIVEN, "Invented nurse", date(2026, 3, 1)),
        aim=Aim.PREVENTION,
        turn_limits=tuple(limits),
        protected_sites=tuple(protected),
        lines=_some(rng, 0.3, line),
        contraindications=_some(rng, 0.05, contra),
        no_level_stays=_maybe(rng, 0.15, SIGNED),
    )


def _ceiling(rng: np.random.Generator) -> tuple[float | None, SignedReason | None]:
    ceiling = _maybe(rng, 0.7, float(rng.uniform(0.2, 0.9)))
    return ceiling, _maybe(rng, 0.7, SIGNED)


def random_day(rng: np.random.Generator) -> Day:
    """A night, and now and then a meal, a feed or a chair."""
    lunch = PrescribedWindow(
        "lunch", DaySpan(12 * HOUR, 13 * HOUR), Posture(backrest=_angle(rng, 30, 60)), False, "A."
    )
    chair = PrescribedWindow("chair", DaySpan(15 * HOUR, 16.5 * HOUR), Posture(place=Place.CHAIR),
                             False, "B.")  # fmt: skip
    feed = PrescribedWindow(
        "feed", DaySpan(20 * HOUR, 23.5 * HOUR), Posture(backrest=_angle(rng, 10, 30)), True, "C."
    )
    prescribed = [one for one, share in ((lunch, 0.4), (chair, 0.2), (feed, 0.2))
                  if rng.random() < share]  # fmt: skip
    start = float(rng.choice([21.0, 22.0, 23.0]))
    return Day(
        sleep=DaySpan(start * HOUR, float(rng.choice([6.0, 7.0])) * HOUR),
        prescribed=tuple(prescribed),
        rounds=(7 * HOUR, 12 * HOUR, 17 * HOUR, 22 * HOUR),
        usual_backrest=_angle(rng, 0, 30) if rng.random() < 0.3 else 0.0,
    )


def random_regime(rng: np.random.Generator) -> Regime:
    """Turns by hand that were seen clear."""
    turn, stay = _angle(rng, 15, 35), _stay(rng, 90, 300)
    signs = (1.0, 0.0, -1.0, 0.0) if rng.random() < 0.6 else (1.0, -1.0)
    cycle = tuple(Stay(Posture(turn=sign * turn), stay) for sign in signs)
    return Regime("Invented turning", RegimeStanding.CLEAR, TurnMeans.BY_HAND, cycle, MATTRESS)


def random_ratios(rng: np.random.Generator, case: Case, regime: Regime) -> LoadRatios:
    """Load ratios by an invented law of random strength; some unknown, some postures unstable."""
    lain = tuple(stay.posture for stay in regime.cycle)
    postures = tuple(dict.fromkeys((Posture(), *lain, *needed_postures(case))))
    sites = tuple(Site)
    strength = rng.uniform(0.9, 2.6, len(sites))
    level = rng.uniform(0.85, 1.15, len(sites))
    central = np.array(
        [[_law(s, p, level[n], strength[n]) for n, s in enumerate(sites)] for p in postures]
    )
    ratio = central * np.exp(0.05 * rng.standard_normal((DRAWS, 1, len(sites))))
    ratio = np.maximum(ratio, 0.0)
    is_stable = np.ones((DRAWS, len(postures)), dtype=bool)
    unstable, unknown = rng.choice([0.0, 0.1]), rng.choice([0.0, 0.1])
    for row, posture in enumerate(postures):
        if posture.place is not Place.BED:
            ratio[:, row], is_stable[:, row] = np.nan, False
        elif posture not in lain and rng.random() < unstable:
            is_stable[rng.integers(DRAWS), row] = False
        elif posture not in lain and rng.random() < unknown:
            ratio[rng.integers(DRAWS), row, rng.integers(len(sites))] = np.nan
    return LoadRatios(postures, sites, ratio, is_stable)


def _law(site: Site, posture: Posture, level: float, strength: float) -> float:
    tilt = math.sin(posture.turn)
    towards = tilt if site.side is Side.LEFT else -tilt
    if site.value in ("sacrum", "spine", "coccyx"):
        return level - strength * abs(tilt) + 0.3 * math.sin(posture.backrest)
    if "buttock" in site.value or "scapula" in site.value:
        return level + (0.4 if towards > 0.0 else strength) * towards
    if "trochanter" in site.value or "shoulder" in site.value:
        return 0.3 + 0.6 * strength * towards
    return 0.4 * level


def _maybe(rng: np.random.Generator, share: float, value):  # type: ignore[no-untyped-def]
    return value if rng.random() < share else None


def _some(rng: np.random.Generator, share: float, value):  # type: ignore[no-untyped-def]
    return (value,) if rng.random() < share else ()


def _angle(rng: np.random.Generator, least: int, most: int) -> float:
    return math.radians(float(rng.integers(least, most + 1)))


def _stay(rng: np.random.Generator, least_min: int, most_min: int) -> float:
    return 15.0 * MINUTE * float(rng.integers(least_min // 15, most_min // 15 + 1))


def audited_alone(case: Case, regime: Regime, ratios: LoadRatios) -> Audited:
    """A case as the audit sees it, planned by the search alone."""
    findings = stopped(case, NOW) or find(case, ratios, _yardstick(case, regime, ratios), NOW)
    loads = Loads(ratios.postures, ratios.sites, ratios.ratio, ratios.is_stable)
    return Audited(case, as_decision(findings), loads, regime, loads)


def known_answer(rng: np.random.Generator) -> Audited | None:
    """A random case built round a programme: the regime compared is that programme by hand, worse.

    A programme is drawn that the unit can be set to, then a regime of the same order with
    smaller turns and longer stays. None where the programme breaks a rule all the same: a side
    that may not be turned to, a posture that is not stable, a meal that loads too much.
    """
    case = random_case(rng)
    programme = _random_programme(rng, case)
    if programme is None or stopped(case, NOW) is not None:
        return None
    regime = _worse_by_hand(rng, programme)
    case = replace(case, regimes=(regime,))
    ratios = random_ratios(rng, case, regime)
    loads = Loads(ratios.postures, ratios.sites, ratios.ratio, ratios.is_stable)
    one = Audited(case, as_decision(_nothing()), loads, regime, loads)
    if broken_by(one, programme):
        return None
    # What the audit takes for rounding is no answer that must be found.
    if any(index > 1.0 - NEAR_INDEX for _, index in indices(one, _as_offered(programme))):
        return None
    return audited_alone(case, regime, ratios)


def _worse_by_hand(rng: np.random.Generator, programme: Programme) -> Regime:
    """A cycle of the programme with smaller turns and longer stays, seen clear."""
    cycles = [window.cycle for window in programme.windows if len(window.cycle) > 1]
    longest = max(cycles, key=lambda cycle: max(stay.duration for stay in cycle))
    turn, stay = rng.uniform(0.4, 1.0), rng.uniform(1.0, 2.5)
    cycle = tuple(Stay(Posture(turn=turn * s.posture.turn), stay * s.duration) for s in longest)
    return Regime("Invented turning", RegimeStanding.CLEAR, TurnMeans.BY_HAND, cycle, MATTRESS)


def _nothing() -> Findings:
    return Findings(Outcome.NONE_QUALIFIES, (), (), (), (), (), "nothing yet", 0)


def _random_programme(rng: np.random.Generator, case: Case) -> Programme | None:
    """Any cycle the unit can be set to, in every window that turns."""
    unit = case.equipment
    assert unit is not None
    ability = unit.ability
    windows = day_windows(case, ability)
    signs = {"L": 1.0, "-": 0.0, "R": -1.0}
    cycles: dict[bool, tuple[tuple[float, float], ...]] = {}
    for asleep in (False, True):
        sides = _SIDES[ability.orders[int(rng.integers(len(ability.orders)))]]
        steps = int(rng.integers(3))
        turn = ability.smallest_turn + steps * ability.turn_step
        count = round((ability.longest_stay - ability.shortest_stay) / ability.stay_step)
        stay = ability.shortest_stay + int(rng.integers(count + 1)) * ability.stay_step
        cycles[asleep] = tuple((signs[side] * turn, stay) for side in sides)
    if ability.programmes_per_day == 1:
        cycles[True] = cycles[False]
    known = needed_postures(case)
    written = []
    for window in windows:
        cycle = (Stay(window.posture, window.span.duration),)
        if window.kind is WindowKind.TURNING:
            pairs = cycles[window.is_sleep]
            cycle = tuple(Stay(_known(known, window.posture, turn), stay) for turn, stay in pairs)
        written.append(Window(window.name, window.span, cycle, window.prescribed_by))
    turning = tuple(one.cycle for one in written if len(one.cycle) > 1)
    if not turning:
        return None
    return Programme(tuple(written), build_up(turning, ability, lambda _: True), manual_tasks(case))


def _known(known: tuple[Posture, ...], setting: Posture, turn: float) -> Posture:
    near = (one for one in known if abs(one.turn - turn) < 1e-6 and one.with_turn(0.0) == setting)
    return next(near, setting.with_turn(turn))


_SIDES = {
    Order.LEFT_LEVEL_RIGHT_LEVEL: "L-R-",
    Order.LEFT_RIGHT: "LR",
    Order.LEFT_LEVEL: "L-",
    Order.RIGHT_LEVEL: "R-",
}


def broken_by(one: Audited, programme: Programme) -> list[str]:
    """Rules that a programme breaks when it is held to all that an offered one is held to."""
    return [line for rule in CHOICE_RULES for line in rule(one, _as_offered(programme))]


def _as_offered(programme: Programme) -> Choice:
    cost = Disturbance(0, 0, 0.0, 0.0, 0.0)
    assessment = Assessment(True, 1.0, (), None, cost, ())
    return Choice(ChoiceName.GENTLEST, programme, (), assessment, ())
