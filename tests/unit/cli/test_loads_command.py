"""`leeward loads`: where the load lies at one posture, and whether the person stays there."""

import json
import re

import pytest

from tests.unit.cli.front_door import Changed, example, run

ORDINARY = example("ordinary")


@pytest.fixture
def on_a_whole_surface(changed: Changed):
    return changed(("{unit: split-plain}", "{unit: whole-basic}"))


@pytest.mark.parametrize(
    ("turn_deg", "words"),
    [
        (30, "turned to the left 30°, right side raised"),
        (-20, "turned to the right 20°, left side raised"),
        (0, "level"),
    ],
)
def test_a_turn_is_said_with_its_side_and_the_side_raised(turn_deg: int, words: str):
    ran = run("loads", ORDINARY, "--turn-deg", turn_deg)
    assert ran.code == 0
    assert f"Example person A: {words}" in ran.out


def test_surface_and_body_stand_side_by_side_with_a_band():
    said = run("loads", ORDINARY, "--turn-deg", 30).said
    found = re.search(r"surface turned 30°; in the room the pelvis rolls (\d+)° \((\d+) to", said)
    assert found
    assert int(found[2]) <= int(found[1]) <= 30


def test_loads_have_a_unit_and_a_band():
    out = run("loads", ORDINARY, "--turn-deg", 30).out
    assert re.search(r"site +load \[mmHg\] +band over draws \[mmHg\]", out)
    assert re.search(r"sacrum +\d+ +\d+ to \d+", out)
    assert re.search(r"left ear +unknown", out)


def test_a_central_load_lies_within_its_band():
    found = json.loads(run("loads", ORDINARY, "--turn-deg", 20, "--json").out)
    known = [row for row in found["sites"] if row["load_mmhg"] is not None]
    assert len(known) > 20
    for row in known:
        assert row["low_mmhg"] <= row["load_mmhg"] <= row["high_mmhg"], row["site"]


def test_a_steep_turn_of_a_whole_surface_is_no_place_to_lie(on_a_whole_surface):
    ran = run("loads", on_a_whole_surface, "--turn-deg", 30)
    assert ran.code == 1
    assert re.search(r"x state over all draws: (slides|tips)", ran.said)
    assert re.search(r"sacrum +unknown", ran.out)
    assert "pelvis rolls" not in ran.out


def test_a_turn_that_some_draw_does_not_bear_gives_no_band(on_a_whole_surface):
    ran = run("loads", on_a_whole_surface, "--turn-deg", -20)
    assert ran.code == 1
    assert "not stable in every draw: no band" in ran.said
    assert re.search(r"sacrum +\d+ +unknown in some draw", ran.out)


@pytest.mark.parametrize("given", ["nan", "inf", "91", "-91", "steep", "61"])
def test_a_turn_that_is_no_turn_is_refused_in_degrees(given: str):
    ran = run("loads", ORDINARY, "--turn-deg", given)
    assert ran.code == 2
    assert ran.out == ""
    assert "--turn-deg" in ran.complained
    assert "rad" not in ran.complained


def test_a_backrest_beyond_what_is_modelled_is_refused_in_degrees():
    ran = run("loads", ORDINARY, "--backrest-deg", "85")
    assert ran.code == 2
    assert "--backrest-deg" in ran.complained


def test_a_backrest_is_said():
    ran = run("loads", ORDINARY, "--backrest-deg", "30")
    assert "level, backrest 30°" in ran.out


def test_a_turn_says_what_the_line_elsewhere_would_do():
    said = run("loads", ORDINARY, "--turn-deg", 30).said
    for side in ("left", "right"):
        assert re.search(rf"50 mm further to the person's {side}: the pelvis would be turned", said)


def test_a_sweep_shows_both_sides_and_writes_its_pictures(tmp_path):
    ran = run("loads", ORDINARY, "--sweep", "--out", tmp_path / "pictures")
    assert ran.code == 0
    assert "turned to the right 30°, left side raised" in ran.out
    names = sorted(path.name for path in (tmp_path / "pictures").iterdir())
    assert names == ["body-map.svg", "load-against-turn.svg", "section.svg", "stability.svg"]


def test_a_body_rolled_against_the_turn_is_said_with_its_side():
    said = run("loads", example("small-bent-hips"), "--turn-deg", 4).said
    assert "turned to the left 4°, right side raised" in said
    assert re.search(r"the pelvis rolls \d+° \(\d+ to \d+°\) to the right", said)


def test_a_posture_that_some_draw_does_not_bear_is_not_drawn(on_a_whole_surface, tmp_path):
    ran = run("loads", on_a_whole_surface, "--turn-deg", -20, "--out", tmp_path / "pictures")
    assert ran.code == 1
    cut = (tmp_path / "pictures" / "section.svg").read_text()
    assert "not a place to lie" in cut
    assert "Body, in the room" not in cut
    assert "kPa (" not in (tmp_path / "pictures" / "body-map.svg").read_text()


def test_a_whole_surface_has_no_line_to_move(on_a_whole_surface):
    assert "with the line" not in run("loads", on_a_whole_surface, "--turn-deg", 10).said
