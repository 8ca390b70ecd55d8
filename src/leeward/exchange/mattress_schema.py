"""Mattress, layers on it and pillows, as written in a case file."""

from itertools import pairwise
from typing import Annotated, Self

from pydantic import Field, model_validator

from leeward.exchange.field_types import Group, Refusal, Words
from leeward.exchange.ranges import (
    FOAM_DENSITY,
    FOAM_HARDNESS,
    INDENTATION_HARDNESS,
    MATTRESS_THICKNESS,
    PILLOW_THICKNESS,
    YEARS_IN_USE,
)
from leeward.terms.bed import Foam, Layer, LayerKind, Mattress, MattressKind, Pillows
from leeward.terms.units import metres_from_mm, pascal_from_kpa


class CurvePointFields(Group):
    """One measured point of how a mattress pushes back."""

    indentation_mm: Annotated[float, Field(ge=0, le=500, description="How deep it was pressed.")]
    pressure_kpa: Annotated[float, Field(ge=0, le=200, description="Pressure it then gave.")]


class HardnessFields(Group):
    """How hard a foam is: one figure from its label or data sheet."""

    cv40_kpa: Annotated[
        float | None,
        FOAM_HARDNESS.edges,
        Field(description="Foam hardness CV40 from its label or data sheet."),
    ] = None
    ild40_n: Annotated[
        float | None,
        INDENTATION_HARDNESS.edges,
        Field(
            description="Hardness by indentation (ILD, IFD) at 40 %, where CV40 is not given: the "
            "band is wider."
        ),
    ] = None
    ild25_n: Annotated[
        float | None,
        INDENTATION_HARDNESS.edges,
        Field(description="The same at 25 %."),
    ] = None
    density_kg_m3: Annotated[
        float | None,
        FOAM_DENSITY.edges,
        Field(description="Foam density from its label."),
    ] = None

    @model_validator(mode="after")
    def _one_hardness(self) -> Self:
        given = [
            name for name in ("cv40_kpa", "ild40_n", "ild25_n") if getattr(self, name) is not None
        ]
        if len(given) > 1:
            raise Refusal(
                f"hardness given as {' and '.join(given)}",
                expected="one figure for one foam",
                remedy="keep `cv40_kpa` where it is known",
            )
        return self

    @property
    def cv40(self) -> float | None:
        """Compression stress at 40 %. [Pa]"""
        return None if self.cv40_kpa is None else pascal_from_kpa(self.cv40_kpa)


class FoamFields(HardnessFields):
    """One foam of a mattress made of several."""

    thickness_mm: Annotated[float, Field(ge=5, le=400, description="Its thickness.")]

    def record(self) -> Foam:
        """The record the other rooms use."""
        return Foam(
            thickness=metres_from_mm(self.thickness_mm),
            cv40=self.cv40,
            indentation40=self.ild40_n,
            indentation25=self.ild25_n,
            density=self.density_kg_m3,
        )


class MattressFields(HardnessFields):
    """A mattress as far as anybody knows it."""

    kind: Annotated[MattressKind, Words(), Field(description="What it is made of.")] = (
        MattressKind.UNDESCRIBED
    )
    thickness_mm: Annotated[
        float | None,
        MATTRESS_THICKNESS.edges,
        Field(description="Thickness with nobody on it."),
    ] = None
    foams: Annotated[
        tuple[FoamFields, ...],
        Field(
            max_length=8,
            description="Its foams from the top down, where it has several: thickness and hardness "
            "of each, instead of those of the whole.",
        ),
    ] = ()
    years_in_use: Annotated[
        float | None,
        YEARS_IN_USE.edges,
        Field(description="How long it has been lain on: foam softens, and the band widens."),
    ] = None
    curve: Annotated[
        tuple[CurvePointFields, ...],
        Field(
            max_length=200,
            description="Measured points, shallowest first, with the mattress as it is used: each "
            "deeper than the one before and pushing back harder.",
        ),
    ] = ()

    @model_validator(mode="after")
    def _foams_speak_for_themselves(self) -> Self:
        whole = ("thickness_mm", "cv40_kpa", "ild40_n", "ild25_n", "density_kg_m3", "curve")
        given = [name for name in whole if getattr(self, name) not in (None, ())]
        if self.foams and given:
            raise Refusal(
                f"`foams` and, for the whole mattress, {', '.join(given)}",
                expected="thickness and hardness of each foam, or those of the whole",
                remedy="take the ones for the whole out",
            )
        return self

    @model_validator(mode="after")
    def _curve_rises(self) -> Self:
        points = [(0.0, 0.0)]
        points += [(point.indentation_mm, point.pressure_kpa) for point in self.curve]
        if len(points) > 1 and points[1] == points[0]:
            del points[0]
        for number, (before, after) in enumerate(
            pairwise(points), start=len(self.curve) - len(points) + 1
        ):
            if not (after[0] > before[0] and after[1] > before[1]):
                raise Refusal(
                    f"{after[1]:g} kPa at {after[0]:g} mm after {before[1]:g} kPa at "
                    f"{before[0]:g} mm",
                    expected="points that go deeper and push back harder, from 0 kPa at 0 mm",
                    remedy="correct the point, or leave out one that was measured wrongly",
                    place=("curve", number),
                )
        return self

    def record(self) -> Mattress:
        """The record the other rooms use."""
        return Mattress(
            kind=self.kind,
            thickness=_metres(self.thickness_mm),
            cv40=self.cv40,
            density=self.density_kg_m3,
            curve=tuple(
                (metres_from_mm(point.indentation_mm), pascal_from_kpa(point.pressure_kpa))
                for point in self.curve
            ),
            indentation40=self.ild40_n,
            indentation25=self.ild25_n,
            foams=tuple(foam.record() for foam in self.foams),
            years_in_use=self.years_in_use,
        )


def _metres(length_mm: float | None) -> float | None:
    return None if length_mm is None else metres_from_mm(length_mm)


class LayerFields(Group):
    """Something between the person and the mattress."""

    kind: Annotated[LayerKind, Words(), Field(description="What it is.")]
    thickness_mm: Annotated[float | None, Field(ge=0, le=300, description="Its thickness.")] = None
    cv40_kpa: Annotated[
        float | None,
        FOAM_HARDNESS.edges,
        Field(
            description="Hardness CV40 of a layer of foam; left out, an overlay is as hard as the "
            "mattress, and of any other layer nobody can tell."
        ),
    ] = None

    def record(self) -> Layer:
        """The record the other rooms use."""
        cv40 = None if self.cv40_kpa is None else pascal_from_kpa(self.cv40_kpa)
        return Layer(self.kind, _metres(self.thickness_mm), cv40)


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


class PillowFields(Group):
    """How thick the pillows are, with nobody on them."""

    head_mm: Annotated[
        float | None,
        PILLOW_THICKNESS.edges,
        Field(description="Under the head; 0 for none. Left out, 100 mm."),
    ] = None
    calves_mm: Annotated[
        float | None,
        PILLOW_THICKNESS.edges,
        Field(description="Under the calves, in postures that have one. Left out, 120 mm."),
    ] = None
    knees_mm: Annotated[
        float | None,
        PILLOW_THICKNESS.edges,
        Field(description="Between the knees, in postures that have one. Left out, 120 mm."),
    ] = None

    def record(self) -> Pillows:
        """The record the other rooms use."""
        return Pillows(_metres(self.head_mm), _metres(self.calves_mm), _metres(self.knees_mm))
