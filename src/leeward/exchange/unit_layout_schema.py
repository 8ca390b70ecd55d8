"""How a unit's instructions place it on bed and body, as written in its file."""

from typing import Annotated, Self

from pydantic import Field, model_validator

from leeward.exchange.field_types import Group, Line, Refusal, TowardsWord, Words
from leeward.terms.bed import LayerKind, MattressKind
from leeward.terms.unit_layout import LiftingPart, Pivot, SensingRow, UnitLayout
from leeward.terms.units import metres_from_cm, metres_from_mm


class LiftingPartFields(Group):
    """A part that lifts."""

    name: Annotated[Line, Field(description="Its name in the unit's instructions.")]
    towards: Annotated[TowardsWord, Field(description="Side on which it lies, for the person.")]
    inner_cm: Annotated[
        float, Field(ge=0, le=100, description="Its inner edge from the unit's mid-line.")
    ] = 0.0
    outer_cm: Annotated[
        float, Field(gt=0, le=100, description="Its outer edge from the unit's mid-line.")
    ]
    foot_end_cm: Annotated[
        float, Field(ge=0, le=250, description="Its foot end from that of the unit.")
    ]
    head_end_cm: Annotated[
        float, Field(gt=0, le=250, description="Its head end from the unit's foot end.")
    ]

    def record(self) -> LiftingPart:
        """The record the other rooms use."""
        sign = self.towards.sign or 1.0
        return LiftingPart(
            name=self.name,
            inner=sign * metres_from_cm(self.inner_cm),
            outer=sign * metres_from_cm(self.outer_cm),
            foot_end=metres_from_cm(self.foot_end_cm),
            head_end=metres_from_cm(self.head_end_cm),
        )


class SensingRowFields(Group):
    """A line of the table that says where a sensing element goes."""

    element: Annotated[Line, Field(description="Its name.")]
    width_cm: Annotated[float, Field(gt=0, le=200, description="Width that was measured.")]
    across_cm: Annotated[
        float, Field(ge=0, le=100, description="Its distance from the unit's mid-line then.")
    ]

    def record(self) -> SensingRow:
        """The record the other rooms use."""
        return SensingRow(
            self.element, metres_from_cm(self.width_cm), metres_from_cm(self.across_cm)
        )


Distance = Annotated[float | None, Field(ge=-100, le=200)]


class LayoutFields(Group):
    """Placing a unit; leave out what its instructions do not say."""

    whole_turns_about: Annotated[
        Annotated[Pivot, Words()] | None,
        Field(description="About what a `whole` unit turns; a split one turns about its middle."),
    ] = None
    lifting_parts: Annotated[
        tuple[LiftingPartFields, ...], Field(max_length=20, description="Parts that lift.")
    ] = ()
    shoulder_least_cm: Annotated[
        Distance, Field(description="Least distance from shoulder tip down to its head end.")
    ] = None
    shoulder_greatest_cm: Annotated[Distance, Field(description="Greatest such distance.")] = None
    hip_least_cm: Annotated[
        Distance, Field(description="Least distance from hip joint down to its foot end.")
    ] = None
    hip_greatest_cm: Annotated[Distance, Field(description="Greatest such distance.")] = None
    sensing_table: Annotated[
        tuple[SensingRowFields, ...],
        Field(max_length=200, description="Where sensing elements go by measured width, or none."),
    ] = ()
    mattresses: Annotated[
        tuple[Annotated[MattressKind, Words()], ...],
        Field(max_length=10, description="Mattresses that its instructions permit on it."),
    ] = ()
    thickest_mattress_mm: Annotated[
        float | None, Field(gt=0, le=600, description="Thickest that they permit.")
    ] = None
    layers: Annotated[
        tuple[Annotated[LayerKind, Words()], ...],
        Field(max_length=10, description="Layers that they permit between."),
    ] = ()

    @model_validator(mode="after")
    def _edges_in_order(self) -> Self:
        for low, high, name in (
            (self.shoulder_least_cm, self.shoulder_greatest_cm, "shoulder"),
            (self.hip_least_cm, self.hip_greatest_cm, "hip"),
        ):
            if (low is None) != (high is None) or (
                low is not None and high is not None and low > high
            ):
                raise Refusal(
                    f"{name}_least_cm {low}, {name}_greatest_cm {high}",
                    expected="both, the least not above the greatest, or neither",
                    remedy="correct them from the unit's instructions",
                )
        return self

    def record(self) -> UnitLayout:
        """The record the other rooms use."""
        thickest = self.thickest_mattress_mm
        return UnitLayout(
            pivot=self.whole_turns_about,
            lifting_parts=tuple(part.record() for part in self.lifting_parts),
            shoulder_least=_metres(self.shoulder_least_cm),
            shoulder_greatest=_metres(self.shoulder_greatest_cm),
            hip_least=_metres(self.hip_least_cm),
            hip_greatest=_metres(self.hip_greatest_cm),
            sensing_table=tuple(row.record() for row in self.sensing_table),
            mattresses=self.mattresses,
            thickest_mattress=None if thickest is None else metres_from_mm(thickest),
            layers=self.layers,
        )


def _metres(length_cm: float | None) -> float | None:
    return None if length_cm is None else metres_from_cm(length_cm)
