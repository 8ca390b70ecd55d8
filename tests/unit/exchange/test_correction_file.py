"""A correction as a file: signed, dated, of one body on one mattress, never over another file."""

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import numpy as np
import pytest

from leeward.contact.correction import Correction
from leeward.contact.measured_map import Agreement, MapComparison, Overlay
from leeward.exchange.case_file import case_from_document, read_case
from leeward.exchange.correction_file import made_for, write_correction
from leeward.exchange.document import Document
from leeward.exchange.problems import FileRefused
from leeward.terms.case import Case
from leeward.terms.errors import InvalidInput
from leeward.terms.regime import Event, EventKind
from leeward.terms.verdict import Quantity
from leeward.tissue.demand import present_request
from leeward.tissue.standing_correction import correction_reasons, with_standing_correction

EXAMPLE = Path(__file__).parents[3] / "examples" / "cases" / "half-known.yaml"
SIGNED = ("A. Name, therapist", date(2026, 11, 20), "")


@pytest.fixture(scope="module")
def case() -> Case:
    return read_case(EXAMPLE).case


def found(case: Case, is_made: bool = True) -> Correction:
    """What an invented map changed."""
    nothing = np.zeros(6)
    compared = MapComparison(
        Agreement.DIFFERS, (), Overlay(0.8, nothing, nothing), nothing, nothing, nothing, nothing
    )
    changes = (
        Quantity("mattress hardness", 0.85, "-"),
        Quantity("pillow hardness", 1.1, "-"),
        Quantity("buttock depth", 0.004, "m"),
        Quantity("chest depth", -0.006, "m"),
    )
    return Correction(present_request(case, (), ()), is_made, 0.4, changes, (), (), compared, None)


@pytest.fixture
def written(case: Case, tmp_path: Path) -> Path:
    """A case beside the correction it names."""
    frame = tmp_path / "frame.csv"
    frame.write_text("1,2\n")
    write_correction(tmp_path / "map.yaml", case, found(case), frame, SIGNED)
    file = tmp_path / "case.yaml"
    file.write_text(EXAMPLE.read_text() + "corrected_by: {file: map.yaml}\n")
    return file


def test_what_is_written_is_read_back_by_the_case_that_names_it(written: Path):
    correction = read_case(written).case.correction
    assert correction is not None
    assert (correction.by, correction.made_on) == SIGNED[:2]
    assert correction.map_name == "frame.csv"
    assert correction.mattress_hardness == pytest.approx(0.85)
    assert correction.buttock_depth_change == pytest.approx(0.004)
    assert correction.chest_depth_change == pytest.approx(-0.006)


def test_a_case_written_out_needs_no_other_file(written: Path):
    document = read_case(written)
    again = case_from_document(Document(document.resolved, {}), source="plan")
    assert again.case.correction == document.case.correction


def test_for_another_mattress_it_is_refused(written: Path):
    text = written.read_text().replace(
        "mattress: {kind: foam}", "mattress: {kind: foam, cv40_kpa: 5}"
    )
    assert "cv40_kpa" in text
    written.write_text(text)
    with pytest.raises(FileRefused) as refused:
        read_case(written)
    assert "made for another body, mattress or layers" in refused.value.problems[0].sentence


def test_nobody_signing_and_nothing_corrected_are_refused(case: Case, tmp_path: Path):
    frame = tmp_path / "frame.csv"
    frame.write_text("1,2\n")
    file = tmp_path / "map.yaml"
    with pytest.raises(InvalidInput, match="nobody signs"):
        write_correction(file, case, found(case), frame, ("  ", date(2026, 11, 20), ""))
    with pytest.raises(InvalidInput, match="corrects nothing"):
        write_correction(file, case, found(case, is_made=False), frame, SIGNED)
    assert not file.exists()


def test_a_file_that_is_there_is_kept(written: Path, case: Case):
    with pytest.raises(InvalidInput, match="there already"):
        write_correction(
            written.with_name("map.yaml"), case, found(case), written.with_name("frame.csv"), SIGNED
        )


def test_it_lapses_with_a_new_mattress_and_says_so(written: Path):
    case = read_case(written).case
    now = datetime(2026, 11, 25, tzinfo=UTC)
    assert with_standing_correction(case, now) is case
    (used,) = correction_reasons(case, now)
    assert "signed by A. Name, therapist, 2026-11-20" in used.sentence
    changed = replace(case, events=(Event(EventKind.NEW_MATTRESS, date(2026, 11, 22)),))
    assert with_standing_correction(changed, now).correction is None
    (left_out,) = correction_reasons(changed, now)
    assert left_out.code == "map-correction-left-out"


def test_a_correction_dated_later_is_no_evidence(written: Path):
    case = read_case(written).case
    assert with_standing_correction(case, datetime(2026, 11, 19, tzinfo=UTC)).correction is None


def test_the_digest_changes_with_body_and_mattress_only(case: Case):
    assert made_for(case) == made_for(replace(case, events=(), invented="x"))
    heavier = replace(case.person.body, mass=91.0)
    assert made_for(case) != made_for(replace(case, person=replace(case.person, body=heavier)))
