"""Logs simulated from a plan file are read for what they are."""

import csv
import json
import math
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from examples.simulate_logs import LOGS, main
from examples.simulated.log import simulate
from examples.simulated.plan import stays_of_plan
from examples.simulated.sensor import Readings, csv_lines
from examples.simulated.surface import Stay
from leeward.delivered.delivered import Delivered, read_delivered
from leeward.exchange.column_map_file import read_column_map
from leeward.programme.programme import daily_series
from leeward.records.canonical import canonical_json
from tests.unit.programme.recheck_sound import PROGRAMME

NOW = datetime(2030, 5, 20, 10, tzinfo=UTC)
HOUR = 3600.0
PLAN = canonical_json(
    {"decision": {"choices": [{"name": "balanced", "programme": PROGRAMME}, {"name": "gentlest",
                                                                             "programme": {}}]}}
)  # fmt: skip


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three days of every log of the plan."""
    place = tmp_path_factory.mktemp("logs")
    (place / "plan.json").write_bytes(PLAN)
    assert main([str(place / "plan.json"), "--out", str(place), "--days", "3"]) == 0
    return place


@pytest.fixture(scope="module")
def read(folder: Path, root: Path) -> Callable[[str], Delivered]:
    """Read one of the logs with the example's own column map."""
    column_map = read_column_map(root / "examples/maps/one-angle.yaml")

    def read_one(name: str) -> Delivered:
        with (folder / f"simulated-{name}.csv").open(encoding="utf-8") as lines:
            return read_delivered(lines, column_map, now=NOW)

    return read_one


def test_the_stays_of_a_plan_are_those_of_its_programme():
    start, stays = stays_of_plan(PLAN.decode(), days=1)
    series = daily_series(PROGRAMME)
    assert start == 7 * HOUR
    assert [stay.duration for stay in stays] == pytest.approx(series.durations.tolist())
    assert [stay.turn for stay in stays] == [posture.turn for posture in series.postures]
    assert [stay.backrest for stay in stays] == [p.backrest for p in series.postures]


def test_a_choice_that_is_not_there_is_named(folder: Path, capsys: pytest.CaptureFixture[str]):
    plan = str(folder / "plan.json")
    assert main([plan, "--out", str(folder), "--choice", "closest"]) == 1
    assert "it holds: balanced, gentlest" in capsys.readouterr().err


def test_a_plan_that_is_none_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    (tmp_path / "plan.json").write_text("{}")
    assert main([str(tmp_path / "plan.json"), "--out", str(tmp_path)]) == 1
    assert main([str(tmp_path / "none.json"), "--out", str(tmp_path)]) == 1
    assert capsys.readouterr().err.count("no logs written") == 2


def test_every_log_says_it_is_simulated(folder: Path, read: Callable[[str], Delivered]):
    assert {path.stem for path in folder.glob("*.csv")} == {f"simulated-{name}" for name in LOGS}
    for path in folder.glob("*.csv"):
        with path.open(encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(file))
        assert {row["simulated"] for row in rows} == {"yes"}
        assert datetime.fromisoformat(rows[0]["time"]).utcoffset() is not None
    assert read("as-planned").simulated


def test_one_log_more_leaves_the_others_as_they_were(folder: Path, tmp_path: Path):
    plan = str(folder / "plan.json")
    main([plan, "--out", str(tmp_path), "--days", "3", "--only", "noisy"])
    again = (tmp_path / "simulated-noisy.csv").read_bytes()
    assert again == (folder / "simulated-noisy.csv").read_bytes()
    main([plan, "--out", str(tmp_path), "--days", "3", "--only", "noisy", "--seed", "2"])
    assert (tmp_path / "simulated-noisy.csv").read_bytes() != again


def test_wall_time_keeps_its_offset_over_a_clock_change():
    """25 October 2026, 01:00 UTC: one hour back in London, no hour lost or doubled."""
    start = datetime(2026, 10, 25, 0, 30, tzinfo=ZoneInfo("Europe/London"))
    hours = np.arange(0.0, 4 * HOUR, HOUR)
    lines = list(csv_lines(Readings(hours, hours * 0.0, hours * 0.0), start))[1:]
    times = [datetime.fromisoformat(line.split(",")[0]) for line in lines]
    assert [time.utcoffset() for time in times] == [timedelta(hours=h) for h in (1, 1, 0, 0)]
    assert [(after - times[0]) / timedelta(hours=1) for after in times] == [0, 1, 2, 3]


