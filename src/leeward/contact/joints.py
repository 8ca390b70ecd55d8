"""Ball joints that resist bending away from the angle they rest at."""

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.pose import Pose
from leeward.contact.rotation import inverse_left_jacobian, rotation_about, vector_from_rotation
from leeward.contact.segments import COUNT, INDEX, PARENT, SEGMENTS, kind_of
from leeward.terms.body import Body, RestAngles
from leeward.terms.sourced import Sourced

Array = NDArray[np.float64]


def _stiff(value: float, low: float, high: float) -> Sourced:
    return Sourced(
        value,
        "N m/rad",
        "convention of this project: passive joints of a relaxed adult",
        "not measured",
        from_memory=True,
        low=low,
        high=high,
    )


#: Resistance of each segment's joint to its parent at small bends.
JOINT_STIFFNESS: Final = {
    "abdomen": _stiff(90.0, 30.0, 180.0),
    "thorax": _stiff(120.0, 40.0, 240.0),
    "head": _stiff(24.0, 8.0, 50.0),
    "thigh": _stiff(10.0, 5.0, 30.0),
    "shank": _stiff(8.0, 4.0, 20.0),
    "foot": _stiff(6.0, 3.0, 15.0),
}

#: Furthest a knee is bent to bring the foot to the bed. [rad]
LARGEST_KNEE_BEND: Final = Sourced(
    2.3, "rad", "common practice, no source", "adults with bent legs", from_memory=True
)

#: Where the hip and knee of a straight, relaxed leg would come to rest if nothing bore the leg:
#: short of straight, so a leg laid straight pulls on the pelvis and bears less itself. The
#: source's own fit has no moment at a hip of 0.47 and, the foot square to the shank, at a knee of
#: 0.11 with the hip straight and 0.35 with the hip bent by 0.39. Set so that a hip held straight
#: pulls by the 8.6 N m of the fit, under this project's law of joints.
RELAXED_HIP: Final = Sourced(
    0.39,
    "rad",
    "Riener and Edrich 1999, J Biomech 32:539, passive hip moment with a straight knee, by the "
    "coefficients in others' published code; the paper itself was not read; ends by convention of "
    "this project, for pulls of 3.7 to 15 N m",
    "10 healthy adults",
    low=0.25,
    high=0.50,
)
RELAXED_KNEE: Final = Sourced(
    0.25,
    "rad",
    "Riener and Edrich 1999, J Biomech 32:539, knee bend without passive moment, by the "
    "coefficients in others' published code; the paper itself was not read",
    "10 healthy adults",
    low=0.10,
    high=0.35,
)

#: A bent leg: its joints do not straighten, and the pillows it is laid on keep it from
#: falling sideways (common practice, no source).
CONTRACTED_STIFFNESS: Final = _stiff(100.0, 50.0, 300.0)
#: Mass times stature of the body that legs' stiffness is for; others have it in proportion. [kg m]
_LEGS_OF: Final = 75.0 * 1.70

#: Arms held on the trunk lie against it.
HELD_SHOULDER: Final = _stiff(40.0, 20.0, 80.0)
HELD_ELBOW: Final = _stiff(30.0, 15.0, 60.0)

#: Arms out on the mattress lie against bedclothes and pillows: without that a limp arm
#: slides down any slope by itself, which says nothing about the body.
LYING_SHOULDER: Final = _stiff(15.0, 4.0, 30.0)
LYING_ELBOW: Final = _stiff(8.0, 2.0, 15.0)

#: Stiffening with the square of the bend. [1/rad^2] Source: convention of this project.
HARDENING: Final = 8.0


@dataclass(frozen=True, slots=True, eq=False)
class Joints:
    """Rest rotations and stiffness of all joints of a batch of bodies.

    Parameters
    ----------
    rest : ndarray, shape (b, 14, 3, 3)
        Rotation of each segment in its parent's frame at rest; the pelvis' is unused. [-]
    stiffness : ndarray, shape (b, 14)
        Resistance at small bends; 0 for the pelvis. [N m/rad]
    at_ease : tuple of int
        Segments of relaxed legs, which people lay down straight. [-]
    """

    rest: Array
    stiffness: Array
    at_ease: tuple[int, ...] = ()

    def take(self, bodies: NDArray[np.intp]) -> "Joints":
        """Pick some bodies of the batch.

        Parameters
        ----------
        bodies : ndarray of int, shape (k,)
            Their positions. [-]

        Returns
        -------
        Joints
            Their joints.
        """
        return replace(self, rest=self.rest[bodies], stiffness=self.stiffness[bodies])


def _leg_rest(angles: RestAngles, side: str) -> tuple[Array, Array]:
    """Hip and knee as people lie: a bent leg is laid so that its foot comes to the bed.

    A fixed bend is a least bend. Thigh and shank being about as long as one another, the
    foot reaches the bed when the knee bends twice as far as the hip.
    """
    hip = angles.left_hip_flexion if side == "left" else angles.right_hip_flexion
    knee = angles.left_knee_flexion if side == "left" else angles.right_knee_flexion
    hip = max(hip, 0.5 * knee)
    knee = max(knee, min(2.0 * hip, LARGEST_KNEE_BEND.value))
    swept: Array = rotation_about(1, angles.windswept) @ rotation_about(0, -hip)
    return swept, rotation_about(0, knee)


def _arm_rest(side: str, on_trunk: bool) -> tuple[Array, Array]:
    """Shoulder and elbow at rest.

    On the trunk the forearm crosses the belly; forward, both arms lie out on the mattress,
    clear of the trunk.
    """
    out = 1.0 if side == "left" else -1.0
    if on_trunk:
        return rotation_about(0, -0.30), rotation_about(2, -1.3 * out) @ rotation_about(0, -0.25)
    return rotation_about(2, 0.5 * out), rotation_about(2, 0.2 * out)


