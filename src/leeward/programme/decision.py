"""What planning decided: the choices, why, why not others, and what stands in the way."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from leeward.programme.other_conventions import Sensitivity
from leeward.programme.programme import Programme
from leeward.terms.case import MissingFact
from leeward.terms.site import Site
from leeward.terms.verdict import Reason


class Outcome(StrEnum):
    """How planning ended."""

    OFFERED = "programmes offered"
    NONE_QUALIFIES = "no programme qualifies"
    STOPPED = "planning stopped"
    CANNOT_TELL = "cannot tell"


class SiteStanding(StrEnum):
    """What can be said of one site under one programme."""

    COMPARED = "compared with the regime seen clear"
    ASSUMED = "compared with an assumed policy"
    UNTRIED = "untried: no regime has loaded it"
    NEEDS_HANDS = "no turn relieves it: hands must"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True, slots=True)
class SiteResult:
    """One site under one programme.

    Parameters
    ----------
    site : Site
        Where.
    standing : SiteStanding
        What kind of statement this is.
    peak_allowance : float or None
        Largest allowance over the repeating day, central values. [-]
    index, index_low, index_high : float or None
        Peak allowance over that of the regime compared, central and over the draws; None
        unless compared or assumed. [-]
    largest_load_ratio : float or None
        Largest load ratio in any stay. [-]
    """

    site: Site
    standing: SiteStanding
    peak_allowance: float | None
    index: float | None
    index_low: float | None
    index_high: float | None
    largest_load_ratio: float | None


@dataclass(frozen=True, slots=True)
class Disturbance:
    """What a programme costs the person and the carers.

    Parameters
    ----------
    turns_per_day, turns_in_sleep : int
        Movements of the surface. [-]
    largest_turn : float
        Largest turn either side. [rad]
    turned_through : float
        Sum of the angles moved through in a day. [rad]
    manual_min : float
        Working minutes of manual tasks a day, all people together. [min]
    two_person_tasks : int
        Tasks a day that need two people or more at once. [-]
    outside_rounds : int
        Tasks a day, each at its time, when no round of the carers comes. [-]
    pull : float or None
        Highest share of the friction there is that a posture turned to needs; None where
        unknown. [-]
    """

    turns_per_day: int
    turns_in_sleep: int
    largest_turn: float
    turned_through: float
    manual_min: float
    two_person_tasks: int = 0
    outside_rounds: int = 0
    pull: float | None = None


@dataclass(frozen=True, slots=True)
class Assessment:
    """A programme judged.

    Parameters
    ----------
    qualifies : bool
        No index above 1, guards hold, every posture stable, limits kept.
    share_of_draws : float
        Share of draws in which it qualifies. [-]
    sites : tuple of SiteResult
        Every listed site.
    limiting_site : Site or None
        Site with the largest index.
    disturbance : Disturbance
        What it costs.
    reasons : tuple of Reason
        Why it qualifies or does not, with numbers.
    """

    qualifies: bool
    share_of_draws: float
    sites: tuple[SiteResult, ...]
    limiting_site: Site | None
    disturbance: Disturbance
    reasons: tuple[Reason, ...]

    @property
    def limiting(self) -> SiteResult | None:
        """What is said of the limiting site; None where none is compared."""
        return next((one for one in self.sites if one.site is self.limiting_site), None)


class ChoiceName(StrEnum):
    """The named choices."""

    GENTLEST = "gentlest"
    BALANCED = "balanced"
    MOST_RELIEF = "most relief"
    CLOSEST = "closest"
    TODAYS = "as today"


@dataclass(frozen=True, slots=True)
class Choice:
    """One programme put to the practitioner.

    Parameters
    ----------
    name : ChoiceName
        Which of the named choices; CLOSEST does not reach the regime compared, and TODAYS was
        not found by the search.
    programme : Programme
        What it is.
    settings : tuple of str
        What to enter at the unit, in order, in plain words.
    assessment : Assessment
        How it was judged.
    reasons : tuple of Reason
        Why this one.
    recheck : tuple of Reason
        Findings of the independent recheck; empty when it found nothing against it.
    """

    name: ChoiceName
    programme: Programme
    settings: tuple[str, ...]
    assessment: Assessment
    reasons: tuple[Reason, ...]
    recheck: tuple[Reason, ...] = ()


@dataclass(frozen=True, slots=True)
class Beside:
    """A way of turning that people use, computed beside the choices and offered by nobody.

    Parameters
    ----------
    name : str
        Which, in words.
    source : str
        Where it is written, or that it is common practice without a source.
    programme : Programme
        What it is on this person's day.
    settings : tuple of str
        What to enter at the unit, or what people do, in plain words.
    assessment : Assessment
        How it was judged, by the computation that judges the choices.
    against : tuple of Reason
        Every rule it breaks, by rules and recheck; empty where it qualifies.
    remarks : tuple of Reason
        What has to be known to read its numbers rightly.
    """

    name: str
    source: str
    programme: Programme
    settings: tuple[str, ...]
    assessment: Assessment
    against: tuple[Reason, ...]
    remarks: tuple[Reason, ...] = ()

    @property
    def qualifies(self) -> bool:
        """Whether nothing was found against it."""
        return not self.against


@dataclass(frozen=True, slots=True)
class TradeOffPoint:
    """The programmes of one number of movements during sleep that keep limits and guards.

    Parameters
    ----------
    turns_in_sleep : int
        Movements of the surface during sleep. [-]
    programmes : int
        How many were looked at. [-]
    index, index_low : float
        Largest index of the best of them, central and lowest over the draws. [-]
    index_high : float or None
        Highest over the draws; None where a draw is unknown. [-]
    worst_index : float
        Largest index of the worst of them, on central values. [-]
    """

    turns_in_sleep: int
    programmes: int
    index: float
    index_low: float
    index_high: float | None
    worst_index: float


@dataclass(frozen=True, slots=True)
class RuledOut:
    """How many candidates one rule removed.

    Parameters
    ----------
    rule : str
        The rule in words.
    count : int
        Candidates it removed. [-]
    example : Reason
        One of them, with numbers.
    """

    rule: str
    count: int
    example: Reason


@dataclass(frozen=True, slots=True)
class Decision:
    """The whole outcome of planning, kept with what it was made from.

    Parameters
    ----------
    outcome : Outcome
        How planning ended.
    choices : tuple of Choice
        Offered, best known name first; the closest ones where none qualifies.
    reasons : tuple of Reason
        Why the outcome is what it is; what would change it.
    cautions : tuple of Reason
        To be read before anything is done.
    cannot_accept : tuple of Reason
        What must be settled before any choice may be accepted.
    ruled_out : tuple of RuledOut
        What the search removed, by rule.
    compared_with : str
        Regime or policy compared with, and its standing, in words.
    missing : tuple of MissingFact
        Facts nobody gave.
    narrowing : Reason or None
        The single measurement that would narrow the bands most.
    candidates : int
        Settable candidates looked at. [-]
    load_noise, interpolation_error : float or None
        Largest numerical noise and interpolation error of the load ratio; None where no
        loads were computed. [-]
    made_at : datetime
        When.
    seed : int
        Seed of the draws. [-]
    software : str
        Version of leeward.
    case_digest : str
        SHA-256 of the case in canonical form.
    beside : tuple of Beside
        What people do today, by the same computation; none where nothing could be compared.
    not_beside : tuple of Reason
        Ways that could not be computed, and why.
    trade_off : tuple of TradeOffPoint
        Relief against movements during sleep, over all that was searched.
    sensitivity : Sensitivity or None
        The choices while conventions are taken otherwise; None where there is nothing to compare.
    """

    outcome: Outcome
    choices: tuple[Choice, ...]
    reasons: tuple[Reason, ...]
    cautions: tuple[Reason, ...]
    cannot_accept: tuple[Reason, ...]
    ruled_out: tuple[RuledOut, ...]
    compared_with: str
    missing: tuple[MissingFact, ...]
    narrowing: Reason | None
    candidates: int
    load_noise: float | None
    interpolation_error: float | None
    made_at: datetime
    seed: int
    software: str
    case_digest: str
    beside: tuple[Beside, ...] = ()
    not_beside: tuple[Reason, ...] = ()
    trade_off: tuple[TradeOffPoint, ...] = ()
    sensitivity: Sensitivity | None = None
