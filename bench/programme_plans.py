"""Figures of whole plans from a cold process: by NumPy alone, and by compiled code where it is.

Each plan is made once: time by the clock, which other processes lengthen, and time on the cores,
which they lengthen less. Compiled code is made and kept by a first plan that is not counted.
"""

import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path

from bench.registry import Figure, measures

ROOT = Path(__file__).parent.parent
#: What keeps numba from being found, then the program as it is.
BY_NUMPY = "import sys; sys.modules['numba'] = None; from leeward.cli import main; main()"
AS_INSTALLED = "from leeward.cli import main; main()"
#: Two processes: as many as the promise names cores.
WORKERS = "2"


@measures("programme")
def plans() -> Iterator[Figure]:
    """The slowest of the bundled cases, by NumPy alone and with compiled code."""
    yield from _slowest("numpy", BY_NUMPY)
    if find_spec("numba") is not None:
        _plan(AS_INSTALLED, next(iter(_cases())))
        yield from _slowest("numba", AS_INSTALLED)


def _slowest(name: str, program: str) -> Iterator[Figure]:
    taken = [_plan(program, case) for case in _cases()]
    yield Figure(f"plan_{name}_s", max(clock for clock, _ in taken), "s")
    yield Figure(f"plan_{name}_processor_s", max(cores for _, cores in taken), "s on the cores")


def _cases() -> list[Path]:
    return sorted((ROOT / "examples" / "cases").glob("*.yaml"))


def _plan(program: str, case: Path) -> tuple[float, float]:
    """Time by the clock and on the cores of one plan. [s]"""
    with tempfile.TemporaryDirectory() as folder:
        command = [sys.executable, "-c", program, "plan", str(case), "--out", f"{folder}/out"]
        before, begun = _cores(), time.perf_counter()
        done = subprocess.run(
            [*command, "--workers", WORKERS],
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=False,
            timeout=600,
        )
        clock = time.perf_counter() - begun
    # 0 offered, 1 nothing offered, 3 cannot tell: all of them are plans.
    if done.returncode not in (0, 1, 3):
        raise RuntimeError(f"{case.name} was not planned: {done.stderr[-500:]}")
    return clock, _cores() - before


def _cores() -> float:
    """Time that ended child processes spent on the cores. [s]"""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime
