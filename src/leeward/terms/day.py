"""The person's day: sleep, prescribed postures, carers' rounds, manual offloading."""

from dataclasses import dataclass

from leeward.terms.clock import DaySpan
from leeward.terms.posture import Posture, Support
from leeward.terms.site import Site


@dataclass(frozen=True, slots=True)
class PrescribedWindow:
    """A part of the day whose posture someone prescribed.

    Parameters
    ----------
    name : str
        For example lunch, overnight feed, out in chair.
    span : DaySpan
        When.
    posture : Posture
        Backrest, place and so on; its turn is 0 when turning is off.
    may_turn : bool
        Whether turns go on during it, with this backrest.
    prescribed_by : str
        Who.
    """

    name: str
    span: DaySpan
    posture: Posture
    may_turn: bool
    prescribed_by: str = ""


@dataclass(frozen=True, slots=True)
class OffloadingAssignment:
    """Who offloads a site that no turn relieves, and how.

    Parameters
    ----------
    site : Site
        Where.
    owner : str
        Who does it.
    method : str
        How: heels floated on a pillow, head moved.
    """

    site: Site
    owner: str
    method: str


@dataclass(frozen=True, slots=True)
class Day:
    """A day as it is lived.

    Parameters
    ----------
    sleep : DaySpan
        When the person sleeps.
    prescribed : tuple of PrescribedWindow
        Prescribed postures; they may not overlap.
    rounds : tuple of float
        Carers' rounds, seconds after midnight. [s]
    usual_backrest : float
        Backrest in bed outside prescribed windows. [rad]
    usual_knee_raise : float
        Knee section in bed outside prescribed windows. [rad]
    care_time : float
        Usual length of one care visit during which the unit is stopped. [s]
    time_zone : str
        IANA name of the zone the clock times are in.
    usual_supports : frozenset of Support
        Props in bed outside prescribed windows.
    night_supports : frozenset of Support or None
        Props while the person sleeps, outside prescribed windows; None: the usual ones.
    usual_head_up : float
        Tilt of the whole bed outside prescribed windows, head end up positive. [rad]
    """

    sleep: DaySpan
    prescribed: tuple[PrescribedWindow, ...] = ()
    rounds: tuple[float, ...] = ()
    usual_backrest: float = 0.0
    usual_knee_raise: float = 0.0
    care_time: float = 2400.0
    time_zone: str = "UTC"
    usual_supports: frozenset[Support] = frozenset()
    night_supports: frozenset[Support] | None = None
    usual_head_up: float = 0.0

    def supports(self, asleep: bool) -> frozenset[Support]:
        """Props in bed outside prescribed windows.

        Parameters
        ----------
        asleep : bool
            While the person sleeps. [-]

        Returns
        -------
        frozenset of Support
            Those of the night, or the usual ones.
        """
        if asleep and self.night_supports is not None:
            return self.night_supports
        return self.usual_supports
