"""What the body does beside what was set is said with both sides in words."""

from types import SimpleNamespace

import numpy as np
import pytest

from leeward.exchange.line_moved import set_and_rolled
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Posture
from leeward.terms.units import radians_from_deg


def rolled(roll_deg: float) -> SimpleNamespace:
    """The one posture of a load table in which the pelvis rolls so far."""
    return SimpleNamespace(
        position=lambda posture: 0,
        state=np.array([[EquilibriumState.STABLE]]),
        pelvis_roll_room=np.array([[radians_from_deg(roll_deg)]]),
    )


@pytest.mark.parametrize(
    ("set_deg", "roll_deg", "words"),
    [
        (30.0, 21.0, "You set 30°; this body rolls 21°."),
        (30.0, -3.0, "this body rolls against it, turned to the right 3°, left side raised."),
        (-30.0, 3.0, "this body rolls against it, turned to the left 3°, right side raised."),
    ],
)
def test_a_body_that_rolls_against_the_turn_is_told_with_the_side_raised(set_deg, roll_deg, words):
    table, posture = rolled(roll_deg), Posture(turn=radians_from_deg(set_deg))
    assert words in set_and_rolled(table, None, posture)  # type: ignore[arg-type]
