"""Limits of rails and their gaps, as published.

FDA and Hospital Bed Safety Workgroup, Hospital Bed System Dimensional and Assessment Guidance,
March 2006, table 3 and the body dimensions behind it: zones 1 to 3 below 120 mm (head), zone 4
below 60 mm (neck), chest 318 mm; all with the bed's deck flat. EN 1970, table C: the rail's top at
least 220 mm above the mattress, kept in IEC 60601-2-52.

Tolerance: none, the numbers are the limits themselves.
"""

import pytest

from leeward.fitting.openings import CHEST_GAP
from leeward.fitting.placement import HIP_TO_SHOULDER
from leeward.fitting.rails import HEAD_GAP, NECK_GAP, RAIL_HEIGHT


@pytest.mark.published("FDA/HBSW guidance, March 2006", "table 3 and dimensions of the body")
def test_gaps_are_those_of_head_neck_and_chest():
    found = [(limit.value, limit.inclusive) for limit in (HEAD_GAP, NECK_GAP, CHEST_GAP)]
    assert found == [(0.120, False), (0.060, False), (0.318, True)]


@pytest.mark.published("EN 1970, kept in IEC 60601-2-52", "table C")
def test_the_rail_stands_220_mm_above_the_mattress():
    assert (RAIL_HEIGHT.value, RAIL_HEIGHT.inclusive) == (0.220, True)


@pytest.mark.published("Drillis and Contini 1966, as in Winter (from memory)", "joint heights")
def test_hip_to_shoulder_is_the_difference_of_their_heights():
    assert HIP_TO_SHOULDER.value == pytest.approx(0.818 - 0.530)
