"""How near each part of the body comes to the platform's edges."""

from dataclasses import replace

import numpy as np

from leeward.contact.edges import is_over_edge, least_distances, without_arms
from leeward.contact.loads import LoadRequest, LoadTable, posture_loads
from leeward.contact.scenarios import Arms, corner_scenarios
from leeward.contact.segments import INDEX, SEGMENTS
from leeward.terms.bed import Bed, Platform
from leeward.terms.body import Body, Limb
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Posture
from tests.unit.contact.bodies import MAN, SPLIT, turned

LEVEL, TURNED = Posture(), turned(20.0)


def lain(width: float, arms: Arms = Arms.FORWARD, body: Body = MAN) -> LoadTable:
    bed = Bed(platform=Platform(width=width))
    central = replace(corner_scenarios(bed, SPLIT, body)[0], arms=arms)
    return posture_loads(LoadRequest(body, bed, SPLIT, (LEVEL, TURNED), (central,)))


def distances(table: LoadTable, width: float) -> np.ndarray:
    found = least_distances(table, LEVEL, width)
    return np.array([[found[name] for name in SEGMENTS]])


def test_an_arm_laid_out_does_not_count_as_the_body():
    table = lain(0.9)
    found = distances(table, 0.9)
    assert found[0, INDEX["left forearm"]] < 0.0
    assert without_arms(found)[0] > 0.2
    assert table.edge_distance[0, 0] == without_arms(found)[0]


def test_a_turn_brings_the_body_nearer_to_the_edge_it_is_turned_to():
    table = lain(0.9)
    assert table.edge_distance[0, 1] < table.edge_distance[0, 0]


def test_the_edge_lies_half_a_platform_from_the_mid_line():
    narrow, wide = lain(0.8).edge_distance[0, 0], lain(0.9).edge_distance[0, 0]
    assert abs(wide - narrow - 0.05) < 1e-3


def test_trunk_beyond_the_edge_is_no_place_to_lie_and_has_no_loads():
    hips = 0.9 - 2.0 * float(distances(lain(0.9), 0.9)[0, INDEX["pelvis"]])
    table = lain(hips - 0.02)
    assert table.state[0].tolist() == [EquilibriumState.OVER_EDGE] * 2
    assert np.isnan(table.patch_load).all()
    assert is_over_edge(distances(table, hips - 0.02)).all()
    assert table.edge_distance[0, 0] < 0.0


def test_a_leg_beyond_the_edge_is_not_the_trunk():
    found = distances(lain(0.9), 0.9)
    found[0, INDEX["right thigh"]] = -0.1
    assert not is_over_edge(found).any()
    assert without_arms(found)[0] == -0.1


def test_a_missing_limb_is_nowhere_near():
    found = distances(
        lain(0.9, body=replace(MAN, missing=frozenset({Limb.LEFT_LEG_BELOW_KNEE}))), 0.9
    )
    assert np.isinf(found[0, INDEX["left foot"]])
    assert np.isfinite(found[0, INDEX["right foot"]])
