"""Figures of setting up: from a bare clone to a plan, and to every check."""

import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from functools import partial
from pathlib import Path

from bench import axes
from bench.registry import Figure, measures, median_seconds

ROOT = Path(__file__).parent.parent
RUNS = 3


def _run(command: list[str | Path], place: Path, *, expected: tuple[int, ...] = (0,)) -> int:
    """Run a command quietly; what it said is shown when it ends otherwise than expected."""
    kept = {
        name: value for name, value in os.environ.items() if name not in ("MAKEFLAGS", "MAKELEVEL")
    }
    done = subprocess.run(
        command,
        cwd=place,
        env={**kept, "PIP_CACHE_DIR": str(place.parent / "cache"), "LEEWARD_NO_SERVE": "1"},
        capture_output=True,
        text=True,
        check=False,
        timeout=1200,
    )
    if done.returncode not in expected:
        sys.stderr.write(done.stdout + done.stderr)
        done.check_returncode()
    return done.returncode


def _clone(place: Path) -> Path:
    subprocess.run(["git", "clone", "--quiet", ROOT, place], check=True)
    return place


@measures("start")
def set_up() -> Iterator[Figure]:
    """Cold and warm, each from a fresh clone with nothing downloaded before."""
    with tempfile.TemporaryDirectory() as folder:
        clone = _clone(Path(folder) / "start" / "clone")
        start = partial(_run, ["make", "start"], clone)
        yield Figure("start_cold_s", median_seconds(start, 1), "s")
        yield Figure("start_warm_s", median_seconds(start, RUNS), "s")
        clone = _clone(Path(folder) / "test" / "clone")
        test = partial(_run, ["make", "test"], clone)
        yield Figure("test_cold_s", median_seconds(test, 1), "s")
        yield Figure("test_s", median_seconds(test, 1), "s")


@measures("start")
def plan_each_example() -> Iterator[Figure]:
    """A whole run of the program for each bundled case, from a cold process; then the slowest."""
    slowest = 0.0
    program = Path(sys.executable).parent / "leeward"
    for case in sorted((ROOT / "examples" / "cases").glob("*.yaml")):
        name = case.stem.replace("-", "_")
        with tempfile.TemporaryDirectory() as folder:
            place = Path(folder) / "out"
            place.mkdir()
            plan = partial(_run, [program, "plan", case, "--out", place], place, expected=(0, 1, 3))
            seconds = median_seconds(plan, RUNS)
            slowest = max(slowest, seconds)
            yield Figure(f"plan_{name}_s", seconds, "s")
            yield Figure(f"plan_{name}_exit", plan(), "exit code")
    yield Figure("plan_cold_s", slowest, "s")


@measures("start")
def sizes_and_shapes() -> Iterator[Figure]:
    """The source along the axes a reader feels."""
    for name, (value, unit) in axes.measure(ROOT / "src" / "leeward", ROOT / "tests").items():
        yield Figure(f"axes_{name}", value, unit)
