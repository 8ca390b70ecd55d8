"""From the day as it is lived to the windows in which the unit turns, and those in which not."""

from dataclasses import dataclass, replace
from enum import StrEnum

from leeward.programme.quantities import degrees
from leeward.terms.case import Case
from leeward.terms.clock import DaySpan, clock_text
from leeward.terms.day import PrescribedWindow
from leeward.terms.equipment import Ability
from leeward.terms.errors import InvalidInput
from leeward.terms.limits import Limit, strictest_greatest
from leeward.terms.posture import Place, Posture
from leeward.terms.units import SECONDS_PER_DAY
from leeward.terms.verdict import Reason


class WindowKind(StrEnum):
    """What the unit does in a window."""

    TURNING = "the unit turns"
    PRESCRIBED = "a posture is prescribed"
    PAUSED = "the unit pauses: the backrest is too high"


@dataclass(frozen=True, slots=True)
class DayWindow:
    """A part of the day before any programme is chosen for it.

    Parameters
    ----------
    name : str
        For example day, night, lunch.
    span : DaySpan
        When.
    kind : WindowKind
        What the unit does.
    posture : Posture
        Backrest, knee, supports and place; its turn is the one kept where nothing turns. [rad]
    is_sleep : bool
        Whether it lies in the sleep window and follows the night cycle.
    prescribed_by : str
        Who prescribed it; empty where nobody did.
    """

    name: str
    span: DaySpan
    kind: WindowKind
    posture: Posture
    is_sleep: bool
    prescribed_by: str = ""


def day_windows(case: Case, ability: Ability) -> tuple[DayWindow, ...]:
    """Divide the day.

    Parameters
    ----------
    case : Case
        The case.
    ability : Ability
        What the unit can be set to: a unit that runs one cycle a day is not divided at the
        edges of sleep.

    Returns
    -------
    tuple of DayWindow
        In order of start; together they cover the day once.

    Raises
    ------
    InvalidInput
        If prescribed windows overlap, or the person's backrest limits contradict each other.
    """
    spans = [one.span for one in case.day.prescribed]
    _refuse_overlap(case.day.prescribed)
    windows = [
        _window(case, ability, one, part)
        for one in case.day.prescribed
        for part in _parts(case, ability, one)
    ]
    sleep = case.day.sleep
    cuts = [sleep.start, sleep.end] if _differs_at_night(case, ability) else []
    for span in _uncovered(spans, cuts, sleep):
        asleep = _lies_in(span, sleep)
        usual = _usual_posture(case, asleep)
        kind = WindowKind.PAUSED if _pauses(ability, usual) else WindowKind.TURNING
        windows.append(DayWindow("", span, kind, usual, asleep))
    named = _named(windows, is_one_cycle=ability.programmes_per_day == 1)
    return tuple(sorted(named, key=lambda window: window.span.start))


def pause_reasons(case: Case, ability: Ability) -> tuple[Reason, ...]:
    """Say where a high backrest stops the unit: the first thing to be said of a plan.

    Parameters
    ----------
    case : Case
        The case.
    ability : Ability
        What the unit can be set to.

    Returns
    -------
    tuple of Reason
        One for each window in bed whose backrest makes the unit pause.
    """
    edge = ability.pauses_above_backrest
    if edge is None:
        return ()
    return tuple(
        Reason(
            "unit-pauses",
            f"From {clock_text(window.span.start)} to {clock_text(window.span.end)} "
            f"({window.name}) the backrest is above the angle at which the unit pauses: nothing "
            "turns the person then"
            + (
                ", in the middle of the night."
                if window.span.overlap(case.day.sleep) > 0.0
                else "."
            ),
            (degrees("backrest", window.posture.backrest), degrees("unit pauses above", edge)),
        )
        for window in day_windows(case, ability)
        if window.posture.place is Place.BED and _pauses(ability, window.posture)
    )


def _refuse_overlap(prescribed: tuple[PrescribedWindow, ...]) -> None:
    for number, first in enumerate(prescribed):
        for second in prescribed[number + 1 :]:
            if first.span.overlap(second.span) > 0.0:
                raise InvalidInput(
                    f"{first.name} and {second.name} overlap",
                    where="prescribed windows of the day",
                    expected="one posture at a time",
                    remedy="let one window end where the other starts",
                )


