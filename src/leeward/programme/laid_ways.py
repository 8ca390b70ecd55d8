"""A cycle laid into a person's day, turned by the unit or by people."""

from dataclasses import replace

from leeward.programme.offloading import TURN_WORK_MIN
from leeward.programme.programme import (
    BuildUpStep,
    ManualTask,
    Programme,
    Window,
    daily_series,
)
from leeward.programme.windows import DayWindow, WindowKind, day_windows
from leeward.terms.case import Case
from leeward.terms.equipment import Equipment
from leeward.terms.posture import turn_in_words
from leeward.terms.regime import Stay
from leeward.terms.sourced import Sourced
from leeward.terms.units import SECONDS_PER_DAY

#: People at one turn by hand; a heavy person needs more. [-]
TURN_PEOPLE = Sourced(2.0, "-", "common practice, no source", "adults")

Cycle = tuple[Stay, ...]


def hand_windows(case: Case, unit: Equipment, *, night_differs: bool) -> tuple[DayWindow, ...]:
    """Divide a day as people do who turn by hand: no backrest makes them pause.

    Parameters
    ----------
    case : Case
        The case.
    unit : Equipment
        Its unit.
    night_differs : bool
        Whether another cycle runs at night.

    Returns
    -------
    tuple of DayWindow
        In order of start.
    """
    hands = replace(
        unit.ability,
        pauses_above_backrest=None,
        programmes_per_day=2 if night_differs else 1,
    )
    return day_windows(case, hands)


def laid(windows: tuple[DayWindow, ...], by_day: Cycle, by_night: Cycle) -> tuple[Window, ...]:
    """Lay a cycle into the turning windows of a day.

    Parameters
    ----------
    windows : tuple of DayWindow
        The day.
    by_day, by_night : tuple of Stay
        Turns and stays; only the turn of each posture is taken, the rest is the window's.

    Returns
    -------
    tuple of Window
        In each turning window the cycle begins afresh; where nothing turns, the posture is
        kept that was prescribed.
    """
    return tuple(
        Window(window.name, window.span, _turning(window, by_night if window.is_sleep else by_day))
        if window.kind is WindowKind.TURNING
        else Window(
            window.name,
            window.span,
            (Stay(window.posture, window.span.duration),),
            window.prescribed_by,
        )
        for window in windows
    )


def _turning(window: DayWindow, cycle: Cycle) -> Cycle:
    stays = tuple(Stay(window.posture.with_turn(one.posture.turn), one.duration) for one in cycle)
    # One stay alone would stand for a posture that somebody prescribed.
    return stays * 2 if len(stays) == 1 else stays


def turned_by_people(
    windows: tuple[Window, ...], tasks: tuple[ManualTask, ...], look: str, owner: str
) -> Programme:
    """Make a programme in which people make every turn.

    Parameters
    ----------
    windows : tuple of Window
        The day.
    tasks : tuple of ManualTask
        Manual work that goes with every programme.
    look : str
        When the skin is looked at; no smaller turns come first.
    owner : str
        Who turns; empty while nobody is named.

    Returns
    -------
    Programme
        With one more task, at every time at which the turn changes.
    """
    bare = Programme(windows, (BuildUpStep(0.0, 1.0, look),), tasks, turned_by_hand=True)
    times = times_of_turns(bare)
    if not times:
        return bare
    turning = [stay for window in windows if len(window.cycle) > 1 for stay in window.cycle]
    turns = list(dict.fromkeys(turn_in_words(stay.posture.turn) for stay in turning))
    turn = ManualTask(
        sites=(),
        what=f"Turn by hand, in this order: {'; '.join(turns)}. A pillow behind the back until a "
        "hand passes under the sacrum.",
        times=times,
        duration=min(stay.duration for stay in turning),
        work_min=TURN_WORK_MIN.value,
        owner=owner,
        people=int(TURN_PEOPLE.value),
    )
    return replace(bare, tasks=(*tasks, turn))


def times_of_turns(programme: Programme) -> tuple[float, ...]:
    """List the times of day at which the turn changes.

    Parameters
    ----------
    programme : Programme
        The programme.

    Returns
    -------
    tuple of float
        Ascending. [s]
    """
    series = daily_series(programme)
    turns = [posture.turn for posture in series.postures]
    before = [turns[-1], *turns[:-1]]
    starts = zip(series.edges[:-1].tolist(), before, turns, strict=True)
    return tuple(sorted(start % SECONDS_PER_DAY for start, old, new in starts if old != new))
