"""The published forms are those the program reads, and the examples obey them."""

import json
import re
from pathlib import Path

import jsonschema
import pytest

from leeward.exchange.case_file import case_from_document
from leeward.exchange.document import parse_document
from leeward.exchange.json_schema import FORMS, json_schema
from leeward.terms.case import Case
from scripts.write_file_reference import PACKAGED, PUBLISHED, page

ROOT = Path(__file__).parent.parent.parent
WRITTEN = [
    *(("case", path) for path in sorted((ROOT / "examples" / "cases").glob("*.yaml"))),
    *(("column-map", path) for path in sorted((ROOT / "examples" / "maps").glob("*.yaml"))),
    *(
        ("equipment", path)
        for path in sorted((ROOT / "src/leeward/exchange/data/equipment").glob("*.yaml"))
    ),
]


@pytest.mark.parametrize("name", FORMS)
def test_the_published_schema_is_current(name: str):
    for folder in (PUBLISHED, PACKAGED):
        published = (folder / f"{name}.schema.json").read_text(encoding="utf-8")
        assert published == json_schema(name), "run make format"


def test_the_page_of_files_is_current():
    assert (PUBLISHED / "case-file.md").read_text(encoding="utf-8") == page(), "run make format"


@pytest.mark.parametrize("name", FORMS)
def test_every_field_is_explained(name: str):
    schema = json.loads(json_schema(name))
    groups = {"": schema, **schema.get("$defs", {})}
    silent = [
        f"{group}.{field}"
        for group, part in groups.items()
        for field, about in part["properties"].items()
        if len(about.get("description", "")) < 4 and "$ref" not in about
    ]
    assert silent == []


@pytest.mark.parametrize(("form", "path"), WRITTEN, ids=lambda value: getattr(value, "stem", value))
def test_what_is_written_obeys_the_schema(form: str, path: Path):
    plain = parse_document(path.read_text(encoding="utf-8"), path.name).plain
    jsonschema.Draft202012Validator(json.loads(json_schema(form))).validate(plain)


def test_the_schema_refuses_what_the_program_refuses():
    plain = parse_document(WRITTEN[0][1].read_text(encoding="utf-8"), "case.yaml").plain
    validator = jsonschema.Draft202012Validator(json.loads(json_schema("case")))
    plain["person"]["mass_kg"] = -1
    plain["person"]["wieght"] = 3
    assert len(list(validator.iter_errors(plain))) == 2


def _how_to() -> list[str]:
    text = (ROOT / "docs" / "how-to" / "write-a-case.md").read_text(encoding="utf-8")
    return re.findall(r"^```yaml\n(.*?)^```", text, re.M | re.S)


_HEAD = "schema_version: 1\nperson: {label: T, sex: male, stature_cm: 170, mass_kg: 70}\n"


def _read(text: str) -> Case:
    return _read_whole(_HEAD + "day: {sleep: {start: 22:00, end: 06:00}}\n" + text)


def _read_whole(text: str) -> Case:
    return case_from_document(parse_document(text, "how-to.yaml"), source="how-to.yaml").case


def _indented(text: str, blanks: int) -> str:
    return "".join(f"{' ' * blanks}{line}\n" for line in text.splitlines())


def test_the_examples_of_the_how_to_are_read():
    cycle, checks, *mattresses, supports, unit = _how_to()
    regime = "regimes:\n  - name: T\n    standing: clear\n    means: by hand\n"
    case = _read(regime + _indented(cycle, 4) + checks)
    assert len(case.regimes[0].cycle) == 3
    assert case.skin_checks
    assert unit.startswith("equipment: {file:")
    layered, air = (_read("bed:\n" + _indented(text, 2)).bed.mattress for text in mattresses)
    assert len(layered.foams) == 2
    assert len(air.curve) == 3
    held = _read_whole(_HEAD + supports)
    assert {block.support for block in held.bed.blocks} == held.day.supports(True)
