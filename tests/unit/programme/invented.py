"""Invented cases and load ratios for the tests of planning; nothing here was measured."""

from dataclasses import replace
from datetime import UTC, date, datetime

import numpy as np

from leeward.programme.changes import Change
from leeward.programme.hand_turns import (
    HandTurns,
    as_hand_turns,
    hand_postures,
    turned_by_hand_in,
)
from leeward.programme.helps import Variation
from leeward.programme.planning import Findings, find
from leeward.programme.problem import Problem, problem
from leeward.programme.settable import needed_postures
from leeward.programme.yardstick import Yardstick, yardstick
from leeward.terms.bed import Bed, Mattress, MattressKind
from leeward.terms.body import Body, Sex
from leeward.terms.case import Case, Placement
from leeward.terms.clock import DaySpan
from leeward.terms.day import Day, OffloadingAssignment
from leeward.terms.equipment import (
    Ability,
    AfterPowerLoss,
    Equipment,
    Order,
    SurfaceGeometry,
    SurfaceKind,
)
from leeward.terms.person import Aim, Consent, ConsentKind, Person
from leeward.terms.posture import Place, Posture
from leeward.terms.regime import Regime, RegimeStanding, Stay, TurnMeans
from leeward.terms.site import Side, Site
from leeward.terms.skin import SkinCheck, SkinFinding
from leeward.terms.units import radians_from_deg, seconds_from_min
from leeward.tissue.allowance import steady_peak
from leeward.tissue.index import reference_peaks
from leeward.tissue.load_ratios import LoadRatios
from leeward.tissue.regime_day import regime_series
from leeward.tissue.standing import ComparedRegime

NOW = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
HOUR = 3600.0


def deg(*angles_deg: float) -> tuple[float, ...]:
    return tuple(radians_from_deg(angle) for angle in angles_deg)


def ability(**changes: object) -> Ability:
    """A plain unit: 10, 20, 30 degrees; 30 to 120 minutes; day and night apart."""
    plain = Ability(
        largest_turn_left=radians_from_deg(30.0),
        largest_turn_right=radians_from_deg(30.0),
        smallest_turn=radians_from_deg(10.0),
        turn_step=radians_from_deg(10.0),
        shortest_stay=seconds_from_min(30.0),
        longest_stay=seconds_from_min(120.0),
        stay_step=seconds_from_min(30.0),
        orders=tuple(Order),
        turns_may_differ=False,
        stays_may_differ=False,
        level_stay_may_differ=True,
        programmes_per_day=2,
        pauses_above_backrest=None,
        rise_time=60.0,
        least_mass=40.0,
        greatest_mass=180.0,
        least_width=0.8,
        greatest_width=1.0,
        after_power_loss=AfterPowerLoss.RESUMES,
    )
    return replace(plain, **changes)  # type: ignore[arg-type]


def unit(kind: SurfaceKind = SurfaceKind.SPLIT, **changes: object) -> Equipment:
    geometry = SurfaceGeometry(kind, 1.9, 0.88, 0.1, 0.1, 18.0)
    return Equipment("Invented unit", "invented instructions", ability(**changes), geometry)


def person(**changes: object) -> Person:
    plain = Person(
        label="Invented person",
        body=Body(stature=1.70, mass=70.0, sex=Sex.FEMALE, age=71.0),
        has_dark_skin=False,
        goals="Sleep through the night.",
        knows_right_to_refuse=True,
        consent=Consent(ConsentKind.GIVEN, "Invented nurse", date(2026, 3, 1)),
        aim=Aim.PREVENTION,
    )
    return replace(plain, **changes)  # type: ignore[arg-type]


def case(equipment: Equipment | None = None, **changes: object) -> Case:
    """A case with nothing open: everything asked is answered."""
    owned = (Site.OCCIPUT, Site.LEFT_HEEL, Site.RIGHT_HEEL, Site.LEFT_ELBOW, Site.RIGHT_ELBOW)
    plain = Case(
        person=person(),
        bed=Bed(mattress=Mattress(MattressKind.FOAM, 0.14, 4000.0, 40.0), layers=(), friction=0.4),
        equipment=equipment or unit(),
        day=Day(
            sleep=DaySpan(22 * HOUR, 7 * HOUR),
            rounds=(7 * HOUR, 12 * HOUR, 17 * HOUR, 22 * HOUR),
        ),
        skin_checks=(
            SkinCheck(
                datetime(2026, 3, 2, 8, 0, tzinfo=UTC),
                "Invented nurse",
                Site.SACRUM,
                SkinFinding.CLEAR,
            ),
        ),
        offloading=tuple(OffloadingAssignment(site, "night carer", "floated") for site in owned),
        placement=Placement(0.0, "Invented nurse"),
        invented="invented for tests",
    )
    return replace(plain, **changes)  # type: ignore[arg-type]


