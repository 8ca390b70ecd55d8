"""Where segments, joints and centres of mass lie in a straight, supine body."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.anthropometry import Dimensions, body_dimensions
from leeward.contact.ellipsoid import superellipsoid_volume
from leeward.contact.segments import COUNT, INDEX, SEGMENTS, kind_of
from leeward.terms.body import Body, Sex

Array = NDArray[np.float64]

#: The body the shapes were drawn for; every other body is stretched from it.
REFERENCE_BODY: Final = Body(stature=1.756, mass=80.0, sex=Sex.MALE)

#: Level of joints above the soles as a fraction of stature.
#: Source: Drillis and Contini 1966 / Winter (from memory); chest landmarks: de Leva 1996.
_HIP: Final = 0.530
_KNEE: Final = 0.285
_ANKLE: Final = 0.039
_SHOULDER: Final = 0.818
_ELBOW: Final = _SHOULDER - 0.186
_WRIST: Final = _ELBOW - 0.146
_NECK: Final = 0.864
_WAIST: Final = 0.613
_LOWER_CHEST: Final = 0.693

#: Mass density and the part of the summed volumes that segments share.
#: Source: convention of this project (1000 kg/m^3; mid-lung bodies are 985-1010, from memory).
_DENSITY: Final = 1000.0
_OVERLAP: Final = 1.06


#: Where a swollen limb holds its fluid. Source: convention of this project.
_FLUID_SHARE: Final = {
    "leg": {"thigh": 0.40, "shank": 0.45, "foot": 0.15},
    "arm": {"upper arm": 0.40, "forearm": 0.60},
}


@dataclass(frozen=True, slots=True)
class Shape:
    """One kind of segment in the reference body.

    Parameters
    ----------
    across, along, through : float
        Half-lengths. [m]
    level : float
        Height of its middle above the soles, fraction of stature. [-]
    raised : float
        Its back above the lowest skin of a straight supine body. [m]
    exponent : float
        Exponent of the superellipsoid. [-]
    """

    across: float
    along: float
    through: float
    level: float
    raised: float
    exponent: float


#: Source: convention of this project, drawn after general anthropometry; the backs of
#: segments are set for lying, not standing.
SHAPES: Final = {
    "pelvis": Shape(0.169, 0.165, 0.118, 0.522, 0.0, 2.4),
    "abdomen": Shape(0.150, 0.150, 0.108, 0.630, 0.006, 2.4),
    "thorax": Shape(0.182, 0.190, 0.120, 0.749, 0.0, 2.4),
    "head": Shape(0.078, 0.125, 0.098, 0.929, 0.045, 2.2),
    "thigh": Shape(0.085, 0.250, 0.085, 0.396, 0.014, 2.3),
    "shank": Shape(0.055, 0.240, 0.058, 0.151, 0.008, 2.3),
    "foot": Shape(0.046, 0.045, 0.125, 0.027, 0.0, 2.3),
    "upper arm": Shape(0.048, 0.180, 0.050, 0.714, 0.0, 2.3),
    "forearm": Shape(0.040, 0.235, 0.037, 0.520, 0.0, 2.3),
}

#: Centre of mass of the trunk's parts above the hips, fraction of the stature of the bodies
#: measured (1.741 m men, 1.735 m women). Source: de Leva 1996, Table 4, lengths and centres.
_TRUNK_CENTRE: Final = {
    Sex.MALE: {
        "pelvis": (1.0 - 0.6115) * 0.1457 / 1.741,
        "abdomen": (0.1457 + (1.0 - 0.4502) * 0.2155) / 1.741,
        "thorax": (0.1457 + 0.2155 + (1.0 - 0.2999) * 0.1707) / 1.741,
    },
    Sex.FEMALE: {
        "pelvis": (1.0 - 0.4920) * 0.1815 / 1.735,
        "abdomen": (0.1815 + (1.0 - 0.4512) * 0.2053) / 1.735,
        "thorax": (0.1815 + 0.2053 + (1.0 - 0.2077) * 0.1425) / 1.735,
    },
}

#: Centre of mass from the proximal joint as a fraction of segment length, and of the head
#: from the crown as a fraction of stature. Source: de Leva 1996, Table 4; forearm and hand
#: combined with their masses.
_LIMB_CENTRE: Final = {
    Sex.MALE: {"thigh": 0.4095, "shank": 0.4459, "upper arm": 0.5772, "forearm": 0.675},
    Sex.FEMALE: {"thigh": 0.3612, "shank": 0.4416, "upper arm": 0.5754, "forearm": 0.664},
}
_HEAD_CENTRE: Final = {Sex.MALE: 0.5976 * 0.2033 / 1.741, Sex.FEMALE: 0.5894 * 0.2002 / 1.735}
_LIMB_ENDS: Final = {
    "thigh": (_HIP, _KNEE),
    "shank": (_KNEE, _ANKLE),
    "upper arm": (_SHOULDER, _ELBOW),
    "forearm": (_ELBOW, _WRIST),
}


@dataclass(frozen=True, slots=True, eq=False)
class Layout:
    """A straight supine body: X to its left, Y to its head from the hips, Z up from its back.

    Parameters
    ----------
    half : ndarray, shape (14, 3)
        Half-lengths of every segment. [m]
    centre : ndarray, shape (14, 3)
        Middle of every segment. [m]
    joint : ndarray, shape (14, 3)
        Joint to the parent; for the pelvis the point between the hips. [m]
    mass_centre : ndarray, shape (14, 3)
        Centres of mass. [m]
    """

    half: Array
    centre: Array
    joint: Array
    mass_centre: Array


def centre_level(segment: str, sex: Sex) -> float:
    """Height of a segment's centre of mass above the soles.

    Parameters
    ----------
    segment : str
        One of `SEGMENTS`. [-]
    sex : Sex
        Which table. [-]

    Returns
    -------
    float
        Fraction of stature. [-]

    References
    ----------
    .. [1] P. de Leva, J. Biomech. 29 (1996) 1223, Table 4.
    """
    kind = kind_of(segment)
    if kind in _TRUNK_CENTRE[sex]:
        return _HIP + _TRUNK_CENTRE[sex][kind]
    if kind == "head":
        return 1.0 - _HEAD_CENTRE[sex]
    if kind == "foot":
        return SHAPES["foot"].level
    upper, lower = _LIMB_ENDS[kind]
    return upper + _LIMB_CENTRE[sex][kind] * (lower - upper)


def segment_fluid(body: Body) -> Array:
    """Fluid in the segments of swollen limbs.

    Parameters
    ----------
    body : Body
        Its oedema. [-]

    Returns
    -------
    ndarray, shape (14,)
        Fluid. [kg]

    Notes
    -----
    A limb's fluid sinks to its far end: shares are a convention of this project.
    """
    limbs = {
        "left leg": body.oedema.left_leg,
        "right leg": body.oedema.right_leg,
        "left arm": body.oedema.left_arm,
        "right arm": body.oedema.right_arm,
    }
    fluid = np.zeros(COUNT)
    for limb, held in limbs.items():
        side, part = limb.split()
        for kind, share in _FLUID_SHARE[part].items():
            fluid[INDEX[f"{side} {kind}"]] = share * held
    return fluid


def _swollen(half: Array, fluid: Array) -> Array:
    """Segments as much thicker, across and through, as their fluid needs room."""
    volume = np.array(
        [
            superellipsoid_volume(size, SHAPES[kind_of(segment)].exponent)
            for size, segment in zip(half, SEGMENTS, strict=True)
        ]
    )
    thicker = np.sqrt(1.0 + fluid / (_DENSITY * volume))
    return np.asarray(half * np.stack([thicker, np.ones(COUNT), thicker], axis=1))


def _half_lengths(body: Body, found: Dimensions) -> Array:
    """Half-lengths (14, 3): trunk from breadths and depths, limbs from the mass left over."""
    drawn = body_dimensions(REFERENCE_BODY)
    tall = body.stature / REFERENCE_BODY.stature
    hips = found.hip_breadth / drawn.hip_breadth
    waist = found.waist_depth / drawn.waist_depth
    trunk = {
        "pelvis": (hips, found.buttock_depth / drawn.buttock_depth),
        "abdomen": (0.5 * (hips + waist), waist),
        "thorax": (
            found.shoulder_breadth / drawn.shoulder_breadth,
            found.chest_depth / drawn.chest_depth,
        ),
        "head": (tall, tall),
    }
    half = {
        kind: np.array([shape.across, shape.along * tall, shape.through])
        for kind, shape in SHAPES.items()
    }
    for kind, (across, through) in trunk.items():
        half[kind][0] *= across
        half[kind][2] *= through
    half["pelvis"][[0, 2]] = 0.5 * found.hip_breadth, 0.5 * found.buttock_depth
    half["foot"] *= (tall, 1.0, tall)
    volume = {kind: superellipsoid_volume(half[kind], SHAPES[kind].exponent) for kind in half}
    limbs = 2.0 * sum(volume[kind] for kind in ("thigh", "shank", "upper arm", "forearm"))
    fluid = segment_fluid(body)
    rest = _OVERLAP * (body.mass - fluid.sum()) / _DENSITY
    rest -= sum(volume[kind] for kind in trunk) + 2.0 * volume["foot"]
    # the volume rule cannot be trusted for extreme builds, where the regressions extrapolate
    thick = np.sqrt(np.clip(rest / limbs, 0.45, 3.0))
    for kind in ("thigh", "shank", "upper arm", "forearm"):
        half[kind] *= (thick, 1.0, thick)
    lean = np.array([half[kind_of(segment)] for segment in SEGMENTS])
    return _swollen(lean, fluid) if fluid.any() else lean


def _sideways(half: Array, hips: float, segment: str) -> float:
    """Distance of a segment's middle from the mid-plane, positive. [m]"""
    kind = kind_of(segment)
    arm = float(half[INDEX["left upper arm"], 0])
    beside = float(half[INDEX["thorax"], 0]) + 1.05 * arm
    apart = max(0.095 * hips, 1.02 * float(half[INDEX["left thigh"], 0]))
    return {
        "thigh": apart,
        "shank": apart,
        "foot": apart,
        "upper arm": beside,
        "forearm": beside + 0.05,
    }.get(kind, 0.0)


