"""Segment lengths against the table of Drillis and Contini 1966, as in Winter (from memory).

Fractions of stature: thigh 0.245, shank 0.246, upper arm 0.186; hip 0.530, knee 0.285, ankle
0.039, shoulder 0.818 above the soles.
"""

import numpy as np
import pytest

from leeward.contact.layout import lay_out
from leeward.contact.segments import INDEX
from leeward.terms.body import Body, Sex

LENGTHS = {
    ("left thigh", "left shank"): 0.245,
    ("left shank", "left foot"): 0.246,
    ("right upper arm", "right forearm"): 0.186,
}


@pytest.mark.published("Drillis and Contini 1966, in Winter", "body segment lengths (from memory)")
@pytest.mark.parametrize(("upper", "lower"), LENGTHS)
@pytest.mark.parametrize("stature", [1.5, 1.9])
def test_joints_are_as_far_apart_as_the_table_says(upper: str, lower: str, stature: float):
    """0.001 of stature: the table's precision."""
    joint = lay_out(Body(stature, 70.0, Sex.FEMALE)).joint[:, 1]
    length = float(np.abs(joint[INDEX[upper]] - joint[INDEX[lower]]))
    assert length / stature == pytest.approx(LENGTHS[upper, lower], abs=0.001)
