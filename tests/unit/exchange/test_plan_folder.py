"""The folder of a plan: every file whole, every choice with files of its own."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest, posture_loads
from leeward.contact.scenarios import corner_scenarios
from leeward.exchange.plan_file import read_plan
from leeward.exchange.plan_folder import NOBODY_YET, draft_identity, write_plan_folder
from leeward.programme.decision import ChoiceName, Decision
from leeward.records.canonical import digest
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Posture
from tests.unit.exchange import invented
from tests.unit.exchange.case_texts import ORDINARY, read_text
from tests.unit.exchange.pdf_reading import Print
from tests.unit.exchange.svg_reading import read_svg

DOCUMENT = read_text(ORDINARY)
CLOSEST = invented.choice(ChoiceName.CLOSEST)
ASKED: list[Posture] = []


def predict(posture: Posture) -> tuple[LoadRequest, LoadTable]:
    """Loads of the central draw only."""
    ASKED.append(posture)
    case = DOCUMENT.case
    assert case.equipment is not None
    geometry = case.equipment.geometry
    scenarios = corner_scenarios(case.bed, geometry, case.person.body, None)[:1]
    request = LoadRequest(case.person.body, case.bed, geometry, (posture,), scenarios)
    return request, posture_loads(request)


def decided(*choices) -> Decision:
    made = invented.decision(*choices)
    return replace(made, choices=choices, case_digest=digest(DOCUMENT.case))


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A plan of two choices of one name, in a folder two levels down that was not there."""
    path = tmp_path_factory.mktemp("plans") / "of" / "today"
    ASKED.clear()
    files = write_plan_folder(path, DOCUMENT, decided(CLOSEST, CLOSEST), predict)
    assert {file.path for file in files} == set(path.iterdir())
    return path


def test_choices_of_one_name_have_files_of_their_own(folder: Path):
    kinds = ("bedside-sheet.pdf", "plan.pdf", "day-ribbon.svg", "index.svg")
    for name in ("closest", "closest-2"):
        assert all((folder / f"{name}-{kind}").is_file() for kind in kinds)


def test_what_the_choices_hang_on_is_a_picture_and_a_table(folder: Path):
    drawn = read_svg((folder / "sensitivity.svg").read_text(encoding="utf-8"))
    assert "change places where load and relief both act half as fast" in drawn.said
    rows = (folder / "sensitivity.csv").read_text(encoding="utf-8").splitlines()
    assert rows[2].startswith("Load and relief both act half as fast,0.9100,sacrum,0.9900")


def test_every_sheet_is_a_draft_of_nobody(folder: Path):
    pages = Print((folder / "closest-bedside-sheet.pdf").read_bytes()).pages
    assert "NOT ACCEPTED" in pages[0]
    assert NOBODY_YET in pages[0]


def test_loads_are_drawn_at_the_largest_turn_of_the_first_choice(folder: Path):
    assert [invented.posture(25.0)] == ASKED
    picture = read_svg((folder / "body-map.svg").read_text(encoding="utf-8"))
    assert "Turned to the left 25°, right side raised" in picture.said


def test_every_picture_can_be_read(folder: Path):
    for path in folder.glob("*.svg"):
        assert read_svg(path.read_text(encoding="utf-8")).description


def test_the_plan_file_reads_back(folder: Path):
    assert read_plan(folder / "plan.json").decision == decided(CLOSEST, CLOSEST)


def test_a_plan_without_choices_is_its_plan_file_only(tmp_path: Path):
    files = write_plan_folder(tmp_path, DOCUMENT, decided(), predict)
    assert [file.path.name for file in files] == ["plan.json"]
    assert [path.name for path in tmp_path.iterdir()] == ["plan.json"]


def test_a_new_plan_leaves_no_draft_of_the_one_before(tmp_path: Path):
    for name in ("balanced-bedside-sheet.pdf", "closest-2-index.svg", "section.svg"):
        (tmp_path / name).write_bytes(b"of an earlier plan")
    mine = ("sheet.pdf", "balanced-notes.txt", "my-balanced-plan.pdf")
    for name in mine:
        (tmp_path / name).write_bytes(b"precious")
    write_plan_folder(tmp_path, DOCUMENT, decided(), predict)
    assert {path.name for path in tmp_path.iterdir()} == {"plan.json", *mine}


def test_a_decision_of_another_case_is_refused_and_nothing_written(tmp_path: Path):
    with pytest.raises(InvalidInput, match="a decision made from case"):
        write_plan_folder(tmp_path, DOCUMENT, invented.decision(CLOSEST), predict)
    assert list(tmp_path.iterdir()) == []


def test_a_draft_is_looked_at_again_within_a_week():
    identity = draft_identity("Invented person", date(2026, 2, 27))
    assert identity.review_on == date(2026, 3, 6)
    assert identity.accepted is None


def test_the_page_shows_every_picture_at_three_widths(folder: Path):
    page = (folder / "pictures.html").read_text(encoding="utf-8")
    for heading in ("The day, closest, number 2", "Relief against sleep", "Load, turned to the"):
        assert f"<h2>{heading}" in page
    assert page.count("Largest index against movements during sleep") == 2
    assert "Drafts: nobody has accepted anything." in page
