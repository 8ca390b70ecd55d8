"""Use and recovery at their corners."""

import math

import numpy as np
import pytest

from leeward.tissue import constants
from leeward.tissue.law import recovery, use_rate


def test_use_is_one_at_the_reference_load():
    assert float(use_rate(1.0)) == 1.0


def test_use_has_no_jump_where_its_parts_meet():
    for place in (0.05, 1.0):
        below, above = use_rate([place * (1 - 1e-12), place * (1 + 1e-12)])
        assert abs(above - below) < 1e-11


def test_a_quarter_of_the_load_uses_half():
    assert float(use_rate(0.25)) == pytest.approx(0.5)


def test_twice_the_load_uses_more_than_twice():
    assert float(use_rate(2.0)) == pytest.approx(2.0**1.1)


def test_use_of_an_unknown_load_is_unknown():
    assert np.isnan(use_rate([np.nan, 0.5])).tolist() == [True, False]


def test_full_relief_alone_clears_nine_tenths_in_three_quarters_of_the_time_constant():
    added = float(recovery(0.0, 0.0, constants.RELIEF_RECOVERY.value))
    assert math.exp(-0.75 * added) == pytest.approx(0.1)


def test_a_load_above_the_reference_leaves_only_the_recovery_under_load():
    assert float(recovery(1.7, 0.25, 3.0)) == 0.25
