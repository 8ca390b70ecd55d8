"""Logs made inside the tests: a few lines that write what a sensor would have written."""

from collections.abc import Callable
from datetime import UTC, datetime

import numpy as np

from leeward.delivered.column_map import (
    AngleColumn,
    AngleUnit,
    ColumnMap,
    PositiveMeans,
    TimeColumn,
    TimeKind,
)

START = datetime(2026, 3, 2, tzinfo=UTC).timestamp()
NOW = datetime(2026, 6, 1, tzinfo=UTC)

#: Left, level, right, level: degrees and minutes.
CYCLE = ((20.0, 60.0), (0.0, 60.0), (-20.0, 60.0), (0.0, 60.0))


def epoch_map(
    positive_means: PositiveMeans = PositiveMeans.LEFT, largest_gap: float = 300.0
) -> ColumnMap:
    """A map for ``time,angle`` with seconds since 1970 and degrees."""
    return ColumnMap(
        time=TimeColumn("time", TimeKind.EPOCH),
        angle=AngleColumn("angle", AngleUnit.DEG),
        positive_means=positive_means,
        largest_gap=largest_gap,
    )


def angle_at(stays=CYCLE, rise_s: float = 60.0) -> Callable[[np.ndarray], np.ndarray]:
    """The angle over time of stays that repeat; each movement leads into its stay."""
    lengths = np.array([minutes * 60.0 for _, minutes in stays])
    angles = np.array([angle for angle, _ in stays])
    edges = np.concatenate([[0.0], np.cumsum(lengths)])

    def at(seconds: np.ndarray) -> np.ndarray:
        phase = seconds % edges[-1]
        number = np.searchsorted(edges, phase, side="right") - 1
        before = np.where(seconds < edges[1], angles[0], angles[number - 1])
        share = np.clip((phase - edges[number]) / rise_s, 0.0, 1.0)
        return before + share * (angles[number] - before)

    return at


def readings(
    hours: float,
    *,
    every_s: float = 60.0,
    stays=CYCLE,
    noise_deg: float = 0.3,
    drift_deg_per_hour: float = 0.0,
    seed: int = 1,
    rise_s: float = 60.0,
) -> tuple[np.ndarray, np.ndarray]:
    """Times [s since 1970] and angles [deg]."""
    seconds = np.arange(0.0, hours * 3600.0 + 1e-6, every_s)
    chance = np.random.default_rng(seed)
    angle = angle_at(stays, rise_s)(seconds)
    noise = chance.normal(0.0, noise_deg, seconds.shape) if noise_deg else 0.0
    return START + seconds, angle + noise + drift_deg_per_hour * seconds / 3600.0


def written(times, angles, header: str = "time,angle") -> list[str]:
    """The lines of the log."""
    return [header, *(f"{t:.2f},{a:.2f}" for t, a in zip(times, angles, strict=True))]


def log(hours: float, **how) -> list[str]:
    """A whole log."""
    return written(*readings(hours, **how))
