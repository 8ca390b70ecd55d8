"""What no case may be is refused in one sentence with a line, and nothing else happens."""

import os
from pathlib import Path

import pytest

from leeward.exchange import document
from leeward.exchange.bundled import bundled_text
from leeward.exchange.case_file import read_case
from leeward.exchange.problems import FileRefused
from leeward.terms.errors import LeewardError, SchemaTooNew
from tests.unit.exchange.case_texts import ORDINARY, SMALLEST, changed, read_text

BOMB = "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{new}: &{new} [{', '.join(f'*{old}' for _ in range(9))}]\n"
    for old, new in zip("abcdefgh", "bcdefghi", strict=True)
)

FILES = {
    "empty": (b"", "empty"),
    "only spaces": (b" \n \n", "empty"),
    "binary": (b"\x7fELF\0\0\1", "binary data"),
    "not UTF-8": ("schema_version: 1\nlabel: Müller".encode("latin-1"), "line 2: byte 27 is not"),
    "larger than any case": (b"#" * (document.LARGEST_FILE + 1), "larger than 256 kB"),
    "a list": (b"- 1\n- 2\n", "a list instead of fields"),
    "only a comment": (b"# nothing\n", "nothing instead of fields"),
    "an alias bomb": (BOMB.encode(), "more than 20 references"),
    "deep nesting": (b"a: " + b"[" * 5000, "nested too deep"),
    "deep mapping": (b"a: " + b"{a: " * 500, "nested too deep"),
    "a billion rows": (b"rounds: [" + b"1," * 60_000 + b"1]", "too many values"),
    "a tag": (b"person: !!python/object:os.system {}\n", "a tag"),
    "two documents": (b"a: 1\n---\nb: 2\n", "a second document"),
    "an older YAML": (b"%YAML 1.1\n---\na: 1\n", "another version of YAML"),
    "a reference to itself": (b"a: &a [*a]\n", "not complete above"),
    "a broken quote": (b'label: "x\n', "not readable as YAML"),
    "a tab as indent": (b"person:\n\tlabel: x\n", "not readable as YAML"),
    "a key that is a list": (b"? [1]\n: 2\n", "whose name is not text"),
}


@pytest.mark.parametrize("name", FILES)
def test_a_file_that_is_no_case_is_refused_in_one_sentence(tmp_path: Path, name: str):
    content, said = FILES[name]
    file = tmp_path / "case.yaml"
    file.write_bytes(content)
    with pytest.raises(FileRefused) as refused:
        read_case(file)
    assert said in str(refused.value)
    assert "\n" not in str(refused.value)
    assert str(refused.value).startswith("case.yaml")


def test_a_file_that_is_not_there_is_named(tmp_path: Path):
    with pytest.raises(FileRefused, match=r"nobody\.yaml: no such file"):
        read_case(tmp_path / "nobody.yaml")


def test_a_folder_is_no_case(tmp_path: Path):
    with pytest.raises(FileRefused, match="a folder, not a file"):
        read_case(tmp_path)


