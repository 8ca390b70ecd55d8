"""A tilting unit as written in an equipment file: what it can be set to, what it is made of."""

from typing import Annotated, Self

from pydantic import Field, model_validator

from leeward.exchange.field_types import (
    Group,
    Line,
    Prose,
    Refusal,
    StayMinutes,
    TowardsWord,
    Words,
)
from leeward.exchange.unit_layout_schema import LayoutFields
from leeward.terms.equipment import (
    Ability,
    AfterPowerLoss,
    AnchorPoint,
    DefaultCycle,
    Equipment,
    Order,
    SensingElement,
    SurfaceGeometry,
    SurfaceKind,
)
from leeward.terms.unit_layout import UnitLayout
from leeward.terms.units import metres_from_cm, metres_from_mm, radians_from_deg, seconds_from_min

Turn = Annotated[float, Field(gt=0, le=60)]

#: Most cycles of one order that a unit may be set to: each is looked at, and so many of them in
#: about 20 s and 0.8 GB. Convention of this project. [-]
MOST_CYCLES = 20_000_000


class AbilityFields(Group):
    """What the unit can be set to, entered from its own instructions."""

    largest_turn_left_deg: Annotated[
        Turn, Field(description="Largest turn of the person to their left (right side raised).")
    ]
    largest_turn_right_deg: Annotated[
        Turn, Field(description="Largest turn of the person to their right (left side raised).")
    ]
    smallest_turn_deg: Annotated[Turn, Field(description="Smallest turn other than level.")]
    turn_step_deg: Annotated[float, Field(ge=0.5, le=60, description="Step of the turn setting.")]
    shortest_stay_min: Annotated[StayMinutes, Field(description="Shortest stay that can be set.")]
    longest_stay_min: Annotated[StayMinutes, Field(description="Longest stay that can be set.")]
    stay_step_min: Annotated[StayMinutes, Field(description="Step of the stay setting.")]
    orders: Annotated[
        tuple[Annotated[Order, Words()], ...],
        Field(min_length=1, max_length=4, description="Orders of stays it can run."),
    ]
    turns_may_differ: Annotated[
        bool, Field(description="Whether the turns to left and right can be set apart.")
    ]
    stays_may_differ: Annotated[
        bool, Field(description="Whether the stays of one cycle can be set apart.")
    ]
    level_stay_may_differ: Annotated[
        bool, Field(description="Whether the level stay can be set apart from those on the sides.")
    ]
    programmes_per_day: Annotated[
        int, Field(ge=1, le=24, description="How many different cycles it runs by the clock.")
    ]
    pauses_above_backrest_deg: Annotated[
        float | None,
        Field(
            ge=0, le=90, description="Backrest above which it pauses; leave out if it never does."
        ),
    ] = None
    rise_time_s: Annotated[
        float, Field(gt=0, le=3600, description="Seconds from level to the largest turn.")
    ]
    least_mass_kg: Annotated[float, Field(ge=0, le=500, description="Lightest person it is for.")]
    greatest_mass_kg: Annotated[
        float, Field(gt=0, le=600, description="Heaviest person it is for.")
    ]
    least_width_cm: Annotated[float, Field(gt=0, le=200, description="Narrowest mattress it fits.")]
    greatest_width_cm: Annotated[float, Field(gt=0, le=200, description="Widest mattress it fits.")]
    after_power_loss: Annotated[
        AfterPowerLoss, Words(), Field(description="What it does when power returns.")
    ]

    @model_validator(mode="after")
    def _edges_in_order(self) -> Self:
        smallest_side = min(self.largest_turn_left_deg, self.largest_turn_right_deg)
        for low, high, name in (
            (self.smallest_turn_deg, smallest_side, "smallest_turn_deg above a largest turn"),
            (self.shortest_stay_min, self.longest_stay_min, "shortest_stay_min above the longest"),
            (self.least_mass_kg, self.greatest_mass_kg, "least_mass_kg above the greatest"),
            (self.least_width_cm, self.greatest_width_cm, "least_width_cm above the greatest"),
        ):
            if low > high:
                raise Refusal(
                    f"{name} ({low:g} above {high:g})",
                    expected="a range that begins below its end",
                    remedy="correct the two figures from the unit's instructions",
                )
        return self

    @model_validator(mode="after")
    def _few_enough_to_look_at(self) -> Self:
        reach = max(self.largest_turn_left_deg, self.largest_turn_right_deg)
        turns = 1 + (reach - self.smallest_turn_deg) / self.turn_step_deg
        stays = 1 + (self.longest_stay_min - self.shortest_stay_min) / self.stay_step_min
        sides = 2 if self.turns_may_differ else 1
        parts = 3 if self.stays_may_differ else 2 if self.level_stay_may_differ else 1
        count = turns**sides * stays**parts
        if count > MOST_CYCLES:
            raise Refusal(
                f"{turns:.3g} turns and {stays:.3g} stays, which make {count:.2g} cycles",
                expected=f"steps coarse enough for at most {MOST_CYCLES} cycles",
                remedy="write coarser steps: what is planned can still be set",
            )
        return self

    def record(self) -> Ability:
        """The record the other rooms use."""
        pauses = self.pauses_above_backrest_deg
        return Ability(
            largest_turn_left=radians_from_deg(self.largest_turn_left_deg),
            largest_turn_right=radians_from_deg(self.largest_turn_right_deg),
            smallest_turn=radians_from_deg(self.smallest_turn_deg),
            turn_step=radians_from_deg(self.turn_step_deg),
            shortest_stay=seconds_from_min(self.shortest_stay_min),
            longest_stay=seconds_from_min(self.longest_stay_min),
            stay_step=seconds_from_min(self.stay_step_min),
            orders=self.orders,
            turns_may_differ=self.turns_may_differ,
            stays_may_differ=self.stays_may_differ,
            level_stay_may_differ=self.level_stay_may_differ,
            programmes_per_day=self.programmes_per_day,
            pauses_above_backrest=None if pauses is None else radians_from_deg(pauses),
            rise_time=self.rise_time_s,
            least_mass=self.least_mass_kg,
            greatest_mass=self.greatest_mass_kg,
            least_width=metres_from_cm(self.least_width_cm),
            greatest_width=metres_from_cm(self.greatest_width_cm),
            after_power_loss=self.after_power_loss,
        )


