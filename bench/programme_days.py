"""Figures of the day's arithmetic: its speed, what it grows with, and its error."""

import statistics
import time
import tracemalloc
from collections.abc import Callable, Iterator
from functools import partial

import numpy as np
from numpy.typing import NDArray

from bench.audit_rules import allowance_peak
from bench.registry import Figure, measures
from leeward.programme.joined_days import chain_map, joined_index
from leeward.terms.site import Site
from leeward.terms.units import SECONDS_PER_DAY
from leeward.tissue.allowance import steady_peak

Array = NDArray[np.float64]

SEED = 20261125
POSTURES = 60
STAYS_A_WINDOW = 4


def _core_seconds(action: Callable[[], object], runs: int) -> float:
    """Median time on the core of several runs: other processes do not count. [s]"""
    taken = []
    for _ in range(runs):
        begun = time.process_time()
        action()
        taken.append(time.process_time() - begun)
    return statistics.median(taken)


def _loads(rng: np.random.Generator) -> Array:
    return rng.uniform(0.0, 1.2, (POSTURES, len(Site)))


def _chain(rng: np.random.Generator, count: int, windows: int) -> tuple[Array, NDArray[np.intp]]:
    """Candidates of half a day: stays of random lengths in random postures."""
    stays = windows * STAYS_A_WINDOW
    durations = rng.uniform(1800.0, 7200.0, (count, stays))
    durations *= 0.5 * SECONDS_PER_DAY / durations.sum(axis=1, keepdims=True)
    return durations, rng.integers(0, POSTURES, (count, stays))


def _every_pair(count: int, windows: int) -> None:
    """Index of every pairing of `count` cycles by day with as many by night."""
    rng = np.random.default_rng(SEED)
    loads = _loads(rng)
    first, second = (chain_map(*_chain(rng, count, windows), loads) for _ in range(2))
    joined_index(first, second, loads, np.ones(len(Site)))


def _every_draw(count: int, draws: int) -> None:
    """The same in many draws of the loads."""
    rng = np.random.default_rng(SEED)
    chains = [_chain(rng, count, 2) for _ in range(2)]
    for _ in range(draws):
        loads = _loads(rng)
        first, second = (chain_map(*chain, loads) for chain in chains)
        joined_index(first, second, loads, np.ones(len(Site)))


@measures("programme")
def speed() -> Iterator[Figure]:
    """A hundred thousand days of four windows with four stays, at every listed site."""
    pairs = 317
    yield Figure("day_100k_candidates", pairs**2, "days")
    yield Figure("day_100k_s", _core_seconds(partial(_every_pair, pairs, 2), 5), "s")
    tracemalloc.start()
    _every_pair(pairs, 2)
    yield Figure("day_100k_peak_mb", tracemalloc.get_traced_memory()[1] / 1e6, "MB")
    tracemalloc.stop()
    yield Figure("draws_2000x200_s", _core_seconds(partial(_every_draw, 45, 200), 3), "s")


@measures("programme")
def growth() -> Iterator[Figure]:
    """What the time grows with: windows in the day, candidates."""
    for windows in (1, 2, 4):
        seconds = _core_seconds(partial(_every_pair, 224, windows), 3)
        yield Figure(f"day_50k_with_{2 * windows}_windows_s", seconds, "s")
    for pairs in (158, 317, 448):
        seconds = _core_seconds(partial(_every_pair, pairs, 2), 3)
        yield Figure(f"day_{round(pairs**2 / 1000)}k_us_a_day", 1e6 * seconds / pairs**2, "us")


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