FIELDS = {
    "negative mass": ("mass_kg: 66.5", "mass_kg: -66.5", "line 11, person.mass_kg: -66.5 is out"),
    "not a number": ("66.5", ".nan", "'.nan' where another kind"),
    "infinite": ("66.5", "-.inf", "'-.inf' where another kind"),
    "too large for a number": ("66.5", "1e999", "'1e999' where another kind"),
    "a number of 5000 digits": ("66.5", "9" * 5000, "where another kind of value belongs"),
    "a huge number": ("66.5", "1e300", "1e+300 is out of range; expected at most 650 in kg"),
    "a number as text": ("66.5", '"66.5"', "expected a number in kg"),
    "a number with its unit": ("66.5", "66.5 kg", "'66.5 kg' where another kind"),
    "truth as a number": ("66.5", "true", "true where another kind of value belongs"),
    "octal": ("66.5", "0o102", "'0o102' where another kind"),
    "an unknown field": ("has_dark_skin", "has_dark_skn", "perhaps `has_dark_skin`"),
    "an unknown word": ("standing: clear", "standing: clera", "perhaps `clear`"),
    "a field twice": ("aim: prevention", "aim: healing\n  aim: healing", "given twice, first on"),
    "an angle with a sign": ("turn_deg: 30", "turn_deg: -30", "write the side in turned_to"),
    "a side without angle": ("turn_deg: 30, stay", "stay", "turned to the left without an angle"),
    "level with an angle": ("level, stay", "level, turn_deg: 5, stay", "level, yet turned 5"),
    "an hour too many": ("start: 22:00", "start: 24:00", "'24:00' is not a time of day"),
    "a date that is none": ("when: 2026-11-20", "when: 2026-02-30", "expected a date such as"),
    "dates the wrong way round": ("last: 2026-11-24\n", "last: 2026-01-01\n", "before it begins"),
    "an unknown zone": ("Europe/London", "Europe/Nowhere", "no time zone named"),
    "a zone that is a path": ("Europe/London", "../../etc/passwd", "no time zone named"),
    "this machine's own zone": ("Europe/London", "localtime", "no time zone named"),
    "a stay of no time": ("stay_min: 120", "stay_min: 1e-9", "expected at least 1 in minutes"),
    "signs without width": ("label: Example person A", 'label: "\\u200b"', "an empty text"),
    "letters that draw nothing": ("Example person A", "\u3164\u2800", "says nothing"),
    "only dashes": ("label: Example person A", 'label: "--"', "'--' says nothing"),
    "an unknown unit": ("split-plain", "split-plane", "perhaps `split-plain`"),
    "a unit from elsewhere": ("unit: split-plain", "file: ../unit.yaml", "not the plain name"),
    "a unit from the root": ("unit: split-plain", "file: /etc/unit.yaml", "not the plain name"),
    "a unit from another drive": ("unit: split-plain", "file: 'C:\\unit.yaml'", "not the plain"),
    "a hidden unit": ("unit: split-plain", "file: .unit.yaml", "not the plain name"),
    "two units": ("{unit: split-plain}", "{unit: split-plain, file: a.yaml}", "2 of `unit`"),
    "an unprintable sign": ("Example person A", '"Example \\x07"', "unprintable sign, U+0007"),
    "half of a character": ("Example person A", '"\\uD800"', "half of a character"),
    "an empty label": ("label: Example person A", 'label: "  "', "an empty text"),
    "a list for a group": ("rest_angles: {}", "rest_angles: []", "expected a group of fields"),
    "a bend without its side": ("{}", "{windswept_deg: 10}", "expected an angle above 0 together"),
    "overlapping windows": (
        "prescribed:\n",
        "prescribed:\n    - {name: nap, start: 12:30, end: 14:00, may_turn: true,"
        " prescribed_by: Test}\n",
        "'nap' and 'lunch' overlap by 30 min",
    ),
}


@pytest.mark.parametrize("name", FIELDS)
def test_a_value_that_cannot_be_is_refused_with_its_line(name: str):
    old, new, said = FIELDS[name]
    with pytest.raises(FileRefused) as refused:
        read_text(changed(old, new))
    first = refused.value.problems[0]
    assert said in first.sentence
    assert first.line is not None
    assert first.expected
    assert first.remedy


def test_text_that_could_exchange_left_and_right_is_refused():
    hidden = changed("To sleep through", '"\\u202Eleft"\n  #')
    with pytest.raises(FileRefused, match="turns the direction of text"):
        read_text(hidden)


def test_a_newer_form_is_named_as_such():
    with pytest.raises(SchemaTooNew, match="written for a newer leeward"):
        read_text(SMALLEST.replace("schema_version: 1", "schema_version: 2"))


@pytest.mark.parametrize("version", ["0", "true", "1.0", '"1"', "[1]"])
def test_no_other_form_is_taken_for_this_one(version: str):
    with pytest.raises(FileRefused, match="is no version"):
        read_text(SMALLEST.replace("schema_version: 1", f"schema_version: {version}"))


def test_a_form_without_version_is_refused():
    with pytest.raises(FileRefused, match="schema_version: not given"):
        read_text(SMALLEST.replace("schema_version: 1\n", ""))


def test_all_that_is_wrong_is_said_at_once_in_the_order_of_the_file():
    text = changed("stature_cm: 159.4", "statur_cm: 159.4").replace("start: 22:00", "start: 9")
    with pytest.raises(FileRefused) as refused:
        read_text(text)
    fields = [problem.field for problem in refused.value.problems]
    assert fields == ["person.statur_cm", "day.sleep.start", "person.stature_cm"]
    assert str(refused.value) == refused.value.problems[0].sentence


