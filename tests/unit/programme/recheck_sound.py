"""An invented person with a programme nothing speaks against, to be spoiled one rule at a time.

The load ratios are made up by a few straight lines; they come from no model and no person.
"""

import math
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from typing import Any

import numpy as np

from leeward.programme.programme import BuildUpStep, ManualTask, Programme, Window
from leeward.programme.recheck import recheck
from leeward.programme.recheck_day import RegimeLoads
from leeward.terms.bed import Bed, Mattress, MattressKind
from leeward.terms.body import Body, Sex
from leeward.terms.case import Case
from leeward.terms.clock import DaySpan
from leeward.terms.day import Day, PrescribedWindow
from leeward.terms.equipment import (
    Ability,
    AfterPowerLoss,
    Equipment,
    Order,
    SurfaceGeometry,
    SurfaceKind,
)
from leeward.terms.person import Person
from leeward.terms.posture import Posture
from leeward.terms.regime import Looks, Policy, Regime, RegimeStanding, Stay, TurnMeans
from leeward.terms.site import Site
from leeward.terms.verdict import Reason
from leeward.tissue.load_ratios import LoadRatios

NOW = datetime(2030, 5, 20, 10, tzinfo=UTC)
THIRTY = math.radians(30.0)
HOUR = 3600.0
MINUTE = 60.0

LEVEL = Posture()
LEFT = Posture(turn=THIRTY)
RIGHT = Posture(turn=-THIRTY)
UPRIGHT = Posture(backrest=math.radians(60.0))
TURNS = tuple(math.radians(angle) for angle in range(-40, 41, 5))
SITES = tuple(Site)

#: Load ratio at level; any site not named here touches lightly.
AT_LEVEL = {"scapula": 1.0, "buttock": 1.0, "sacrum": 1.0, "spine": 0.8, "coccyx": 0.8, "heel": 1.2}
#: What a turn of 30 degrees adds on the side turned to, and takes from the side raised.
TO_THE_LOWER_SIDE = {"scapula": 0.05, "buttock": 0.05, "trochanter": 0.4, "shoulder tip": 0.3}
FROM_THE_RAISED_SIDE = {"scapula": 0.8, "buttock": 0.8}
FROM_THE_MIDDLE = {"sacrum": 0.7, "spine": 0.5, "coccyx": 0.5}


def load(posture: Posture, site: Site) -> float:
    """An invented load ratio."""
    part = site.value.removeprefix("left ").removeprefix("right ")
    share = abs(posture.turn) / THIRTY
    ratio = AT_LEVEL.get(part, 0.3) + 0.2 * posture.backrest * (part == "buttock")
    if site.side is None:
        return max(0.0, ratio - share * FROM_THE_MIDDLE.get(part, 0.0))
    if site.side is posture.turned_to:
        return ratio + share * TO_THE_LOWER_SIDE.get(part, 0.0)
    return max(0.0, ratio - share * FROM_THE_RAISED_SIDE.get(part, 0.0))


def ratios_at(postures: tuple[Posture, ...], draws: int = 3) -> LoadRatios:
    """The invented load ratios as a table of draws that differ by a hair."""
    central = np.array([[load(posture, site) for site in SITES] for posture in postures])
    spread = 1.0 + 0.001 * np.arange(draws)[:, np.newaxis, np.newaxis]
    return LoadRatios(
        postures, SITES, central * spread, np.ones((draws, len(postures)), dtype=bool)
    )


def cycle(stay: float, turn: float = THIRTY) -> tuple[Stay, ...]:
    """Left, level, right, level."""
    return tuple(Stay(LEVEL.with_turn(angle), stay) for angle in (turn, 0.0, -turn, 0.0))


