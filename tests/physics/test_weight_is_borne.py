"""The bed bears the weight, all of it and in the right direction.

Statics: a 75 kg body at 30 degrees presses with 637.0 N and pulls down the slope with 367.7 N
(g = 9.80665 m/s^2). Measured on people: 98.67 +/- 7.21 % of body weight vertically (Gao et al 2024,
Sci Rep 14:15238).
"""

from dataclasses import replace

import numpy as np
import pytest

from leeward.contact.bed_on_segments import bed_on_segments
from leeward.terms.body import RestAngles
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Posture
from leeward.terms.units import STANDARD_GRAVITY
from tests.physics.lying import LEVEL, MAN, SPLIT, WHOLE, balance_of, room_of, turned

BENT = replace(MAN, rest_angles=RestAngles(0.5, 0.9, 0.9, 0.4, windswept=0.3))


def borne(body, surface, degrees: float, posture: Posture = LEVEL) -> np.ndarray:
    """Force of the bed over body weight, in the bed's frame, one row per scenario."""
    room = room_of(body, surface, 5, friction=0.7)
    stand = turned(room, degrees, posture)
    assert np.all(stand.state == EquilibriumState.STABLE)
    balance = balance_of(room, stand, posture)
    friction = np.full(5, 0.7)
    wrench = sum(bed_on_segments(touch, friction)[0] for touch in balance.touches)
    force = wrench[:, :, :3].sum(axis=1)
    return force / (body.mass * STANDARD_GRAVITY)


@pytest.mark.parametrize("body", [MAN, BENT], ids=["straight", "bent"])
@pytest.mark.parametrize(("surface", "degrees"), [(SPLIT, 0), (SPLIT, 30), (SPLIT, -20)])
def test_on_an_unturned_frame_the_bed_carries_the_whole_weight(body, surface, degrees: float):
    """0.01 %."""
    force = borne(body, surface, degrees)
    np.testing.assert_allclose(force, np.tile([0.0, 0.0, 1.0], (5, 1)), atol=1e-4)


@pytest.mark.parametrize("degrees", [5, 15])
def test_on_a_slope_it_carries_the_two_components(degrees: float):
    """0.01 % of weight."""
    slope = np.radians(degrees)
    wanted = np.tile([-np.sin(slope), 0.0, np.cos(slope)], (5, 1))
    np.testing.assert_allclose(borne(MAN, WHOLE, degrees), wanted, atol=1e-4)


def test_with_backrest_and_head_end_up_it_still_carries_the_weight():
    posture = Posture(backrest=0.5, knee_raise=0.2, head_up=0.05)
    force = borne(MAN, SPLIT, 10, posture)
    np.testing.assert_allclose(np.linalg.norm(force, axis=1), 1.0, atol=1e-4)


@pytest.mark.published("Gao et al 2024, Sci Rep 14:15238", "horizontal force, lying")
def test_level_hardly_any_force_is_horizontal():
    """Measured 2.18 +/- 1.77 % of body weight; a body at rest by itself has none."""
    assert np.abs(borne(MAN, SPLIT, 0)[:, :2]).max() < 0.06
