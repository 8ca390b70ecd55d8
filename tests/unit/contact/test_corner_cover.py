"""Corners hold what joint draws of everything show, where the foam is described."""

import numpy as np

from leeward.contact.drawn_loads import draw_requests, drawn_loads
from leeward.contact.draws import draw_quantiles, draws
from leeward.contact.loads import posture_loads
from leeward.terms.bed import Bed, Mattress, MattressKind
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.site import RESPONSIVE_SITES
from leeward.tissue.reference_load import load_ratios
from tests.unit.contact.bodies import MAN, SPLIT, request, turned

#: A described foam, friction measured, nothing in between.
DESCRIBED = Bed(
    mattress=Mattress(MattressKind.FOAM, 0.14, 3500.0, 45.0, years_in_use=0.0),
    layers=(),
    friction=0.45,
)
POSTURES = (turned(0), turned(10))
#: Of a load ratio: what 200 draws went beyond the corners by, at most, on described foam.
BEYOND = 0.022


def test_joint_draws_on_described_foam_lie_within_the_corners():
    corners = posture_loads(request(MAN, SPLIT, POSTURES, 17, DESCRIBED))
    drawn = draws(DESCRIBED, SPLIT, MAN, draw_quantiles(5, np.random.default_rng(3)))
    asked = draw_requests(drawn, DESCRIBED, SPLIT, POSTURES)
    found = drawn_loads([posture_loads(one) for one in asked])
    assert (corners.state == EquilibriumState.STABLE).all()
    assert found.is_stable().all()
    responsive = [site in RESPONSIVE_SITES for site in corners.sites]
    held, seen = (
        load_ratios(one.patch_load, one.patch_load[:, 0], one.sites)[:, 1, responsive]
        for one in (corners, found)
    )
    loaded = seen.mean(axis=0) > 0.2
    assert loaded.sum() > 5
    assert (seen <= held.max(axis=0) + BEYOND)[:, loaded].all()
    assert (seen >= held.min(axis=0) - BEYOND)[:, loaded].all()
