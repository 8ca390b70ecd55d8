"""Left and right exchanged: saves solving what a symmetric body does the other way round."""

from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.figure import Figure
from leeward.contact.scenarios import Scenario
from leeward.contact.segments import SEGMENTS
from leeward.terms.body import Body, Limb
from leeward.terms.posture import Posture
from leeward.terms.site import Site

Array = NDArray[np.float64]

#: Where each site's and each segment's mirror image stands.
MIRRORED_SITES: Final = np.array([tuple(Site).index(site.mirrored) for site in Site])
MIRRORED_SEGMENTS: Final = np.array(
    [
        SEGMENTS.index(
            name.replace("left", "right") if "left" in name else name.replace("right", "left")
        )
        for name in SEGMENTS
    ]
)

_PAIRS: Final = (
    (Limb.LEFT_LEG_ABOVE_KNEE, Limb.RIGHT_LEG_ABOVE_KNEE),
    (Limb.LEFT_LEG_BELOW_KNEE, Limb.RIGHT_LEG_BELOW_KNEE),
    (Limb.LEFT_ARM, Limb.RIGHT_ARM),
)


def is_symmetric(body: Body, posture: Posture) -> bool:
    """Whether body and posture, its turn apart, are their own mirror image.

    Parameters
    ----------
    body : Body
        The body. [-]
    posture : Posture
        Its supports count, not its turn. [-]

    Returns
    -------
    bool
        True only if nothing at all differs between left and right. [-]
    """
    angles = body.rest_angles
    same_legs = (angles.left_hip_flexion, angles.left_knee_flexion) == (
        angles.right_hip_flexion,
        angles.right_knee_flexion,
    )
    straight = angles.windswept == 0.0 and angles.trunk_side_bend == 0.0
    same_limbs = all((left in body.missing) == (right in body.missing) for left, right in _PAIRS)
    fluid = body.oedema
    same_limbs &= (fluid.left_leg, fluid.left_arm) == (fluid.right_leg, fluid.right_arm)
    is_propped = any(support.side is not None for support in posture.supports)
    return same_legs and straight and same_limbs and not is_propped


def mirrored_scenarios(scenarios: tuple[Scenario, ...]) -> NDArray[np.intp] | None:
    """Find every scenario's mirror image among the scenarios.

    Parameters
    ----------
    scenarios : tuple of Scenario
        Scenarios. [-]

    Returns
    -------
    ndarray of int, shape (s,), or None
        Position of each one's mirror image; None if one has none. [-]
    """
    nameless = [replace(scenario, name="") for scenario in scenarios]
    images = [replace(scenario, line_offset=-scenario.line_offset) for scenario in nameless]
    if any(image not in nameless for image in images):
        return None
    return np.array([nameless.index(image) for image in images], dtype=np.intp)


def mirrored_anchors(figure: Figure, anchors: Array) -> Array:
    """Where the skin's shear is zero on the mirror image of a symmetric body.

    Parameters
    ----------
    figure : Figure
        A body that is its own mirror image. [-]
    anchors : ndarray, shape (2, n)
        Places of all its skin on the surface, across and along. [m]

    Returns
    -------
    ndarray, shape (2, n)
        Those of the mirror image. [m]
    """
    place, owner = figure.point.T, figure.owner
    order = np.lexsort((*place, owner))
    opposite = np.lexsort((-place[0], *place[1:], MIRRORED_SEGMENTS[owner]))
    mirrored = np.empty_like(anchors)
    mirrored[:, order] = anchors[:, opposite] * np.array([[-1.0], [1.0]])
    return mirrored


def mirrored_rotation(rotation: Array) -> Array:
    """Rotations of the mirrored body's segments.

    Parameters
    ----------
    rotation : ndarray, shape (..., 14, 3, 3)
        Rotations. [-]

    Returns
    -------
    ndarray, shape (..., 14, 3, 3)
        Rotations of the mirror images, left and right exchanged. [-]
    """
    flip = np.array([-1.0, 1.0, 1.0])
    return np.asarray(rotation[..., MIRRORED_SEGMENTS, :, :] * flip[:, None] * flip)
