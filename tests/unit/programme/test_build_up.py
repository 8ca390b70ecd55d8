from itertools import pairwise

from leeward.programme.build_up import build_up
from leeward.terms.posture import Posture
from leeward.terms.regime import Stay
from leeward.terms.units import radians_from_deg
from tests.unit.programme import invented


def cycle(left_deg: float, right_deg: float) -> tuple[Stay, ...]:
    return (
        Stay(Posture(turn=radians_from_deg(left_deg)), 3600.0),
        Stay(Posture(turn=-radians_from_deg(right_deg)), 3600.0),
    )


def steps(left_deg, right_deg, **ability):
    return build_up((cycle(left_deg, right_deg),), invented.ability(**ability), lambda _: True)


def test_it_begins_small_and_ends_with_the_programme():
    found = steps(30.0, 30.0)
    assert [step.share_of_turn for step in found] == [0.5, 0.75, 1.0]
    assert "turned to the left 10°, right side raised" in found[0].look
    assert "turned to the left 30°, right side raised" in found[-1].look


def test_no_step_up_comes_before_72_hours():
    for earlier, later in pairwise(steps(30.0, 30.0)):
        assert later.from_hour - earlier.from_hour >= 72.0


def test_a_step_the_unit_cannot_be_set_to_is_left_out():
    assert [step.share_of_turn for step in steps(20.0, 20.0)] == [0.5, 1.0]


def test_the_smallest_turn_is_given_from_the_start():
    assert [step.share_of_turn for step in steps(10.0, 10.0)] == [1.0]


def test_every_step_says_when_to_look_and_what_sends_it_back():
    for step in steps(30.0, 20.0):
        for time in ("first full cycle (2.0 h)", "first night", "48 h", "72 h"):
            assert time in step.look
        assert "go back to the step before" in step.look


def test_until_the_full_turn_the_old_turning_goes_on():
    found = steps(30.0, 30.0)
    assert all("turning as done before goes on" in step.look for step in found[:-1])
    assert "turning as done before" not in found[-1].look
    assert "at 7 days" in found[-1].look


def test_a_smaller_turn_that_may_not_be_lain_at_is_no_step():
    def spares(least_deg):
        return lambda posture: abs(posture.turn) >= radians_from_deg(least_deg) - 1e-9

    whole = (cycle(30.0, 30.0),)
    found = build_up(whole, invented.ability(), spares(20.0))
    assert [step.share_of_turn for step in found] == [0.75, 1.0]
    (only,) = build_up(whole, invented.ability(), spares(30.0))
    assert only.share_of_turn == 1.0
    assert only.look.startswith("No smaller turns first, since they would load")