def load_ratio(site: Site, posture: Posture) -> float:
    """An invented law: turning takes load off the raised side and the mid-line."""
    if posture.place is not Place.BED:
        return float("nan")
    tilt = np.sin(posture.turn)
    if site.value in ("sacrum", "spine", "coccyx"):
        return float(max(0.0, 1.05 - 1.6 * abs(tilt) + 0.3 * np.sin(posture.backrest)))
    if "buttock" in site.value or "scapula" in site.value:
        towards = tilt if site.side is Side.LEFT else -tilt
        return float(max(0.0, 1.0 + (0.5 if towards > 0.0 else 1.6) * towards))
    if "trochanter" in site.value:
        towards = tilt if site.side is Side.LEFT else -tilt
        return float(max(0.0, 0.3 + 0.9 * towards))
    if site.value in ("left toes", "right toes", "left ear", "right ear"):
        return float("nan")
    return 0.4


def load_ratios(
    given: Case,
    *,
    draws: int = 3,
    spread: float = 0.05,
    postures: tuple[Posture, ...] = (),
    by_posture: bool = False,
) -> LoadRatios:
    """Load ratios of the invented law for every posture a case needs; seeded draws.

    A draw scales each site, or each site anew in every posture.
    """
    listed = tuple(dict.fromkeys((*needed_postures(given), *postures)))
    sites = tuple(Site)
    central = np.array([[load_ratio(site, one) for site in sites] for one in listed])
    shape = (draws, len(listed) if by_posture else 1, len(sites))
    factors = np.exp(spread * np.random.default_rng(7).standard_normal(shape))
    factors[0] = 1.0
    known = np.array([one.place is Place.BED for one in listed])
    return LoadRatios(listed, sites, central * factors, np.tile(known, (draws, 1)))


def regime(
    given: Case,
    turn_deg: float = 30.0,
    stay_min: float = 120.0,
    standing: RegimeStanding = RegimeStanding.CLEAR,
) -> Regime:
    """Left, level, right, level by hand, as invented."""
    turn, stay = radians_from_deg(turn_deg), seconds_from_min(stay_min)
    cycle = tuple(Stay(Posture(turn=sign * turn), stay) for sign in (1.0, 0.0, -1.0, 0.0))
    return Regime("Invented turning", standing, TurnMeans.BY_HAND, cycle, given.bed.mattress)


def regime_postures(lain: Regime) -> tuple[Posture, ...]:
    return tuple(stay.posture for stay in lain.cycle)


def measured_by(given: Case, ratios: LoadRatios, lain: Regime) -> Yardstick:
    """The yardstick of a regime, by the same invented law."""
    series = regime_series(lain)
    rows = [ratios.position(posture) for posture in series.postures]
    peak = steady_peak(series.durations, ratios.ratio[:, rows])
    seen = ComparedRegime(lain, lain.standing, frozenset(Site), frozenset())
    peaks = reference_peaks(ratios.sites, peak, seen)
    return yardstick(f"{lain.name} (clear)", peaks, lain, ratios, given.policy)


class More:
    """Further loads by the same invented law; a turn by hand bears what the unit's would."""

    def hands(self, given: Problem, *, likeliest_only: bool) -> HandTurns:
        windows = turned_by_hand_in(given.windows, given.compared.stay_limit.value)
        postures = hand_postures(given.case, windows)
        ratios = load_ratios(given.case, postures=postures).part(postures)
        return as_hand_turns(given.case, ratios.first_draws(1) if likeliest_only else ratios)

    def variations(
        self, given: Problem, changes: tuple[Change, ...], *, likeliest_only: bool
    ) -> tuple[Variation, ...]:
        return tuple(
            Variation(
                one.code,
                one.sentence,
                problem(one.case, given.unit, load_ratios(one.case), given.compared),
                one.size,
                one.numbers,
                one.decides,
            )
            for one in changes
        )


def found(given: Case, lain: Regime | None = None, **ratio_options: object) -> Findings:
    """Plan a case against a regime by the invented law."""
    lain = lain or regime(given)
    ratios = load_ratios(given, postures=regime_postures(lain), **ratio_options)  # type: ignore[arg-type]
    return find(given, ratios, measured_by(given, ratios, lain), NOW, More())


def searched(given: Case, lain: Regime | None = None) -> Problem:
    """The search of a case against a regime by the invented law."""
    lain = lain or regime(given)
    ratios = load_ratios(given, postures=regime_postures(lain))
    assert given.equipment is not None
    return problem(given, given.equipment, ratios, measured_by(given, ratios, lain))
