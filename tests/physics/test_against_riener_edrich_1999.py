"""Pull of straight, relaxed legs against published passive joint moments.

R. Riener, T. Edrich 1999, J Biomech 32:539-544: passive elastic moments that bend the hip and the
knee, at hip h, knee k and ankle a bent by degrees (a: foot towards the shin). Ten healthy adults;
people who cannot move may be stiffer or slacker. Coefficients as they stand in others' published
code; the paper itself was not read.

    hip   exp(1.4655 - 0.0034 k - 0.0750 h) - exp(1.3403 - 0.0226 k + 0.0305 h) + 8.072   N m
    knee  exp(1.800 + 0.0460 a - 0.0352 k + 0.0217 h)
          - exp(-3.971 + 0.0004 a + 0.0495 k - 0.0128 h) - 4.820 + exp(2.220 - 1.50 k)    N m
"""

import numpy as np
import pytest

from leeward.contact.joints import RELAXED_KNEE, Joints, joint_moments, joints_at_rest
from leeward.contact.pose import Pose
from leeward.contact.rotation import rotation_about
from leeward.contact.segments import COUNT, INDEX
from leeward.terms.body import Body, Sex


def published_hip(hip: float, knee: float) -> float:
    bending = np.exp(1.4655 - 0.0034 * knee - 0.0750 * hip)
    return float(bending - np.exp(1.3403 - 0.0226 * knee + 0.0305 * hip) + 8.072)


def published_knee(hip: float, knee: float) -> float:
    bending = np.exp(1.800 - 0.0352 * knee + 0.0217 * hip) + np.exp(2.220 - 1.50 * knee)
    return float(bending - np.exp(-3.971 + 0.0495 * knee - 0.0128 * hip) - 4.820)


def our_hip(side: str, hip: float) -> float:
    """Moment that bends a hip bent by degrees, knee straight. [N m]"""
    rest, stiffness = joints_at_rest(Body(1.70, 75.0, Sex.MALE), on_trunk=True)
    rotation = np.tile(np.eye(3), (1, COUNT, 1, 1))
    rotation[0, INDEX[f"{side} thigh"]] = rotation_about(0, -np.radians(hip))
    pose = Pose(np.zeros((1, 3)), rotation)
    moment, _, _ = joint_moments(Joints(rest[None], stiffness[None]), pose)
    # lying on the back a bend lifts the thigh: a moment about the person's left is negative
    return float(-moment[0, INDEX[f"{side} thigh"], 0])


@pytest.mark.published("Riener and Edrich 1999, J Biomech 32:539", "hip moment, knee straight")
@pytest.mark.parametrize("hip", [0.0, 5.0, 10.0, 20.0])
@pytest.mark.parametrize("side", ["left", "right"])
def test_a_relaxed_hip_pulls_as_hard_as_published(side: str, hip: float):
    """2 N m: what three degrees of the source's own fit are worth; straight, 0.2 N m."""
    within = 0.2 if hip == 0.0 else 2.0
    assert our_hip(side, hip) == pytest.approx(published_hip(hip, 0.0), abs=within)


@pytest.mark.published("Riener and Edrich 1999, J Biomech 32:539", "knee moment, ankle square")
def test_the_knee_comes_to_rest_between_a_straight_and_a_relaxed_hip():
    """It has no moment at a bend between those of a straight hip and of one bent by 0.39 rad."""
    knee = float(np.degrees(RELAXED_KNEE.value))
    assert published_knee(0.0, knee) < 0.0 < published_knee(float(np.degrees(0.39)), knee)
