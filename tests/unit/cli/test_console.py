"""What a file or a name holds reaches the screen as text and nothing else."""

import io
import json
import sys

import pytest

from leeward.cli import main
from leeward.cli.console import mark, plain, say
from tests.unit.cli.front_door import example


@pytest.mark.parametrize("sign", ["\x1b", "\x07", "\x9b", "\u202e", "\u2067", "\udcff"])
def test_a_sign_that_steers_the_screen_is_written_out(sign: str):
    shown = plain(f"a{sign}b")
    assert shown.isprintable()
    assert f"{ord(sign):02x}" in shown


def test_ordinary_text_of_any_script_stays_as_it_is():
    assert plain("Zoë 30° עברית 漢字") == "Zoë 30° עברית 漢字"


def on_a_screen_of(encoding: str, monkeypatch: pytest.MonkeyPatch, *words: str) -> str:
    seen = io.BytesIO()
    screen = io.TextIOWrapper(seen, encoding=encoding, errors="strict")
    monkeypatch.setattr(sys, "stdout", screen)
    main(list(words))
    screen.flush()
    return seen.getvalue().decode(encoding)


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_a_screen_that_lacks_a_letter_gets_the_rest(
    encoding: str, monkeypatch: pytest.MonkeyPatch, changed
):
    case = changed(("label: Example person A", "label: Person \u6f22"))
    assert "Person \\u6f22" in on_a_screen_of(encoding, monkeypatch, "check", str(case))


def test_json_stays_json_on_a_screen_of_few_letters(monkeypatch: pytest.MonkeyPatch, changed):
    case = changed(
        ("- {name: lunch, start", "- {name: \u6f22, start"),
        ("backrest_deg: 60", "backrest_deg: 80"),
    )
    told = json.loads(on_a_screen_of("ascii", monkeypatch, "check", str(case), "--json"))
    assert any("\u6f22" in finding["sentence"] for finding in told)


def test_a_file_name_cannot_steer_the_screen(capsys: pytest.CaptureFixture[str]):
    assert main(["check", f"{example('ordinary')}\x1b[31m\u202e"]) == 2
    assert "\x1b" not in capsys.readouterr().err


LONG = " ".join(["word"] * 40)


@pytest.mark.parametrize(
    ("lead", "indent"), [("", 0), ("  ", 2), ("  3. ", 5), ("  - ", 4), ("    1257  ", 10)]
)
def test_what_wraps_begins_under_the_words_of_its_first_line(
    capsys: pytest.CaptureFixture[str], lead: str, indent: int
):
    say(f"{lead}{LONG}")
    first, *further = capsys.readouterr().out.splitlines()
    assert first.startswith(f"{lead}word")
    assert further
    assert all(line.startswith(" " * indent + "word") for line in further)


def test_what_wraps_below_a_marker_is_set_in(capsys: pytest.CaptureFixture[str]):
    mark("attention", LONG)
    first, *further = capsys.readouterr().out.splitlines()
    assert first.startswith("! word")
    assert all(line.startswith("  word") for line in further)


@pytest.mark.parametrize("text", [":warning:", "[bold]left[/bold]", "[/]", "a\\", "\\[red]"])
def test_text_is_printed_letter_for_letter(capsys: pytest.CaptureFixture[str], text: str):
    say(text)
    mark("ok", text)
    assert capsys.readouterr().out == f"{text}\n+ {text}\n"


def test_an_empty_line_is_one_line(capsys: pytest.CaptureFixture[str]):
    say()
    assert capsys.readouterr().out == "\n"
