"""A case: one person, one bed, one day, and what is known of their skin."""

from dataclasses import dataclass

from leeward.terms.bed import Bed
from leeward.terms.correction import MapCorrection
from leeward.terms.day import Day, OffloadingAssignment
from leeward.terms.equipment import Equipment
from leeward.terms.fit_sheet import FitSheet
from leeward.terms.person import Person
from leeward.terms.posture_limits import NOTHING_MEASURED, PostureLimits
from leeward.terms.regime import Event, Policy, Regime
from leeward.terms.skin import HandCheck, SkinCheck


@dataclass(frozen=True, slots=True)
class Placement:
    """Where the surface's line was found under the body.

    Parameters
    ----------
    line_offset : float or None
        Towards the person's left from the body's mid-line; None where nobody measured. [m]
    measured_by : str
        Who.
    """

    line_offset: float | None = None
    measured_by: str = ""


@dataclass(frozen=True, slots=True)
class MissingFact:
    """A fact nobody gave, and what is done without it.

    Parameters
    ----------
    field : str
        Path of the field in the case file.
    consequence : str
        What its absence does to the answer.
    """

    field: str
    consequence: str


@dataclass(frozen=True, slots=True)
class Case:
    """Everything a plan is made from.

    Parameters
    ----------
    person : Person
        The person.
    bed : Bed
        The bed.
    equipment : Equipment or None
        The tilting unit; None: only manual programmes can be told about.
    day : Day
        The day.
    regimes : tuple of Regime
        How the person has lain.
    policy : Policy or None
        Local policy in force.
    events : tuple of Event
        What may have ended a clear regime.
    skin_checks : tuple of SkinCheck
        Looks at skin.
    hand_checks : tuple of HandCheck
        Hands passed under sites.
    offloading : tuple of OffloadingAssignment
        Manual offloading with owners.
    placement : Placement
        Where the surface lies.
    posture_limits : PostureLimits
        Found at the bed.
    correction : MapCorrection or None
        What a measured map changed in the model; None: nothing was.
    fit_sheet : FitSheet or None
        What was measured at the bed; None where nobody did.
    invented : str
        Statement that the case is invented, for examples; empty for real people.
    missing : tuple of MissingFact
        Facts nobody gave.
    """

    person: Person
    bed: Bed
    equipment: Equipment | None
    day: Day
    regimes: tuple[Regime, ...] = ()
    policy: Policy | None = None
    events: tuple[Event, ...] = ()
    skin_checks: tuple[SkinCheck, ...] = ()
    hand_checks: tuple[HandCheck, ...] = ()
    offloading: tuple[OffloadingAssignment, ...] = ()
    placement: Placement = Placement()
    posture_limits: PostureLimits = NOTHING_MEASURED
    correction: MapCorrection | None = None
    fit_sheet: FitSheet | None = None
    invented: str = ""
    missing: tuple[MissingFact, ...] = ()
