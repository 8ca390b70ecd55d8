"""Fit sheets and bed sheets: read whole, refused where they are wrong, kept with the case."""

import json
from pathlib import Path

import jsonschema
import pytest

from leeward.exchange.bundled import bundled_names, bundled_text
from leeward.exchange.case_file import case_from_document, read_case
from leeward.exchange.document import parse_document
from leeward.exchange.fit_file import bundled_bed, read_bed_sheet, read_fit_sheet
from leeward.exchange.json_schema import json_schema
from leeward.exchange.problems import FileRefused
from leeward.records.canonical import digest
from leeward.terms.bed import RailKind
from leeward.terms.bed_sheet import Carrier

EXAMPLES = Path(__file__).parent.parent.parent.parent / "examples"
SHEETS = sorted((EXAMPLES / "fitting").glob("*.yaml"))
BEDS = bundled_names("beds")


def with_sheet(tmp_path: Path, sheet: str, name: str = "fit.yaml") -> Path:
    """A case beside a fit sheet that it names."""
    case = (EXAMPLES / "cases" / "large.yaml").read_text(encoding="utf-8")
    (tmp_path / "fit.yaml").write_text(sheet, encoding="utf-8")
    (tmp_path / "case.yaml").write_text(f"{case}\nfitting: {{file: {name}}}\n", encoding="utf-8")
    return tmp_path / "case.yaml"


@pytest.mark.parametrize("name", BEDS)
def test_every_bed_says_that_it_is_invented_and_obeys_the_published_form(name: str):
    assert bundled_bed(name).name.endswith("(invented)")
    assert "no such bed exists" in bundled_text("beds", name)
    plain = parse_document(bundled_text("beds", name), name).plain
    jsonschema.validate(plain, json.loads(json_schema("bed-sheet")))


def test_the_beds_differ_in_rails_and_in_what_moves():
    beds = [bundled_bed(name) for name in BEDS]
    assert len(beds) == 3
    assert {bed.rails for bed in beds} == {RailKind.FULL, RailKind.SPLIT}
    assert {bed.rails_tilt for bed in beds} == {True, False}
    assert len({(bed.back_travel, bed.knee_with_backrest, bed.calf) for bed in beds}) == 3


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_every_example_obeys_the_published_form(path: Path):
    plain = parse_document(path.read_text(encoding="utf-8"), path.name).plain
    jsonschema.validate(plain, json.loads(json_schema("fit-sheet")))
    assert read_fit_sheet(path).measured_by


def test_lengths_arrive_in_metres_and_sides_as_the_persons_own():
    sheet = read_fit_sheet(EXAMPLES / "fitting" / "large.yaml")
    assert sheet.mattress_width == pytest.approx(1.18)
    strap = next(run for run in sheet.runs if run.name == "shoulder strap right")
    assert strap.length == pytest.approx(0.34)
    assert strap.points[0].across == pytest.approx(-0.38)
    assert strap.points[0].carrier is Carrier.BACK


def test_a_case_keeps_the_sheet_it_names_and_reads_the_same_without_the_file(tmp_path: Path):
    sheet = (EXAMPLES / "fitting" / "large.yaml").read_text(encoding="utf-8")
    document = read_case(with_sheet(tmp_path, sheet))
    assert document.case.fit_sheet is not None
    resolved = parse_document(json.dumps(document.resolved), "stored")
    again = case_from_document(resolved, source="stored")
    assert digest(again.case) == digest(document.case)


def test_a_sheet_of_another_folder_is_not_read(tmp_path: Path):
    with pytest.raises(FileRefused, match="plain name of a file"):
        read_case(with_sheet(tmp_path, "", name="../fit.yaml"))


@pytest.mark.parametrize(
    ("sheet", "said"),
    [
        ("schema_version: 1\nmeasured_by: T\nbed_sheet: {use: no-such-bed}\n", "no-such-bed"),
        ("schema_version: 1\nmeasured_by: T\nbed_sheet: {}\n", "exactly one of the two"),
        ("schema_version: 1\nbed_sheet: {use: frame-rails}\n", "measured_by"),
        (
            "schema_version: 1\nmeasured_by: T\nbed_sheet: {use: frame-rails}\nmatress_width_cm: 9",
            "matress_width_cm",
        ),
    ],
)
def test_a_sheet_that_is_wrong_is_named_by_its_own_file(tmp_path: Path, sheet: str, said: str):
    with pytest.raises(FileRefused, match=r"^fit\.yaml") as refused:
        read_case(with_sheet(tmp_path, sheet))
    assert said in str(refused.value)


def test_a_rail_that_ends_before_it_begins_is_refused(tmp_path: Path):
    path = tmp_path / "bed.yaml"
    bed = bundled_text("beds", "frame-rails")
    path.write_text(bed.replace("foot_end_cm: 32", "foot_end_cm: 199"), encoding="utf-8")
    with pytest.raises(FileRefused, match="foot_end_cm and head_end_cm"):
        read_bed_sheet(path)
    path.write_text(bed, encoding="utf-8")
    assert read_bed_sheet(path) == bundled_bed("frame-rails")
