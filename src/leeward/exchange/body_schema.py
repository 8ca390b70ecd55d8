"""The body as measured and written in a case file."""

from typing import Annotated, Self

from pydantic import Field, model_validator

from leeward.exchange.field_types import Group, Refusal, SidedAngle, SideWord, Words
from leeward.exchange.problems import shown
from leeward.exchange.ranges import (
    AGE,
    BUTTOCK_DEPTH,
    CHEST_DEPTH,
    HIP_BREADTH,
    HIP_GIRTH,
    MASS,
    SHOULDER_BREADTH,
    STATURE,
    WAIST_DEPTH,
    WAIST_GIRTH,
)
from leeward.terms.body import Body, Limb, Oedema, RestAngles, Sex
from leeward.terms.site import Side
from leeward.terms.units import metres_from_cm, radians_from_deg

Fluid = Annotated[float, Field(ge=0, le=40)]
#: More fluid than this share of the mass is a slip of the pen; convention of this project. [-]
LARGEST_FLUID = 1.0 / 3.0

FixedBend = Annotated[float, Field(ge=0, le=150)]


class RestAnglesFields(Group):
    """Fixed bends: how far joints stay bent when gently straightened."""

    left_hip_flexion_deg: Annotated[
        FixedBend, Field(description="Bend that stays at the left hip, 0 when the leg lies flat.")
    ] = 0.0
    right_hip_flexion_deg: Annotated[
        FixedBend, Field(description="Bend that stays at the right hip.")
    ] = 0.0
    left_knee_flexion_deg: Annotated[
        FixedBend, Field(description="Bend that stays at the left knee.")
    ] = 0.0
    right_knee_flexion_deg: Annotated[
        FixedBend, Field(description="Bend that stays at the right knee.")
    ] = 0.0
    windswept_deg: Annotated[
        SidedAngle, Field(description="How far both bent legs have fallen to one side.")
    ] = 0.0
    windswept_to: Annotated[SideWord | None, Field(description="Side the legs have fallen to.")] = (
        None
    )
    trunk_flexion_deg: Annotated[
        SidedAngle, Field(description="Rounded back that does not straighten.")
    ] = 0.0
    side_bend_deg: Annotated[
        SidedAngle, Field(description="Sideways bend of the spine that does not straighten.")
    ] = 0.0
    side_bend_convex_to: Annotated[
        SideWord | None, Field(description="Side the spine bulges to.")
    ] = None

    @model_validator(mode="after")
    def _bends_have_sides(self) -> Self:
        for name, angle, side in (
            ("windswept_deg", self.windswept_deg, self.windswept_to),
            ("side_bend_deg", self.side_bend_deg, self.side_bend_convex_to),
        ):
            if (angle > 0.0) != (side is not None):
                raise Refusal(
                    f"{name} is {angle:g} and its side is {shown(side)}",
                    expected="an angle above 0 together with its side, or neither",
                    remedy="give both or leave both out",
                )
        return self

    def record(self) -> RestAngles:
        """The record the other rooms use."""
        return RestAngles(
            left_hip_flexion=radians_from_deg(self.left_hip_flexion_deg),
            right_hip_flexion=radians_from_deg(self.right_hip_flexion_deg),
            left_knee_flexion=radians_from_deg(self.left_knee_flexion_deg),
            right_knee_flexion=radians_from_deg(self.right_knee_flexion_deg),
            windswept=_signed(self.windswept_deg, self.windswept_to),
            trunk_flexion=radians_from_deg(self.trunk_flexion_deg),
            trunk_side_bend=_signed(self.side_bend_deg, self.side_bend_convex_to),
        )


class OedemaFields(Group):
    """Fluid in swollen limbs, as far as somebody estimated it; part of the mass weighed."""

    left_leg: Annotated[Fluid, Field(description="In the left leg.")] = 0.0
    right_leg: Annotated[Fluid, Field(description="In the right leg.")] = 0.0
    left_arm: Annotated[Fluid, Field(description="In the left arm.")] = 0.0
    right_arm: Annotated[Fluid, Field(description="In the right arm.")] = 0.0

    def record(self) -> Oedema:
        """The record the other rooms use."""
        return Oedema(self.left_leg, self.right_leg, self.left_arm, self.right_arm)


