"""The test before leaving, through the front door: typed, from a log, printed."""

from pathlib import Path

from leeward.exchange.proof_file import read_proof
from tests.unit.cli.front_door import example, run
from tests.unit.exchange.pdf_reading import Print

FITTING = Path(example("large")).parent.parent / "fitting"
READINGS = FITTING / "readings" / "large.yaml"


def test_the_command_judges_says_what_would_explain_it_and_prints_a_report(tmp_path: Path):
    report = tmp_path / "proof.pdf"
    ran = run("prove", example("large"), "--readings", READINGS, "--out", report)
    assert ran.code == 1
    assert "adjust and repeat" in ran.said
    assert "the smallest leak this test could have seen is 1.6°/h" in ran.said
    assert "the part that raises the left side leaks" in ran.said
    text = " ".join(" ".join(Print(report.read_bytes()).pages).split())
    assert "Outcome: adjust and repeat" in text
    assert "INVENTED CASE" in text
    assert "turned to the right 20°, left side raised: drops 5.0°/h" in text


def test_readings_that_are_wrong_are_refused_with_their_line(tmp_path: Path):
    text = READINGS.read_text(encoding="utf-8")
    wrong = tmp_path / "wrong.yaml"
    wrong.write_text(text.replace("turned_to: left, is_loaded: false, set_deg: 20", "turned_to: "
                                  "left, is_loaded: false"), encoding="utf-8")  # fmt: skip
    ran = run("prove", example("large"), "--readings", wrong)
    assert ran.code == 2
    assert "turned to left by 0°" in ran.complained
    assert "wrong.yaml line" in ran.complained


def test_a_log_needs_its_map_and_a_report_the_name_of_a_pdf(tmp_path: Path):
    log = tmp_path / "log.csv"
    log.write_text("", encoding="utf-8")
    assert run("prove", example("large"), "--readings", READINGS, "--log", log).code == 2
    ran = run("prove", example("large"), "--readings", READINGS, "--out", tmp_path / "proof.yaml")
    assert ran.code == 2
    assert "ends in .pdf" in ran.complained


def test_typed_angles_arrive_as_signed_turns():
    readings = read_proof(READINGS)
    left, right = (one for one in readings.angles if one.is_loaded and one.wanted)
    assert left.wanted > 0.0 > right.wanted
    assert right.found is not None
    assert right.found < 0.0
    assert [after for after, _ in right.later] == [900.0, 1800.0]
