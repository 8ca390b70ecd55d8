"""Bands of loads over draws: what is solved, what is answered for, what is measured by what."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from leeward.contact.draws import draw_quantiles, draws
from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest, posture_loads
from leeward.terms.bed import Bed
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Posture
from leeward.terms.site import Site
from leeward.terms.units import radians_from_deg
from leeward.tissue.drawn_ratios import DrawnBands, drawn_bands, uncounted
from tests.unit.contact.bodies import MAN, SPLIT

TURNED = Posture(turn=radians_from_deg(20.0))
DRAWN = draws(Bed(), SPLIT, MAN, draw_quantiles(96, np.random.default_rng(2)))
ASKED = LoadRequest(MAN, Bed(), SPLIT, (TURNED,), ())


@pytest.fixture(scope="module")
def one() -> LoadTable:
    """A table of the central draw, to be filled with answers that are known exactly."""
    return posture_loads(
        replace(ASKED, postures=(TURNED, Posture()), scenarios=(DRAWN[0].scenario,))
    )


class Known:
    """Answers: level 4000 Pa times the foam, turned a share of it that follows the line."""

    def __init__(self, one: LoadTable, slips_below: float = 0.0) -> None:
        self.one, self.slips_below, self.asked = one, slips_below, 0

    def __call__(self, requests: Sequence[LoadRequest]) -> list[LoadTable]:
        self.asked += len(requests)
        return [self._table(request) for request in requests]

    def _table(self, request: LoadRequest) -> LoadTable:
        (scenario,) = request.scenarios
        level = np.full(30, 4000.0 * scenario.foam_scale)
        turned = level * (0.6 + 4.0 * scenario.line_offset)
        loads = np.stack([turned, level])[None]
        state = np.full((1, 2), EquilibriumState.STABLE, dtype=np.int8)
        if scenario.friction < self.slips_below:
            state[0, 0], loads[0, 0] = EquilibriumState.SLIDES, np.nan
        assert request.postures == self.one.postures
        return replace(self.one, scenarios=request.scenarios, patch_load=loads, state=state)


@pytest.fixture(scope="module")
def told() -> list[tuple[int, int]]:
    return []


@pytest.fixture(scope="module")
def known(one: LoadTable) -> Known:
    return Known(one)


@pytest.fixture(scope="module")
def found(known: Known, told: list[tuple[int, int]]) -> DrawnBands:
    return bands(known, lambda solved, total: told.append((solved, total)))


def bands(known: Known, counted=uncounted, count: int = 96) -> DrawnBands:
    return drawn_bands(ASKED, DRAWN[:count], known, counted)


def test_a_few_are_solved_and_the_rest_answered_for_with_an_error_that_is_said(found, known):
    assert known.asked == found.solved == 64
    assert found.draws == 96
    assert 0.0 < found.error < 0.03


def test_each_draw_is_measured_against_itself_lying_level(found: DrawnBands):
    """Foam moves load and reference alike, so only the line is left in the ratio."""
    offsets = np.array([draw.scenario.line_offset for draw in DRAWN])
    low, high = np.quantile(0.6 + 4.0 * offsets, (0.05, 0.95))
    sacrum = found.sites.index(Site.SACRUM)
    assert found.ratio_low[0, sacrum] == pytest.approx(low - found.error, abs=0.02)
    assert found.ratio_high[0, sacrum] == pytest.approx(high + found.error, abs=0.02)


def test_loads_have_their_own_band_in_pascal(found: DrawnBands):
    loads = [
        4000.0 * draw.scenario.foam_scale * (0.6 + 4.0 * draw.scenario.line_offset)
        for draw in DRAWN
    ]
    low, high = np.quantile(loads, (0.05, 0.95))
    assert found.load_low[0, 0] == pytest.approx(low, rel=0.08)
    assert found.load_high[0, 0] == pytest.approx(high, rel=0.08)


def test_progress_counts_what_is_solved_up_to_what_will_be(found: DrawnBands, told):
    assert found.solved == 64
    assert told[0] == (8, 64)
    assert told[-1] == (64, 64)


def test_one_draw_that_slides_leaves_no_band_and_is_counted(one: LoadTable):
    least = min(draw.scenario.friction for draw in DRAWN[:64])
    found = bands(Known(one, slips_below=least + 1e-6))
    assert np.isnan(found.load_low).all()
    assert np.isnan(found.ratio_high).all()
    (share,) = found.shares
    assert (share.stable, share.solved) == (63, 64)
    assert share.named == {EquilibriumState.SLIDES: 1}


def test_few_draws_are_all_solved(one: LoadTable):
    known = Known(one)
    found = bands(known, count=16)
    assert known.asked == found.solved == found.draws == 16
    assert found.error == 0.0
