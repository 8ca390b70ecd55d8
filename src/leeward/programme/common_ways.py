"""How people turn people: the usual intervals by hand, the unit's default, and today's way.

None of them is a recommendation. They are laid into the person's own day so that the same
computation can judge them beside what was found.
"""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from leeward.programme.cycles import SIDES_OF_ORDER
from leeward.programme.decision import ChoiceName
from leeward.programme.laid_ways import hand_windows, laid, turned_by_people
from leeward.programme.programme import BuildUpStep, ManualTask, Programme
from leeward.programme.windows import day_windows
from leeward.terms.case import Case
from leeward.terms.equipment import DefaultCycle, Equipment
from leeward.terms.posture import Posture
from leeward.terms.regime import Regime, RegimeStanding, Stay, TurnMeans
from leeward.terms.sourced import Sourced
from leeward.terms.units import radians_from_deg, seconds_from_min

_ARM = (
    "one arm of a trial of 2, 3 and 4 hours on high-density foam that could not be told apart "
    "(Bergstrom et al. 2013, J Am Geriatr Soc 61:1705); not a recommendation"
)
_RESIDENTS = "942 people in nursing homes"

#: Intervals by hand that are compared. [min]
INTERVALS_MIN = {
    "two-hourly": Sourced(120.0, "min", _ARM, _RESIDENTS),
    "three-hourly": Sourced(180.0, "min", _ARM, _RESIDENTS),
    "four-hourly": Sourced(
        240.0,
        "min",
        f"{_ARM}; at least so often at high risk: NICE quality standard QS89, statement 5",
        _RESIDENTS,
    ),
}
#: Turn by hand to each side. [deg]
TURN_DEG = Sourced(
    30.0,
    "deg",
    "international guideline of 2025: 30 degrees above more than 30, certainty very low",
    "adults at risk",
)
#: A regime that ended longer ago than this is not how the person is turned today. [d]
TODAY_DAYS = Sourced(3.0, "d", "convention of this project", "not applicable")

_LOOKS = (
    "By hand no smaller turns come first. Look at the skin after the first full cycle, after the "
    "first night, at 48 h and at 72 h, then at 7 days. Redness that stays, pain or fear: go back "
    "to how the person lay before and ask who signed."
)
_AS_TODAY = (
    "This is how the person is turned today: nothing is stepped up, and the looks go on as they "
    "are. Redness that stays, pain or fear: stop and ask who signed."
)
_NOBODY_SETS = (
    "The unit's default has no smaller turns first. Look at the skin after the first full cycle, "
    "after the first night, at 48 h and at 72 h, then at 7 days."
)
_TURNS_NOW = "whoever turns the person now"


@dataclass(frozen=True, slots=True)
class Way:
    """A way of turning laid into a person's day.

    Parameters
    ----------
    name : str
        Which, in words.
    source : str
        Where it is written, or that it is common practice without a source.
    programme : Programme
        What it is on this day.
    """

    name: str
    source: str
    programme: Programme


def common_by_hand(case: Case, unit: Equipment, tasks: tuple[ManualTask, ...]) -> tuple[Way, ...]:
    """Lay the common intervals by hand into a day.

    Parameters
    ----------
    case : Case
        The case.
    unit : Equipment
        Its unit, which stays level meanwhile.
    tasks : tuple of ManualTask
        Manual work that goes with every programme.

    Returns
    -------
    tuple of Way
        Two-, three- and four-hourly: turned 30° to the left, level, 30° to the right.

    References
    ----------
    .. [1] Intervals: Bergstrom et al. 2013, J Am Geriatr Soc 61:1705; NICE quality standard
       QS89, statement 5. Angle: international guideline of 2025. Order: common practice, no
       source; of the usual orders the one that loads the back least.
    """
    turn = radians_from_deg(TURN_DEG.value)
    windows = hand_windows(case, unit, night_differs=False)
    ways = []
    for name, interval in INTERVALS_MIN.items():
        stay = seconds_from_min(interval.value)
        cycle = tuple(Stay(Posture(turn=one), stay) for one in (turn, 0.0, -turn))
        ways.append(
            Way(
                f"{name} by hand, {TURN_DEG.value:.0f}°",
                f"interval: {interval.source}; turn: {TURN_DEG.source}; order left, level, right "
                "with a pillow behind the back: common practice, no source",
                turned_by_people(laid(windows, cycle, cycle), tasks, _LOOKS, owner=""),
            )
        )
    return tuple(ways)


