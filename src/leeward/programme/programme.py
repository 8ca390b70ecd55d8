"""A programme: windows that cover the day, the build-up to it, and what hands must do."""

from dataclasses import dataclass

import numpy as np

from leeward.terms.clock import DaySpan
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Posture
from leeward.terms.regime import Stay
from leeward.terms.series import PostureSeries, Validity
from leeward.terms.site import Site
from leeward.terms.units import SECONDS_PER_DAY


@dataclass(frozen=True, slots=True)
class Window:
    """A part of the day with its own cycle.

    Parameters
    ----------
    name : str
        For example day, night, lunch.
    span : DaySpan
        When.
    cycle : tuple of Stay
        Stays in order, begun afresh at the start of the window, repeated, and cut at its
        end. A stay includes the movement that leads into it. One stay is a posture kept.
    prescribed_by : str
        Who prescribed the posture; empty where the equipment runs the cycle.
    """

    name: str
    span: DaySpan
    cycle: tuple[Stay, ...]
    prescribed_by: str = ""


@dataclass(frozen=True, slots=True)
class BuildUpStep:
    """A step on the way to the full programme.

    Parameters
    ----------
    from_hour : float
        Hours after the first turn at which the step may begin, skin permitting. [h]
    share_of_turn : float
        Share of the programme's turns given in this step. [-]
    look : str
        When the skin is looked at and what sends it back.
    """

    from_hour: float
    share_of_turn: float
    look: str


@dataclass(frozen=True, slots=True)
class ManualTask:
    """Something people do by hand.

    Parameters
    ----------
    sites : tuple of Site
        What is offloaded; empty for a whole turn.
    what : str
        What is done.
    times : tuple of float
        When, seconds after midnight. [s]
    duration : float
        How long the relief lasts each time. [s]
    work_min : float
        Working minutes each time, all people together. [min]
    owner : str
        Who; empty while nobody is named, and then nothing can be accepted.
    people : int
        How many it takes at once. [-]
    """

    sites: tuple[Site, ...]
    what: str
    times: tuple[float, ...]
    duration: float
    work_min: float
    owner: str = ""
    people: int = 1


@dataclass(frozen=True, slots=True)
class Programme:
    """Windows covering 24 h of wall time, the build-up, and manual work.

    Parameters
    ----------
    windows : tuple of Window
        In order of start; together they cover the day once.
    build_up : tuple of BuildUpStep
        Steps from the first day.
    tasks : tuple of ManualTask
        Manual offloading and turns.
    turned_by_hand : bool
        Whether people make every turn and the unit none.

    Raises
    ------
    InvalidInput
        If the windows leave a gap, overlap, or hold an empty cycle.
    """

    windows: tuple[Window, ...]
    build_up: tuple[BuildUpStep, ...] = ()
    tasks: tuple[ManualTask, ...] = ()
    turned_by_hand: bool = False

    def __post_init__(self) -> None:
        total = sum(window.span.duration for window in self.windows)
        following = zip(self.windows, (*self.windows[1:], *self.windows[:1]), strict=True)
        joined = all(before.span.end == after.span.start for before, after in following)
        if not self.windows or total != SECONDS_PER_DAY or not joined:
            raise InvalidInput(
                f"windows that cover {total / 3600.0:g} h",
                where="programme windows",
                expected="windows that follow one another and cover 24 h once",
                remedy="let each window end where the next one starts",
            )
        for window in self.windows:
            if not window.cycle or any(stay.duration <= 0.0 for stay in window.cycle):
                raise InvalidInput(
                    f"window {window.name!r} has no stay or one without length",
                    where="programme windows",
                    expected="at least one stay, each longer than 0 s",
                    remedy="give the window a cycle",
                )


def daily_series(programme: Programme) -> PostureSeries:
    """Unroll a programme into the postures of one day.

    Parameters
    ----------
    programme : Programme
        The programme.

    Returns
    -------
    PostureSeries
        From the start of the first window for 24 h; edges are seconds after the midnight
        before that start, so they may pass 86400. [s]
    """
    edges: list[float] = [programme.windows[0].span.start]
    postures: list[Posture] = []
    for window in programme.windows:
        left = window.span.duration
        number = 0
        while left > 1e-6:
            stay = window.cycle[number % len(window.cycle)]
            length = min(stay.duration, left)
            postures.append(stay.posture)
            edges.append(edges[-1] + length)
            left -= length
            number += 1
    return PostureSeries(
        edges=np.array(edges),
        postures=tuple(postures),
        validity=(Validity.KNOWN,) * len(postures),
        origin="midnight",
    )
