"""How an invented sensor sees the surface, and how its log is written."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from leeward.terms.units import deg_from_radians, radians_from_deg

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Sensor:
    """What is wrong with every reading.

    Parameters
    ----------
    interval : float
        Time between two readings. [s]
    jitter : float
        Share of the interval by which a reading may come early or late, below 0.5. [-]
    noise : float
        Standard deviation. [rad]
    drift : float
        Steady change of the zero. [rad/s]
    quantum : float
        Smallest step it writes; 0 for none. [rad]
    lost : float
        Share of readings that are never written. [-]
    """

    interval: float = 20.0
    jitter: float = 0.0
    noise: float = radians_from_deg(0.3)
    drift: float = 0.0
    quantum: float = radians_from_deg(0.1)
    lost: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Readings:
    """What a log holds.

    Parameters
    ----------
    times : ndarray, shape (n,)
        From the start of the log. [s]
    turns : ndarray, shape (n,)
        Reading; NaN where the line has none. [rad]
    backrests : ndarray, shape (n,)
        Backrest. [rad]
    """

    times: Array
    turns: Array
    backrests: Array

    def kept(self, which: NDArray[np.bool_]) -> "Readings":
        """Leave out lines.

        Parameters
        ----------
        which : ndarray of bool, shape (n,)
            Lines that stay.

        Returns
        -------
        Readings
            Those.
        """
        return Readings(self.times[which], self.turns[which], self.backrests[which])


def reading_times(end: float, sensor: Sensor, generator: np.random.Generator) -> Array:
    """Say when the sensor reads.

    Parameters
    ----------
    end : float
        End of the log. [s]
    sensor : Sensor
        The sensor.
    generator : numpy.random.Generator
        Chance.

    Returns
    -------
    ndarray, shape (n,)
        Increasing. [s]
    """
    times = np.arange(0.0, end, sensor.interval)
    early_or_late = generator.uniform(-1.0, 1.0, times.shape) * sensor.jitter * sensor.interval
    shaken = np.maximum(times + early_or_late, 0.0)
    return np.asarray(shaken[generator.random(times.shape) >= sensor.lost])


def read(turns: Array, times: Array, sensor: Sensor, generator: np.random.Generator) -> Array:
    """Spoil true turns as the sensor does.

    Parameters
    ----------
    turns : ndarray, shape (n,)
        True turns. [rad]
    times : ndarray, shape (n,)
        When. [s]
    sensor : Sensor
        The sensor.
    generator : numpy.random.Generator
        Chance.

    Returns
    -------
    ndarray, shape (n,)
        Readings before they are rounded. [rad]
    """
    return np.asarray(
        turns + sensor.drift * times + generator.normal(0.0, sensor.noise, times.shape)
    )


def rounded(turns: Array, sensor: Sensor) -> Array:
    """Round readings to what the sensor writes.

    Parameters
    ----------
    turns : ndarray, shape (n,)
        Readings. [rad]
    sensor : Sensor
        The sensor.

    Returns
    -------
    ndarray, shape (n,)
        Multiples of its smallest step. [rad]
    """
    if sensor.quantum <= 0.0:
        return turns
    return np.asarray(np.round(turns / sensor.quantum) * sensor.quantum)


def csv_lines(readings: Readings, start: datetime) -> Iterator[str]:
    """Write a log as the lines of a table.

    Parameters
    ----------
    readings : Readings
        What it holds.
    start : datetime
        When it starts; aware. Each line has the offset that its zone has at that time.

    Yields
    ------
    str
        The header, then one line for each reading; a line without reading has an empty
        place, and every line says that it is simulated.
    """
    yield "time,angle_deg,backrest_deg,simulated\n"
    # Through UTC: added to wall time, an hour of a changing clock would be lost or doubled.
    begin = start.astimezone(UTC)
    for time, turn, backrest in zip(*_columns(readings), strict=True):
        moment = (begin + timedelta(seconds=time)).astimezone(start.tzinfo)
        angle = "" if np.isnan(turn) else f"{deg_from_radians(turn) + 0.0:.2f}"
        stamp = moment.isoformat(timespec="milliseconds")
        yield f"{stamp},{angle},{deg_from_radians(backrest):.1f},yes\n"


def _columns(readings: Readings) -> tuple[list[float], list[float], list[float]]:
    return readings.times.tolist(), readings.turns.tolist(), readings.backrests.tolist()
