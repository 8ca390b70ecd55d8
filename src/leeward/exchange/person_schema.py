"""The person as written in a case file."""

from typing import Annotated

from pydantic import Field

from leeward.exchange.body_schema import BodyFields
from leeward.exchange.field_types import (
    Backrest,
    Day,
    Group,
    Line,
    Prose,
    SidedAngle,
    SideWord,
    Words,
)
from leeward.exchange.signed_reason import Signature, SignedReasonFields
from leeward.terms.person import (
    Aim,
    Consent,
    ConsentKind,
    Contraindication,
    ContraindicationKind,
    Observation,
    Person,
    ProtectedSite,
    RiskTotal,
    SignedReason,
    TurnLimit,
)
from leeward.terms.person import Line as LineOnPerson
from leeward.terms.site import Site
from leeward.terms.units import radians_from_deg


class ConsentFields(Group):
    """How it was settled that the person is to be turned."""

    decision: Annotated[
        ConsentKind,
        Words(),
        Field(description="What was settled."),
    ]
    by: Annotated[Line, Field(description="Who recorded it.")]
    when: Annotated[Day, Field(description="When.")]

    def record(self) -> Consent:
        """The record the other rooms use."""
        return Consent(kind=self.decision, by=self.by, when=self.when)


class TurnLimitFields(Group):
    """A side the person may be turned to only so far, or not at all."""

    towards: Annotated[SideWord, Field(description="Side the person would be turned to.")]
    largest_deg: Annotated[SidedAngle, Field(description="Largest turn; 0 bars the side.")]
    reason: Annotated[Line, Field(description="Why.")]

    def record(self) -> TurnLimit:
        """The record the other rooms use."""
        return TurnLimit(
            towards=self.towards, largest=radians_from_deg(self.largest_deg), reason=self.reason
        )


class ProtectedSiteFields(Group):
    """A site to keep unloaded: a wound, a graft, pain."""

    site: Annotated[Site, Words(), Field(description="Where.")]
    reason: Annotated[Line, Field(description="Why.")]
    ceiling: Annotated[
        float | None,
        Field(
            ge=0,
            le=1,
            description="Load ratio a named practitioner allows there instead of the usual 0.2.",
        ),
    ] = None
    ceiling_by: Annotated[Signature, Field(description="Who allows it, and why.")] = None

    def record(self) -> ProtectedSite:
        """The record the other rooms use."""
        by = None if self.ceiling_by is None else self.ceiling_by.record()
        return ProtectedSite(self.site, self.reason, self.ceiling, by)


class LineFields(Group):
    """A tube, line or device on the person, and the turns its slack allows."""

    what: Annotated[Line, Field(description="What it is.")]
    side: Annotated[
        SideWord | None, Field(description="Side it leaves the body; leave out for the middle.")
    ] = None
    largest_turn_left_deg: Annotated[
        SidedAngle | None, Field(description="Turn to the left its slack allows, tried by hand.")
    ] = None
    largest_turn_right_deg: Annotated[
        SidedAngle | None, Field(description="Turn to the right its slack allows, tried by hand.")
    ] = None

    def record(self) -> LineOnPerson:
        """The record the other rooms use."""
        return LineOnPerson(
            what=self.what,
            side=self.side,
            largest_turn_left=_angle(self.largest_turn_left_deg),
            largest_turn_right=_angle(self.largest_turn_right_deg),
        )


class ContraindicationFields(Group):
    """A condition that stops planning until a named practitioner answers in writing."""

    kind: Annotated[ContraindicationKind, Words(), Field(description="Which condition.")]
    continues: Annotated[
        Signature,
        Field(description="A named practitioner's reason to plan all the same."),
    ] = None

    def record(self) -> Contraindication:
        """The record the other rooms use."""
        return Contraindication(
            self.kind, None if self.continues is None else self.continues.record()
        )