def test_a_line_without_reading_has_an_empty_place():
    readings = Readings(np.array([0.0]), np.array([math.nan]), np.array([0.0]))
    (_, line) = csv_lines(readings, NOW)
    assert line == "2030-05-20T10:00:00.000+00:00,,0.0,yes\n"


def planned_moves() -> list[tuple[float, float]]:
    """When the surface is told to move over three days, and where to."""
    stays = stays_of_plan(PLAN.decode(), days=3)[1]
    begins = np.concatenate(([0.0], np.cumsum([stay.duration for stay in stays])[:-1])).tolist()
    pairs = zip(begins, pairwise([Stay(0.0, 0.0), *stays]), strict=True)
    return [(time, stay.turn) for time, (before, stay) in pairs if stay.turn != before.turn]


def test_the_turns_read_from_a_log_are_those_planned(read: Callable[[str], Delivered]):
    """To two minutes, in which the surface moves 6 degrees, and to half a degree."""
    turns, planned = read("as-planned").turns, planned_moves()
    assert [turn.start for turn in turns] == pytest.approx([at for at, _ in planned], abs=120.0)
    assert [turn.after for turn in turns] == pytest.approx(
        [to for _, to in planned], abs=math.radians(0.5)
    )


def test_no_turn_is_seen_in_a_noisy_log_that_was_not_planned(
    folder: Path, read: Callable[[str], Delivered]
):
    """Noise of 2 degrees; a turn goes unseen only where lines are lost for over a minute.

    The first turn begins with the log, so that no stay before it need be seen.
    """
    with (folder / "simulated-noisy.csv").open(encoding="utf-8", newline="") as file:
        times = [datetime.fromisoformat(row["time"]) for row in csv.DictReader(file)]
    gaps = sum(after - before > timedelta(minutes=1) for before, after in pairwise(times))
    turns, planned = read("noisy").turns, planned_moves()
    early, moving = 120.0, 600.0  # noise can look like a start; level to 30 degrees takes 10 min
    assert all(any(-early <= turn.start - at < moving for at, _ in planned) for turn in turns)
    assert len(planned) - 1 - gaps <= len(turns) <= len(planned)
    assert len(turns) > 0.9 * len(planned)


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("silent-sensor", "sensor silent"),
        ("power-loss", "sensor silent"),
        ("empty-lines", "lines without a reading"),
        ("frozen-sensor", "sensor frozen"),
        ("offset", "level reads beside zero"),
    ],
)
def test_a_fault_that_one_log_can_show_is_found(
    name: str, kind: str, read: Callable[[str], Delivered]
):
    assert kind not in {finding.kind for finding in read("as-planned").findings}
    assert kind in {finding.kind for finding in read(name).findings}


def test_a_unit_never_restarted_turns_no_more(read: Callable[[str], Delivered]):
    assert len(read("never-restarted").turns) < len(read("as-planned").turns) / 2


def test_exchanged_sides_are_the_planned_log_in_a_mirror(folder: Path):
    def angles(name: str) -> list[float]:
        with (folder / f"simulated-{name}.csv").open(encoding="utf-8", newline="") as file:
            return [float(row["angle_deg"]) for row in csv.DictReader(file)]

    assert sum(angles("as-planned")) == pytest.approx(-sum(angles("sides-exchanged")), rel=0.05)
    assert np.corrcoef(angles("as-planned"), angles("sides-exchanged"))[0, 1] < -0.99


def test_the_simulator_shares_nothing_with_what_it_tests(root: Path):
    sources = [*(root / "examples/simulated").glob("*.py"), root / "examples/simulate_logs.py"]
    imported = {
        line.split()[1]
        for source in sources
        for line in source.read_text().splitlines()
        if line.startswith(("from leeward", "import leeward"))
    }
    assert imported == {"leeward.terms.units"}


def test_a_single_stay_is_a_log_too():
    readings = simulate([Stay(0.0, HOUR)], np.random.default_rng(0))
    assert len(readings.times) == 180
    assert json.loads(PLAN)["decision"]["choices"]