def test_a_link_out_of_the_folder_is_not_followed(tmp_path: Path):
    outside = tmp_path / "outside.yaml"
    outside.write_text("name: secret")
    folder = tmp_path / "cases"
    folder.mkdir()
    (folder / "unit.yaml").symlink_to(outside)
    (folder / "case.yaml").write_text(changed("unit: split-plain", "file: unit.yaml"))
    with pytest.raises(FileRefused, match="leads out of the case's own folder") as refused:
        read_case(folder / "case.yaml")
    assert "secret" not in str(refused.value)


@pytest.mark.parametrize(
    ("written", "said"),
    [
        (("turn_step_deg: 4", "turn_step_deg: 1e-300"), "expected at least 0.5 in degrees"),
        (("stay_step_min: 20", "stay_step_min: 1e-9"), "expected at least 1 in minutes"),
        (("stay_step_min: 20", "stay_step_min: 1"), "which make 1.1e+09 cycles"),
    ],
)
def test_a_unit_of_countless_settings_is_refused_before_they_are_listed(
    tmp_path: Path, written: tuple[str, str], said: str
):
    unit = bundled_text("equipment", "split-rich")
    assert written[0] in unit
    (tmp_path / "unit.yaml").write_text(unit.replace(*written), encoding="utf-8")
    (tmp_path / "case.yaml").write_text(changed("unit: split-plain", "file: unit.yaml"))
    with pytest.raises(FileRefused, match=r"^unit\.yaml line") as refused:
        read_case(tmp_path / "case.yaml")
    assert said in str(refused.value)


def test_a_unit_that_is_wrong_is_named_by_its_own_file(tmp_path: Path):
    (tmp_path / "unit.yaml").write_text("schema_version: 1\nname: Test unit\n")
    (tmp_path / "case.yaml").write_text(changed("unit: split-plain", "file: unit.yaml"))
    with pytest.raises(FileRefused, match=r"^unit\.yaml"):
        read_case(tmp_path / "case.yaml")


def test_everything_refused_is_an_error_of_ours():
    assert issubclass(FileRefused, LeewardError)
    assert read_text(ORDINARY).case.person.label == "Example person A"


def test_a_pipe_is_no_case_and_is_not_waited_for(tmp_path: Path):
    os.mkfifo(tmp_path / "case.yaml")
    with pytest.raises(FileRefused, match="a pipe, not a file"):
        read_case(tmp_path / "case.yaml")


@pytest.mark.parametrize("device", ["/dev/zero", "/dev/null", "/dev/tty"])
def test_a_device_is_no_case_and_is_not_waited_for(tmp_path: Path, device: str):
    (tmp_path / "case.yaml").symlink_to(device)
    with pytest.raises(FileRefused, match="a device, not a file"):
        read_case(tmp_path / "case.yaml")


def test_an_equipment_file_that_leads_round_in_a_circle_is_refused(tmp_path: Path):
    (tmp_path / "unit.yaml").symlink_to("unit.yaml")
    case = tmp_path / "case.yaml"
    text = changed("equipment: {unit: split-plain}", "equipment: {file: unit.yaml}")
    case.write_text(text, encoding="utf-8")
    with pytest.raises(FileRefused, match=r"unit\.yaml: .*expected an equipment file"):
        read_case(case)


@pytest.mark.parametrize("name", ["\\u001b[31mred", "\\u202eevil", "x" * 5000])
def test_a_field_name_that_is_no_name_is_told_cut_and_written_out(tmp_path: Path, name: str):
    case = tmp_path / "case.yaml"
    case.write_text(f'{{"schema_version": 1, "{name}": 1}}', encoding="utf-8")
    with pytest.raises(FileRefused) as refused:
        read_case(case)
    told = [problem.sentence for problem in refused.value.problems]
    assert all(sentence.isprintable() and len(sentence) < 1000 for sentence in told)


def test_a_long_tag_is_cut(tmp_path: Path):
    case = tmp_path / "case.yaml"
    case.write_text("a: " + "!" * 5000 + " b", encoding="utf-8")
    with pytest.raises(FileRefused, match="a tag") as refused:
        read_case(case)
    assert len(str(refused.value)) < 300
