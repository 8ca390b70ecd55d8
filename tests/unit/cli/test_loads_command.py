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
    pictures = ["body-map.svg", "load-against-turn.svg", "section.svg", "stability.svg"]
    assert names == sorted([*pictures, "pictures.html"])


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
    assert ") mmHg" not in (tmp_path / "pictures" / "body-map.svg").read_text()


def test_a_whole_surface_has_no_line_to_move(on_a_whole_surface):
    assert "with the line" not in run("loads", on_a_whole_surface, "--turn-deg", 10).said


def test_sites_are_chosen_by_their_names_and_a_plural_means_both():
    out = run("loads", ORDINARY, "--sites", "sacrum, Heels").out
    assert re.search(r"^sacrum +\d+", out, re.M)
    assert re.search(r"^left heel +\d+", out, re.M)
    assert re.search(r"^right heel +\d+", out, re.M)
    assert "scapula" not in out


def test_a_site_nobody_knows_is_refused_with_the_names_there_are():
    ran = run("loads", ORDINARY, "--sites", "sacrum, heel bone")
    assert ran.code == 2
    assert "'heel bone' is no site" in ran.complained
    assert "left trochanter" in ran.complained


def test_level_bears_what_it_is_measured_by():
    found = json.loads(run("loads", ORDINARY, "--json").out)
    ratios = {row["site"]: row["ratio"] for row in found["sites"]}
    assert ratios["sacrum"] == pytest.approx(1.0)


def test_pressures_come_with_their_cell_their_friction_and_files(tmp_path):
    ran = run("loads", ORDINARY, "--backrest-deg", 30, "--pressures", "--out", tmp_path / "p")
    assert ran.code == 0
    assert re.search(r"site +over 40 mm +over 10 mm +friction along", ran.out)
    ends = r"\d+ \(\d+ to \d+\)"
    assert re.search(rf"^left heel +{ends} +{ends} +\d+ to head", ran.out, re.M)
    assert re.search(r"skin is drawn most at the [a-z ]+: mean \d+ to the head", ran.said)
    grid = json.loads((tmp_path / "p" / "pressure-map.json").read_text())
    assert len(grid["pressure_mmhg"]) == len(grid["to_head_mm"])
    assert len(grid["pressure_mmhg"][0]) == len(grid["to_left_mm"])
    assert grid["cell_mm"] == pytest.approx(20.0)
    assert "person's left" in (tmp_path / "p" / "pressure-map.svg").read_text()


def test_pressures_of_a_posture_some_draw_does_not_bear_are_not_shown(on_a_whole_surface):
    ran = run("loads", on_a_whole_surface, "--turn-deg", -20, "--pressures", "--json")
    assert ran.code == 1
    found = json.loads(ran.out)["pressures"]
    assert not found["is_stable"]
    assert (found["sites"], found["highest"]) == ([], None)


def test_bands_over_draws_say_what_they_rest_on():
    ran = run("loads", ORDINARY, "--draws", 16, "--seed", 1, "--sites", "sacrum", "--json")
    found = json.loads(ran.out)
    assert found["drawn"] == {"draws": 16, "solved": 16, "error": 0.0, "stable": 16}
    for row in found["sites"]:
        if row["load_mmhg"] is not None:
            assert row["low_mmhg"] <= row["load_mmhg"] <= row["high_mmhg"], row["site"]
    assert "16 of 16 draws solved" in ran.complained


def test_a_thigh_at_the_edge_is_said_with_what_may_hold_it():
    said = run("loads", example("small-bent-hips")).said
    assert re.search(r"At the platform's edge lie the right thigh \(\d+ mm from it\)", said)
    assert "what the rail bears is not computed" in said
    found = json.loads(run("loads", example("small-bent-hips"), "--json").out)
    assert found["edge"] == "at the edge"
    assert found["edge_reasons"]


def test_a_trunk_beyond_the_edge_is_no_place_to_lie(changed: Changed):
    narrow = changed(("  rails: split", "  rails: split\n  platform: {platform_width_cm: 50}"))
    wide = json.loads(run("loads", ORDINARY, "--turn-deg", 30, "--json").out)
    found = json.loads(run("loads", narrow, "--turn-deg", 30, "--json").out)
    assert found["edge_distance_mm"] < wide["edge_distance_mm"] - 150.0
    assert found["edge"] in ("at the edge", "over the edge")


def test_with_the_backrest_up_hips_are_said_to_move_to_the_foot_end_beside_friction():
    said = run("loads", ORDINARY, "--backrest-deg", 30).said
    assert re.search(r"the hips have moved \d+ mm towards the foot end from where they lie", said)
    assert re.search(r"friction used: at most \d+ %", said)
    found = json.loads(run("loads", ORDINARY, "--backrest-deg", 30, "--json").out)
    ends = (found["hips_moved_low_mm"], found["hips_moved_mm"], found["hips_moved_high_mm"])
    assert ends[0] <= ends[1] <= ends[2] < -20.0
    assert json.loads(run("loads", ORDINARY, "--json").out)["hips_moved_mm"] is None


def test_pillows_and_tilt_of_the_bed_are_asked_for_by_name():
    asked = ("--head-up-deg", -5, "--knee-raise-deg", 10, "--supports", "pillow under calves")
    ran = run("loads", ORDINARY, *asked, "--sites", "heels")
    assert ran.code == 0
    words = "level, knee section 10°, head end down 5°, pillow under calves"
    assert words in ran.said
    assert re.search(r"left heel +0 ", ran.out)


def test_a_support_that_is_none_is_refused_with_the_names_there_are():
    ran = run("loads", ORDINARY, "--supports", "a cushion")
    assert ran.code == 2
    assert "bolster left" in ran.complained


def test_a_block_that_nobody_wrote_of_gives_no_loads():
    ran = run("loads", ORDINARY, "--supports", "leg block left")
    assert ran.code == 3
    assert "nobody wrote what holds it" in ran.complained


def test_the_section_says_what_was_set_and_what_the_body_does(tmp_path):
    assert run("loads", ORDINARY, "--turn-deg", 30, "--out", tmp_path).code == 0
    for name in ("section.svg", "pictures.html"):
        words = " ".join(re.sub("<[^>]+>", " ", (tmp_path / name).read_text()).split())
        assert re.search(
            r"You set 30°; this body rolls \d+°; with the line 5 cm further to the person's left "
            r"it would roll \d+°, to their right \d+°",
            words,
        )


def test_a_site_to_be_kept_unloaded_is_named_where_it_is_not(changed: Changed):
    wound = "protected_sites: [{site: sacrum, reason: wound}]"
    case = changed(("  rest_angles: {}", f"  rest_angles: {{}}\n  {wound}"))
    said = run("loads", case, "--turn-deg", 30).said
    assert re.search(r"x sacrum: to be kept unloaded \(wound\), and loaded here, q 0\.\d+", said)
    assert "at most 0.20 is allowed" in said
    assert "to be kept unloaded" not in run("loads", ORDINARY, "--turn-deg", 30).said
