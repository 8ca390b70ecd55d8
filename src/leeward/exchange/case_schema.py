"""A whole case as written in a file."""

from typing import Annotated, Self

from pydantic import Field, model_validator

from leeward.exchange.bed_schema import BedFields
from leeward.exchange.correction_schema import CorrectionFields
from leeward.exchange.day_schema import DayFields, OffloadingFields
from leeward.exchange.equipment_schema import EquipmentFields
from leeward.exchange.field_types import Group, Line, OneOfTwo, Prose, Refusal
from leeward.exchange.fit_sheet_schema import FitSheetFields
from leeward.exchange.fitting_schema import FittedLimitFields, PlacementFields, posture_limits
from leeward.exchange.person_schema import PersonFields
from leeward.exchange.policy_schema import PolicyFields
from leeward.exchange.regime_schema import EventFields, RegimeFields
from leeward.exchange.skin_schema import HandCheckFields, LookFields
from leeward.exchange.time_zones import aware
from leeward.terms.case import Case, Placement
from leeward.terms.equipment import Equipment
from leeward.terms.skin import HandCheck, SkinCheck

#: Version of the case file's form that this leeward writes and reads.
SCHEMA_VERSION = 1


class EquipmentReferenceFields(Group):
    """Which tilting unit: a bundled one, a file beside the case, or described here."""

    unit: Annotated[Line | None, Field(description="Name of a bundled unit.")] = None
    file: Annotated[
        Line | None, Field(description="Name of an equipment file in the case's own folder.")
    ] = None
    described: Annotated[
        EquipmentFields | None, Field(description="The whole unit, written here.")
    ] = None

    @model_validator(mode="after")
    def _one_of_three(self) -> Self:
        given = [entry for entry in (self.unit, self.file, self.described) if entry is not None]
        if len(given) != 1:
            raise Refusal(
                f"{len(given)} of `unit`, `file` and `described` given",
                expected="exactly one of the three",
                remedy="keep the one that says which unit it is",
            )
        return self


class FitReferenceFields(OneOfTwo):
    """What was measured at the bed: a file beside the case, or written here."""

    ways = ("file", "described")
    says = "what was measured"

    file: Annotated[
        Line | None, Field(description="Name of a fit sheet in the case's own folder.")
    ] = None
    described: Annotated[
        FitSheetFields | None, Field(description="The whole fit sheet, written here.")
    ] = None


class CorrectionReferenceFields(OneOfTwo):
    """A correction by a measured pressure map: a file beside the case, or written here."""

    ways = ("file", "described")
    says = "what was corrected"

    file: Annotated[
        Line | None, Field(description="Name of a correction file in the case's own folder.")
    ] = None
    described: Annotated[
        CorrectionFields | None, Field(description="The whole correction, written here.")
    ] = None


class PolicyReferenceFields(OneOfTwo):
    """Which local policy is in force, and who assumes it where nothing else is known."""

    ways = ("use", "described")
    says = "which policy it is"

    use: Annotated[Line | None, Field(description="Name of a bundled policy.")] = None
    described: Annotated[
        PolicyFields | None, Field(description="The local policy, written here.")
    ] = None
    assumed_by: Annotated[
        Line | None,
        Field(
            description="Who decided that plans are compared with this policy because no regime is "
            "known: name and role."
        ),
    ] = None


class CaseFields(Group):
    """A case file: one person, one bed, one day, and what is known of their skin."""

    schema_version: Annotated[int, Field(description="Version of this form.")]
    invented: Annotated[
        Prose, Field(description="Says that the case is invented; leave out for real people.")
    ] = ""
    person: Annotated[PersonFields, Field(description="The person.")]
    day: Annotated[DayFields, Field(description="Their day.")]
    bed: Annotated[BedFields, Field(description="The bed and what lies on it.")] = BedFields()
    equipment: Annotated[
        EquipmentReferenceFields | None, Field(description="The tilting unit.")
    ] = None
    regimes: Annotated[
        tuple[RegimeFields, ...],
        Field(max_length=20, description="How the person has lain, and how their skin took it."),
    ] = ()
    policy: Annotated[
        PolicyReferenceFields | None, Field(description="Local turning policy in force.")
    ] = None
    events: Annotated[
        tuple[EventFields, ...],
        Field(max_length=100, description="What may have changed what the skin can take."),
    ] = ()
    skin_checks: Annotated[
        tuple[LookFields, ...], Field(max_length=200, description="Looks at the skin.")
    ] = ()
    hand_checks: Annotated[
        tuple[HandCheckFields, ...],
        Field(max_length=100, description="Hands passed under sites."),
    ] = ()
    offloading: Annotated[
        tuple[OffloadingFields, ...],
        Field(max_length=20, description="Who keeps load off heels, head and other such sites."),
    ] = ()
    placement: Annotated[
        PlacementFields | None, Field(description="Where the unit lies under the body.")
    ] = None
    fitting: Annotated[
        FitReferenceFields | None,
        Field(description="What was measured at the bed; plans keep to what was found there."),
    ] = None
    corrected_by: Annotated[
        CorrectionReferenceFields | None,
        Field(
            description="A measured pressure map that corrects the model, from `leeward measured`; "
            "said in every result."
        ),
    ] = None
    posture_limits: Annotated[
        tuple[FittedLimitFields, ...],
        Field(max_length=20, description="Largest turns and backrest found possible at this bed."),
    ] = ()

    @model_validator(mode="after")
    def _moments_can_be_told(self) -> Self:
        # Raises where the wall clock showed a time twice or never.
        for name in ("skin_checks", "hand_checks"):
            for number, seen in enumerate(getattr(self, name)):
                aware(seen.when, self.day.time_zone, (name, number, "when"))
        return self

    def record(self, equipment: Equipment | None, policy: PolicyFields | None) -> Case:
        """The case the other rooms use.

        Parameters
        ----------
        equipment : Equipment or None
            The unit referred to.
        policy : PolicyFields or None
            The policy referred to.

        Returns
        -------
        Case
            Without the list of missing facts.
        """
        bed = self.bed.record()
        regimes = tuple(entry.record(self.day, bed) for entry in self.regimes)
        if policy is not None and self.policy is not None and self.policy.assumed_by is not None:
            regimes += (policy.assumed(self.policy.assumed_by, self.day, bed),)
        return Case(
            person=self.person.record(),
            bed=bed,
            equipment=equipment,
            day=self.day.record(),
            regimes=regimes,
            policy=None if policy is None else policy.record(),
            events=tuple(entry.record() for entry in self.events),
            skin_checks=self._skin_checks(),
            hand_checks=self._hand_checks(),
            offloading=tuple(one for entry in self.offloading for one in entry.records()),
            placement=Placement() if self.placement is None else self.placement.record(),
            posture_limits=posture_limits(self.posture_limits),
            invented=self.invented,
        )

    def _skin_checks(self) -> tuple[SkinCheck, ...]:
        zone = self.day.time_zone
        looks = sorted(
            (
                (aware(look.when, zone), number, look)
                for number, look in enumerate(self.skin_checks)
            ),
            key=lambda entry: entry[:2],
        )
        return tuple(check for when, _, look in looks for check in look.records(when))

    def _hand_checks(self) -> tuple[HandCheck, ...]:
        zone = self.day.time_zone
        return tuple(check.record(aware(check.when, zone)) for check in self.hand_checks)
