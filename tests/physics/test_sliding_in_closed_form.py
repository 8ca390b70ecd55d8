"""Sliding begins when the tangent of the slope is the friction coefficient (statics).

friction 0.2: 11.3, 0.3: 16.7, 0.4: 21.8 degrees
"""

import numpy as np
import pytest

from leeward.contact.equilibrium import settle
from leeward.contact.setting import lay_down, with_anchors
from leeward.terms.equilibrium import EquilibriumState
from tests.physics.lying import LEVEL, MAN, WHOLE, room_of, turned

LIMITS = [(0.2, 11.31), (0.3, 16.70), (0.4, 21.80)]


def is_in_balance(friction: float, degrees: float) -> bool:
    """Whether the solver itself finds a balance, without the shortcut statics offers."""
    room = room_of(MAN, WHOLE, friction=friction)
    near = turned(room, degrees - 2.0)
    lying = lay_down(room, LEVEL, np.radians([degrees]), near.which)
    return bool(settle(with_anchors(lying, near.anchors), near.pose, 1e-3).is_solved[0])


@pytest.mark.parametrize(("friction", "limit"), LIMITS)
def test_a_balance_is_found_up_to_the_limit_and_none_beyond(friction: float, limit: float):
    """1 degree."""
    assert is_in_balance(friction, limit - 1.0)
    assert not is_in_balance(friction, limit + 1.0)


@pytest.mark.parametrize(("friction", "limit"), LIMITS)
def test_friction_demand_is_the_slope_over_the_friction(friction: float, limit: float):
    """0.01: shears inside the body's print hardly matter."""
    stand = turned(room_of(MAN, WHOLE, friction=friction), 0.8 * limit)
    slope = np.tan(np.radians(0.8 * limit))
    assert stand.demand[0] == pytest.approx(slope / friction, abs=0.01)


def test_the_cause_of_the_end_is_named():
    assert turned(room_of(MAN, WHOLE, friction=0.2), 14.0).state[0] == EquilibriumState.SLIDES
