"""What must hold for every body, foam and surface."""

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from leeward.contact.figure import build_figure
from leeward.contact.foam import Cushion, pressure_at_depth, series_table
from leeward.contact.loads import LoadRequest, posture_loads
from leeward.contact.scenarios import corner_scenarios
from leeward.terms.bed import Bed
from leeward.terms.body import Body, RestAngles, Sex
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.equipment import SurfaceGeometry, SurfaceKind
from leeward.terms.posture import Posture
from leeward.terms.site import Site

SITES = tuple(Site)
SPLIT = SurfaceGeometry(SurfaceKind.SPLIT, 1.9, 0.85, 0.06, 0.15, 12.0)
MIRROR = [SITES.index(site.mirrored) for site in SITES]

bodies = st.builds(
    lambda stature, index, sex: Body(stature, index * stature**2, sex),
    st.floats(1.46, 1.98),
    st.floats(17.0, 42.0),
    st.sampled_from(list(Sex)),
)


def loads(body: Body, turn: float, scale: float = 1.0) -> tuple[np.ndarray, np.ndarray]:
    scenario = replace(corner_scenarios(Bed(), SPLIT, body)[0], foam_scale=scale)
    asked = LoadRequest(body, Bed(), SPLIT, (Posture(turn=turn),), (scenario,))
    table = posture_loads(asked)
    return table.state[0, 0], table.patch_load[0, 0]


@given(st.floats(0.08, 0.2), st.floats(0.4, 2.0), st.floats(0.005, 0.05), st.floats(1e4, 8e4))
def test_pressing_deeper_always_presses_harder(
    thickness: float, scale: float, tissue: float, modulus: float
):
    table = series_table((Cushion(thickness, scale),), tissue, modulus)[None]
    depth = np.linspace(0.0, 0.34, 700)
    pressure, slope = pressure_at_depth(table, np.zeros(700, dtype=np.intp), depth)
    assert pressure[0] == 0.0
    assert np.all(np.diff(pressure) > 0.0)
    assert np.all(slope >= 0.0)


@given(bodies)
def test_every_body_weighs_itself_and_has_the_same_points(body: Body):
    figure = build_figure(body)
    assert np.isclose(figure.mass.sum(), body.mass)
    assert np.all(figure.layout.half > 0.0)
    assert len(figure.patches) == 22


@settings(max_examples=10)
@given(bodies, st.floats(-0.6, 0.6))
def test_a_load_is_never_negative_and_unknown_only_where_the_model_has_no_site(
    body: Body, turn: float
):
    state, load = loads(body, turn)
    assert state in (EquilibriumState.STABLE, EquilibriumState.SLIDES, EquilibriumState.TIPS)
    known = np.isfinite(load)
    assert known.sum() == (22 if state == EquilibriumState.STABLE else 0)
    assert np.all(load[known] >= 0.0)


@settings(max_examples=10)
@given(bodies, st.floats(0.05, 0.6))
def test_turning_the_other_way_is_the_mirror_image(body: Body, turn: float):
    _, left = loads(body, turn)
    _, right = loads(body, -turn)
    np.testing.assert_allclose(left, right[MIRROR], atol=0.5)


@settings(max_examples=8)
@given(st.floats(0.2, 1.2), st.floats(0.1, 1.2), st.floats(-0.4, 0.4), st.floats(-0.5, 0.5))
def test_a_mirrored_body_turned_the_other_way_is_the_mirror_image(
    hip: float, knee: float, swept: float, turn: float
):
    one = Body(1.66, 62.0, Sex.FEMALE, rest_angles=RestAngles(hip, 0.0, knee, 0.0, windswept=swept))
    other = replace(one, rest_angles=RestAngles(0.0, hip, 0.0, knee, windswept=-swept))
    state, load = loads(one, turn)
    image_state, image = loads(other, -turn)
    assert state == image_state
    np.testing.assert_allclose(load, image[MIRROR], atol=0.5)


@settings(max_examples=8)
@given(bodies)
def test_harder_foam_presses_harder_at_the_sacrum(body: Body):
    sacrum = SITES.index(Site.SACRUM)
    assert loads(body, 0.0, 1.5)[1][sacrum] > loads(body, 0.0, 0.7)[1][sacrum]