class DefaultFields(Group):
    """What the unit runs when nobody sets anything."""

    order: Annotated[Order, Words(), Field(description="Order of its stays.")]
    turn_left_deg: Annotated[
        Turn, Field(description="Turn of the person to their left (right side raised).")
    ]
    turn_right_deg: Annotated[
        Turn, Field(description="Turn of the person to their right (left side raised).")
    ]
    side_stay_min: Annotated[StayMinutes, Field(description="Stay on a side.")]
    level_stay_min: Annotated[
        StayMinutes | None, Field(description="Stay level; leave out where the order has none.")
    ] = None

    @model_validator(mode="after")
    def _level_stay_where_level(self) -> Self:
        has_level = self.order is not Order.LEFT_RIGHT
        if has_level != (self.level_stay_min is not None):
            raise Refusal(
                "a level stay in an order without one, or the other way round",
                expected="`level_stay_min` exactly where the order keeps the person level",
                remedy="read the default off the unit's instructions once more",
            )
        return self

    def record(self) -> DefaultCycle:
        """The record the other rooms use."""
        level = self.level_stay_min
        return DefaultCycle(
            order=self.order,
            turn_left=radians_from_deg(self.turn_left_deg),
            turn_right=radians_from_deg(self.turn_right_deg),
            side_stay=seconds_from_min(self.side_stay_min),
            level_stay=0.0 if level is None else seconds_from_min(level),
        )