ABILITY = Ability(
    largest_turn_left=THIRTY,
    largest_turn_right=THIRTY,
    smallest_turn=math.radians(5.0),
    turn_step=math.radians(5.0),
    shortest_stay=15 * MINUTE,
    longest_stay=240 * MINUTE,
    stay_step=15 * MINUTE,
    orders=tuple(Order),
    turns_may_differ=True,
    stays_may_differ=True,
    level_stay_may_differ=True,
    programmes_per_day=2,
    pauses_above_backrest=math.radians(40.0),
    rise_time=600.0,
    least_mass=35.0,
    greatest_mass=150.0,
    least_width=0.85,
    greatest_width=0.95,
    after_power_loss=AfterPowerLoss.UNKNOWN,
)
GEOMETRY = SurfaceGeometry(SurfaceKind.SPLIT, 1.9, 0.85, 0.05, 0.05, 10.0)
MATTRESS = Mattress(MattressKind.FOAM, thickness=0.14, cv40=4000.0)
LUNCH = PrescribedWindow("lunch", DaySpan(12 * HOUR, 13 * HOUR), UPRIGHT, False, "A. Dietitian")
REGIME = Regime(
    name="two-hourly by hand",
    standing=RegimeStanding.CLEAR,
    means=TurnMeans.BY_HAND,
    cycle=cycle(2 * HOUR),
    mattress=MATTRESS,
    layers=(),
    first=date(2030, 5, 1),
    last=date(2030, 5, 19),
    looks=Looks(5, date(2030, 5, 12), date(2030, 5, 19), "B. Nurse", True),
)
CASE = Case(
    person=Person("invented", Body(1.70, 70.0, Sex.FEMALE, age=60.0), has_dark_skin=False),
    bed=Bed(mattress=MATTRESS, layers=(), safe_working_load=200.0),
    equipment=Equipment("invented unit", "invented", ABILITY, GEOMETRY),
    day=Day(DaySpan(22 * HOUR, 7 * HOUR), (LUNCH,), (8 * HOUR, 20 * HOUR)),
    regimes=(REGIME,),
    policy=Policy("invented policy", "invented", 4 * HOUR, THIRTY),
    invented="Every number here is invented.",
)
BY_DAY, BY_NIGHT = cycle(45 * MINUTE), cycle(HOUR)
PROGRAMME = Programme(
    windows=(
        Window("day from 07:00", DaySpan(7 * HOUR, 12 * HOUR), BY_DAY),
        Window("lunch", LUNCH.span, (Stay(UPRIGHT, HOUR),), LUNCH.prescribed_by),
        Window("day from 13:00", DaySpan(13 * HOUR, 22 * HOUR), BY_DAY),
        Window("night", DaySpan(22 * HOUR, 7 * HOUR), BY_NIGHT),
    ),
    build_up=(
        BuildUpStep(0.0, 0.5, "After the first cycle."),
        BuildUpStep(72.0, 1.0, "After 72 h and 7 days."),
    ),
    tasks=(
        ManualTask((Site.LEFT_HEEL, Site.RIGHT_HEEL), "Float both.", (8 * HOUR,), HOUR, 2.0),
        ManualTask((Site.OCCIPUT,), "Move the head.", (8 * HOUR,), HOUR, 1.0),
    ),
)


RATIOS = ratios_at((*(LEVEL.with_turn(turn) for turn in TURNS), UPRIGHT))
COMPARED = RegimeLoads(REGIME, ratios_at((LEVEL, LEFT, RIGHT)))


@dataclass(frozen=True)
class Sound:
    """Everything a recheck is given; `but` spoils one thing."""

    programme: Programme = PROGRAMME
    case: Case = CASE
    ratios: LoadRatios = RATIOS
    compared: RegimeLoads | None = COMPARED
    failed: tuple[RegimeLoads, ...] = ()

    def but(self, **changes: Any) -> "Sound":
        """The same with something else, looked up where it belongs."""
        made = self
        for name, value in changes.items():
            made = made._with(name, value)
        return made

    def _with(self, name: str, value: Any) -> "Sound":
        case = self.case
        if hasattr(self, name):
            return replace(self, **{name: value})
        if hasattr(case, name):
            return replace(self, case=replace(case, **{name: value}))
        for part in ("person", "bed", "day"):
            owner = getattr(case, part)
            if hasattr(owner, name):
                return self._with(part, replace(owner, **{name: value}))
        if hasattr(case.person.body, name):
            return self._with("body", replace(case.person.body, **{name: value}))
        assert case.equipment is not None
        if hasattr(ABILITY, name):
            ability = replace(case.equipment.ability, **{name: value})
            return self._with("equipment", replace(case.equipment, ability=ability))
        geometry = replace(case.equipment.geometry, **{name: value})
        return self._with("equipment", replace(case.equipment, geometry=geometry))

    def under(self, **changes: Any) -> "Sound":
        """The same with another regime compared, held by the case too."""
        assert self.compared is not None
        regime = replace(self.compared.regime, **changes)
        postures = tuple(dict.fromkeys(s.posture for s in (*regime.cycle, *regime.night_cycle)))
        loads = RegimeLoads(regime, ratios_at(postures) if postures else self.compared.ratios)
        return self.but(compared=loads, regimes=(regime,))

    def running(self, *stays: Stay, window: int = 3) -> "Sound":
        """The same with another cycle in one window."""
        windows = list(self.programme.windows)
        windows[window] = replace(windows[window], cycle=stays)
        return self.but(programme=replace(self.programme, windows=tuple(windows)))

    def loading(self, site: Site, posture: Posture, ratio: float) -> "Sound":
        """The same with another load ratio of one site in one posture."""
        table = self.ratios.ratio.copy()
        table[:, self.ratios.postures.index(posture), SITES.index(site)] = ratio
        return self.but(ratios=replace(self.ratios, ratio=table))

    @property
    def found(self) -> tuple[Reason, ...]:
        """What the recheck finds."""
        return recheck(self.programme, self.case, self.ratios, self.compared, self.failed, now=NOW)

    @property
    def codes(self) -> set[str]:
        """The keys of what it finds."""
        return {reason.code for reason in self.found}


SOUND = Sound()