#: A limb that has fluid written, and what is missing where it cannot have any.
_LOST = {
    "left_leg": Limb.LEFT_LEG_ABOVE_KNEE,
    "right_leg": Limb.RIGHT_LEG_ABOVE_KNEE,
    "left_arm": Limb.LEFT_ARM,
    "right_arm": Limb.RIGHT_ARM,
}


def _signed(angle_deg: float, side: Side | None) -> float:
    return radians_from_deg(-angle_deg if side is Side.RIGHT else angle_deg)


class BodyFields(Group):
    """Measures of the body."""

    sex: Annotated[Sex, Words(), Field(description="For the body tables.")]
    stature_cm: Annotated[float, STATURE.edges, Field(description="Length, lying or standing.")]
    mass_kg: Annotated[float, MASS.edges, Field(description="Weighed mass.")]
    age_years: Annotated[float | None, AGE.edges, Field(description="Age.")] = None
    hip_breadth_cm: Annotated[
        float | None,
        HIP_BREADTH.edges,
        Field(description="Widest across the hips, lying on the back."),
    ] = None
    shoulder_breadth_cm: Annotated[
        float | None,
        SHOULDER_BREADTH.edges,
        Field(description="Widest across the shoulders, arms at the sides."),
    ] = None
    chest_depth_cm: Annotated[
        float | None,
        CHEST_DEPTH.edges,
        Field(description="Front to back at nipple level."),
    ] = None
    waist_depth_cm: Annotated[
        float | None,
        WAIST_DEPTH.edges,
        Field(description="Front to back at the navel."),
    ] = None
    buttock_depth_cm: Annotated[
        float | None,
        BUTTOCK_DEPTH.edges,
        Field(description="Front to back at the fullest part of the buttocks."),
    ] = None
    hip_girth_cm: Annotated[
        float | None,
        HIP_GIRTH.edges,
        Field(
            description="Round the fullest part of the buttocks, with a tape: where no breadth was "
            "measured it scales the tables' estimate."
        ),
    ] = None
    waist_girth_cm: Annotated[
        float | None,
        WAIST_GIRTH.edges,
        Field(description="Round the waist at the navel, with a tape, likewise."),
    ] = None
    rest_angles: Annotated[
        RestAnglesFields | None,
        Field(description="Fixed bends; write the group with nothing in it when all is straight."),
    ] = None
    missing_limbs: Annotated[
        tuple[Annotated[Limb, Words()], ...],
        Field(max_length=6, description="Limbs that are not there."),
    ] = ()
    oedema_kg: Annotated[
        OedemaFields | None, Field(description="Fluid in swollen limbs, in kg a limb.")
    ] = None

    @model_validator(mode="after")
    def _fluid_fits(self) -> Self:
        if self.oedema_kg is None:
            return self
        for name, lost in _LOST.items():
            if getattr(self.oedema_kg, name) > 0.0 and lost in self.missing_limbs:
                raise Refusal(
                    f"fluid in the {name.replace('_', ' ')}, which is missing",
                    expected="fluid in limbs that are there",
                    remedy="take out the one that is wrong",
                    place=("oedema_kg", name),
                )
        total = self.oedema_kg.record().total
        if total > LARGEST_FLUID * self.mass_kg:
            raise Refusal(
                f"{total:g} kg of fluid in a person of {self.mass_kg:g} kg",
                expected="at most a third of the mass weighed",
                remedy="check the numbers: they are kilograms a limb",
                place=("oedema_kg",),
            )
        return self

    def body(self) -> Body:
        """The body's record the other rooms use."""
        return Body(
            stature=metres_from_cm(self.stature_cm),
            mass=self.mass_kg,
            sex=self.sex,
            age=self.age_years,
            hip_breadth=_metres(self.hip_breadth_cm),
            shoulder_breadth=_metres(self.shoulder_breadth_cm),
            chest_depth=_metres(self.chest_depth_cm),
            waist_depth=_metres(self.waist_depth_cm),
            buttock_depth=_metres(self.buttock_depth_cm),
            rest_angles=RestAngles() if self.rest_angles is None else self.rest_angles.record(),
            missing=frozenset(self.missing_limbs),
            hip_girth=_metres(self.hip_girth_cm),
            waist_girth=_metres(self.waist_girth_cm),
            oedema=Oedema() if self.oedema_kg is None else self.oedema_kg.record(),
        )


def _metres(length_cm: float | None) -> float | None:
    return None if length_cm is None else metres_from_cm(length_cm)
