"""An invented person on an invented split surface, and the loads of a few postures, once."""

from dataclasses import replace
from functools import cache

from leeward.terms.bed import Bed, Mattress, MattressKind
from leeward.terms.body import Body, Sex
from leeward.terms.case import Case, Placement
from leeward.terms.clock import DaySpan
from leeward.terms.day import Day
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
from leeward.terms.regime import Regime, RegimeStanding, Stay, TurnMeans
from leeward.terms.site import Site
from leeward.terms.units import radians_from_deg
from leeward.tissue.demand import Demand, demand

FOAM = Mattress(MattressKind.FOAM, thickness=0.14, cv40=4000.0)
SPLIT = SurfaceGeometry(SurfaceKind.SPLIT, 1.95, 0.88, 0.06, 0.05, 12.0)
ABILITY = Ability(
    largest_turn_left=radians_from_deg(30.0),
    largest_turn_right=radians_from_deg(30.0),
    smallest_turn=radians_from_deg(10.0),
    turn_step=radians_from_deg(10.0),
    shortest_stay=1800.0,
    longest_stay=7200.0,
    stay_step=1800.0,
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


def turned(turn_deg: float, **others: float) -> Posture:
    return Posture(turn=radians_from_deg(turn_deg), **others)


def by_hand(*turns_deg: float, stay_min: float = 120.0, **changes: object) -> Regime:
    """A regime of turns by hand, in order."""
    cycle = tuple(Stay(turned(angle), 60.0 * stay_min) for angle in turns_deg)
    plain = Regime("invented", RegimeStanding.CLEAR, TurnMeans.BY_HAND, cycle, FOAM, layers=())
    return replace(plain, **changes)  # type: ignore[arg-type]


COMPARED = by_hand(20.0, 0.0, -20.0, 0.0)
ON_THE_BACK = by_hand(
    0.0, standing=RegimeStanding.FAILED, failed_sites=(Site.SACRUM,), name="on the back"
)
CASE = Case(
    person=Person("invented", Body(1.70, 70.0, Sex.FEMALE), has_dark_skin=False),
    bed=Bed(mattress=FOAM, layers=(), friction=0.4),
    equipment=Equipment("invented unit", "invented", ABILITY, SPLIT),
    day=Day(DaySpan(79200.0, 25200.0)),
    placement=Placement(0.0, "invented"),
    invented="invented for tests",
)
ASKED = tuple(turned(angle) for angle in (0.0, 10.0, 20.0, -10.0, -20.0))


@cache
def found() -> Demand:
    """What is asked of each site at the postures asked for."""
    return demand(CASE, COMPARED, [ON_THE_BACK], ASKED)
