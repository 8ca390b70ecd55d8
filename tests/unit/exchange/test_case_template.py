"""The file to begin with explains every part, and is a case once it is filled in."""

import re

import pytest

from leeward.exchange.case_schema import CaseFields
from leeward.exchange.new_file import write_new
from leeward.exchange.problems import FileRefused
from leeward.exchange.template import case_template
from leeward.terms.errors import InvalidInput
from tests.unit.exchange.case_texts import read_text

OPTIONAL = (
    "consent",
    "aim",
    "turn_limits",
    "protected_sites",
    "lines",
    "no_level_stays",
    "contraindications",
    "layers",
    "rails",
    "prescribed",
    "placement",
    "regimes",
    "events",
    "offloading",
    "least_backrest_deg",
    "rest_angles",
    "hip_breadth_cm",
)
BLANK = r"<[a-z][^>\n]*>"
FILLED = {
    "label on the sheets": "Test person",
    "female or male": "female",
    "age>": "75",
    "length, lying": "159.4",
    "weight>": "66.5",
    "true or false": "true",
    "foam, air": "foam",
    "one of split-low": "split-plain",
    "zone of the clock": "Europe/London",
    "when they sleep": "22:00",
    "when they wake": "06:00",
    "time, such as": "07:30",
    "one of at-high-risk": "two-hourly",
    "name and role>": "Test nurse",
    "date and time of the last look": "2026-11-24 21:30",
    "who looked": "Test nurse",
}


def filled(text: str, left: str = "") -> str:
    """The template with every blank filled in, but for those that begin as `left`."""

    def fill(blank: re.Match[str]) -> str:
        (start,) = [start for start in FILLED if blank[0].startswith(f"<{start}")]
        return blank[0] if start == left else FILLED[start]

    return re.sub(BLANK, fill, text)


def test_the_template_is_a_case_once_it_is_filled_in():
    case = read_text(filled(case_template())).case
    assert case.person.label == "Test person"
    assert case.equipment is not None
    assert case.regimes[0].assumed_by == "Test nurse"


def test_an_empty_template_says_of_every_blank_that_it_is_one():
    text = case_template()
    with pytest.raises(FileRefused) as refused:
        read_text(text)
    said = {problem.line for problem in refused.value.problems}
    blanks = {number for number, line in enumerate(text.splitlines(), 1) if ": <" in line}
    blanks |= {number for number, line in enumerate(text.splitlines(), 1) if "- <" in line}
    assert said == blanks
    assert all("not filled in yet" in problem.what for problem in refused.value.problems)


@pytest.mark.parametrize("blank", FILLED)
def test_one_blank_left_is_refused(blank: str):
    with pytest.raises(FileRefused, match="not filled in yet"):
        read_text(filled(case_template(), left=blank))


def test_switching_on_every_field_that_is_off_still_gives_a_case():
    """What the template shows as an example is read as it stands."""
    text = filled(case_template())
    for block in OPTIONAL:
        text = _switched_on(text, block)
    case = read_text(text).case
    assert case.person.contraindications
    assert case.offloading
    assert len(case.regimes) == 2


def _switched_on(text: str, block: str) -> str:
    lines, out, on = text.splitlines(), [], False
    for line in lines:
        bare = re.sub(r"^(\s*)# ", r"\1", line)
        if line.lstrip().startswith("#"):
            starts = bare.lstrip().startswith(f"{block}:")
            inside = on and re.match(r"^\s*#\s{3,}\S", line) and "findings:" not in line
            on = bool(starts or inside)
        else:
            on = False
        out.append(bare if on else line)
    assert "\n".join(out) != text.rstrip("\n"), block
    return "\n".join(out) + "\n"


def test_every_part_of_a_case_is_in_the_template():
    text = case_template()
    absent = [name for name in CaseFields.model_fields if f"{name}:" not in text]
    assert absent == ["invented", "hand_checks", "posture_limits"]


def test_a_new_file_is_never_written_over_another(tmp_path):
    file = tmp_path / "case.yaml"
    write_new(file, "first")
    with pytest.raises(InvalidInput, match="there already"):
        write_new(file, "second")
    assert file.read_text() == "first"


def test_a_folder_that_is_not_there_is_named(tmp_path):
    with pytest.raises(InvalidInput, match="there is no folder"):
        write_new(tmp_path / "nowhere" / "case.yaml", "text")
