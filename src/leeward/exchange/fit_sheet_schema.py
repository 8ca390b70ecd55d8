"""A fit sheet: what was measured at the bed, as written in a file."""

from typing import Annotated

from pydantic import Field

from leeward.exchange.bed_sheet_schema import BedSheetFields
from leeward.exchange.field_types import (
    Day,
    Group,
    Line,
    OneOfTwo,
    Prose,
    TowardsWord,
    Words,
)
from leeward.terms.bed_sheet import BedSheet, Carrier
from leeward.terms.fit_sheet import Answer, AroundTheBed, FitSheet, FixedPoint, Run, RunKind
from leeward.terms.units import metres_from_cm, metres_from_mm

Length = Annotated[float | None, Field(ge=-100, le=300)]


class BedReferenceFields(OneOfTwo):
    """Which bed: a bundled sheet, or one written here."""

    ways = ("use", "described")
    says = "which bed it is"

    use: Annotated[Line | None, Field(description="Name of a bundled bed sheet.")] = None
    described: Annotated[
        BedSheetFields | None, Field(description="The whole bed sheet, written here.")
    ] = None


class FixedPointFields(Group):
    """A point of a strap, hose or lead, the bed flat, level and lowest."""

    moves_with: Annotated[Carrier, Words(), Field(description="What it is fixed to.")]
    towards: Annotated[TowardsWord, Field(description="Side of the bed's mid-line.")]
    across_cm: Annotated[
        float, Field(ge=0, le=400, description="How far from the bed's mid-line.")
    ] = 0.0
    along_cm: Annotated[
        float, Field(ge=-300, le=500, description="From the platform's foot end to the head.")
    ]
    height_mm: Annotated[
        float, Field(ge=-1500, le=2000, description="Above the platform; below it negative.")
    ]
    is_on_surface: Annotated[
        bool, Field(description="Whether it lies on the unit and tilts with it.")
    ] = False

    def record(self) -> FixedPoint:
        """The record the other rooms use."""
        return FixedPoint(
            carrier=self.moves_with,
            across=self.towards.sign * metres_from_cm(self.across_cm),
            along=metres_from_cm(self.along_cm),
            height=metres_from_mm(self.height_mm),
            is_on_surface=self.is_on_surface,
        )


class RunFields(Group):
    """A strap, hose, lead or tube."""

    name: Annotated[Line, Field(description="Its name, as in the unit's file.")]
    kind: Annotated[RunKind, Words(), Field(description="What it is.")]
    points: Annotated[
        tuple[FixedPointFields, ...],
        Field(max_length=20, description="From its beginning through every clip to its end."),
    ] = ()
    length_cm: Annotated[
        float | None, Field(gt=0, le=1000, description="Free length between its ends.")
    ] = None
    stretch_percent: Annotated[
        float, Field(ge=0, le=100, description="How far it may be drawn out; 0 for a hose.")
    ] = 0.0
    seen_free_by: Annotated[
        Line | None,
        Field(description="Who saw it run free over the whole movement, where nobody measured."),
    ] = None

    def record(self) -> Run:
        """The record the other rooms use."""
        return Run(
            name=self.name,
            kind=self.kind,
            points=tuple(point.record() for point in self.points),
            length=None if self.length_cm is None else metres_from_cm(self.length_cm),
            stretch=self.stretch_percent / 100.0,
            seen_free_by=self.seen_free_by or "",
        )


class AnswerFields(Group):
    """What was seen round the bed."""

    about: Annotated[AroundTheBed, Words(), Field(description="What was asked.")]
    is_so: Annotated[bool, Field(description="Whether it is so.")]
    by: Annotated[Line, Field(description="Who looked.")]

    def record(self) -> Answer:
        """The record the other rooms use."""
        return Answer(self.about, self.is_so, self.by)


class FitSheetFields(Group):
    """A fit sheet; leave out what nobody measured, and it is asked for."""

    schema_version: Annotated[int, Field(description="Version of this form.")]
    invented: Annotated[
        Prose, Field(description="Says that it is invented; leave out for a real bed.")
    ] = ""
    bed_sheet: Annotated[BedReferenceFields, Field(description="The bed.")]
    measured_by: Annotated[Line, Field(description="Who measured.")]
    mattress_width_cm: Annotated[
        float | None, Field(ge=50, le=200, description="Width of the mattress.")
    ] = None
    mattress_mass_kg: Annotated[
        float | None, Field(ge=0, le=200, description="Mass of the mattress.")
    ] = None
    unit_foot_end_cm: Annotated[
        Length, Field(description="The unit's foot end from the platform's foot end.")
    ] = None
    hip_from_hinge_cm: Annotated[
        Length,
        Field(description="Hip joint from the hinge of back and seat, towards the head positive."),
    ] = None
    shoulder_tip_from_hip_cm: Annotated[
        Length, Field(description="From hip joint to shoulder tip along the back.")
    ] = None
    sensing_width_cm: Annotated[
        float | None,
        Field(gt=0, le=200, description="Width that the unit's table of elements asks for."),
    ] = None
    accessory_mass_kg: Annotated[
        float | None, Field(ge=0, le=300, description="Mass of all else that hangs on the bed.")
    ] = None
    hoist_leg_height_mm: Annotated[
        float | None, Field(ge=0, le=1000, description="Height of the hoist's legs.")
    ] = None
    bed_permits_unit: Annotated[
        bool | None, Field(description="Whether the bed's instructions permit a unit.")
    ] = None
    mattress_permits_unit: Annotated[
        bool | None, Field(description="Whether the mattress's instructions permit a unit.")
    ] = None
    runs: Annotated[
        tuple[RunFields, ...], Field(max_length=40, description="Straps, hoses, leads, tubes.")
    ] = ()
    around: Annotated[
        tuple[AnswerFields, ...], Field(max_length=20, description="What was seen round the bed.")
    ] = ()
    handling_assessed_on: Annotated[
        Day | None, Field(description="Date of the moving-and-handling assessment.")
    ] = None

    def record(self, bed: BedSheet) -> FitSheet:
        """The record the other rooms use.

        Parameters
        ----------
        bed : BedSheet
            The bed referred to.

        Returns
        -------
        FitSheet
            As written.
        """
        legs = self.hoist_leg_height_mm
        return FitSheet(
            bed=bed,
            measured_by=self.measured_by,
            mattress_width=_metres(self.mattress_width_cm),
            mattress_mass=self.mattress_mass_kg,
            unit_foot_end=_metres(self.unit_foot_end_cm),
            hip_from_hinge=_metres(self.hip_from_hinge_cm),
            shoulder_tip_from_hip=_metres(self.shoulder_tip_from_hip_cm),
            sensing_width=_metres(self.sensing_width_cm),
            accessory_mass=self.accessory_mass_kg,
            hoist_leg_height=None if legs is None else metres_from_mm(legs),
            is_unit_permitted_on_bed=self.bed_permits_unit,
            is_unit_permitted_by_mattress=self.mattress_permits_unit,
            runs=tuple(run.record() for run in self.runs),
            answers=tuple(answer.record() for answer in self.around),
            handling_assessed_on=self.handling_assessed_on,
        )


def _metres(length_cm: float | None) -> float | None:
    return None if length_cm is None else metres_from_cm(length_cm)
