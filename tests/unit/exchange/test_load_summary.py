"""Loads at one posture as numbers for a screen."""

from dataclasses import replace

import numpy as np
import pytest

from leeward.contact.drawn_loads import StabilityShare
from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest, posture_loads
from leeward.contact.scenarios import corner_scenarios
from leeward.exchange.load_summary import STATE_WORDS, summarise, with_bands
from leeward.terms.bed import Bed, Mattress, MattressKind
from leeward.terms.body import Body, Sex
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Posture
from leeward.terms.site import Site
from leeward.terms.units import mmhg_from_pascal, radians_from_deg
from leeward.tissue.drawn_ratios import DrawnBands

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
    assert found.posture == "level, backrest 30°, knee section 10°"


def test_every_state_has_words():
    assert set(STATE_WORDS) == set(EquilibriumState)


def bands(table, share: StabilityShare, low: float = 1000.0) -> DrawnBands:
    """Bands of 1000 to 9000 Pa and of 0.5 to 1.5 at every site, invented."""
    shape = (1, len(table.sites))
    ends = (np.full(shape, end) for end in (low, 9000.0, 0.5, 1.5))
    return DrawnBands((LEVEL,), table.sites, *ends, (share,), draws=200, solved=64, error=0.02)


def test_bands_over_draws_stand_in_place_of_those_over_corners(table):
    everywhere = bands(table, StabilityShare(64, 64, {}))
    found = with_bands(summarise(table, LEVEL), everywhere, LEVEL)
    sacrum = row(found, Site.SACRUM)
    assert sacrum.load_mmhg == row(summarise(table, LEVEL), Site.SACRUM).load_mmhg
    assert sacrum.low_mmhg == pytest.approx(mmhg_from_pascal(1000.0))
    assert sacrum.high_mmhg == pytest.approx(mmhg_from_pascal(9000.0))
    assert (sacrum.ratio_low, sacrum.ratio, sacrum.ratio_high) == pytest.approx((0.5, 1.0, 1.5))
    assert found.is_stable
    assert (found.drawn.draws, found.drawn.solved, found.drawn.error) == (200, 64, 0.02)


def test_a_draw_in_which_nobody_can_lie_makes_the_posture_no_place_to_lie(table):
    share = StabilityShare(61, 64, {EquilibriumState.TIPS: 3})
    found = with_bands(summarise(table, LEVEL), bands(table, share, low=np.nan), LEVEL)
    assert not found.is_stable
    assert found.state == STATE_WORDS[EquilibriumState.TIPS]
    assert found.unstable_draws[0].startswith("3 of 64 draws solved: tips")
    assert row(found, Site.SACRUM).low_mmhg is None


def test_a_band_holds_the_central_value_though_that_is_not_a_draw(table):
    central = summarise(table, LEVEL)
    above = bands(table, StabilityShare(64, 64, {}), low=8000.0)
    sacrum = row(with_bands(central, above, LEVEL), Site.SACRUM)
    assert sacrum.low_mmhg == sacrum.load_mmhg


def test_load_ratios_need_level(table):
    assert row(summarise(table, LEVEL), Site.SACRUM).ratio == pytest.approx(1.0)
    sat = Posture(backrest=radians_from_deg(30.0))
    assert row(summarise(replace(table, postures=(sat,)), sat), Site.SACRUM).ratio is None
