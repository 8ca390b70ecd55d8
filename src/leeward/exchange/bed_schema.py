"""The bed, its mattress and what lies between, as written in a case file."""

from typing import Annotated

from pydantic import Field

from leeward.exchange.field_types import Backrest, Group, KneeRaise, Words
from leeward.exchange.ranges import (
    FOAM_DENSITY,
    FOAM_HARDNESS,
    FRICTION,
    MATTRESS_THICKNESS,
    PLATFORM_WIDTH,
    SAFE_WORKING_LOAD,
)
from leeward.terms.bed import Bed, Layer, LayerKind, Mattress, MattressKind, Platform, RailKind
from leeward.terms.units import (
    deg_from_radians,
    metres_from_cm,
    metres_from_mm,
    pascal_from_kpa,
    radians_from_deg,
)

_TYPICAL = Platform()
SectionLength = Annotated[float, Field(ge=5, le=150)]


class CurvePointFields(Group):
    """One measured point of how a mattress pushes back."""

    indentation_mm: Annotated[float, Field(ge=0, le=500, description="How deep it was pressed.")]
    pressure_kpa: Annotated[float, Field(ge=0, le=200, description="Pressure it then gave.")]


class MattressFields(Group):
    """A mattress as far as anybody knows it."""

    kind: Annotated[MattressKind, Words(), Field(description="What it is made of.")] = (
        MattressKind.UNDESCRIBED
    )
    thickness_mm: Annotated[
        float | None,
        MATTRESS_THICKNESS.edges,
        Field(description="Thickness with nobody on it."),
    ] = None
    cv40_kpa: Annotated[
        float | None,
        FOAM_HARDNESS.edges,
        Field(description="Foam hardness CV40 from its label or data sheet."),
    ] = None
    density_kg_m3: Annotated[
        float | None,
        FOAM_DENSITY.edges,
        Field(description="Foam density from its label."),
    ] = None
    curve: Annotated[
        tuple[CurvePointFields, ...],
        Field(max_length=200, description="Measured points, shallowest first."),
    ] = ()

    def record(self) -> Mattress:
        """The record the other rooms use."""
        return Mattress(
            kind=self.kind,
            thickness=None if self.thickness_mm is None else metres_from_mm(self.thickness_mm),
            cv40=None if self.cv40_kpa is None else pascal_from_kpa(self.cv40_kpa),
            density=self.density_kg_m3,
            curve=tuple(
                (metres_from_mm(point.indentation_mm), pascal_from_kpa(point.pressure_kpa))
                for point in self.curve
            ),
        )


class LayerFields(Group):
    """Something between the person and the mattress."""

    kind: Annotated[LayerKind, Words(), Field(description="What it is.")]
    thickness_mm: Annotated[float | None, Field(ge=0, le=300, description="Its thickness.")] = None

    def record(self) -> Layer:
        """The record the other rooms use."""
        thickness = None if self.thickness_mm is None else metres_from_mm(self.thickness_mm)
        return Layer(self.kind, thickness)


Layers = Annotated[tuple[LayerFields, ...], Field(max_length=20)]


def layers_record(layers: Layers | None) -> tuple[Layer, ...] | None:
    """Turn written layers into records; nobody having looked stays None.

    Parameters
    ----------
    layers : tuple of LayerFields or None
        As written.

    Returns
    -------
    tuple of Layer or None
        Records.
    """
    return None if layers is None else tuple(layer.record() for layer in layers)


class PlatformFields(Group):
    """The hinged sections under the mattress; typical sizes where nobody measured."""

    back_cm: Annotated[SectionLength, Field(description="Length of the back section.")] = (
        100 * _TYPICAL.back
    )
    seat_cm: Annotated[SectionLength, Field(description="Length of the seat section.")] = (
        100 * _TYPICAL.seat
    )
    thigh_cm: Annotated[SectionLength, Field(description="Length of the thigh section.")] = (
        100 * _TYPICAL.thigh
    )
    calf_cm: Annotated[SectionLength, Field(description="Length of the calf section.")] = (
        100 * _TYPICAL.calf
    )
    platform_width_cm: Annotated[
        float, PLATFORM_WIDTH.edges, Field(description="Width of the platform.")
    ] = 100 * _TYPICAL.width
    largest_backrest_deg: Annotated[
        Backrest, Field(description="How far the back section rises.")
    ] = round(deg_from_radians(_TYPICAL.largest_backrest))
    largest_knee_raise_deg: Annotated[
        KneeRaise, Field(description="How far the thigh section rises.")
    ] = round(deg_from_radians(_TYPICAL.largest_knee_raise))

    def record(self) -> Platform:
        """The record the other rooms use."""
        return Platform(
            back=metres_from_cm(self.back_cm),
            seat=metres_from_cm(self.seat_cm),
            thigh=metres_from_cm(self.thigh_cm),
            calf=metres_from_cm(self.calf_cm),
            width=metres_from_cm(self.platform_width_cm),
            largest_backrest=radians_from_deg(self.largest_backrest_deg),
            largest_knee_raise=radians_from_deg(self.largest_knee_raise_deg),
        )


class BedFields(Group):
    """The bed as it stands."""

    platform: Annotated[PlatformFields | None, Field(description="Sections, if measured.")] = None
    mattress: Annotated[MattressFields, Field(description="The mattress the person lies on.")] = (
        MattressFields()
    )
    layers: Annotated[
        Layers | None,
        Field(
            description="Everything between person and mattress: pads, a sling left in, sheepskin. "
            "`[]` says someone looked and there is nothing."
        ),
    ] = None
    friction_coefficient: Annotated[
        float | None,
        FRICTION.edges,
        Field(description="Friction between clothes and sheet, if someone measured it."),
    ] = None
    rails: Annotated[RailKind, Words(), Field(description="Side rails.")] = RailKind.UNDESCRIBED
    rails_travel_with_surface: Annotated[
        bool | None, Field(description="Whether the rails tilt with the surface.")
    ] = None
    safe_working_load_kg: Annotated[
        float | None,
        SAFE_WORKING_LOAD.edges,
        Field(description="Safe working load on the bed's plate."),
    ] = None

    def record(self) -> Bed:
        """The record the other rooms use."""
        return Bed(
            platform=Platform() if self.platform is None else self.platform.record(),
            mattress=self.mattress.record(),
            layers=layers_record(self.layers),
            friction=self.friction_coefficient,
            rails=self.rails,
            rails_travel_with_surface=self.rails_travel_with_surface,
            safe_working_load=self.safe_working_load_kg,
        )
