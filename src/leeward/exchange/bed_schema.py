"""The bed as written in a case file: platform, friction, rails, night posture supports."""

from typing import Annotated, Self

from pydantic import Field, model_validator

from leeward.exchange.field_types import Backrest, Group, KneeRaise, Refusal, Words, word
from leeward.exchange.mattress_schema import (
    Layers,
    MattressFields,
    PillowFields,
    layers_record,
)
from leeward.exchange.ranges import FRICTION, PLATFORM_WIDTH, SAFE_WORKING_LOAD
from leeward.terms.bed import Bed, Pillows, Platform, RailKind
from leeward.terms.posture import BLOCKS, Support
from leeward.terms.supports import Block, FixedTo
from leeward.terms.units import deg_from_radians, metres_from_cm, radians_from_deg

_TYPICAL = Platform()
SectionLength = Annotated[float, Field(ge=5, le=150)]


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


class BlockFields(Group):
    """A night posture support: a block along a leg or the trunk."""

    which: Annotated[Support, Words(), Field(description="Which, as under `supports`.")]
    fixed_to: Annotated[
        FixedTo,
        Words(),
        Field(
            description="What holds it. On `mattress` and `surface` it rises with a raised half; "
            "on the `platform` it stays; one that `nothing` holds cannot be counted on."
        ),
    ]
    from_middle_cm: Annotated[
        float | None,
        Field(
            ge=5,
            le=60,
            description="From the middle of the body to its face; left out, along the body.",
        ),
    ] = None
    height_cm: Annotated[
        float | None,
        Field(ge=3, le=60, description="Its height above the mattress. Left out, 15 cm."),
    ] = None

    @model_validator(mode="after")
    def _is_a_block(self) -> Self:
        if not self.which.is_block:
            known = ", ".join(word(support) for support in BLOCKS)
            raise Refusal(
                f"`{word(self.which)}` is no block",
                expected=f"one of {known}",
                remedy="write pillows and bolsters under `supports` alone",
                place=("which",),
            )
        return self

    def record(self) -> Block:
        """The record the other rooms use."""
        away = None if self.from_middle_cm is None else metres_from_cm(self.from_middle_cm)
        height = None if self.height_cm is None else metres_from_cm(self.height_cm)
        return Block(self.which, self.fixed_to, away, height)


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
    pillows: Annotated[PillowFields | None, Field(description="How thick the pillows are.")] = None
    blocks: Annotated[
        tuple[BlockFields, ...],
        Field(
            max_length=4,
            description="Night posture supports there are. A posture uses them by naming them "
            "under `supports`.",
        ),
    ] = ()

    @model_validator(mode="after")
    def _each_block_once(self) -> Self:
        named = [block.which for block in self.blocks]
        for number, which in enumerate(named):
            if which in named[:number]:
                raise Refusal(
                    f"`{word(which)}` is written twice",
                    expected="each block once",
                    remedy="keep the entry that is right",
                    place=("blocks", number, "which"),
                )
        return self

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
            pillows=Pillows() if self.pillows is None else self.pillows.record(),
            blocks=tuple(block.record() for block in self.blocks),
        )
