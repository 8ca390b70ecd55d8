"""The person: body, wishes, consent, aim of care, and what may not be done."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from leeward.terms.body import Body
from leeward.terms.site import Side, Site


class ConsentKind(StrEnum):
    """How it was settled that turning is wanted."""

    GIVEN = "the person agreed"
    BEST_INTERESTS = "best-interests decision"
    REFUSED = "the person refused"


@dataclass(frozen=True, slots=True)
class Consent:
    """Consent, or the decision made in its place.

    Parameters
    ----------
    kind : ConsentKind
        What was settled.
    by : str
        Who recorded it.
    when : date
        When.
    """

    kind: ConsentKind
    by: str
    when: date


class Aim(StrEnum):
    """What care is for now."""

    PREVENTION = "prevention"
    HEALING = "healing"
    COMFORT = "comfort"
    LAST_DAYS = "last days of life"


@dataclass(frozen=True, slots=True)
class SignedReason:
    """A named practitioner's written reason.

    Parameters
    ----------
    by : str
        Name and role.
    when : date
        When.
    reason : str
        In their words.
    """

    by: str
    when: date
    reason: str


@dataclass(frozen=True, slots=True)
class TurnLimit:
    """Largest turn the person may be given towards one side; 0 bars the side.

    Parameters
    ----------
    towards : Side
        Side the person would be turned to.
    largest : float
        Largest turn, positive. [rad]
    reason : str
        Why.
    """

    towards: Side
    largest: float
    reason: str


@dataclass(frozen=True, slots=True)
class ProtectedSite:
    """A site that is to be kept unloaded.

    Parameters
    ----------
    site : Site
        Where.
    reason : str
        Why: wound, graft, pain.
    ceiling : float or None
        Load ratio a named practitioner allows instead of the usual 0.2. [-]
    ceiling_by : SignedReason or None
        Who allows it.
    """

    site: Site
    reason: str
    ceiling: float | None = None
    ceiling_by: SignedReason | None = None


@dataclass(frozen=True, slots=True)
class Line:
    """A line or device on the person.

    Parameters
    ----------
    what : str
        For example feeding tube, catheter, mask.
    side : Side or None
        Side it leaves the body; None for the mid-line.
    largest_turn_left, largest_turn_right : float or None
        Turn its slack allows each way; None where nobody checked. [rad]
    """

    what: str
    side: Side | None = None
    largest_turn_left: float | None = None
    largest_turn_right: float | None = None


class ContraindicationKind(StrEnum):
    """Conditions that stop planning until a named practitioner answers in writing."""

    UNSTABLE_SPINE = "unstable spine"
    UNSTABLE_FRACTURE = "unstable pelvic or long-bone fracture"
    TRACTION = "skeletal traction"
    CORD_COMPRESSION = "metastatic cord compression with instability"
    RAISED_INTRACRANIAL_PRESSURE = "raised intracranial pressure not under control"
    UNSTABLE_CIRCULATION = "circulation that does not bear movement"
    OPEN_ABDOMEN_OR_CHEST = "open abdomen or chest"
    RECENT_HIP_REPLACEMENT = "recent hip replacement"


@dataclass(frozen=True, slots=True)
class Contraindication:
    """A condition that stops planning.

    Parameters
    ----------
    kind : ContraindicationKind
        Which.
    continues : SignedReason or None
        A named practitioner's reason to go on all the same.
    """

    kind: ContraindicationKind
    continues: SignedReason | None = None


@dataclass(frozen=True, slots=True)
class Observation:
    """A dated finding that may trigger a caution or a review; not modelled.

    Parameters
    ----------
    what : str
        For example temperature, weight trend, moisture, pain, spasm.
    value : str
        As recorded.
    when : date
        When.
    is_concern : bool
        Whether the team calls it a concern.
    """

    what: str
    value: str
    when: date
    is_concern: bool = False


@dataclass(frozen=True, slots=True)
class RiskTotal:
    """Total of a risk scale by its code; items are not stored or printed.

    Parameters
    ----------
    scale : str
        Scale's code.
    total : float
        Total. [-]
    when : date
        When.
    """

    scale: str
    total: float
    when: date


@dataclass(frozen=True, slots=True)
class Person:
    """Everything about the person that a plan must respect.

    Parameters
    ----------
    label : str
        Pseudonymous label printed on sheets.
    body : Body
        Measures.
    has_dark_skin : bool or None
        Then colour alone proves nothing; None when not recorded.
    goals : str
        The person's own goals, in their words.
    knows_right_to_refuse : bool or None
        Whether the right to refuse was explained.
    consent : Consent or None
        None: planned, but cannot be accepted.
    aim : Aim or None
        None: planned, but cannot be accepted.
    turn_limits : tuple of TurnLimit
        Barred or limited sides.
    protected_sites : tuple of ProtectedSite
        Sites to keep unloaded.
    lines : tuple of Line
        Lines and devices.
    contraindications : tuple of Contraindication
        Conditions that stop planning.
    observations : tuple of Observation
        Dated findings.
    risk_totals : tuple of RiskTotal
        By code.
    least_backrest, greatest_backrest : float or None
        Prescribed range for the backrest. [rad]
    no_level_stays : SignedReason or None
        Set when the person must not lie level, e.g. a sacral wound.
    specialist_continues : SignedReason or None
        A named specialist's reason to plan outside the tables.
    """

    label: str
    body: Body
    has_dark_skin: bool | None = None
    goals: str = ""
    knows_right_to_refuse: bool | None = None
    consent: Consent | None = None
    aim: Aim | None = None
    turn_limits: tuple[TurnLimit, ...] = ()
    protected_sites: tuple[ProtectedSite, ...] = ()
    lines: tuple[Line, ...] = ()
    contraindications: tuple[Contraindication, ...] = ()
    observations: tuple[Observation, ...] = ()
    risk_totals: tuple[RiskTotal, ...] = ()
    least_backrest: float | None = None
    greatest_backrest: float | None = None
    no_level_stays: SignedReason | None = None
    specialist_continues: SignedReason | None = None
