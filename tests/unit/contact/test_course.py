"""First guesses along a path: what they are worth, and that results do not hang on them."""

from itertools import pairwise

import numpy as np
import pytest

from leeward.contact import path_step
from leeward.contact.continuation import follow_turns, raise_sections, settle_level
from leeward.contact.course import Course, unknown_course
from leeward.contact.loads import LoadRequest, posture_loads
from leeward.contact.pose import Pose
from leeward.contact.scenarios import corner_scenarios
from leeward.contact.segments import COUNT
from leeward.terms.bed import Bed
from leeward.terms.body import Body, RestAngles, Sex
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.equipment import SurfaceGeometry, SurfaceKind
from leeward.terms.posture import Posture
from leeward.terms.units import radians_from_deg
from tests.physics.lying import WHOLE, room_of

SPLIT = SurfaceGeometry(SurfaceKind.SPLIT, 1.9, 0.85, 0.06, 0.15, 12.0)


def pose_at(parameter: float) -> Pose:
    """A body whose place follows a parabola."""
    place = np.array([[0.02 * parameter + 0.03 * parameter**2, 0.0, 0.0]])
    return Pose(place, np.tile(np.eye(3), (1, COUNT, 1, 1)))


def walked(*places: float) -> Course:
    """Course of that body after steps to these parameters."""
    course = unknown_course(1)
    for start, end in pairwise(places):
        course = course.after(pose_at(start), pose_at(end), np.array([end - start]))
    return course


def test_a_body_that_has_not_moved_is_expected_to_stay():
    assert np.all(unknown_course(2).ahead(np.ones(2)) == 0.0)


def test_one_step_gives_a_straight_guess():
    assert walked(0.0, 1.0).ahead(np.ones(1))[0, 0] == pytest.approx(0.05)


@pytest.mark.parametrize("end", [1.5, 2.0, 2.5])
def test_two_steps_foretell_a_parabola_whatever_the_next_step(end: float):
    found = walked(0.0, 0.4, 1.0).ahead(np.array([end - 1.0]))[0, 0]
    assert found == pytest.approx(pose_at(end).place[0, 0] - pose_at(1.0).place[0, 0])


def test_a_wild_guess_is_cut_short():
    rate = np.zeros((1, 45))
    rate[0, 5] = 8.0
    course = Course(rate, np.zeros((1, 45)), np.zeros(1), np.ones(1, dtype=bool))
    assert np.abs(course.ahead(np.ones(1))).max() == pytest.approx(0.3)


@pytest.mark.parametrize(("end", "is_led"), [(2.0, True), (2.6, True), (3.8, False)])
def test_a_body_is_led_by_its_course_unless_it_moves_much_further(end: float, is_led: bool):
    """Foreseen over the next step: 0.11 m. Believed to 0.3 m, beyond which nothing is guessed."""
    course = walked(0.0, 0.4, 1.0)
    assert bool(course.led(pose_at(1.0), pose_at(end), np.ones(1))[0]) is is_led


def test_a_body_that_should_have_stayed_may_move_by_less_than_giving_way():
    resting = unknown_course(1)
    assert resting.led(pose_at(0.0), pose_at(0.9), np.ones(1))[0]
    assert not resting.led(pose_at(0.0), pose_at(1.2), np.ones(1))[0]


def test_steps_of_five_degrees_do_not_step_over_an_end():
    """A thin man with bent hips, backrest raised, whole surface: one-degree steps end at 15."""
    bends = RestAngles(
        1.1698, 0.4170, 0.0955, 0.1475, windswept=-0.0762, trunk_flexion=0.4625,
        trunk_side_bend=-0.3625,
    )  # fmt: skip
    room = room_of(Body(1.83956, 52.1351, Sex.MALE, rest_angles=bends), WHOLE, friction=0.62023)
    raised = Posture(backrest=radians_from_deg(30.0), knee_raise=radians_from_deg(15.0))
    level = raise_sections(room, raised, settle_level(room, raised))
    found = follow_turns(room, raised, level, np.radians([10.0, 20.0]))
    assert [stand.state[0] for stand in found] == [EquilibriumState.STABLE, EquilibriumState.TIPS]


def test_loads_do_not_hang_on_the_first_guess(monkeypatch):
    """2e-6 of the largest patch load: what is left out of balance is 1e-8 of the weight."""
    body = Body(1.68, 72.0, Sex.FEMALE)
    scenarios = corner_scenarios(Bed(), SPLIT, body)[:2]
    postures = (Posture(turn=0.3), Posture(backrest=0.2, turn=0.15))
    request = LoadRequest(body, Bed(), SPLIT, postures, scenarios)
    guessed = posture_loads(request).patch_load
    monkeypatch.setattr(path_step, "with_course", lambda stand, moved, step: moved)
    plain = posture_loads(request).patch_load
    assert np.nanmax(np.abs(guessed - plain)) < 2e-6 * np.nanmax(plain)
