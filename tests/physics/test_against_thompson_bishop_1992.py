"""Peaks of heel and trochanter lie inside what was measured on hospital mattresses.

Thompson-Bishop and Mottola 1992, Decubitus 5(2):42, 13 healthy people, mean interface pressure:
heel 93.9 mmHg on a standard hospital mattress, 28.1 to 62.1 on redistributing surfaces; trochanter
in side lying 83.6 on the standard, 37.2 to 55.1 on redistributing surfaces (figures seen in a
summary; the size of the sensor is not known). A plausibility check: nothing was fitted to it, and a
range that wide confirms little.
"""

import pytest

from bench.side_lying import ROLL, lie_on_left_side
from leeward.contact.coupled_balance import settle_jointly
from leeward.contact.coupled_bed import couple, first_deflection
from leeward.contact.coupled_foam import GRID_STEP, LATERAL_STIFFNESS
from leeward.contact.coupled_pressure import coupled_map, lie_down, site_pressures
from leeward.contact.loads import LoadRequest
from leeward.contact.pressure_map import LOCAL_CELL, PEAK_CELL
from leeward.contact.scenarios import corner_scenarios
from leeward.terms.bed import Bed
from leeward.terms.posture import Posture
from leeward.terms.site import Site
from leeward.terms.units import mmhg_from_pascal
from tests.physics.lying import LEVEL, MAN, SPLIT

STIFFNESSES = (LATERAL_STIFFNESS.low, LATERAL_STIFFNESS.value, LATERAL_STIFFNESS.high)


@pytest.mark.published("Thompson-Bishop and Mottola 1992, Decubitus 5(2):42", "heel, supine")
@pytest.mark.parametrize("lateral", STIFFNESSES)
def test_a_heel_over_10_mm_is_pressed_as_on_hospital_mattresses(lateral: float):
    asked = LoadRequest(MAN, Bed(), SPLIT, (LEVEL,), corner_scenarios(Bed(), SPLIT, MAN)[:1])
    room, stand = lie_down(asked, 0, LEVEL)
    peak = coupled_map(room, LEVEL, stand, lateral=lateral).at(Site.LEFT_HEEL).local_peak
    assert peak.cell == LOCAL_CELL.value
    assert 28.1 < mmhg_from_pascal(peak.pressure) < 93.9


@pytest.mark.published(
    "Thompson-Bishop and Mottola 1992, Decubitus 5(2):42", "trochanter, side lying"
)
@pytest.mark.parametrize("lateral", STIFFNESSES)
def test_lying_on_the_side_the_trochanter_is_pressed_as_on_hospital_mattresses(lateral: float):
    room, lying, pose = lie_on_left_side()
    bed = couple(room, lying, pose, lateral, GRID_STEP)
    joint = settle_jointly(bed, pose, first_deflection(bed, room, pose, 4.0), held=(ROLL,))
    assert joint.is_solved
    found = {site.site: site for site in site_pressures(room, Posture(), bed, joint)}
    peak = found[Site.LEFT_TROCHANTER].peak
    assert peak.cell == PEAK_CELL.value
    assert 37.2 < mmhg_from_pascal(peak.pressure) < 83.6
    assert found[Site.RIGHT_TROCHANTER].peak.pressure == 0.0
