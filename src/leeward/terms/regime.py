"""Regimes: how the person has lain, and what their skin was seen to take under it."""

import math
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from leeward.terms.bed import Layer, Mattress
from leeward.terms.clock import DaySpan
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Posture
from leeward.terms.site import Site
from leeward.terms.sourced import Sourced
from leeward.terms.units import SECONDS_PER_MINUTE, min_from_seconds

#: Nobody is turned more often than this: a shorter stay of a regime is a slip of the pen. [s]
SHORTEST_REGIME_STAY = Sourced(
    SECONDS_PER_MINUTE, "s", "convention of this project", "not applicable"
)


class RegimeStanding(StrEnum):
    """What is known of skin under a regime."""

    CLEAR = "clear"
    ASSUMED = "assumed"
    FAILED = "failed"


class TurnMeans(StrEnum):
    """What turned the person."""

    BY_HAND = "by hand, with a pillow or wedge behind the back"
    WHOLE_SURFACE = "whole tilting surface"
    SPLIT_SURFACE = "split tilting surface"


@dataclass(frozen=True, slots=True)
class Stay:
    """Time kept in one posture.

    Parameters
    ----------
    posture : Posture
        The posture.
    duration : float
        How long. [s]
    """

    posture: Posture
    duration: float


@dataclass(frozen=True, slots=True)
class Looks:
    """Evidence of looking, summed up: for when single checks were not recorded.

    Parameters
    ----------
    count : int
        Number of competent looks at every loaded site. [-]
    first, last : date
        Dates of the first and last.
    by : str
        Who looked.
    included_warmth_and_firmness : bool
        Needed where skin is dark.
    """

    count: int
    first: date
    last: date
    by: str
    included_warmth_and_firmness: bool


@dataclass(frozen=True, slots=True)
class Regime:
    """A way the person has lain, or a policy assumed in its place.

    Parameters
    ----------
    name : str
        In plain words.
    standing : RegimeStanding
        Claimed standing; whether a claim of clear holds is decided from `looks`,
        dates and events, never from this field alone.
    means : TurnMeans
        What turned the person.
    cycle : tuple of Stay
        Stays in order, by day; a level-only regime has one stay.
    mattress : Mattress
        Mattress under it.
    night_cycle : tuple of Stay
        Stays at night when they differ, else empty.
    night : DaySpan or None
        When the night cycle runs.
    layers : tuple of Layer or None
        Layers between; None when nobody looked.
    first, last : date or None
        Between which dates.
    looks : Looks or None
        How the skin was seen.
    failed_sites : tuple of Site
        Sites not clear under it.
    assumed_by : str
        Who chose to assume it, for an assumed regime.
    source : str
        Policy or record it comes from.

    Raises
    ------
    InvalidInput
        If a stay is shorter than a minute or endless.
    """

    name: str
    standing: RegimeStanding
    means: TurnMeans
    cycle: tuple[Stay, ...]
    mattress: Mattress
    night_cycle: tuple[Stay, ...] = ()
    night: DaySpan | None = None
    layers: tuple[Layer, ...] | None = None
    first: date | None = None
    last: date | None = None
    looks: Looks | None = None
    failed_sites: tuple[Site, ...] = ()
    assumed_by: str = ""
    source: str = ""

    def __post_init__(self) -> None:
        for stay in (*self.cycle, *self.night_cycle):
            if not SHORTEST_REGIME_STAY.value <= stay.duration < math.inf:
                raise InvalidInput(
                    f"a stay of {min_from_seconds(stay.duration):g} min",
                    where=f"regime {self.name!r}",
                    expected="stays of 1 min or more, none without end",
                    remedy="say for how long the person has lain so",
                )


class EventKind(StrEnum):
    """Events after which a clear regime no longer speaks for the present."""

    ACUTE_ILLNESS = "acute illness"
    FEVER = "fever"
    LOW_BLOOD_PRESSURE = "low blood pressure or drugs to raise it"
    MASS_CHANGE = "mass changed by 5 % or more"
    NEW_MATTRESS = "new mattress"
    NEW_LAYERS = "new layers between body and mattress"
    NEW_MOISTURE = "new moisture or incontinence"
    HOSPITAL_STAY = "hospital stay"


@dataclass(frozen=True, slots=True)
class Event:
    """Something that ends what earlier looks can prove.

    Parameters
    ----------
    kind : EventKind
        What happened.
    when : date
        When.
    """

    kind: EventKind
    when: date


@dataclass(frozen=True, slots=True)
class Policy:
    """A local turning policy, as data.

    Parameters
    ----------
    name : str
        Its name.
    source : str
        Where it is written.
    interval : float
        Longest time in one posture. [s]
    turn : float
        Turn to each side it asks for. [rad]
    """

    name: str
    source: str
    interval: float
    turn: float
