"""Postures and parts of the day in words that cannot be read both ways."""

import pytest

from leeward.exchange.pictures.words import posture_text, window_groups, window_name
from leeward.programme.programme import Programme
from leeward.terms.posture import Posture
from leeward.terms.units import radians_from_deg
from tests.unit.exchange.invented import cycle, stay, window


@pytest.mark.parametrize(("angle", "said"), [(4.0, "head end up 4°"), (-4.0, "head end down 4°")])
def test_a_tilted_bed_says_which_end_is_up_without_a_sign(angle: float, said: str):
    assert posture_text(Posture(head_up=radians_from_deg(angle))) == f"level, {said}"


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("day from 06:00", "day"),
        ("night from 22:30", "night"),
        ("day and night", "day and night"),
        ("Sunday from 06:00", "Sunday from 06:00"),
        ("day from home", "day from home"),
    ],
)
def test_the_hour_in_the_name_of_a_part_of_the_day_is_said_once(name: str, said: str):
    assert window_name(window(name, 6.0, 12.0, cycle(20.0, 60.0))) == said


def test_parts_of_the_day_with_one_cycle_bear_each_name_once():
    turning = cycle(20.0, 60.0)
    programme = Programme(
        (
            window("day from 06:00", 6.0, 12.0, turning),
            window("lunch", 12.0, 13.0, (stay(0.0, 60.0),), "Invented dietitian"),
            window("day from 13:00", 13.0, 22.0, turning),
            window("night", 22.0, 6.0, turning),
        )
    )
    assert [group.title for group in window_groups(programme)] == [
        "day and night, 06:00 to 12:00, 13:00 to 22:00 and 22:00 to 06:00",
        "lunch, 12:00 to 13:00",
    ]
