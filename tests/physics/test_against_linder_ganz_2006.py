"""The rat curve against the published limits of cell death in muscle.

Linder-Ganz et al 2006, J Biomech 39:2725, PMID 16199045.
Abstract: under 1 h cells die above 32 kPa and time matters little; from 2 h on above 9 kPa;
between 1 and 2 h the critical pressure drops from 32 to 9 kPa.
Sigmoid (as quoted in public code): K 23 kPa, a 0.15 /min, t0 95 min, C 8 kPa.

    t [min]   15    60    90    95   110  120  240
    P [kPa]  31.0  30.9  23.6  19.5  10.2  8.5  8.0
"""

import numpy as np
import pytest

from leeward.tissue.curves import EXPONENT_HEAVIER, EXPONENT_LIGHTER, mean_exponent, rat_curve

VALUES_KPA = {15: 31.0, 60: 30.9, 90: 23.6, 95: 19.5, 110: 10.2, 120: 8.5, 240: 8.0}


@pytest.mark.published("Linder-Ganz et al 2006, J Biomech 39:2725", "sigmoid, as quoted")
@pytest.mark.parametrize(("minutes", "pressure_kpa"), VALUES_KPA.items())
def test_pressure_is_that_of_the_sigmoid(minutes: int, pressure_kpa: float):
    """Within 0.1 kPa: the values are given to a tenth."""
    assert float(rat_curve(60.0 * minutes)) == pytest.approx(1e3 * pressure_kpa, abs=100.0)


@pytest.mark.published("Linder-Ganz et al 2006, J Biomech 39:2725", "abstract")
def test_short_exposures_need_29_kpa_or_more():
    """3 kPa below the abstract's 32: the sigmoid's own top is 31 kPa."""
    assert np.all(rat_curve(np.linspace(0.0, 3600.0, 61)) >= 29e3)


@pytest.mark.published("Linder-Ganz et al 2006, J Biomech 39:2725", "abstract")
def test_two_hours_and_more_need_no_more_than_9_kpa():
    assert np.all(rat_curve(np.linspace(7200.0, 21600.0, 61)) <= 9e3)


@pytest.mark.published("Linder-Ganz et al 2006, J Biomech 39:2725", "abstract")
def test_exponent_between_one_and_two_hours_is_that_of_the_abstract():
    """ln 2 / ln(32 / 9) = 0.55; half a kPa on the 9 moves it by 0.02."""
    assert mean_exponent(rat_curve, 3600.0, 7200.0) == pytest.approx(0.55, abs=0.02)


def test_use_follows_the_more_demanding_curve_on_either_side():
    assert (EXPONENT_LIGHTER, EXPONENT_HEAVIER) == (0.5, 1.1)
