"""The body as measured: sizes and the angles its joints rest at."""

from dataclasses import dataclass
from enum import StrEnum


class Sex(StrEnum):
    """Sex, as far as the anthropometric tables distinguish it."""

    FEMALE = "female"
    MALE = "male"


class Limb(StrEnum):
    """A limb or part that may be missing."""

    LEFT_LEG_ABOVE_KNEE = "left leg above the knee"
    RIGHT_LEG_ABOVE_KNEE = "right leg above the knee"
    LEFT_LEG_BELOW_KNEE = "left leg below the knee"
    RIGHT_LEG_BELOW_KNEE = "right leg below the knee"
    LEFT_ARM = "left arm"
    RIGHT_ARM = "right arm"


@dataclass(frozen=True, slots=True)
class RestAngles:
    """Angles that joints cannot be straightened beyond: contractures and fixed bends.

    Parameters
    ----------
    left_hip_flexion, right_hip_flexion : float
        Fixed bend at the hip, 0 when the leg lies straight. [rad]
    left_knee_flexion, right_knee_flexion : float
        Fixed bend at the knee, 0 when straight. [rad]
    windswept : float
        Both bent legs fallen to one side; positive to the person's left. [rad]
    trunk_flexion : float
        Fixed forward bend of the thoracic spine (kyphosis). [rad]
    trunk_side_bend : float
        Fixed sideways bend of the spine (scoliosis), positive convex to the left. [rad]
    """

    left_hip_flexion: float = 0.0
    right_hip_flexion: float = 0.0
    left_knee_flexion: float = 0.0
    right_knee_flexion: float = 0.0
    windswept: float = 0.0
    trunk_flexion: float = 0.0
    trunk_side_bend: float = 0.0


@dataclass(frozen=True, slots=True)
class Oedema:
    """Fluid in swollen limbs; it is part of the mass that was weighed.

    Parameters
    ----------
    left_leg, right_leg, left_arm, right_arm : float
        Fluid in the whole limb. [kg]
    """

    left_leg: float = 0.0
    right_leg: float = 0.0
    left_arm: float = 0.0
    right_arm: float = 0.0

    @property
    def total(self) -> float:
        """All of it. [kg]"""
        return self.left_leg + self.right_leg + self.left_arm + self.right_arm


@dataclass(frozen=True, slots=True)
class Body:
    """Measured body; None where nobody measured.

    Parameters
    ----------
    stature : float
        Length lying or standing. [m]
    mass : float
        Body mass. [kg]
    sex : Sex
        For the tables.
    age : float or None
        Age. [year]
    hip_breadth, shoulder_breadth, chest_depth, waist_depth, buttock_depth : float or None
        Measured breadths and depths; they replace the tables' estimate. [m]
    rest_angles : RestAngles
        Contractures.
    missing : frozenset of Limb
        Missing limbs.
    oedema : Oedema
        Fluid in swollen limbs.
    hip_girth, waist_girth : float or None
        Measured girths, round the fullest part of the buttocks and at the navel; where no
        breadth or depth was measured they scale the tables' estimate. [m]
    """

    stature: float
    mass: float
    sex: Sex
    age: float | None = None
    hip_breadth: float | None = None
    shoulder_breadth: float | None = None
    chest_depth: float | None = None
    waist_depth: float | None = None
    buttock_depth: float | None = None
    rest_angles: RestAngles = RestAngles()
    missing: frozenset[Limb] = frozenset()
    oedema: Oedema = Oedema()
    hip_girth: float | None = None
    waist_girth: float | None = None

    @property
    def body_mass_index(self) -> float:
        """Mass over stature squared. [kg/m^2]"""
        return self.mass / self.stature**2
