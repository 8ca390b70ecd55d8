"""`leeward measured`: a map and hand checks beside the prediction, and what they correct."""

import json
import re
from pathlib import Path

import pytest

from leeward.exchange.case_file import read_case
from leeward.exchange.correction_file import made_for
from tests.unit.cli.front_door import ROOT, Changed, example, run

FRAMES = ROOT / "tests" / "data" / "pmatdata_frames"
ON_THE_BACK = FRAMES / "S05-p09.csv"
CURLED_UP = FRAMES / "S05-p13.csv"


@pytest.fixture
def volunteer(tmp_path: Path) -> Path:
    """A case of the frames' size: 1.72 m, 66 kg, a man."""
    text = example("half-known").read_text()
    text, stature = re.subn(r"stature_cm: [\d.]+", "stature_cm: 172", text)
    text, mass = re.subn(r"mass_kg: [\d.]+", "mass_kg: 66", text)
    assert stature == mass == 1
    path = tmp_path / "case.yaml"
    path.write_text(text)
    return path


def test_a_map_is_compared_region_by_region_and_drawn(volunteer: Path, tmp_path: Path):
    picture = tmp_path / "map.svg"
    ran = run("measured", volunteer, ON_THE_BACK, "--arms-out", "--picture", picture)
    assert ran.code in (0, 1)
    for region in ("head", "upper trunk", "pelvis", "calves and feet"):
        assert re.search(rf"^{region} +\d+ % +\d+ %", ran.out, re.M)
    drawn = picture.read_text()
    assert "person's left" in drawn
    assert "readings have no unit" in drawn


def test_a_map_of_somebody_curled_up_is_not_taken_for_lying_on_the_back(volunteer: Path):
    ran = run("measured", volunteer, CURLED_UP, "--arms-out", "--json")
    assert ran.code == 3
    found = json.loads(ran.out)["map"]
    assert found["agreement"] == "cannot tell"
    assert not found["is_correction_made"]


def test_a_map_that_does_not_declare_its_sides_is_refused(volunteer: Path, tmp_path: Path):
    frame = tmp_path / "frame.csv"
    text = ON_THE_BACK.read_text().replace("# persons_left_edge: first column\n", "")
    frame.write_text(text)
    ran = run("measured", volunteer, frame)
    assert ran.code == 2
    assert "persons_left_edge: not declared" in ran.complained


def test_a_picture_without_a_map_is_refused(volunteer: Path, tmp_path: Path):
    ran = run("measured", volunteer, "--picture", tmp_path / "map.svg")
    assert ran.code == 2
    assert "without a map" in ran.complained


@pytest.fixture
def corrected(volunteer: Path) -> Path:
    """A case that names a correction of its own body and mattress."""
    belongs = made_for(read_case(volunteer).case)
    (volunteer.parent / "map.yaml").write_text(
        "schema_version: 1\n"
        "signed_by: A. Name, therapist\n"
        "made_on: 2026-11-20\n"
        "map_file: frame.csv\n"
        f"map_digest: {'0' * 64}\n"
        f"made_for: {belongs}\n"
        "explained: 0.4\n"
        "mattress_hardness_times: 0.8\n"
        "pillow_hardness_times: 1.2\n"
        "buttock_depth_more_mm: 5\n"
        "chest_depth_more_mm: -4\n"
    )
    volunteer.write_text(volunteer.read_text() + "corrected_by: {file: map.yaml}\n")
    return volunteer


def test_a_correction_changes_loads_and_is_said_with_who_signed_it(corrected: Path, tmp_path: Path):
    plain = tmp_path / "plain.yaml"
    plain.write_text(corrected.read_text().replace("corrected_by: {file: map.yaml}\n", ""))
    before, after = (json.loads(run("loads", one, "--json").out) for one in (plain, corrected))
    assert before["corrected_by"] is None
    assert "signed by A. Name, therapist, 2026-11-20" in after["corrected_by"]
    loads = [{row["site"]: row["load_mmhg"] for row in one["sites"]} for one in (before, after)]
    assert abs(loads[0]["sacrum"] - loads[1]["sacrum"]) > 0.1


def test_loads_leave_out_a_correction_that_has_lapsed_and_say_so(corrected: Path, tmp_path: Path):
    written = corrected.read_text()
    assert "\nevents:" not in written
    plain = tmp_path / "plain.yaml"
    plain.write_text(written.replace("corrected_by: {file: map.yaml}\n", ""))
    corrected.write_text(written + "events:\n  - {kind: new mattress, when: 2026-11-22}\n")
    lapsed, without = (json.loads(run("loads", one, "--json").out) for one in (corrected, plain))
    assert lapsed == without
    assert "frame.csv of 2026-11-20 was left out" in " ".join(run("loads", corrected).out.split())


SHEET = example("half-known").parent.parent / "fitting" / "half-known.yaml"
AT_THE_BED = pytest.mark.parametrize("verb", [("measured",), ("fit", "--sheet", SHEET)])


@AT_THE_BED
def test_what_is_done_at_the_bed_says_which_correction_was_used(corrected: Path, verb: tuple):
    (told,) = json.loads(run(*verb, corrected, "--json").out)["corrected"]
    assert "signed by A. Name, therapist, 2026-11-20" in told["sentence"]


@AT_THE_BED
def test_what_is_done_at_the_bed_says_which_correction_has_lapsed(corrected: Path, verb: tuple):
    events = "events:\n  - {kind: new mattress, when: 2026-11-22}\n"
    corrected.write_text(corrected.read_text() + events)
    assert "frame.csv of 2026-11-20 was left out" in " ".join(run(*verb, corrected).out.split())


def test_a_correction_of_another_body_is_refused(corrected: Path):
    corrected.write_text(corrected.read_text().replace("mass_kg: 66", "mass_kg: 90"))
    ran = run("loads", corrected)
    assert ran.code == 2
    assert "made for another body, mattress or layers" in ran.complained


def test_a_corrected_model_is_not_corrected_again(corrected: Path, tmp_path: Path):
    file = tmp_path / "second.yaml"
    ran = run(
        "measured", corrected, ON_THE_BACK, "--correction", file, "--signed-by", "A. Name, nurse"
    )
    assert ran.code == 2
    assert not file.exists()


def test_a_hand_check_is_held_against_the_model(changed: Changed):
    case = changed(
        (
            "skin_checks:",
            "hand_checks:\n  - {when: 2026-11-24 10:00, by: Example nurse B, site: sacrum,\n"
            "     turned_to: left, turn_deg: 20, passage: passes}\nskin_checks:",
        ),
        of="half-known",
    )
    ran = run("measured", case)
    assert re.search(r"a hand passes under the sacrum, turned to the left 20°", ran.said)
    assert "the model says q" in ran.said
