"""Changes somebody could make to the bed, the day or the unit, each as a case of its own."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import IntEnum

from leeward.programme.problem import Problem
from leeward.programme.quantities import degrees, listed, plain
from leeward.programme.windows import DayWindow, WindowKind
from leeward.terms.bed import Mattress, MattressKind
from leeward.terms.case import Case, Placement
from leeward.terms.clock import DaySpan, clock_text
from leeward.terms.day import PrescribedWindow
from leeward.terms.equipment import SurfaceKind
from leeward.terms.posture import Place, Posture, Support
from leeward.terms.site import Side
from leeward.terms.sourced import Sourced
from leeward.terms.units import (
    SECONDS_PER_DAY,
    deg_from_radians,
    mm_from_metres,
    radians_from_deg,
)
from leeward.terms.verdict import Quantity, Reason

_CONVENTION = "convention of this project"

#: Head-up tilt of the whole bed looked at where nobody wrote how far it goes. [deg]
HEAD_UP_DEG = Sourced(
    12.0,
    "deg",
    "head-down and head-up tilt of profiling beds, 12 to 16 degrees: practice",
    "profiling beds for adults",
    from_memory=True,
    low=12.0,
    high=16.0,
)
#: A bed that tilts by less than this is not tilted instead of a backrest. [deg]
_LEAST_HEAD_UP_DEG = Sourced(5.0, "deg", _CONVENTION, "not applicable")
#: A line closer to the body's middle than this is as good as in the middle. [m]
_CENTRED = Sourced(0.01, "m", _CONVENTION, "not applicable")

#: A mattress to compare with: one foam, thick and soft. Convention of this project.
OTHER_MATTRESS = Mattress(
    MattressKind.FOAM, thickness=0.15, cv40=3000.0, density=50.0, years_in_use=0.0
)


class Size(IntEnum):
    """How much a change asks for, least first. Convention of this project."""

    SETTING = 1
    SUPPORT = 2
    HANDS = 3
    DAY = 4
    MATTRESS = 5
    UNIT = 6

    @property
    def in_words(self) -> str:
        """What has to change."""
        return _IN_WORDS[self]


_IN_WORDS = {
    Size.SETTING: "a setting of the bed, or where the person lies",
    Size.SUPPORT: "a pillow or a bolster",
    Size.HANDS: "people's hands",
    Size.DAY: "the day",
    Size.MATTRESS: "another mattress",
    Size.UNIT: "another unit",
}


@dataclass(frozen=True, slots=True)
class Change:
    """A change somebody could make.

    Parameters
    ----------
    code : str
        Its key.
    sentence : str
        The change in words, to begin a sentence.
    size : Size
        How much it asks for.
    case : Case
        The case with the change made.
    decides : str
        What is left to whom, as a sentence; empty where nothing is.
    numbers : tuple of Quantity
        The numbers of the change.
    """

    code: str
    sentence: str
    size: Size
    case: Case
    decides: str = ""
    numbers: tuple[Quantity, ...] = ()


def changes_of_the_day(given: Problem) -> tuple[Change, ...]:
    """List the changes to a long window in which a raised backrest stops the unit.

    Parameters
    ----------
    given : Problem
        A search.

    Returns
    -------
    tuple of Change
        The backrest at the angle at which the unit still turns, the whole bed tilted head end
        up in its place, and the window moved out of sleep; empty where nothing stops the unit.

    Notes
    -----
    Only windows longer than the longest stay that may be planned: a meal sitting up is left
    alone. What a stomach, a lung or a swallow bears is not modelled, and is said to be the
    prescriber's.
    """
    long = held_up(given)
    if not long:
        return ()
    return (*_backrest_at_edge(given, long), *_head_up(given, long), *_by_day(given, long))


def changes_at_the_bed(given: Problem) -> tuple[Change, ...]:
    """List the changes to what the person lies on and beside.

    Parameters
    ----------
    given : Problem
        A search.

    Returns
    -------
    tuple of Change
        The body centred over the line, a pillow under the calves, a bolster on the low side,
        another mattress: each where it is not so already.
    """
    return (*_centred(given), *_pillow(given), *_bolster(given), *_mattress(given))


def held_up(given: Problem) -> tuple[DayWindow, ...]:
    """Pick the long windows in bed in which a raised backrest stops the unit.

    Parameters
    ----------
    given : Problem
        A search.

    Returns
    -------
    tuple of DayWindow
        In order of start.
    """
    edge = given.unit.ability.pauses_above_backrest
    return tuple(
        window
        for window in given.windows
        if edge is not None
        and window.posture.place is Place.BED
        and window.kind is not WindowKind.TURNING
        and window.posture.backrest > edge
        and window.span.duration > given.compared.stay_limit.value + 1e-6
    )


def _edge(given: Problem) -> float:
    return given.unit.ability.pauses_above_backrest or 0.0


def _named(windows: tuple[DayWindow, ...]) -> str:
    return listed([window.name for window in windows])


def _laid(given: Problem, long: tuple[DayWindow, ...], posture: Posture) -> Case:
    """The case with another setting in the long windows, and turning on in them."""
    day = given.case.day
    spans = [window.span for window in long]
    prescribed = tuple(
        replace(one, posture=_as(one.posture, posture), may_turn=True) if one.span in spans else one
        for one in day.prescribed
    )
    usual = day.usual_backrest
    if any(window.kind is WindowKind.PAUSED and not window.prescribed_by for window in long):
        usual = min(usual, posture.backrest)
    return replace(given.case, day=replace(day, prescribed=prescribed, usual_backrest=usual))


def _as(before: Posture, after: Posture) -> Posture:
    return replace(
        before,
        turn=0.0,
        backrest=after.backrest,
        knee_raise=after.knee_raise,
        head_up=after.head_up,
    )


def _backrest_at_edge(given: Problem, long: tuple[DayWindow, ...]) -> Iterator[Change]:
    edge = _edge(given)
    if edge <= 0.0:
        return
    lowered = replace(long[0].posture, backrest=edge)
    yield Change(
        "backrest-at-edge",
        f"With the backrest at {_deg(edge)} during {_named(long)}, up to which the unit turns",
        Size.SETTING,
        _laid(given, long, lowered),
        f"Whether {_deg(edge)} is enough against reflux and aspiration is for the prescriber.",
        (degrees("backrest now", long[0].posture.backrest), degrees("backrest then", edge)),
    )


def _head_up(given: Problem, long: tuple[DayWindow, ...]) -> Iterator[Change]:
    tilt = head_up_tilt(given.case)
    if tilt is None:
        return
    day = given.case.day
    flat = Posture(
        backrest=min(day.usual_backrest, _edge(given)),
        knee_raise=day.usual_knee_raise,
        head_up=tilt,
    )
    doubt = "" if _written_tilt(given.case) is not None else ", if this bed tilts so far"
    yield Change(
        "head-up",
        f"With the whole bed tilted head end up by {_deg(tilt)}{doubt}, and the backrest at "
        f"{_deg(flat.backrest)}, during {_named(long)}",
        Size.SETTING,
        _laid(given, long, flat),
        "Whether the tilt is enough against reflux and aspiration is for the prescriber; the "
        "person pulls towards the foot end, so look where they lie at every round.",
        (degrees("head end up", tilt), degrees("backrest then", flat.backrest)),
    )


def head_up_tilt(case: Case) -> float | None:
    """How far the whole bed may be tilted head end up.

    Parameters
    ----------
    case : Case
        The case.

    Returns
    -------
    float or None
        As far as the bed's sheet says, 12° where nobody wrote it, in no case more than 12°;
        None for a bed that does not tilt, or hardly. [rad]
    """
    written = _written_tilt(case)
    usual = radians_from_deg(HEAD_UP_DEG.value)
    tilt = usual if written is None else min(written, usual)
    return tilt if tilt >= radians_from_deg(_LEAST_HEAD_UP_DEG.value) - 1e-9 else None


def _written_tilt(case: Case) -> float | None:
    return None if case.fit_sheet is None else case.fit_sheet.bed.largest_head_up


def _by_day(given: Problem, long: tuple[DayWindow, ...]) -> Iterator[Change]:
    sleep = given.case.day.sleep
    asleep = [window for window in long if window.span.overlap(sleep) > 0.0]
    moved = given.case.day.prescribed
    said = []
    for window in asleep:
        start = _waking_start(given.case, moved, window.span)
        if start is None:
            return
        span = DaySpan(start, (start + window.span.duration) % SECONDS_PER_DAY)
        moved = tuple(replace(one, span=span) if one.span == window.span else one for one in moved)
        said.append(f"{window.name} from {clock_text(span.start)} to {clock_text(span.end)}")
    if not said:
        return
    yield Change(
        "by-day",
        f"With {listed(said)}, so that the night is free for turns",
        Size.DAY,
        replace(given.case, day=replace(given.case.day, prescribed=moved)),
        "Whether it can be given by day is for whoever prescribed it.",
    )


def _waking_start(
    case: Case, prescribed: tuple[PrescribedWindow, ...], span: DaySpan
) -> float | None:
    """Earliest waking time from which a span of that length is free of other prescriptions."""
    sleep = case.day.sleep
    others = [one.span for one in prescribed if one.span != span]
    for start in (sleep.end, *(other.end for other in others)):
        moved = DaySpan(start, (start + span.duration) % SECONDS_PER_DAY)
        if not any(moved.overlap(other) > 0.0 for other in (sleep, *others)):
            return start
    return None


def _centred(given: Problem) -> Iterator[Change]:
    offset = given.case.placement.line_offset
    if given.unit.geometry.kind is not SurfaceKind.SPLIT:
        return
    if offset is not None and abs(offset) <= _CENTRED.value:
        return
    centred = replace(given.case, placement=Placement(0.0, given.case.placement.measured_by))
    if offset is None:
        yield Change(
            "centre-the-body",
            "With the body centred over the surface's line and that measured",
            Size.SETTING,
            centred,
            "Nobody measured where the line lies: measure it first.",
        )
        return
    side = Side.LEFT if offset > 0.0 else Side.RIGHT
    yield Change(
        "centre-the-body",
        f"With the body moved {mm_from_metres(abs(offset)):.0f} mm to its own {side.value}, over "
        "the surface's line",
        Size.SETTING,
        centred,
        numbers=(plain("line from the body's middle", mm_from_metres(offset), "mm"),),
    )


def _supported(case: Case, *added: Support) -> Case:
    day = case.day
    more = frozenset(added)
    at_night = None if day.night_supports is None else day.night_supports | more
    return replace(
        case,
        day=replace(day, usual_supports=day.usual_supports | more, night_supports=at_night),
    )


def _pillow(given: Problem) -> Iterator[Change]:
    day = given.case.day
    if all(Support.PILLOW_UNDER_CALVES in day.supports(asleep) for asleep in (True, False)):
        return
    yield Change(
        "pillow-under-calves",
        "With a pillow under both calves by day and by night, outside prescribed postures",
        Size.SUPPORT,
        _supported(given.case, Support.PILLOW_UNDER_CALVES),
    )


def _bolster(given: Problem) -> Iterator[Change]:
    both = (Support.BOLSTER_LEFT, Support.BOLSTER_RIGHT)
    day = given.case.day
    if all(one in day.supports(asleep) for one in both for asleep in (True, False)):
        return
    yield Change(
        "bolster",
        "With a bolster along either side of the trunk",
        Size.SUPPORT,
        _supported(given.case, *both),
    )


def _mattress(given: Problem) -> Iterator[Change]:
    present = given.case.bed.mattress
    is_foam = present.kind is MattressKind.FOAM and not present.foams and not present.curve
    as_thick = present.thickness is not None and present.thickness >= 0.15
    as_soft = present.cv40 is not None and present.cv40 <= 3000.0
    if is_foam and as_thick and as_soft:
        return
    bed = replace(given.case.bed, mattress=OTHER_MATTRESS)
    yield Change(
        "other-mattress",
        "With a new foam mattress 150 mm thick and of 3 kPa",
        Size.MATTRESS,
        # what hands found was found on the mattress there is
        replace(given.case, bed=bed, hand_checks=()),
        "On another mattress no regime has been seen clear: look as at a first night. What turns "
        "by hand bear on it is not computed.",
    )


def not_computed(given: Problem) -> tuple[Reason, ...]:
    """Say which changes cannot be computed, and why.

    Parameters
    ----------
    given : Problem
        A search.

    Returns
    -------
    tuple of Reason
        As questions somebody can answer.
    """
    reasons = []
    long = held_up(given)
    if long and head_up_tilt(given.case) is None:
        reasons.append(
            Reason(
                "head-up-not-possible",
                f"Tilting the whole bed head end up during {_named(long)} is not computed: the "
                "bed's sheet says it tilts by "
                f"{_deg(_written_tilt(given.case) or 0.0)} at most.",
            )
        )
    falls_in_sleep = any(w.span.overlap(given.case.day.sleep) > 0.0 for w in long)
    if falls_in_sleep and not any(_by_day(given, long)):
        reasons.append(
            Reason(
                "by-day-not-possible",
                f"Moving {_named(long)} into the day is not computed: nowhere in the waking hours "
                "is it free for so long in one piece. Ask whether it can be given in parts, or "
                "faster.",
            )
        )
    if given.unit.geometry.kind is SurfaceKind.WHOLE and given.case.bed.friction is None:
        reasons.append(
            Reason(
                "measure-friction",
                "Turns above 15° without a side support are not computed: on a surface that tilts "
                "as one nobody may lie so until the friction is measured.",
            )
        )
    return tuple(reasons)


def _deg(angle: float) -> str:
    return f"{deg_from_radians(angle):.0f}°"
