"""Skin loaded lying level and turned to both sides, against patients turned as usual.

Peterson et al 2013, J Rehabil Res Dev 50:477 (abstract): in 13 patients seen on their backs and
turned to both sides, 166 cm^2 (SD 184) of skin stayed above 32 mmHg in all three postures. Their
mattress, turns and cell are not known here. Held against it is the firm end of foams, which comes
nearest to mean pressures measured on hospital foams; on the reference foam every body lies below.
"""

from dataclasses import replace

import pytest

from bench.accuracy_raised import STRAIGHT, WOMAN, spared_by_no_turn
from leeward.contact.scenarios import Scenario, corner_scenarios
from leeward.terms.bed import Bed

PUBLISHED = 166.0
#: Two standard errors of the published mean: 2 x 184 / sqrt(13). [cm^2]
WITHIN = 102.0
#: Over the reference foam's 3.9 kPa at 40 %.
FIRM = 2.2


def lying(hips: float) -> Scenario:
    return replace(corner_scenarios(Bed(), None, WOMAN)[0], foam_scale=FIRM, hips=hips)


@pytest.mark.published("Peterson et al 2013, J Rehabil Res Dev 50:477", "abstract, 13 patients")
def test_relaxed_hips_leave_as_much_skin_loaded_whatever_the_turn():
    assert spared_by_no_turn(WOMAN, lying(1.0), 20.0) == pytest.approx(PUBLISHED, abs=WITHIN)


@pytest.mark.published("Peterson et al 2013, J Rehabil Res Dev 50:477", "abstract, 13 patients")
def test_straight_hips_would_spare_skin_that_turns_do_not_spare():
    assert spared_by_no_turn(WOMAN, lying(STRAIGHT), 20.0) < PUBLISHED - WITHIN
