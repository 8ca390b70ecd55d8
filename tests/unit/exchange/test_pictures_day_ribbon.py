"""The day ribbon says the side in words and never takes silence for a kept stay."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from leeward.exchange.pictures.day_ribbon import day_ribbon
from leeward.exchange.pictures.one_day import delivered_pieces, one_day, planned_pieces
from leeward.exchange.pictures.palette import TIDE
from leeward.programme.programme import Programme
from leeward.terms.clock import DaySpan
from leeward.terms.errors import InvalidInput
from leeward.terms.series import PostureSeries, Validity
from leeward.terms.units import SECONDS_PER_DAY
from tests.unit.exchange import invented
from tests.unit.exchange.invented import HOUR
from tests.unit.exchange.svg_reading import Picture, read_svg

UP, DOWN = "turned to the left", "turned to the right"


def drawn(programme: Programme | None = None, **given) -> Picture:
    asked = {"sleep": invented.SLEEP, "rounds": invented.ROUNDS, **given}
    return read_svg(day_ribbon(programme or invented.programme(), **asked))


@pytest.mark.parametrize("width", [380.0, 1200.0])
def test_both_sides_are_said_with_the_side_raised(width: float):
    said = drawn(width=width).said
    for words in (UP, "right side raised", DOWN, "left side raised", "person's own"):
        assert words in said


def test_the_description_says_the_whole_plan():
    said = drawn().description
    assert "turned to the left 25°, right side raised, for 1 h 30 min" in said
    assert "night, 22:00 to 07:00" in said
    assert "both heels" in said


def test_a_turn_to_the_left_goes_up_and_one_to_the_right_goes_down():
    picture = drawn(invented.plain_programme())
    base = {float(line.get("y1")) for line in picture.shapes("line", stroke_width="1.6")}
    tops = {float(bar.get("y")) for bar in picture.shapes("rect", fill=TIDE)}
    (middle,) = base
    assert tops == {middle, middle - 50.0}


def test_height_is_turn():
    picture = drawn()
    heights = {float(bar.get("height")) for bar in picture.shapes("rect", fill=TIDE)}
    assert heights == {round(50.0 * 25.0 / 30.0, 2), round(50.0 * 20.0 / 30.0, 2)}


def test_width_is_time():
    picture = drawn(invented.plain_programme(), width=1200.0)
    hour = (1200.0 - 150.0 - 20.0) / 24.0
    widths = [float(bar.get("width")) for bar in picture.shapes("rect", fill=TIDE)]
    assert widths[0] == pytest.approx(2.0 * hour, abs=0.01)
    # Four cycles of 5 h with 4 h turned in each, then 2 h left, 30 min level, 1 h 30 min right.
    assert sum(widths) == pytest.approx(19.5 * hour, abs=0.1)


def test_a_mirrored_plan_is_the_mirrored_picture():
    plan = invented.plain_programme()
    mirrored = Programme(
        tuple(
            replace(
                window,
                cycle=tuple(
                    replace(stay, posture=stay.posture.with_turn(-stay.posture.turn))
                    for stay in window.cycle
                ),
            )
            for window in plan.windows
        )
    )
    tops = [[bar.get("y") for bar in drawn(p).shapes("rect", fill=TIDE)] for p in (plan, mirrored)]
    other = {"31": "81", "81": "31"}
    assert [other[top] for top in tops[0]] == tops[1]


def test_windows_sleep_rounds_and_prescriptions_are_named():
    said = drawn(width=1200.0).said
    for words in ("morning", "lunch", "out in chair", "night", "sleep 22:00 to 07:00"):
        assert words in said
    assert "prescribed by dietitian (invented)" in said
    assert "backrest 60°" in said
    assert "carers' rounds" in said


def test_out_of_bed_is_not_drawn_as_level():
    picture = drawn()
    assert "out of bed" in picture.said
    assert len(picture.filled_with("dotting")) == 1


def test_silence_is_not_a_kept_stay():
    picture = drawn(delivered=invented.delivered())
    hatched = picture.filled_with("hatching")
    assert "unknown" in picture.words
    assert len(hatched) >= 2
    assert "unknown, 11 h 30 min of 24 h; counted neither as kept nor as missed" in " ".join(
        picture.words
    )


def test_a_log_that_says_nothing_is_unknown_all_day():
    silent = PostureSeries(
        np.array([0.0, SECONDS_PER_DAY]),
        (invented.posture(20.0),),
        (Validity.UNKNOWN,),
        "midnight",
    )
    picture = drawn(delivered=silent)
    assert "unknown, 24 h of 24 h" in picture.said


def test_time_the_log_does_not_cover_is_unknown():
    short = PostureSeries(
        np.array([0.0, HOUR]), (invented.posture(20.0),), (Validity.KNOWN,), "midnight"
    )
    pieces = delivered_pieces(short, 7.0 * HOUR)
    unknown = sum(p.end - p.start for p in pieces if p.validity is Validity.UNKNOWN)
    assert unknown == pytest.approx(23.0 * HOUR)


def test_a_log_is_placed_by_the_clock_of_its_origin():
    series = replace(invented.delivered(), origin="2026-03-03T06:00+01:00")
    first = min(
        (p for p in delivered_pieces(series, 0.0) if p.posture.turn > 0.4), key=lambda p: p.start
    )
    assert first.start == pytest.approx(13.0 * HOUR)


def test_a_log_longer_than_a_day_must_be_cut_first():
    edges = np.array([0.0, 30.0 * HOUR])
    long = PostureSeries(edges, (invented.posture(),), (Validity.KNOWN,), "midnight")
    with pytest.raises(InvalidInput, match=r"a log of 30\.0 h"):
        drawn(delivered=long)
    cut = one_day(long, 3.0 * HOUR)
    assert list(cut.edges) == [3.0 * HOUR, 27.0 * HOUR]
    assert len(delivered_pieces(cut, 0.0)) == 2


def test_a_day_outside_the_log_is_refused():
    with pytest.raises(InvalidInput, match="choose a day the log covers"):
        one_day(invented.delivered(), 90.0 * HOUR)


def test_an_origin_that_is_no_time_is_refused():
    with pytest.raises(InvalidInput, match="ISO 8601"):
        drawn(delivered=replace(invented.delivered(), origin="yesterday"))


def test_the_pieces_of_a_plan_cover_the_day_once():
    pieces = planned_pieces(invented.programme(), 5.5 * HOUR)
    assert math.fsum(p.end - p.start for p in pieces) == pytest.approx(SECONDS_PER_DAY)
    assert all(a.end == pytest.approx(b.start) for a, b in pairwise(pieces))


def test_the_night_is_whole_at_the_end_of_the_ribbon():
    picture = drawn(sleep=DaySpan(23.5 * HOUR, 6.5 * HOUR), width=1200.0)
    hours = [words for words in picture.words if words.endswith(":00") and len(words) == 5]
    assert hours[0] == hours[-1] == "06:00"


def test_a_phone_folds_the_day_into_three_lines():
    said = drawn(width=380.0).words
    assert [w for w in said if w in ("07:00", "15:00", "23:00")] == [
        "07:00", "15:00", "15:00", "23:00", "23:00", "07:00",
    ]  # fmt: skip


def test_a_task_without_an_owner_is_said():
    tasks = (invented.with_owner(invented.TASKS[0], " "),)
    assert "owner: NOBODY NAMED" in drawn(invented.programme(tasks)).description


def test_tasks_at_the_same_times_share_a_line():
    tasks = (invented.TASKS[0], invented.TASKS[0], invented.TASKS[0], invented.TASKS[1])
    picture = drawn(invented.programme(tasks), with_key=False)
    assert picture.words.count("by hand") == 2
    assert picture.words.count("1–3") == len(invented.ROUNDS)


def test_a_ribbon_too_narrow_to_read_is_refused():
    with pytest.raises(InvalidInput, match="at least 300 pixels"):
        drawn(width=200.0)
