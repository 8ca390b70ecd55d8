"""A hand under the sacrum beside the model: three answers, and the check is never doubted."""

from datetime import UTC, datetime

import numpy as np
import pytest

from leeward.terms.site import Site
from leeward.terms.skin import HandCheck, HandPassage
from leeward.terms.units import radians_from_deg
from leeward.terms.verdict import Verdict
from leeward.tissue.hand_comparison import class_ends, compare_hand


def check(passage: HandPassage, site: Site = Site.SACRUM) -> HandCheck:
    when = datetime(2026, 11, 24, 10, 0, tzinfo=UTC)
    return HandCheck(when, "Example nurse", site, radians_from_deg(20.0), passage)


def test_classes_meet_and_leave_no_ratio_out():
    ends = [class_ends(one) for one in HandPassage]
    assert ends[0][0] == 0.0
    assert ends[0][1] == ends[1][0]
    assert ends[1][1] == ends[2][0]
    assert np.isinf(ends[2][1])


@pytest.mark.parametrize(
    ("passage", "ratios", "verdict"),
    [
        (HandPassage.TIGHT, (0.6, 0.5, 0.7), Verdict.AS_PLANNED),
        (HandPassage.DOES_NOT_PASS, (0.95, 0.9, 1.1), Verdict.AS_PLANNED),
        (HandPassage.PASSES, (0.9, 0.8, 1.0), Verdict.DIFFERS),
        (HandPassage.TIGHT, (0.7, 0.5, 0.9), Verdict.CANNOT_TELL),
        (HandPassage.PASSES, (0.2, np.nan, 0.3), Verdict.CANNOT_TELL),
    ],
)
def test_the_whole_band_decides(passage: HandPassage, ratios, verdict: Verdict):
    assert compare_hand(check(passage), np.array(ratios)).verdict is verdict


def test_a_site_other_than_the_sacrum_is_not_compared():
    found = compare_hand(check(HandPassage.PASSES, Site.LEFT_HEEL), np.array([0.1, 0.1]))
    assert found.verdict is Verdict.CANNOT_TELL


def test_side_angle_and_numbers_are_said():
    sentence = compare_hand(check(HandPassage.TIGHT), np.array([0.6, 0.5, 0.7])).reason.sentence
    assert "a hand tight under the sacrum, turned to the left 20°, right side raised" in sentence
    assert "q 0.60, band 0.50 to 0.70" in sentence