def lay_out(body: Body) -> Layout:
    """Lay a body out straight and supine.

    Parameters
    ----------
    body : Body
        Stature, mass, sex and any measured breadths. [-]

    Returns
    -------
    Layout
        Sizes and places of the fourteen segments. [m]

    Notes
    -----
    Rest angles do not enter: they turn joints, not sizes.

    References
    ----------
    .. [1] Drillis and Contini 1966, as in Winter, for joint levels (from memory).
    .. [2] de Leva 1996, Table 4, for centres of mass.
    """
    found = body_dimensions(body)
    half = _half_lengths(body, found)
    hips = found.hip_breadth / body_dimensions(REFERENCE_BODY).hip_breadth
    side = np.array([-1.0 if segment.startswith("right") else 1.0 for segment in SEGMENTS])
    across = side * [_sideways(half, hips, segment) for segment in SEGMENTS]
    raised = np.array([SHAPES[kind_of(segment)].raised for segment in SEGMENTS])
    height = half[:, 2] + raised
    level = np.array([SHAPES[kind_of(segment)].level for segment in SEGMENTS])
    along = (level - _HIP) * body.stature
    centre = np.stack([across, along, height], axis=-1)
    mass_centre = centre.copy()
    mass_centre[:, 1] = [
        (centre_level(segment, body.sex) - _HIP) * body.stature for segment in SEGMENTS
    ]
    joint_level = {
        "pelvis": _HIP,
        "abdomen": _WAIST,
        "thorax": _LOWER_CHEST,
        "head": _NECK,
        "thigh": _HIP,
        "shank": _KNEE,
        "foot": _ANKLE,
        "upper arm": _SHOULDER,
        "forearm": _ELBOW,
    }
    joint = centre.copy()
    joint[:, 1] = [(joint_level[kind_of(segment)] - _HIP) * body.stature for segment in SEGMENTS]
    joint[INDEX["head"], 2] -= 0.3 * half[INDEX["head"], 2]
    for foot in ("left foot", "right foot"):
        joint[INDEX[foot], 2] = centre[INDEX[foot.replace("foot", "shank")], 2]
    assert half.shape == (COUNT, 3)
    return Layout(half, centre, joint, mass_centre)
