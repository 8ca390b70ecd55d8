"""Figures of the day's arithmetic: its speed, what it grows with, and its error."""

import statistics
import time
import tracemalloc
from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

from bench.audit_cases import random_case
from bench.audit_rules import allowance_peak
from bench.registry import Figure, measures
from leeward.programme.joined_days import joined_index
from leeward.programme.loads import RatioTable, ratio_table
from leeward.programme.passages import passages
from leeward.terms.posture import Posture
from leeward.terms.site import Site
from leeward.terms.units import SECONDS_PER_DAY, radians_from_deg
from leeward.tissue.allowance import steady_peak
from leeward.tissue.load_ratios import LoadRatios

Array = NDArray[np.float64]

SEED = 20261125
TURNS_DEG = range(-30, 31, 5)
STAYS_A_WINDOW = 4


def _core_seconds(action: Callable[[], object], runs: int) -> float:
    """Median time on the core of several runs: other processes do not count. [s]"""
    taken = []
    for _ in range(runs):
        begun = time.process_time()
        action()
        taken.append(time.process_time() - begun)
    return statistics.median(taken)


def _peak_mb(action: Callable[[], object]) -> float:
    """Most memory that its arrays take at once. [MB]"""
    tracemalloc.start()
    action()
    found = tracemalloc.get_traced_memory()[1] / 1e6
    tracemalloc.stop()
    return found


def _table(rng: np.random.Generator, draws: int) -> RatioTable:
    """Random loads at every turn of a unit, and on the way from each to each."""
    postures = tuple(Posture(turn=radians_from_deg(float(deg))) for deg in TURNS_DEG)
    sites = tuple(Site)
    ratio = rng.uniform(0.0, 1.2, (draws, len(postures), len(sites)))
    stable = np.ones((draws, len(postures)), dtype=bool)
    return ratio_table(random_case(rng), LoadRatios(postures, sites, ratio, stable))


def _chain(rng: np.random.Generator, count: int, windows: int) -> tuple[Array, NDArray[np.intp]]:
    """Candidates of half a day: stays of random lengths at random turns."""
    stays = windows * STAYS_A_WINDOW
    durations = rng.uniform(1800.0, 7200.0, (count, stays))
    durations *= 0.5 * SECONDS_PER_DAY / durations.sum(axis=1, keepdims=True)
    return durations, rng.integers(0, len(TURNS_DEG), (count, stays))


class _Pairs:
    """Every pairing of `count` cycles by day with as many by night, movements counted."""

    def __init__(self, count: int, windows: int, draws: int = 1) -> None:
        rng = np.random.default_rng(SEED)
        self.table = _table(rng, draws)
        self.chains = [_chain(rng, count, windows) for _ in range(2)]

    def __call__(self) -> Array:
        """Index of every pair in every draw, from the stays up."""
        ways = [
            passages(stays, rows, self.table, np.ones(stays.shape[1], dtype=bool))
            for stays, rows in self.chains
        ]
        ratio = self.table.ratio
        return joined_index(*ways, ratio, np.ones((len(ratio), ratio.shape[2])), self.table)


@measures("programme")
def speed() -> Iterator[Figure]:
    """A hundred thousand days of four windows with four stays, at every listed site."""
    pairs = 317
    yield Figure("day_100k_candidates", pairs**2, "days")
    yield Figure("day_100k_s", _core_seconds(_Pairs(pairs, 2), 5), "s")
    yield Figure("day_100k_peak_mb", _peak_mb(_Pairs(pairs, 2)), "MB")
    yield Figure("draws_2000x200_s", _core_seconds(_Pairs(45, 2, draws=200), 3), "s")


@measures("programme")
def growth() -> Iterator[Figure]:
    """What the time grows with: windows in the day, candidates."""
    for windows in (1, 2, 4):
        seconds = _core_seconds(_Pairs(224, windows), 3)
        yield Figure(f"day_50k_with_{2 * windows}_windows_s", seconds, "s")
    for pairs in (158, 317, 448):
        action, days = _Pairs(pairs, 2), round(pairs**2 / 1000)
        yield Figure(f"day_{days}k_us_a_day", 1e6 * _core_seconds(action, 3) / pairs**2, "us")
        yield Figure(f"day_{days}k_bytes_a_day", 1e6 * _peak_mb(action) / pairs**2, "bytes")
    for draws in (50, 100, 200):
        action = _Pairs(45, 2, draws=draws)
        yield Figure(f"draws_2000x{draws}_peak_mb", _peak_mb(action), "MB")


@measures("programme")
def closed_form() -> Iterator[Figure]:
    """The closed form beside a day counted through again and again, by other code."""
    rng = np.random.default_rng(SEED)
    worst = 0.0
    for _ in range(40):
        lengths = rng.uniform(60.0, 9000.0, int(rng.integers(2, 24)))
        ratio = rng.uniform(0.0, 1.4, (len(lengths), len(Site)))
        counted = allowance_peak(lengths.tolist(), ratio)
        worst = max(worst, float(np.abs(steady_peak(lengths, ratio) - counted).max()))
    yield Figure("closed_form_error", worst, "-")
