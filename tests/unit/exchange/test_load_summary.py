"""Loads at one posture as numbers for a screen."""

from dataclasses import replace

import numpy as np
import pytest

from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest, posture_loads
from leeward.contact.scenarios import corner_scenarios
from leeward.exchange.load_summary import STATE_WORDS, summarise
from leeward.terms.bed import Bed, Mattress, MattressKind
from leeward.terms.body import Body, Sex
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Posture
from leeward.terms.site import Site
from leeward.terms.units import mmhg_from_pascal, radians_from_deg

LEVEL = Posture()


@pytest.fixture(scope="module")
def table() -> LoadTable:
    """An invented body lying level, in three draws."""
    bed = Bed(
        mattress=Mattress(MattressKind.FOAM, thickness=0.14, cv40=4000.0), layers=(), friction=0.4
    )
    body = Body(1.70, 70.0, Sex.FEMALE)
    scenarios = corner_scenarios(bed, None, body, None)[:3]
    return posture_loads(LoadRequest(body, bed, None, (LEVEL,), scenarios))


def row(found, site):
    return next(one for one in found.sites if one.site is site)


def test_every_site_has_its_central_load_within_the_band_over_the_draws(table):
    found = summarise(table, LEVEL)
    assert [one.site for one in found.sites] == list(table.sites)
    sacrum = row(found, Site.SACRUM)
    loads = table.patch_load[:, 0, table.sites.index(Site.SACRUM)]
    assert sacrum.load_mmhg == pytest.approx(mmhg_from_pascal(loads[0]))
    assert sacrum.low_mmhg == pytest.approx(mmhg_from_pascal(loads.min()))
    assert sacrum.high_mmhg == pytest.approx(mmhg_from_pascal(loads.max()))


def test_a_load_unknown_in_one_draw_has_no_band(table):
    loads = table.patch_load.copy()
    loads[2, 0, table.sites.index(Site.SACRUM)] = np.nan
    sacrum = row(summarise(replace(table, patch_load=loads), LEVEL), Site.SACRUM)
    assert sacrum.load_mmhg is not None
    assert (sacrum.low_mmhg, sacrum.high_mmhg) == (None, None)


def test_a_posture_not_stable_in_one_draw_is_not_stable(table):
    state = table.state.copy()
    state[2, 0] = EquilibriumState.SLIDES
    found = summarise(replace(table, state=state), LEVEL)
    assert not found.is_stable
    assert found.state.startswith("slides")
    assert found.unstable_draws == (
        f"{table.scenarios[2].name}: {STATE_WORDS[EquilibriumState.SLIDES]}",
    )


def test_a_stable_posture_has_a_roll_band_and_the_worst_of_edge_and_friction(table):
    found = summarise(table, LEVEL)
    assert found.is_stable
    assert found.unstable_draws == ()
    assert found.pelvis_roll_low_deg <= found.pelvis_roll_deg <= found.pelvis_roll_high_deg
    assert found.friction_demand == pytest.approx(float(table.friction_demand.max()))
    assert found.edge_distance_mm == pytest.approx(1000.0 * float(table.edge_distance.min()))


def test_the_worst_is_not_given_where_one_draw_does_not_know_it(table):
    edge = table.edge_distance.copy()
    edge[1, 0] = np.nan
    assert summarise(replace(table, edge_distance=edge), LEVEL).edge_distance_mm is None


def test_a_posture_is_said_with_backrest_and_knees(table):
    sat = Posture(backrest=radians_from_deg(30.0), knee_raise=radians_from_deg(10.0))
    found = summarise(replace(table, postures=(sat,)), sat)
    assert found.posture == "level, backrest 30°, knees raised 10°"


def test_every_state_has_words():
    assert set(STATE_WORDS) == set(EquilibriumState)
