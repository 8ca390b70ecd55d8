"""The quick way to what fades, beside the exponential function."""

import numpy as np
import pytest

from leeward.tissue.fading import faded_away


@pytest.mark.parametrize("longest", [1e-6, 0.01, 0.25, 0.2500001, 3.0, 700.0])
def test_what_fades_is_the_exponential_less_one_to_rounding(longest):
    exponent = -np.linspace(0.0, longest, 1001)
    assert faded_away(exponent) == pytest.approx(np.expm1(exponent), rel=1e-15, abs=0.0)


def test_what_is_unknown_stays_unknown_and_the_rest_is_known():
    found = faded_away(np.array([-0.1, np.nan, 0.0]))
    assert np.isnan(found).tolist() == [False, True, False]
    assert found[2] == 0.0