def _is_relaxed(angles: RestAngles, side: str) -> tuple[bool, bool]:
    """Whether nobody wrote a fixed bend down for a hip and for a knee."""
    hip, knee = _leg_rest(angles, side)
    return np.allclose(hip, np.eye(3)), np.allclose(knee, np.eye(3))


@lru_cache(maxsize=64)
def relaxed_segments(body: Body) -> tuple[int, ...]:
    """Thighs and shanks whose joints come to rest where relaxed ones do.

    Parameters
    ----------
    body : Body
        Its fixed bends. [-]

    Returns
    -------
    tuple of int
        Positions in `SEGMENTS`. [-]
    """
    return tuple(
        INDEX[f"{side} {name}"]
        for side in ("left", "right")
        for name, relaxed in zip(
            ("thigh", "shank"), _is_relaxed(body.rest_angles, side), strict=True
        )
        if relaxed
    )


@lru_cache(maxsize=64)
def joints_at_rest(body: Body, on_trunk: bool, hips: float = 1.0) -> tuple[Array, Array]:
    """Rest rotation and stiffness of every joint of one body.

    Parameters
    ----------
    body : Body
        Contractures and fixed bends; the weight its bent legs are held against. [-]
    on_trunk : bool
        Arms on the trunk; otherwise out on the mattress. [-]
    hips : float
        Bend at which relaxed hips and knees come to rest, over the usual. [-]

    Returns
    -------
    rest : ndarray, shape (14, 3, 3)
        Rotations in the parent's frame. [-]
    stiffness : ndarray, shape (14,)
        Resistance at small bends. [N m/rad]
    """
    angles = body.rest_angles
    held_against = body.mass * body.stature / _LEGS_OF
    rest = np.tile(np.eye(3), (COUNT, 1, 1))
    stiffness = np.array(
        [
            JOINT_STIFFNESS[kind_of(segment)].value if kind_of(segment) in JOINT_STIFFNESS else 0.0
            for segment in SEGMENTS
        ]
    )
    half_bend = rotation_about(2, 0.5 * angles.trunk_side_bend)
    rest[INDEX["abdomen"]] = half_bend
    rest[INDEX["thorax"]] = half_bend @ rotation_about(0, angles.trunk_flexion)
    at_ease = {
        "thigh": rotation_about(0, -hips * RELAXED_HIP.value),
        "shank": rotation_about(0, hips * RELAXED_KNEE.value),
    }
    relaxed = relaxed_segments(body)
    for side in ("left", "right"):
        bent = dict(zip(("thigh", "shank"), _leg_rest(angles, side), strict=True))
        for name, joint in bent.items():
            segment = INDEX[f"{side} {name}"]
            if segment in relaxed:
                rest[segment] = at_ease[name]
                stiffness[segment] *= held_against
            else:
                rest[segment] = joint
                stiffness[segment] = CONTRACTED_STIFFNESS.value * held_against
        shoulder, elbow = _arm_rest(side, on_trunk)
        rest[INDEX[f"{side} upper arm"]], rest[INDEX[f"{side} forearm"]] = shoulder, elbow
        held = (HELD_SHOULDER, HELD_ELBOW) if on_trunk else (LYING_SHOULDER, LYING_ELBOW)
        stiffness[INDEX[f"{side} upper arm"]] = held[0].value
        stiffness[INDEX[f"{side} forearm"]] = held[1].value
    return rest, stiffness


def laid_straight(joints: Joints) -> Array:
    """Bends that people lay a body down with: at rest, but relaxed legs straight.

    Parameters
    ----------
    joints : Joints
        Rest rotations, and which segments are relaxed. [-]

    Returns
    -------
    ndarray, shape (b, 14, 3, 3)
        Rotations in the parent's frame. [-]
    """
    laid = joints.rest.copy()
    laid[:, list(joints.at_ease)] = np.eye(3)
    return laid


def joint_moments(joints: Joints, pose: Pose) -> tuple[Array, Array, Array]:
    """Moments of the joints on their segments, and how they change.

    Parameters
    ----------
    joints : Joints
        Rest rotations and stiffness of b bodies.
    pose : Pose
        Their poses.

    Returns
    -------
    moment : ndarray, shape (b, 14, 3)
        Moment on each segment from the joint to its parent; the parent bears the
        opposite. [N m]
    by_child : ndarray, shape (b, 14, 3, 3)
        Its change per rotation of the segment. [N m/rad]
    by_parent : ndarray, shape (b, 14, 3, 3)
        Its change per rotation of the parent. [N m/rad]

    Notes
    -----
    Moment -k (1 + 8 t^2) t for the bend t from rest; it has a potential, so joints store
    and return work.
    """
    parents = np.array(PARENT)
    parents[0] = 0
    target = pose.rotation[:, parents] @ joints.rest
    bend = vector_from_rotation(pose.rotation @ np.swapaxes(target, -1, -2))
    square = np.sum(bend**2, axis=-1)
    factor = joints.stiffness * (1.0 + HARDENING * square)
    slope = -factor[..., None, None] * np.eye(3) - (
        2.0
        * HARDENING
        * joints.stiffness[..., None, None]
        * bend[..., :, None]
        * bend[..., None, :]
    )
    left = inverse_left_jacobian(bend)
    by_child = slope @ left
    by_parent = -slope @ np.swapaxes(left, -1, -2)
    return -factor[..., None] * bend, by_child, by_parent
