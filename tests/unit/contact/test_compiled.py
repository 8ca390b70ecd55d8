"""The loops say what NumPy says: as machine code where numba is installed, else as plain Python."""

import numpy as np
import pytest

from leeward.contact.balance import Lying, find_balance
from leeward.contact.compiled import IS_COMPILED
from leeward.contact.compiled_balance import balance_of, room_for_balance
from leeward.contact.compiled_settle import Reached, settle_each
from leeward.contact.continuation import settle_level
from leeward.contact.equilibrium import settle, settle_together
from leeward.contact.lain_out import lay_out
from leeward.contact.pose import UNKNOWNS, Pose, joint_places
from leeward.contact.segments import COUNT
from leeward.contact.setting import anchored, first_pose, lay_down, make_room, with_anchors
from leeward.terms.body import Body
from leeward.terms.equipment import SurfaceGeometry
from leeward.terms.posture import Posture, Support
from tests.unit.contact.bodies import BENT, MAN, SPLIT, WHOLE, request, turned

PILLOWS = frozenset({Support.PILLOW_UNDER_CALVES})
BETWEEN = frozenset({Support.BOLSTER_LEFT, *PILLOWS})
AT = {
    "level": (MAN, SPLIT, Posture()),
    "valley": (MAN, SPLIT, turned(20.0)),
    "plane": (BENT, WHOLE, turned(10.0, head_up=0.05)),
    "sitting": (BENT, SPLIT, turned(-15.0, backrest=0.5, knee_raise=0.2)),
    "bolster": (MAN, SPLIT, turned(-10.0, supports=BETWEEN)),
}
PLACES = pytest.mark.parametrize(("body", "surface", "posture"), AT.values(), ids=AT)


def lain(
    body: Body, surface: SurfaceGeometry | None, posture: Posture, moved: float
) -> tuple[Lying, Pose]:
    """Two scenarios of a body in a bed, moved by chance from where their shear is zero."""
    asked = request(body, surface, (posture,), 2)
    room = make_room(body, asked.bed, surface, asked.scenarios)
    lying = lay_down(room, posture, np.full(2, posture.turn), np.arange(2))
    pose = first_pose(lying)
    joint, _ = joint_places(pose, room.figure.link)
    change = np.random.default_rng(7).normal(0.0, moved, (2, UNKNOWNS))
    return anchored(lying, pose, joint, release=True), pose.moved(change)


def from_here(pose: Pose) -> Reached:
    """Room for where a batch gets to."""
    count = len(pose.place)
    square = (count, UNKNOWNS, UNKNOWNS)
    return Reached(
        pose.place.copy(),
        pose.rotation.copy(),
        np.zeros(count, dtype=bool),
        np.zeros(count, dtype=np.intp),
        np.zeros(square),
        np.zeros(square),
        np.full(count, np.nan),
        np.full((count, COUNT), np.nan),
    )


def apart(found: np.ndarray, expected: np.ndarray) -> float:
    """Largest difference over the largest entry."""
    return float(np.abs(found - expected).max() / np.abs(expected).max())


@PLACES
def test_loops_find_the_same_balance(body, surface, posture):
    """1e-12 of the largest entry: the sums have another order, nothing else differs."""
    lying, pose = lain(body, surface, posture, 0.05)
    expected, laid = find_balance(lying, pose), lay_out(lying)
    found = room_for_balance(laid)
    balance_of(laid, 1, pose.place[1], pose.rotation[1], found)
    assert apart(found.force, expected.force[1]) < 1e-12
    assert apart(found.stiffness, expected.stiffness[1]) < 1e-12
    assert apart(found.scale, expected.scale[1]) < 1e-12


def test_loops_take_the_same_steps_to_rest():
    asked = request(MAN, SPLIT, (Posture(),), 1)
    room = make_room(MAN, asked.bed, SPLIT, asked.scenarios)
    stand = settle_level(room, Posture())
    lying = with_anchors(lay_down(room, Posture(), np.full(1, 0.01), stand.which), stand.anchors)
    reached = from_here(stand.pose)
    settle_each(lay_out(lying), 1e-3, reached)
    expected = settle_together(lying, stand.pose, 1e-3)
    assert expected.is_solved.all()
    assert reached.is_solved.all()
    assert reached.steps.tolist() == expected.steps.tolist()
    assert np.abs(reached.pelvis - expected.pose.place).max() < 1e-9
    assert np.abs(reached.rotation - expected.pose.rotation).max() < 1e-9
    assert apart(reached.stiffness, expected.stiffness) < 1e-9
    assert np.abs(reached.demand - expected.demand).max() < 1e-9
    assert np.abs(reached.share - expected.share).max() < 1e-9


def test_a_body_that_finds_no_rest_is_not_called_solved():
    lying, pose = lain(MAN, WHOLE, Posture(), 0.0)
    falling = Pose(pose.place + np.array([0.0, 0.0, np.nan]), pose.rotation)
    with np.errstate(invalid="ignore"):
        reached = from_here(falling.take(np.array([0])))
        settle_each(lay_out(lying.take(np.array([0]))), 1e6, reached)
    assert not reached.is_solved.any()


@pytest.mark.skipif(not IS_COMPILED, reason="numba (the extra `fast`) is not installed")
@PLACES
def test_machine_code_and_numpy_come_to_the_same_rest(body, surface, posture):
    """1e-9 of the largest entry, in as many steps."""
    lying, pose = lain(body, surface, posture, 0.0)
    found, expected = settle(lying, pose, 1.0), settle_together(lying, pose, 1.0)
    both = expected.is_solved
    assert found.is_solved.tolist() == both.tolist()
    assert found.steps[both].tolist() == expected.steps[both].tolist()
    assert np.allclose(found.pose.rotation[both], expected.pose.rotation[both], rtol=0, atol=1e-9)
    assert np.allclose(found.share[both], expected.share[both], rtol=0, atol=1e-9)
    for bed in np.flatnonzero(both):
        assert apart(found.stiffness[bed], expected.stiffness[bed]) < 1e-9