def _differs_at_night(case: Case, ability: Ability) -> bool:
    """Whether another cycle runs at night, or the same one among other supports."""
    return ability.programmes_per_day > 1 or case.day.supports(True) != case.day.supports(False)


def _usual_posture(case: Case, asleep: bool) -> Posture:
    """The posture in bed outside prescribed windows, inside everybody's backrest limits."""
    person, day = case.person, case.day
    edges = [*case.posture_limits.backrest, Limit(case.bed.platform.largest_backrest, "rad", "bed")]
    if person.greatest_backrest is not None:
        edges.append(Limit(person.greatest_backrest, "rad", "the person"))
    greatest = strictest_greatest(edges).value
    least = person.least_backrest or 0.0
    if least > greatest:
        raise InvalidInput(
            f"a least backrest of {least:.3f} rad above the greatest of {greatest:.3f} rad",
            where="backrest limits of the person and the bed",
            expected="a least backrest not above the greatest",
            remedy="ask who prescribed them which one holds",
        )
    backrest = min(max(day.usual_backrest, least), greatest)
    return Posture(
        backrest=backrest,
        knee_raise=day.usual_knee_raise,
        head_up=day.usual_head_up,
        supports=day.supports(asleep),
    )


def _pauses(ability: Ability, posture: Posture) -> bool:
    edge = ability.pauses_above_backrest
    return edge is not None and posture.backrest > edge


def _window(case: Case, ability: Ability, one: PrescribedWindow, span: DaySpan) -> DayWindow:
    in_bed = one.posture.place is Place.BED
    kind = WindowKind.PRESCRIBED
    if in_bed and one.may_turn:
        kind = WindowKind.PAUSED if _pauses(ability, one.posture) else WindowKind.TURNING
    posture = one.posture if kind is not WindowKind.TURNING else replace(one.posture, turn=0.0)
    asleep = _lies_in(span, case.day.sleep)
    return DayWindow(one.name, span, kind, posture, asleep, one.prescribed_by)


def _parts(case: Case, ability: Ability, one: PrescribedWindow) -> tuple[DaySpan, ...]:
    """A prescribed window in which turns go on is divided where sleep begins or ends."""
    turns = one.may_turn and one.posture.place is Place.BED and not _pauses(ability, one.posture)
    if not turns or ability.programmes_per_day == 1:
        return (one.span,)
    sleep = case.day.sleep
    inside = [t for t in (sleep.start, sleep.end) if one.span.contains(t) and t != one.span.start]
    edges = sorted(inside, key=lambda time: (time - one.span.start) % SECONDS_PER_DAY)
    return tuple(
        DaySpan(start, end)
        for start, end in zip((one.span.start, *edges), (*edges, one.span.end), strict=True)
    )


def _uncovered(spans: list[DaySpan], cuts: list[float], sleep: DaySpan) -> tuple[DaySpan, ...]:
    """The day less the prescribed spans, divided at the cuts."""
    if not spans and not cuts:
        return (DaySpan(sleep.end, sleep.end),)
    edges = sorted({*cuts, *(span.start for span in spans), *(span.end for span in spans)})
    following = [*edges[1:], edges[0]]
    pieces = [DaySpan(start, end) for start, end in zip(edges, following, strict=True)]
    return tuple(piece for piece in pieces if not any(span.contains(piece.start) for span in spans))


def _lies_in(span: DaySpan, sleep: DaySpan) -> bool:
    return span.overlap(sleep) > 0.5 * span.duration


def _named(windows: list[DayWindow], *, is_one_cycle: bool) -> list[DayWindow]:
    """Unnamed windows are called day and night; several of one name add their start."""
    named = [
        window if window.name else replace(window, name=_plain_name(window, is_one_cycle))
        for window in windows
    ]
    names = [window.name for window in named]
    return [
        window
        if names.count(window.name) == 1
        else replace(window, name=f"{window.name} from {clock_text(window.span.start)}")
        for window in named
    ]


def _plain_name(window: DayWindow, is_one_cycle: bool) -> str:
    if is_one_cycle:
        return "day and night"
    return "night" if window.is_sleep else "day"
