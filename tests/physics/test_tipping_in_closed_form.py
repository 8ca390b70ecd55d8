"""A rigid elliptic roller on a rough slope, against the closed form (`bench.rolling`).

A/B = 1.65 tips at 27.6 degrees, A/B = 1.52 at 23.3 (statics; derived for this project).
"""

import numpy as np
import pytest

from bench.rolling import DEPTH, followed, slope_for, steepest_slope


@pytest.mark.parametrize("breadth", [0.165, 0.152])
@pytest.mark.parametrize("part", [0.3, 0.6, 0.85])
def test_the_roller_rolls_as_far_as_the_closed_form_says(breadth: float, part: float):
    """1 degree of slope: the roller stands on a strip, not on a line."""
    ratio, steepest = (breadth / DEPTH) ** 2, steepest_slope(breadth)
    solved, roll, margin = followed(breadth, float(np.degrees(part * steepest)))
    assert solved
    assert margin > 0.0
    assert slope_for(roll, ratio) == pytest.approx(part * steepest, abs=np.radians(1.0))


@pytest.mark.parametrize(("breadth", "steepest"), [(0.165, 27.6), (0.152, 23.3)])
def test_the_roller_tips_at_the_steepest_slope(breadth: float, steepest: float):
    """1 degree either side."""
    assert followed(breadth, steepest - 1.0)[0]
    solved, _, margin = followed(breadth, steepest + 1.0)
    assert not solved or margin < 0.0
