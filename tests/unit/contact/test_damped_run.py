"""Bodies that are let go: their mass, their damping, and what becomes of them."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from leeward.contact.balance import Lying, find_balance
from leeward.contact.damped_run import (
    GIVEN_WAY,
    MOVED_SLIDE,
    MOVED_TURN,
    DampedRun,
    Outcome,
    damped_run,
    softest_push,
)
from leeward.contact.damping import damping_matrix
from leeward.contact.inertia import mass_matrix, segment_inertia, turning_force
from leeward.contact.pose import Pose, joint_places, motion_of_segments
from leeward.contact.referee import let_go, refereed
from leeward.contact.segments import COUNT, PARENT
from leeward.contact.setting import first_pose, lay_down
from leeward.contact.stand import Stand
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.equipment import SurfaceGeometry
from leeward.terms.units import STANDARD_GRAVITY
from tests.physics.lying import LEVEL, MAN, SPLIT, WHOLE, lying_of, room_of, turned


@cache
def lain(surface: SurfaceGeometry, degrees: float, friction: float) -> tuple[Lying, Stand]:
    room = room_of(MAN, surface, friction=friction)
    stand = turned(room, degrees)
    return lying_of(room, stand), stand


@cache
def beyond(degrees: float, friction: float, last: float) -> DampedRun:
    """Let go on a whole surface a little steeper than where the body last lay."""
    room = room_of(MAN, WHOLE, friction=friction)
    return let_go(room, LEVEL, turned(room, last), np.radians([degrees]))


def in_the_air() -> tuple[Lying, Pose]:
    """A body a metre above its bed, every joint at rest."""
    room = room_of(MAN, WHOLE)
    lying = lay_down(room, LEVEL, np.zeros(1), np.zeros(1, dtype=np.intp))
    pose = first_pose(lying)
    for segment in range(1, COUNT):
        above = pose.rotation[:, PARENT[segment]]
        pose.rotation[:, segment] = above @ lying.joints.rest[:, segment]
    return lying, replace(pose, place=pose.place + np.array([0.0, 0.0, 1.0]))


def motion_at(lying: Lying, pose: Pose) -> tuple[np.ndarray, np.ndarray]:
    _, arm = joint_places(pose, lying.figure.link)
    return arm, motion_of_segments(arm)


def test_a_body_in_the_air_falls_as_one():
    lying, pose = in_the_air()
    _, motion = motion_at(lying, pose)
    mass = mass_matrix(lying.figure, pose, motion)[0]
    fall = np.linalg.solve(mass, find_balance(lying, pose).force[0])
    assert fall[:3] == pytest.approx([0.0, 0.0, -STANDARD_GRAVITY], abs=1e-9)
    assert fall[3:] == pytest.approx(np.zeros(42), abs=1e-7)


def test_the_mass_matrix_holds_the_whole_mass_and_is_symmetric():
    lying, pose = in_the_air()
    mass = mass_matrix(lying.figure, pose, motion_at(lying, pose)[1])[0]
    assert mass[:3, :3] == pytest.approx(80.0 * np.eye(3), abs=1e-9)
    assert np.abs(mass - mass.T).max() < 1e-12
    assert np.linalg.eigvalsh(mass).min() > 0.0


def test_an_ellipsoid_turns_more_easily_about_its_long_axis():
    inertia = segment_inertia(room_of(MAN, WHOLE).figure)[4]
    assert inertia[1, 1] < inertia[0, 0]
    assert inertia[1, 1] < inertia[2, 2]


def test_turning_keeps_energy():
    """Power of the turning forces is half the change of mass seen by the speed."""
    lying, pose = in_the_air()
    pose = pose.moved(np.random.default_rng(3).normal(0.0, 0.3, (1, 45)))
    speed = np.random.default_rng(4).normal(0.0, 1.0, (1, 45))
    arm, motion = motion_at(lying, pose)
    power = speed[0] @ turning_force(lying.figure, pose, arm, motion, speed)[0]

    def energy(later: float) -> float:
        there = pose.moved(later * speed)
        mass = mass_matrix(lying.figure, there, motion_at(lying, there)[1])[0]
        return 0.5 * float(speed[0] @ mass @ speed[0])

    assert power == pytest.approx((energy(1e-5) - energy(-1e-5)) / 2e-5, rel=1e-6)


def test_damping_only_takes_energy_away():
    lying, stand = lain(WHOLE, 15.0, 0.8)
    touches = find_balance(lying, stand.pose).touches
    damping = damping_matrix(lying, touches, motion_at(lying, stand.pose)[1])[0]
    assert np.abs(damping - damping.T).max() < 1e-9 * damping.max()
    assert np.linalg.eigvalsh(damping).min() > -1e-9 * damping.max()


@pytest.mark.parametrize(("surface", "degrees"), [(WHOLE, 15.0), (SPLIT, 30.0)])
def test_a_stable_body_rests_when_pushed_either_way(surface: SurfaceGeometry, degrees: float):
    lying, stand = lain(surface, degrees, 0.6)
    push = softest_push(find_balance(lying, stand.pose))
    both = np.zeros(2, dtype=np.intp)
    run = damped_run(lying.take(both), stand.pose.take(both), np.concatenate([push, -push]))
    assert stand.state[0] == EquilibriumState.STABLE
    assert list(run.outcome) == [Outcome.RESTS, Outcome.RESTS]
    assert run.rolled.max() < 0.1 * MOVED_TURN.value
    assert run.slid.max() < 0.1 * MOVED_SLIDE.value


def test_a_body_past_its_end_rolls_and_does_not_slide():
    run = beyond(28.0, 1.2, 25.0)
    assert run.outcome[0] == Outcome.ROLLS
    assert run.rolled[0] >= MOVED_TURN.value
    assert run.slid[0] < GIVEN_WAY.value * MOVED_SLIDE.value


def test_a_body_on_a_slope_above_its_friction_slides():
    run = beyond(18.0, 0.3, 16.0)
    assert run.outcome[0] == Outcome.SLIDES
    assert run.slid[0] >= MOVED_SLIDE.value
    assert run.rolled[0] < MOVED_TURN.value


def test_bodies_of_a_batch_do_not_feel_each_other():
    lying, stand = lain(WHOLE, 15.0, 0.8)
    both = np.zeros(2, dtype=np.intp)
    push = np.zeros((2, 45))
    push[1, 3:6] = 0.05
    together = damped_run(lying.take(both), stand.pose.take(both), push)
    alone = damped_run(lying, stand.pose, push[1:])
    assert together.time[1] == pytest.approx(alone.time[0], abs=1e-6)
    assert together.pose.place[1] == pytest.approx(alone.pose.place[0], abs=1e-9)


@pytest.mark.parametrize(
    ("friction", "last", "degrees", "expected"),
    [
        (1.2, 25.0, 28.0, EquilibriumState.TIPS),
        (0.3, 16.0, 18.0, EquilibriumState.SLIDES),
        (0.8, 10.0, 10.5, EquilibriumState.NOT_SOLVED),
    ],
    ids=["rolls", "slides", "rests, so that a balance was missed"],
)
def test_what_neither_figure_explains_is_named_by_what_the_body_does(
    friction: float, last: float, degrees: float, expected: EquilibriumState
):
    room = room_of(MAN, WHOLE, friction=friction)
    stand = turned(room, last)
    lost = replace(stand, state=np.full(1, EquilibriumState.NOT_SOLVED, dtype=np.int8))
    assert refereed(room, LEVEL, lost, np.radians([degrees]))[0] == expected


def test_a_body_that_is_not_asked_about_keeps_its_state():
    room = room_of(MAN, WHOLE, friction=0.8)
    stand = turned(room, 10.0)
    assert refereed(room, LEVEL, stand, np.radians([40.0]))[0] == EquilibriumState.STABLE