class ObservationFields(Group):
    """Something observed on a date: weight trend, pain, spasm, moisture."""

    what: Annotated[Line, Field(description="What was observed.")]
    value: Annotated[Line, Field(description="As recorded.")]
    when: Annotated[Day, Field(description="When.")]
    is_concern: Annotated[bool, Field(description="Whether the team calls it a concern.")] = False

    def record(self) -> Observation:
        """The record the other rooms use."""
        return Observation(self.what, self.value, self.when, self.is_concern)


class RiskTotalFields(Group):
    """Total of a risk scale; single items are not stored."""

    scale: Annotated[Line, Field(description="The scale's code.")]
    total: Annotated[float, Field(ge=0, le=200, description="The total.")]
    when: Annotated[Day, Field(description="When.")]

    def record(self) -> RiskTotal:
        """The record the other rooms use."""
        return RiskTotal(self.scale, self.total, self.when)


class PersonFields(BodyFields):
    """The person: body, wishes, consent, aim of care, and what may not be done."""

    label: Annotated[
        Line, Field(description="A label that does not name the person; printed on every sheet.")
    ]
    has_dark_skin: Annotated[
        bool | None,
        Field(description="Dark skin hides redness: warmth and firmness then count as well."),
    ] = None
    goals: Annotated[Prose, Field(description="What matters to the person, in their words.")] = ""
    knows_right_to_refuse: Annotated[
        bool | None, Field(description="Whether someone explained that they may refuse.")
    ] = None
    consent: Annotated[ConsentFields | None, Field(description="Consent or best interests.")] = None
    aim: Annotated[Annotated[Aim, Words()] | None, Field(description="What care is for now.")] = (
        None
    )
    turn_limits: Annotated[
        tuple[TurnLimitFields, ...],
        Field(max_length=4, description="Sides barred or limited."),
    ] = ()
    protected_sites: Annotated[
        tuple[ProtectedSiteFields, ...],
        Field(max_length=40, description="Sites to keep unloaded."),
    ] = ()
    lines: Annotated[
        tuple[LineFields, ...],
        Field(max_length=30, description="Tubes, lines and devices on the person."),
    ] = ()
    contraindications: Annotated[
        tuple[ContraindicationFields, ...],
        Field(max_length=20, description="Conditions that stop planning."),
    ] = ()
    observations: Annotated[
        tuple[ObservationFields, ...],
        Field(max_length=200, description="Dated observations."),
    ] = ()
    risk_totals: Annotated[
        tuple[RiskTotalFields, ...], Field(max_length=50, description="Risk scale totals.")
    ] = ()
    least_backrest_deg: Annotated[
        Backrest | None, Field(description="Backrest must not be lower than this.")
    ] = None
    greatest_backrest_deg: Annotated[
        Backrest | None, Field(description="Backrest must not be higher than this.")
    ] = None
    no_level_stays: Annotated[
        Signature,
        Field(description="Set when the person must not lie level, and who says so."),
    ] = None
    specialist_continues: Annotated[
        Signature,
        Field(description="A named specialist's reason to plan outside the body tables."),
    ] = None

    def record(self) -> Person:
        """The record the other rooms use."""
        return Person(
            label=self.label,
            body=self.body(),
            has_dark_skin=self.has_dark_skin,
            goals=self.goals,
            knows_right_to_refuse=self.knows_right_to_refuse,
            consent=None if self.consent is None else self.consent.record(),
            aim=self.aim,
            turn_limits=tuple(entry.record() for entry in self.turn_limits),
            protected_sites=tuple(entry.record() for entry in self.protected_sites),
            lines=tuple(entry.record() for entry in self.lines),
            contraindications=tuple(entry.record() for entry in self.contraindications),
            observations=tuple(entry.record() for entry in self.observations),
            risk_totals=tuple(entry.record() for entry in self.risk_totals),
            least_backrest=_angle(self.least_backrest_deg),
            greatest_backrest=_angle(self.greatest_backrest_deg),
            no_level_stays=_signed(self.no_level_stays),
            specialist_continues=_signed(self.specialist_continues),
        )


def _angle(angle_deg: float | None) -> float | None:
    return None if angle_deg is None else radians_from_deg(angle_deg)


def _signed(fields: SignedReasonFields | None) -> SignedReason | None:
    return None if fields is None else fields.record()
