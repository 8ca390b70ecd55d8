"""Where the figures of each room are signed on: a name, a value, a unit, and nothing judged."""

import statistics
import time
from collections.abc import Callable, Iterator
from typing import NamedTuple


class Figure(NamedTuple):
    """One measured figure."""

    name: str
    value: float
    unit: str

    @property
    def line(self) -> str:
        """The figure as printed: name, value, unit."""
        return f"{self.name} {self.value:.6g} {self.unit}"


Measurement = Callable[[], Iterator[Figure]]
MEASUREMENTS: dict[str, list[Measurement]] = {}


def measures(room: str) -> Callable[[Measurement], Measurement]:
    """Sign a measurement on for a room; it yields its figures as they are known."""

    def sign_on(measurement: Measurement) -> Measurement:
        MEASUREMENTS.setdefault(room, []).append(measurement)
        return measurement

    return sign_on


def median_seconds(action: Callable[[], object], runs: int) -> float:
    """Median wall time of several runs. [s]"""
    taken = []
    for _ in range(runs):
        begun = time.perf_counter()
        action()
        taken.append(time.perf_counter() - begun)
    return statistics.median(taken)
