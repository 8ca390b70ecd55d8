"""Peaks say between what ends they lie."""

from dataclasses import replace

import pytest

from leeward.contact.coupled_foam import LATERAL_STIFFNESS
from leeward.contact.coupled_pressure import coupled_map, lie_down
from leeward.contact.loads import LoadRequest, posture_loads
from leeward.contact.peak_band import banded_pressure
from leeward.contact.pressure_map import PressureMap
from leeward.contact.scenarios import foam_range
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.site import Site
from tests.unit.contact.bodies import MAN, SPLIT, WHOLE, request, turned


@pytest.fixture(scope="module")
def asked() -> LoadRequest:
    return request(MAN, SPLIT, (turned(0),))


@pytest.fixture(scope="module")
def banded(asked: LoadRequest) -> PressureMap:
    return banded_pressure(asked, posture_loads(asked), 0, turned(0))


def test_every_pressed_peak_lies_between_two_ends_that_are_apart(banded: PressureMap):
    pressed = [site.peak for site in banded.sites if site.peak.pressure > 1000.0]
    assert len(pressed) > 10
    for peak in pressed:
        assert peak.low <= peak.pressure <= peak.high
        assert peak.high - peak.low > 0.02 * peak.pressure
    assert banded.highest.peak.low <= banded.highest.peak.pressure <= banded.highest.peak.high


def test_the_ends_hold_a_firm_mattress_that_pulls_sideways_little(
    asked: LoadRequest, banded: PressureMap
):
    firm = replace(asked.scenarios[0], foam_scale=foam_range(asked.bed).high)
    room, stand = lie_down(replace(asked, scenarios=(firm,)), 0, turned(0))
    found = coupled_map(room, turned(0), stand, LATERAL_STIFFNESS.low)
    for site in (Site.SACRUM, Site.LEFT_HEEL, Site.OCCIPUT):
        peak = banded.at(site).peak
        assert peak.low - 1e-6 <= found.at(site).peak.pressure <= peak.high + 1e-6


def test_small_round_bones_have_ends_over_the_small_cell_too(banded: PressureMap):
    heel = banded.at(Site.LEFT_HEEL)
    assert heel.local_peak.low < heel.local_peak.pressure < heel.local_peak.high
    assert heel.local_peak.high > heel.peak.high


def test_a_body_that_slides_has_no_peaks_and_no_ends():
    asked = request(MAN, WHOLE, (turned(40),))
    found = banded_pressure(asked, posture_loads(asked), 0, turned(40))
    assert found.state is EquilibriumState.SLIDES
    assert (found.sites, found.highest) == ((), None)
