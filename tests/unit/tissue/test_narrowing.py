"""Which single measurement would narrow the bands most."""

from dataclasses import replace

import numpy as np
import pytest

from leeward.terms.case import Placement
from leeward.terms.equipment import SurfaceKind
from leeward.terms.site import Site
from leeward.tissue.narrowing import narrowing
from tests.unit.tissue.lain import CASE, found

SACRUM = found().ratios.sites.index(Site.SACRUM)
NOTHING_MEASURED = replace(CASE, bed=replace(CASE.bed, friction=None), placement=Placement())


def moved_by(factor: str, size: float, site: int = SACRUM):
    """The demand with ratios that one factor alone moves, by its two ends."""
    values = [getattr(scenario, factor) for scenario in found().scenarios]
    low = min(values[1:], key=str)
    ratio = np.ones_like(found().ratios.ratio)
    ratio[[value == low for value in values], :, site] += size
    return replace(found(), ratios=replace(found().ratios, ratio=ratio))


def test_the_factor_that_moves_the_ratios_is_named_with_its_size_and_how_to_measure_it():
    for factor, words in (("friction", "spring balance"), ("line_offset", "with a tape")):
        reason = narrowing(NOTHING_MEASURED, moved_by(factor, 0.3))
        assert words in reason.sentence
        assert reason.numbers[0].value == pytest.approx(0.3)


def test_what_was_measured_is_not_asked_for_again():
    assert narrowing(CASE, moved_by("friction", 0.3)) is None
    assert narrowing(CASE, moved_by("line_offset", 0.3)) is None


def test_how_worn_a_mattress_is_is_asked_until_somebody_says_so():
    moved = moved_by("foam_scale", 0.3)
    assert "how many years it has been lain on" in narrowing(CASE, moved).sentence
    mattress = replace(CASE.bed.mattress, years_in_use=3.0)
    dated = replace(CASE, bed=replace(CASE.bed, mattress=mattress))
    assert narrowing(dated, moved) is None


def test_the_line_is_not_asked_for_on_a_surface_that_has_none():
    geometry = replace(CASE.equipment.geometry, kind=SurfaceKind.WHOLE)
    whole = replace(NOTHING_MEASURED, equipment=replace(CASE.equipment, geometry=geometry))
    assert narrowing(whole, moved_by("line_offset", 0.3)) is None


def test_sites_that_no_turn_relieves_do_not_decide():
    heel = found().ratios.sites.index(Site.LEFT_HEEL)
    assert narrowing(NOTHING_MEASURED, moved_by("friction", 0.3, heel)) is None


def test_loads_unknown_in_any_draw_do_not_decide():
    spoiled = moved_by("friction", 0.3)
    spoiled.ratios.ratio[3, :, SACRUM] = np.nan
    assert narrowing(NOTHING_MEASURED, spoiled) is None


def test_the_larger_of_two_is_named():
    both = moved_by("friction", 0.1)
    both.ratios.ratio[:] += moved_by("line_offset", 0.4).ratios.ratio
    assert "surface's line" in narrowing(NOTHING_MEASURED, both).sentence