class PartFields(Group):
    """A named part and where it sits."""

    name: Annotated[Line, Field(description="Its name in the unit's instructions.")]
    towards: Annotated[
        TowardsWord, Field(description="Which way from the unit's mid-line, for the person on it.")
    ]
    across_cm: Annotated[
        float, Field(ge=0, le=100, description="How far from the unit's mid-line.")
    ] = 0.0
    along_cm: Annotated[
        float, Field(ge=0, le=250, description="How far from its foot end towards the head.")
    ]

    @property
    def across(self) -> float:
        """Position towards the person's left. [m]"""
        return self.towards.sign * metres_from_cm(self.across_cm)

    @property
    def along(self) -> float:
        """Position from the foot end. [m]"""
        return metres_from_cm(self.along_cm)


Parts = Annotated[tuple[PartFields, ...], Field(max_length=40)]
Names = Annotated[tuple[Line, ...], Field(max_length=40)]


class GeometryFields(Group):
    """What the unit is made of."""

    kind: Annotated[
        SurfaceKind,
        Words(),
        Field(
            description="`whole`: tilts as one plane; `split`: each half lifts about the middle."
        ),
    ]
    length_cm: Annotated[float, Field(gt=10, le=250, description="Length, unlifted.")]
    width_cm: Annotated[float, Field(gt=10, le=200, description="Width, unlifted.")]
    thickness_mm: Annotated[float, Field(gt=0, le=500, description="Thickness, unlifted.")]
    line_rounding_mm: Annotated[
        float,
        Field(
            ge=0, le=500, description="Width over which the mattress rounds a split unit's valley."
        ),
    ]
    mass_kg: Annotated[float, Field(gt=0, le=300, description="The unit's own mass.")]
    anchor_points: Annotated[Parts, Field(description="Points it is fastened at, or none.")] = ()
    sensing_elements: Annotated[Parts, Field(description="Parts that sense, or none.")] = ()
    tubes: Annotated[Names, Field(description="Tubes and leads.")] = ()
    extensions: Annotated[Names, Field(description="Optional parts fitted.")] = ()
    placing: Annotated[
        LayoutFields | None,
        Field(description="How its instructions place it on bed and body, as far as they say."),
    ] = None

    def record(self) -> SurfaceGeometry:
        """The record the other rooms use."""
        return SurfaceGeometry(
            kind=self.kind,
            length=metres_from_cm(self.length_cm),
            width=metres_from_cm(self.width_cm),
            thickness=metres_from_mm(self.thickness_mm),
            line_rounding=metres_from_mm(self.line_rounding_mm),
            mass=self.mass_kg,
            anchor_points=tuple(
                AnchorPoint(part.name, part.across, part.along) for part in self.anchor_points
            ),
            sensing_elements=tuple(
                SensingElement(part.name, part.across, part.along) for part in self.sensing_elements
            ),
            tubes=self.tubes,
            extensions=self.extensions,
        )


class EquipmentFields(Group):
    """An equipment file: one unit."""

    schema_version: Annotated[int, Field(description="Version of this form.")]
    invented: Annotated[
        Prose, Field(description="Says that the unit is invented; leave out for a real one.")
    ] = ""
    name: Annotated[Line, Field(description="Name of the unit.")]
    instructions: Annotated[
        Line, Field(description="Which instructions, and which edition, the figures come from.")
    ]
    ability: Annotated[AbilityFields, Field(description="What it can be set to.")]
    geometry: Annotated[GeometryFields, Field(description="What it is made of.")]
    default: Annotated[
        DefaultFields | None,
        Field(description="What it runs when nobody sets anything; compared, never proposed."),
    ] = None

    def record(self) -> Equipment:
        """The record the other rooms use."""
        return Equipment(
            name=self.name,
            instructions=self.instructions,
            ability=self.ability.record(),
            geometry=self.geometry.record(),
            layout=UnitLayout()
            if self.geometry.placing is None
            else self.geometry.placing.record(),
            default=None if self.default is None else self.default.record(),
        )
