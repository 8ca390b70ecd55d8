"""`leeward watch`: a log held against its plan, by a verdict that never says more than it saw."""

import gzip
import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from leeward import flow
from leeward.cli.chosen import in_use
from leeward.programme.programme import daily_series
from leeward.terms.units import deg_from_radians
from tests.unit.cli.front_door import NOW, Planned, Ran, example, run

#: A day before the present, in the zone of the case, which is UTC in November.
START = datetime(2026, 11, 24, 6, 0, tzinfo=UTC)
#: A quick movement: a plan counts none, and a slow one loads the mid-line on its way.
RISE_MIN = 0.5

MAP = """
schema_version: 1
unit_name: Invented unit
simulated: true
time: {{column: time, kind: offset}}
angle: {{column: angle_deg, unit: deg}}
positive_means: {positive}
largest_gap_s: 120
"""


def planned_angles(planned: Planned) -> Callable[[np.ndarray], np.ndarray]:
    """Degrees at minutes after `START`, as the gentlest programme says; movements take time."""
    gentlest = next(c for c in planned.stored.decision.choices if c.name.value == "gentlest")
    day = daily_series(gentlest.programme)
    turns = np.array([deg_from_radians(posture.turn) for posture in day.postures])
    begins = (day.edges[:-1] / 60.0 - 60.0 * START.hour) % 1440.0
    order = np.argsort(begins)
    begins, turns = begins[order], turns[order]

    def at(minutes: np.ndarray) -> np.ndarray:
        number = np.searchsorted(begins, minutes, side="right") - 1
        share = np.clip((minutes - begins[number]) / RISE_MIN, 0.0, 1.0)
        return turns[number - 1] + share * (turns[number] - turns[number - 1])

    return at


@dataclass(frozen=True)
class Log:
    """A day of one reading a minute: hardly less than planned, with a little noise."""

    planned: Planned
    folder: Path

    def text(self, *, keep: Callable[[float], bool] = lambda _: True, sign: float = 1.0) -> str:
        minutes = np.arange(1440.0)
        noise = np.random.default_rng(3).normal(0.0, 0.3, minutes.size)
        angles = 0.98 * sign * planned_angles(self.planned)(minutes) + noise
        lines = [
            f"{START + timedelta(minutes=minute):%Y-%m-%dT%H:%M:%SZ},{angle:.2f}"
            for minute, angle in zip(minutes.tolist(), angles, strict=True)
            if keep(minute)
        ]
        return "\n".join(["time,angle_deg", *lines, ""])

    def watched(
        self,
        content: str | bytes,
        *words: object,
        name: str = "log.csv",
        positive: str = "left",
        now: datetime = NOW,
    ) -> Ran:
        log, column_map = self.folder / name, self.folder / "map.yaml"
        log.write_bytes(content.encode() if isinstance(content, str) else content)
        column_map.write_text(MAP.format(positive=positive), encoding="utf-8")
        given = ("--map", column_map, "--plan", self.planned.file, "--choice", "gentlest")
        return run("watch", self.planned.case, log, *given, *words, now=now)


@pytest.fixture
def log(half_known: Planned, tmp_path: Path) -> Log:
    return Log(half_known, tmp_path)


def test_a_day_as_planned_is_said_of_the_surface_only(log: Log):
    ran = log.watched(log.text())
    assert ran.code == 0
    assert "+ surface moved as planned; person not measured; skin last looked at" in ran.said
    assert "SIMULATED LOG" in ran.said


def test_as_planned_is_never_shown_as_good_while_looks_are_overdue(log: Log):
    ran = log.watched(log.text(), now=NOW + timedelta(hours=24))
    assert ran.code == 0
    assert "! surface moved as planned; person not measured" in ran.said
    assert "a look at the skin is overdue" in ran.said
    assert "+ surface moved" not in ran.said


def test_a_log_that_ends_early_is_judged_to_its_last_line_and_no_further(log: Log):
    ran = log.watched(log.text(keep=lambda minute: minute < 300.0), "--json")
    found = json.loads(ran.out)
    assert found["start"].startswith("2026-11-24T06:00")
    assert found["end"].startswith("2026-11-24T10:59")


def test_a_log_with_a_silent_half_cannot_tell(log: Log):
    ran = log.watched(log.text(keep=lambda minute: not 300.0 < minute < 1300.0))
    assert ran.code == 3
    assert "? cannot tell whether the surface moved as planned" in ran.said
    assert "below" in ran.said


def test_an_undeclared_side_cannot_tell_and_says_what_to_do(log: Log):
    ran = log.watched(log.text(), positive="undeclared")
    assert ran.code == 3
    assert "watch one turn and declare it in the column map" in ran.said


def test_sides_exchanged_differ(log: Log):
    ran = log.watched(log.text(sign=-1.0))
    assert ran.code == 1
    assert "! surface did not move as planned" in ran.said
    assert "turned to the other side" in ran.said


def test_what_each_site_bore_stands_beside_the_plan_with_units(log: Log):
    out = log.watched(log.text()).out
    assert "What each site bore" in out
    assert "[min]" in out
    assert max(len(line) for line in out.splitlines()) <= 80


def test_a_day_as_planned_loads_the_skin_as_planned(log: Log):
    found = json.loads(log.watched(log.text(), "--json").out)
    assert found["judgement"]["verdict"] == "as planned"
    assert found["is_replanned"] is False
    sites = {row["site"]: row for row in found["sites"]}
    for name in ("sacrum", "spine", "left buttock", "right calf"):
        site = sites[name]
        assert site["delivered_low"] <= site["planned_peak"] <= site["delivered_high"]
        # in stays of an hour the minutes nobody can tell take more than in longer ones
        assert site["delivered_low"] > 0.2 * site["planned_peak"]


