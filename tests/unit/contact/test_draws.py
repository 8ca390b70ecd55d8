"""Draws of everything nobody knows."""

from dataclasses import replace

import numpy as np
import pytest

from leeward.contact.anthropometry import HIP_BREADTH, body_dimensions
from leeward.contact.draws import Draw, draw_quantiles, draws, positions
from leeward.contact.loads import posture_loads
from leeward.contact.scenarios import Arms, foam_range, friction_range
from leeward.terms.bed import Bed, Mattress, MattressKind
from leeward.terms.body import Limb
from leeward.terms.errors import InvalidInput
from leeward.terms.site import Site
from tests.unit.contact.bodies import MAN, SPLIT, request, turned

SPREAD = draw_quantiles(256, np.random.default_rng(11))


def of(drawn: tuple[Draw, ...], name: str) -> np.ndarray:
    return np.array([getattr(draw.scenario, name) for draw in drawn])


def test_the_same_seed_gives_the_same_draws_and_fewer_are_the_first_of_more():
    again = draw_quantiles(256, np.random.default_rng(11))
    fewer = draw_quantiles(20, np.random.default_rng(11))
    assert np.array_equal(again.person, SPREAD.person)
    assert np.array_equal(fewer.person, SPREAD.person[:20])


def test_no_draw_at_all_is_refused():
    with pytest.raises(InvalidInput, match="0 draws"):
        draw_quantiles(0, np.random.default_rng(1))


def test_draws_stay_inside_the_ranges_and_fill_them():
    bed = Bed()
    drawn = draws(bed, SPLIT, MAN, SPREAD)
    for name, ends in (("friction", friction_range(bed)), ("foam_scale", foam_range(bed))):
        value = of(drawn, name)
        assert ends.low <= value.min() < ends.low + 0.1 * (ends.high - ends.low)
        assert ends.high >= value.max() > ends.high - 0.1 * (ends.high - ends.low)
        assert abs(np.median(value) - ends.middle) < 0.1 * (ends.high - ends.low)


def test_breadths_scatter_by_the_regressions_standard_error():
    breadth = [draw.body.hip_breadth for draw in draws(Bed(), SPLIT, MAN, SPREAD)]
    error = HIP_BREADTH[MAN.sex].standard_error
    assert np.mean(breadth) == pytest.approx(body_dimensions(MAN).hip_breadth, abs=0.0005)
    # cut at two standard deviations, a normal keeps 0.96 of its own
    assert np.std(breadth) == pytest.approx(0.96 * error, rel=0.03)


def test_a_measured_breadth_scatters_less():
    measured = draws(Bed(), SPLIT, replace(MAN, hip_breadth=0.36), SPREAD)
    breadth = np.array([draw.body.hip_breadth for draw in measured])
    assert np.abs(breadth - 0.36).max() <= 0.010 + 1e-12


def test_a_measured_friction_and_line_scatter_less():
    known = draws(Bed(friction=0.4), SPLIT, MAN, SPREAD, line_offset=0.02)
    unknown = draws(Bed(), SPLIT, MAN, SPREAD)
    for name in ("friction", "line_offset"):
        assert of(known, name).std() < 0.5 * of(unknown, name).std()


def test_half_of_the_draws_lie_with_arms_out_and_none_without_arms():
    out = of(draws(Bed(), SPLIT, MAN, SPREAD), "arms") == Arms.FORWARD
    assert 0.45 < out.mean() < 0.55
    armless = replace(MAN, missing=frozenset({Limb.LEFT_ARM, Limb.RIGHT_ARM}))
    assert set(of(draws(Bed(), SPLIT, armless, SPREAD), "arms")) == {Arms.ON_TRUNK}


def test_the_person_is_shared_between_beds_and_other_equipment_is_not():
    here = draws(Bed(), SPLIT, MAN, SPREAD)
    firm = Bed(mattress=Mattress(MattressKind.FOAM, 0.14, 5.0e3), layers=())
    there = draws(firm, SPLIT, MAN, SPREAD.on_other_equipment())
    assert [draw.body for draw in here] == [draw.body for draw in there]
    assert np.array_equal(of(here, "friction"), of(there, "friction"))
    ranks = [np.argsort(np.argsort(of(drawn, "foam_scale"))) for drawn in (here, there)]
    assert np.array_equal(*ranks)
    assert abs(np.corrcoef(of(here, "line_offset"), of(there, "line_offset"))[0, 1]) < 0.2


def test_unknowns_are_drawn_apart_from_one_another():
    """Further apart than by chance, whose worst of 91 pairs is 0.17; over 30 seeds 0.14 at most."""
    place = positions(draws(Bed(), SPLIT, MAN, SPREAD))
    assert place.shape == (256, 14)
    assert np.abs(np.corrcoef(place.T) - np.eye(14)).max() < 0.15


def test_what_does_not_differ_has_no_column():
    armless = replace(MAN, missing=frozenset({Limb.LEFT_ARM, Limb.RIGHT_ARM}))
    assert positions(draws(Bed(), SPLIT, armless, SPREAD)).shape[1] == 13


def test_a_harder_pillow_bears_more_under_the_occiput_and_softer_tissue_changes_little():
    asked = request(MAN, SPLIT, (turned(0),))
    (usual,) = asked.scenarios
    others = (replace(usual, pillow=2.0), replace(usual, tissue_stiffness=0.7))
    found = posture_loads(replace(asked, scenarios=(usual, *others)))
    occiput, sacrum = (found.sites.index(site) for site in (Site.OCCIPUT, Site.SACRUM))
    plain, pillow, tissue = found.patch_load[:, 0]
    assert pillow[occiput] > 1.05 * plain[occiput]
    assert tissue[sacrum] == pytest.approx(plain[sacrum], rel=0.02)
    assert tissue[sacrum] != plain[sacrum]
