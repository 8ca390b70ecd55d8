"""A bed sheet: one profiling bed as a mechanism, as written in a file."""

from typing import Annotated, Self

from pydantic import Field, model_validator

from leeward.exchange.bed_schema import PlatformFields
from leeward.exchange.field_types import Group, Line, Prose, Refusal, Words
from leeward.exchange.ranges import SAFE_WORKING_LOAD
from leeward.terms.bed import RailKind
from leeward.terms.bed_sheet import BedSheet, CalfMotion, Carrier, RailPart
from leeward.terms.units import metres_from_cm, metres_from_mm, radians_from_deg

Along = Annotated[float | None, Field(ge=0, le=300)]
Gap = Annotated[float | None, Field(ge=0, le=2500)]


class RailPartFields(Group):
    """A rail, or one part of a split one; the same on both sides of the bed."""

    name: Annotated[Line, Field(description="Its name.")]
    moves_with: Annotated[Carrier, Words(), Field(description="What it is fixed to.")]
    foot_end_cm: Annotated[
        Along, Field(description="Where it begins, from the platform's foot end, bed flat.")
    ] = None
    head_end_cm: Annotated[Along, Field(description="Where it ends, measured the same way.")] = None
    top_mm: Annotated[Gap, Field(description="Its upper edge above the platform.")] = None
    bottom_mm: Annotated[Gap, Field(description="Its lower edge above the platform.")] = None
    opening_mm: Annotated[Gap, Field(description="Widest opening inside it.")] = None
    gap_beside_mm: Annotated[
        Gap, Field(description="From its inner face to the mattress, flat and level.")
    ] = None

    @model_validator(mode="after")
    def _ends_in_order(self) -> Self:
        for low, high, names in (
            (self.foot_end_cm, self.head_end_cm, "foot_end_cm and head_end_cm"),
            (self.bottom_mm, self.top_mm, "bottom_mm and top_mm"),
        ):
            if low is not None and high is not None and low >= high:
                raise Refusal(
                    f"{names} of {low:g} and {high:g}",
                    expected="the first below the second",
                    remedy="correct the two figures",
                )
        return self

    def record(self) -> RailPart:
        """The record the other rooms use."""
        return RailPart(
            name=self.name,
            moves_with=self.moves_with,
            foot_end=_from_cm(self.foot_end_cm),
            head_end=_from_cm(self.head_end_cm),
            top=_from_mm(self.top_mm),
            bottom=_from_mm(self.bottom_mm),
            opening=_from_mm(self.opening_mm),
            gap_beside=_from_mm(self.gap_beside_mm),
        )


class BedSheetFields(Group):
    """A bed as a mechanism; leave out what nobody measured, and it is asked for."""

    schema_version: Annotated[int, Field(description="Version of this form.")]
    invented: Annotated[
        Prose, Field(description="Says that the bed is invented; leave out for a real one.")
    ] = ""
    name: Annotated[Line, Field(description="Name of the bed.")]
    instructions: Annotated[Line, Field(description="Where the figures come from.")]
    platform: Annotated[PlatformFields, Field(description="Sections and their ranges.")]
    back_travel_mm: Annotated[
        float | None,
        Field(ge=0, le=500, description="How far the back section slides towards the head; or 0."),
    ] = None
    knee_deg_per_backrest_deg: Annotated[
        float | None,
        Field(ge=0, le=2, description="Knee raise that each degree of backrest brings; or 0."),
    ] = None
    calf: Annotated[
        Annotated[CalfMotion, Words()] | None, Field(description="What the calf section does.")
    ] = None
    lowest_cm: Annotated[
        float | None, Field(ge=5, le=150, description="Platform above the floor, lowest.")
    ] = None
    highest_cm: Annotated[
        float | None, Field(ge=5, le=150, description="Platform above the floor, highest.")
    ] = None
    largest_head_up_deg: Annotated[
        float | None, Field(ge=0, le=30, description="Tilt of the whole bed, either way.")
    ] = None
    clearance_mm: Annotated[
        float | None, Field(ge=0, le=1000, description="Free height under the frame, bed lowest.")
    ] = None
    rails: Annotated[RailKind, Words(), Field(description="Side rails.")] = RailKind.UNDESCRIBED
    rails_tilt_with_surface: Annotated[
        bool | None, Field(description="Whether the rails tilt with the surface.")
    ] = None
    rail_parts: Annotated[
        tuple[RailPartFields, ...], Field(max_length=4, description="Parts, from the head end.")
    ] = ()
    gap_to_head_board_mm: Annotated[Gap, Field(description="Between rail and head board.")] = None
    gap_to_foot_board_mm: Annotated[Gap, Field(description="Between rail and foot board.")] = None
    gap_between_parts_mm: Annotated[
        Gap, Field(description="Between the parts of a split rail.")
    ] = None
    safe_working_load_kg: Annotated[
        float | None, SAFE_WORKING_LOAD.edges, Field(description="On the bed's plate.")
    ] = None

    def record(self) -> BedSheet:
        """The record the other rooms use."""
        tilt = self.largest_head_up_deg
        return BedSheet(
            name=self.name,
            instructions=self.instructions,
            platform=self.platform.record(),
            back_travel=_from_mm(self.back_travel_mm),
            knee_with_backrest=self.knee_deg_per_backrest_deg,
            calf=self.calf,
            lowest=_from_cm(self.lowest_cm),
            highest=_from_cm(self.highest_cm),
            largest_head_up=None if tilt is None else radians_from_deg(tilt),
            clearance=_from_mm(self.clearance_mm),
            rails=self.rails,
            rails_tilt=self.rails_tilt_with_surface,
            rail_parts=tuple(part.record() for part in self.rail_parts),
            gap_to_head_board=_from_mm(self.gap_to_head_board_mm),
            gap_to_foot_board=_from_mm(self.gap_to_foot_board_mm),
            gap_between_parts=_from_mm(self.gap_between_parts_mm),
            safe_working_load=self.safe_working_load_kg,
        )


def _from_mm(length_mm: float | None) -> float | None:
    return None if length_mm is None else metres_from_mm(length_mm)


def _from_cm(length_cm: float | None) -> float | None:
    return None if length_cm is None else metres_from_cm(length_cm)
