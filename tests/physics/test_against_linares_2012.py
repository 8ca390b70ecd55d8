"""The human pressure-time curve against values of its published fit.

Linares, Mawson, Suarez 2012, J Basic Appl Sci 8:720, Table 1 (seen as quoted in a public
note): P(t) = 650 exp(-1.1469 t) + 457 exp(-0.4905 t) + 77 exp(-0.1117 t), mmHg, t in h.

    t [h]      1    2    3    4   6   8   12
    P [mmHg] 555  299  181  120  64  41   21
"""

import pytest

from leeward.terms.units import PASCAL_PER_MMHG
from leeward.tissue.curves import human_curve, mean_exponent

VALUES_MMHG = {1: 555, 2: 299, 3: 181, 4: 120, 6: 64, 8: 41, 12: 21}


@pytest.mark.published("Linares, Mawson, Suarez 2012, J Basic Appl Sci 8:720", "Table 1")
@pytest.mark.parametrize(("hours", "pressure_mmhg"), VALUES_MMHG.items())
def test_pressure_is_that_of_the_fit(hours: int, pressure_mmhg: int):
    """Within 1 mmHg: the values are given to whole mmHg."""
    found = float(human_curve(3600.0 * hours)) / PASCAL_PER_MMHG
    assert found == pytest.approx(pressure_mmhg, abs=1.0)


@pytest.mark.published("Linares, Mawson, Suarez 2012, J Basic Appl Sci 8:720", "Table 1")
def test_exponent_between_one_and_two_hours_is_that_of_the_fit():
    """ln 2 / ln(555 / 299) = 1.12; a half mmHg on either value moves it by less than 0.01."""
    assert mean_exponent(human_curve, 3600.0, 7200.0) == pytest.approx(1.12, abs=0.01)
