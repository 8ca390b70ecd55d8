"""Draws solved directly, and the share of them in which a posture is a place to lie."""

from dataclasses import replace

import numpy as np
import pytest

from leeward.contact.drawn_loads import draw_requests, drawn_loads, stability_shares
from leeward.contact.draws import Draw, draw_quantiles, draws
from leeward.contact.loads import LoadRequest, posture_loads
from leeward.contact.scenarios import corner_scenarios
from leeward.terms.bed import Bed
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.errors import InvalidInput
from tests.unit.contact.bodies import MAN, SPLIT, WHOLE, turned

LEVEL, STEEP = turned(0.0), turned(20.0)
DRAWN = draws(Bed(), SPLIT, MAN, draw_quantiles(3, np.random.default_rng(5)))


def test_the_middle_of_everything_is_the_central_scenario():
    central = corner_scenarios(Bed(), SPLIT, MAN)[0]
    (asked,) = draw_requests([Draw(central, MAN)], Bed(), SPLIT, (LEVEL,))
    assert asked == LoadRequest(MAN, Bed(), SPLIT, (LEVEL,), (central,))


def test_bridging_widens_the_surfaces_valley():
    (draw, *_) = DRAWN
    (asked,) = draw_requests([draw], Bed(), SPLIT, (LEVEL,))
    assert asked.surface is not None
    assert asked.surface.line_rounding == pytest.approx(draw.bridging * SPLIT.line_rounding)


def test_turned_by_hand_there_is_no_valley_to_bridge():
    assert all(one.surface is None for one in draw_requests(DRAWN, Bed(), None, (LEVEL,)))


def test_loads_of_draws_differ_and_keep_their_order():
    tables = [posture_loads(one) for one in draw_requests(DRAWN, Bed(), SPLIT, (LEVEL,))]
    found = drawn_loads(tables)
    assert found.patch_load.shape == (3, 1, 30)
    assert found.is_stable().all()
    for table, load in zip(tables, found.patch_load, strict=True):
        assert np.array_equal(table.patch_load[0], load, equal_nan=True)
    assert len({float(np.nansum(load)) for load in found.patch_load}) == 3


def test_the_share_counts_draws_and_names_how_the_others_end():
    """On a whole plane at 20 degrees friction below tan 20 = 0.36 slides."""
    slippery, rough = (
        replace(DRAWN[0], body=MAN, scenario=replace(DRAWN[0].scenario, friction=mu))
        for mu in (0.25, 0.75)
    )
    asked = draw_requests([slippery, rough], Bed(), WHOLE, (LEVEL, STEEP))
    level, steep = stability_shares(drawn_loads([posture_loads(one) for one in asked]))
    assert level.is_everywhere
    assert (steep.stable, steep.solved, steep.share) == (1, 2, 0.5)
    assert steep.named == {EquilibriumState.SLIDES: 1}
    assert not steep.is_everywhere


def test_tables_of_other_postures_do_not_mix():
    tables = [
        posture_loads(draw_requests(DRAWN[:1], Bed(), SPLIT, (posture,))[0])
        for posture in (LEVEL, turned(5.0))
    ]
    with pytest.raises(InvalidInput, match="do not belong together"):
        drawn_loads(tables)
