"""Small steps near an end: none is tried twice, and a hopeless one is given up soon."""

import numpy as np
import pytest

from leeward.contact import path_step
from leeward.contact.compiled_settle import settle_each
from leeward.contact.continuation import follow_turns, settle_level
from leeward.contact.equilibrium import settle_together
from leeward.contact.lain_out import lay_out
from leeward.contact.newton import MOST_REFUSED, MOST_STEPS
from leeward.contact.path_step import NEAR
from leeward.contact.setting import lay_down, make_room, with_anchors
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Posture
from leeward.terms.units import radians_from_deg
from tests.unit.contact.bodies import BENT, WHOLE, request
from tests.unit.contact.test_compiled import from_here

LEVEL = Posture()


def room_and_level():
    """A contracted body on a whole surface, level."""
    asked = request(BENT, WHOLE, (LEVEL,), 1)
    room = make_room(BENT, asked.bed, WHOLE, asked.scenarios)
    return room, settle_level(room, LEVEL)


def far_too_steep():
    """The body where it lies level, on a surface turned by 45 degrees."""
    room, level = room_and_level()
    turn = np.full(1, radians_from_deg(45.0))
    return with_anchors(lay_down(room, LEVEL, turn, level.which), level.anchors), level.pose


def test_no_step_towards_an_end_is_tried_twice(monkeypatch: pytest.MonkeyPatch):
    tried = []
    settle_at = path_step.settle_at

    def noted(room, posture, stand, turn, guess=None):
        tried.append((float(stand.turn[0]), float(turn[0])))
        return settle_at(room, posture, stand, turn, guess)

    monkeypatch.setattr(path_step, "settle_at", noted)
    room, level = room_and_level()
    end = follow_turns(room, LEVEL, level, np.array([radians_from_deg(-30.0)]))[0]
    assert end.state[0] != EquilibriumState.STABLE
    assert len(tried) > 8
    assert len(set(tried)) == len(tried)


def test_a_hopeless_step_is_given_up_soon():
    lying, pose = far_too_steep()
    patient = settle_together(lying, pose, NEAR)
    hasty = settle_together(lying, pose, NEAR, MOST_REFUSED)
    assert not patient.is_solved[0]
    assert not hasty.is_solved[0]
    assert MOST_REFUSED < hasty.steps[0] < patient.steps[0] <= MOST_STEPS


def test_loops_give_up_at_the_same_step():
    lying, pose = far_too_steep()
    reached = from_here(pose)
    settle_each(lay_out(lying), NEAR, reached, MOST_REFUSED)
    assert reached.steps.tolist() == settle_together(lying, pose, NEAR, MOST_REFUSED).steps.tolist()
    assert not reached.is_solved.any()


@pytest.mark.parametrize(("left", "shorter"), [(1.0, 0.5), (0.5, 0.25), (0.375, 0.25), (0.3, 0.25)])
def test_a_step_that_failed_is_halved_to_less_than_is_left(left: float, shorter: float):
    assert path_step._half_of(np.array([left]))[0] == shorter