def unit_default(case: Case, unit: Equipment, tasks: tuple[ManualTask, ...]) -> Way | None:
    """Lay the cycle a unit runs when nobody sets anything into a day.

    Parameters
    ----------
    case : Case
        The case.
    unit : Equipment
        The unit.
    tasks : tuple of ManualTask
        Manual work that goes with every programme.

    Returns
    -------
    Way or None
        None where its file does not say what it runs then.
    """
    if unit.default is None:
        return None
    cycle = _default_cycle(unit.default)
    windows = laid(day_windows(case, unit.ability), cycle, cycle)
    return Way(
        "the unit's default",
        f"as entered from: {unit.instructions}",
        Programme(windows, (BuildUpStep(0.0, 1.0, _NOBODY_SETS),), tasks),
    )


def _default_cycle(default: DefaultCycle) -> tuple[Stay, ...]:
    turn_of = {"L": default.turn_left, "R": -default.turn_right, "-": 0.0}
    return tuple(
        Stay(
            Posture(turn=turn_of[side]),
            default.level_stay if side == "-" else default.side_stay,
        )
        for side in SIDES_OF_ORDER[default.order]
    )


def todays_regime(case: Case, now: datetime) -> Regime | None:
    """Find how the person is turned today, as far as the case says.

    Parameters
    ----------
    case : Case
        The case.
    now : datetime
        Time of planning, aware.

    Returns
    -------
    Regime or None
        The one that still runs, else the one that ended last and no more than three days ago.
        What is only assumed is nobody's today; where two could be meant, neither is.
    """
    lain = [one for one in case.regimes if one.standing is not RegimeStanding.ASSUMED]
    running = [one for one in lain if one.last is None and one.first is not None]
    earliest = now.date() - timedelta(days=TODAY_DAYS.value)
    days = [one.last for one in lain if one.last is not None and one.last >= earliest]
    meant = running or [one for one in lain if days and one.last == max(days)]
    return meant[0] if len(meant) == 1 else None


def keep_todays(case: Case, unit: Equipment, regime: Regime, tasks: tuple[ManualTask, ...]) -> Way:
    """Lay today's way into the day.

    Parameters
    ----------
    case : Case
        The case.
    unit : Equipment
        Its unit.
    regime : Regime
        How the person is turned today.
    tasks : tuple of ManualTask
        Manual work that goes with every programme.

    Returns
    -------
    Way
        Its turns and stays at the backrest and among the supports of the day as entered, begun
        afresh in each window; its night runs while the person sleeps.
    """
    by_hand = regime.means is TurnMeans.BY_HAND
    by_night = regime.night_cycle or regime.cycle
    differs = bool(regime.night_cycle)
    if by_hand:
        windows = hand_windows(case, unit, night_differs=differs)
    else:
        cycles = 2 if differs else 1
        windows = day_windows(case, replace(unit.ability, programmes_per_day=cycles))
    day = laid(windows, regime.cycle, by_night)
    return Way(
        ChoiceName.TODAYS.value,
        f"{regime.name}: {regime.source or 'the case, which names no record'}",
        turned_by_people(day, tasks, _AS_TODAY, _TURNS_NOW)
        if by_hand
        else Programme(day, (BuildUpStep(0.0, 1.0, _AS_TODAY),), tasks),
    )
