"""A forged plan with the right digests is refused where it holds what no planning can make."""

import json
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from leeward.exchange.case_file import read_case
from leeward.exchange.plan_domain import EDGES, check_domain
from leeward.exchange.plan_file import read_plan, write_plan
from leeward.exchange.problems import FileRefused
from leeward.programme.decision import Decision, Outcome
from leeward.records.canonical import digest, from_plain, to_plain
from leeward.records.shape import Form, record_fields, shape_of
from leeward.terms.errors import InvalidInput
from tests.unit.exchange.case_texts import EXAMPLES
from tests.unit.exchange.invented import choice, decision


@pytest.fixture(scope="module")
def made() -> Decision:
    return decision(choice())


def numbers_held_by(hint: object, owner: tuple[type, str] | None = None) -> set[tuple[type, str]]:
    """Every field of a record, and of the records in it, that holds numbers."""
    shape = shape_of(hint)
    if shape.form is Form.RECORD:
        held = (numbers_held_by(f.hint, (shape.kind, f.name)) for f in record_fields(shape.kind))
        return set().union(*held)
    if shape.form in (Form.NUMBER, Form.WHOLE):
        return {owner} if owner else set()
    return set().union(*(numbers_held_by(inner, owner) for inner in shape.inner))


def test_every_number_a_plan_can_hold_has_edges():
    assert numbers_held_by(Decision) == set(EDGES)


def test_what_planning_makes_lies_within(made: Decision):
    check_domain(made)


def places(plain: object, field: str) -> list[tuple[dict, str]]:
    """Every place of a plain decision at which a field of this name stands, filled in."""
    if isinstance(plain, list):
        return [place for one in plain for place in places(one, field)]
    if not isinstance(plain, dict):
        return []
    found = [place for one in plain.values() for place in places(one, field)]
    return found + ([(plain, field)] if plain.get(field) not in (None, []) else [])


WHOLE = {"turns_per_day", "turns_in_sleep", "count", "candidates", "seed", "programmes", "people"}
WHOLE |= {"two_person_tasks", "outside_rounds", "first", "second"}
FORGED = (1e308, -1e308, "NaN", "Infinity", "-Infinity")


@pytest.mark.parametrize("field", sorted({name for _, name in EDGES}))
def test_a_number_beyond_its_edges_is_refused_wherever_it_stands(made: Decision, field: str):
    whole = replace(
        made,
        load_noise=0.001,
        interpolation_error=0.001,
        seed=1,
        outcome=Outcome.OFFERED,
    )
    is_whole_number = field in WHOLE
    for wrong in (10**400, -1) if is_whole_number else FORGED:
        plain = to_plain(whole)
        found = places(plain, field)
        assert found
        record, name = found[-1]
        record[name] = [wrong] if isinstance(record[name], list) else wrong
        with pytest.raises(InvalidInput) as refused:
            check_domain(from_plain(Decision, plain))
        assert "\n" not in str(refused.value)
        assert len(str(refused.value)) < 300


def forged(file: Path, change) -> Path:
    """Change a stored decision and seal it anew, as whoever forges one would."""
    plain = json.loads(file.read_text(encoding="utf-8"))
    change(plain["decision"])
    plain["decision_digest"] = digest(plain["decision"])
    file.write_text(json.dumps(plain), encoding="utf-8")
    return file


@pytest.fixture
def stored(tmp_path: Path, made: Decision) -> Path:
    document = read_case(EXAMPLES / "ordinary.yaml")
    file = tmp_path / "plan.json"
    write_plan(file, document, replace(made, case_digest=digest(document.case)))
    return file


def _programme(plain):
    return plain["choices"][0]["programme"]


def _stay(plain):
    return _programme(plain)["windows"][0]["cycle"][0]


FORGERIES = {
    "a turn of 1e308": lambda p: _stay(p)["posture"].update(turn=1e308),
    "a turn past upright": lambda p: _stay(p)["posture"].update(turn=1.6),
    "a stay of a nanosecond": lambda p: _stay(p).update(duration=1e-9),
    "a stay of two days": lambda p: _stay(p).update(duration=172800),
    "a window that begins the day before": lambda p: [
        w["span"].update(start=w["span"]["start"] - 86400) for w in _programme(p)["windows"]
    ],
    "windows that overlap": lambda p: _programme(p)["windows"][0]["span"].update(end=50000),
    "no window": lambda p: _programme(p).update(windows=[]),
    "a window without a stay": lambda p: _programme(p)["windows"][0].update(cycle=[]),
    "a window twice": lambda p: _programme(p).update(windows=_programme(p)["windows"] * 2),
    "a task at 25 h": lambda p: _programme(p)["tasks"][0].update(times=[90000]),
    "a hundred tasks and one": lambda p: _programme(p).update(
        tasks=_programme(p)["tasks"][:1] * 101
    ),
    "thirty choices": lambda p: p.update(choices=p["choices"] * 30),
    "a step with three times the turn": lambda p: _programme(p)["build_up"][0].update(
        share_of_turn=3
    ),
    "two of a share": lambda p: p["choices"][0]["assessment"].update(share_of_draws=2),
    "a text of a million letters": lambda p: p.update(compared_with="x" * 1_000_000),
    "the year 9999": lambda p: p.update(made_at="9999-12-31T23:59:59+00:00"),
    "the year 1": lambda p: p.update(made_at="0001-01-01T00:00:00+00:00"),
}


@pytest.mark.parametrize("name", FORGERIES)
def test_a_forged_plan_with_the_right_digests_is_refused_in_one_sentence(stored: Path, name: str):
    with pytest.raises(FileRefused) as refused:
        read_plan(forged(stored, FORGERIES[name]))
    said = str(refused.value)
    assert said.startswith("plan.json, decision, ")
    assert "\n" not in said
    assert len(said) < 400


def test_the_place_of_what_is_refused_is_said_as_people_count(stored: Path):
    with pytest.raises(FileRefused, match=r"choices\[1\]\.programme\.windows\[1\]\.cycle\[1\]"):
        read_plan(forged(stored, FORGERIES["a turn of 1e308"]))


def test_a_plan_sealed_anew_without_a_change_is_read(stored: Path, made: Decision):
    assert read_plan(forged(stored, lambda plain: None)).decision.choices == made.choices


def test_a_time_with_another_offset_is_read(stored: Path):
    when = "2026-11-25T09:00:00+14:00"
    plan = read_plan(forged(stored, lambda plain: plain.update(made_at=when)))
    assert plan.decision.made_at.astimezone(UTC) == datetime(2026, 11, 24, 19, tzinfo=UTC)