def test_a_plan_made_from_another_case_is_refused(log: Log, out_of_reach: Planned):
    ran = log.watched(log.text(), "--plan", out_of_reach.file)
    assert ran.code == 2
    assert "a plan made from another case" in ran.complained
    assert ran.out == ""


def test_a_choice_the_plan_has_not_is_refused(log: Log):
    ran = log.watched(log.text(), "--choice", "closest")
    assert ran.code == 2
    assert "expected one of: gentlest" in ran.complained


def test_a_compressed_log_reads_as_the_plain_one(log: Log):
    packed = log.watched(gzip.compress(log.text().encode()), name="log.csv.gz")
    assert packed == log.watched(log.text())


def _damaged_in_the_middle(packed: bytes) -> bytes:
    middle = len(packed) // 2
    return packed[:middle] + bytes(64) + packed[middle + 64 :]


@pytest.mark.parametrize(
    "spoil",
    [
        lambda packed: packed[: len(packed) // 2],
        lambda _: b"time,angle_deg\n",
        _damaged_in_the_middle,
    ],
    ids=["breaks off", "is not compressed", "damaged in the middle"],
)
def test_a_compressed_log_that_is_damaged_is_told_in_a_sentence(
    log: Log, spoil: Callable[[bytes], bytes]
):
    ran = log.watched(spoil(gzip.compress(log.text().encode())), name="log.csv.gz")
    assert ran.code == 2
    assert ran.out == ""
    assert "it cannot be unpacked" in ran.complained
    assert "export the log again" in ran.complained


@pytest.mark.parametrize(
    "content",
    [b"\x7fELF\x02\x01\x01\x00" * 64, b"\x89PNG\r\n\x1a\n\xff\xfe" * 64, bytes(range(256)) * 8],
    ids=["control characters", "not utf-8", "every byte"],
)
def test_a_log_that_is_no_text_is_told_in_a_sentence(log: Log, content: bytes):
    ran = log.watched(content)
    assert ran.code == 2
    assert ran.out == ""
    assert "log" in ran.complained
    assert "expected" in ran.complained


def test_a_log_that_is_not_there_is_told_in_a_sentence(log: Log):
    (log.folder / "map.yaml").write_text(MAP.format(positive="left"), encoding="utf-8")
    given = (example("half-known"), log.folder / "none.csv", "--map", log.folder / "map.yaml")
    ran = run("watch", *given, "--choice", "gentlest")
    assert ran.code == 2
    assert "it is not there" in ran.complained


def test_a_map_with_an_unknown_field_is_told_in_a_sentence(log: Log, tmp_path: Path):
    (tmp_path / "bad.yaml").write_text(MAP.format(positive="left") + "colour: red\n")
    ran = log.watched(log.text(), "--map", tmp_path / "bad.yaml")
    assert ran.code == 2
    assert "colour" in ran.complained


def watched_plainly(log: Log, planned: Planned, *words: object) -> Ran:
    """A log of one line held against a plan of which no choice was said."""
    (log.folder / "log.csv").write_text("time,angle_deg\n", encoding="utf-8")
    (log.folder / "map.yaml").write_text(MAP.format(positive="left"), encoding="utf-8")
    given = (planned.case, log.folder / "log.csv", "--map", log.folder / "map.yaml")
    return run("watch", *given, *words)


def test_of_several_choices_none_is_guessed(log: Log, ordinary: Planned):
    ran = watched_plainly(log, ordinary, "--plan", ordinary.file)
    assert ran.code == 2
    assert "which of the plan's choices was in use is not said" in ran.complained
    assert "one of: gentlest, " in ran.complained
    assert "--choice" in ran.complained


def test_of_two_choices_of_one_name_the_number_must_be_said(log: Log, out_of_reach: Planned):
    given = ("--plan", out_of_reach.file, "--choice", "closest")
    ran = watched_plainly(log, out_of_reach, *given)
    assert ran.code == 2
    assert "one of: closest, closest" in ran.complained
    assert "--number" in ran.complained
    assert watched_plainly(log, out_of_reach, *given, "--number", 2).code == 3


def test_the_only_choice_of_a_plan_need_not_be_said(ordinary: Planned):
    first = replace(ordinary.stored.decision, choices=ordinary.stored.decision.choices[:1])
    assert in_use(first, None, None, "plan") is first.choices[0]


def test_without_a_plan_and_a_choice_nothing_is_begun(log: Log):
    ran = watched_plainly(log, log.planned)
    assert ran.code == 2
    assert ran.complained.startswith("x watch: neither a plan nor which of its choices was in use")


@pytest.mark.parametrize("planned", [True, False])
@pytest.mark.parametrize("content", ["", "time,angle_deg\n", "time,angle_deg\n2099-01-01T00:00Z,5"])
def test_a_log_that_holds_nothing_is_told_before_any_load_is_computed(
    log: Log, planned: bool, content: str, monkeypatch: pytest.MonkeyPatch
):
    def computed(*_: object, **__: object) -> None:
        raise AssertionError("loads were computed")

    monkeypatch.setattr(flow, "standing_demand", computed)
    (log.folder / "empty.csv").write_text(content, encoding="utf-8")
    (log.folder / "map.yaml").write_text(MAP.format(positive="left"), encoding="utf-8")
    given = (log.planned.case, log.folder / "empty.csv", "--map", log.folder / "map.yaml")
    plan = ("--plan", log.planned.file) if planned else ()
    ran = run("watch", *given, *plan, "--choice", "gentlest")
    assert ran.code == 3
    assert "no time in which the angle of the surface is known" in ran.said + ran.complained
