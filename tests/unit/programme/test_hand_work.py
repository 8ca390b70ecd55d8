"""Manual work is said in people and in rounds, and unknown rounds cover nothing."""

from dataclasses import replace

from leeward.programme.hand_work import (
    is_on_round,
    tasks_outside_rounds,
    two_person_tasks,
    work_in_words,
    work_of_the_day,
)
from leeward.programme.programme import ManualTask
from leeward.terms.site import Site

HOUR = 3600.0
ROUNDS = (6.5 * HOUR, 23.75 * HOUR)
HEELS = ManualTask((Site.LEFT_HEEL,), "Float it.", ROUNDS, HOUR, 2.0)
TURN = ManualTask((), "Turn.", (0.0, 2.0 * HOUR, 6.5 * HOUR), 2.0 * HOUR, 10.0, people=2)


def test_a_task_within_half_an_hour_of_a_round_is_on_it_across_midnight_too():
    assert is_on_round(0.0, ROUNDS)
    assert is_on_round(6.0 * HOUR, ROUNDS)
    assert not is_on_round(5.9 * HOUR, ROUNDS)


def test_where_no_rounds_are_given_nothing_is_on_one():
    assert tasks_outside_rounds((TURN, HEELS), ()) == 5
    assert "no rounds are given" in work_in_words((TURN,), ())


def test_people_and_minutes_are_those_of_everything_done_at_that_time():
    at_half_past_six = work_of_the_day((TURN, HEELS), ROUNDS)[2]
    assert (at_half_past_six.tasks, at_half_past_six.people) == (2, 2)
    assert at_half_past_six.work_min == 12.0


def test_two_person_tasks_are_counted_each_time():
    assert two_person_tasks((TURN, HEELS)) == 3
    assert tasks_outside_rounds((TURN, HEELS), ROUNDS) == 1


def test_the_day_is_said_in_one_sentence():
    assert work_in_words((TURN, HEELS), ROUNDS) == (
        "34 min of work a day at 4 times, 1 of them when no round comes; "
        "3 tasks need two people or more."
    )


def test_work_at_no_known_time_is_never_said_to_be_none():
    untimed = replace(HEELS, times=())
    assert work_in_words((untimed,), ()).startswith("How much work a day is not known")
    some = work_in_words((TURN, untimed), ROUNDS)
    assert "1 of 2 tasks have no time yet and are not counted" in some
