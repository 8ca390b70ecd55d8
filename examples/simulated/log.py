"""A whole simulated log: stays, surface, sensor and faults put together."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from examples.simulated.faults import Fault
from examples.simulated.sensor import Readings, Sensor, read, reading_times, rounded
from examples.simulated.surface import Stay, backrest_at, commands_of, course_of
from leeward.terms.units import radians_from_deg

#: A reading every 20 s, to a tenth of a degree.
ORDINARY_SENSOR = Sensor()


@dataclass(frozen=True, slots=True)
class Unit:
    """An invented unit.

    Parameters
    ----------
    speed : float
        How fast its surface moves. [rad/s]
    sensor : Sensor
        What reads its angle.
    """

    speed: float = radians_from_deg(30.0) / 600.0
    sensor: Sensor = ORDINARY_SENSOR


#: Level to 30 degrees in ten minutes.
ORDINARY_UNIT = Unit()


def simulate(
    stays: Sequence[Stay],
    generator: np.random.Generator,
    *,
    unit: Unit = ORDINARY_UNIT,
    faults: Sequence[Fault] = (),
) -> Readings:
    """Simulate the log of stays that a unit was set to.

    Parameters
    ----------
    stays : sequence of Stay
        What it was set to, at least one stay.
    generator : numpy.random.Generator
        Chance; the same state gives the same log.
    unit : Unit
        The unit.
    faults : sequence of Fault
        What goes wrong, in the order in which it is applied.

    Returns
    -------
    Readings
        What the log holds.
    """
    commands = commands_of(stays)
    for fault in faults:
        commands = fault.told(commands)
    end = float(sum(stay.duration for stay in stays))
    times = reading_times(end, unit.sensor, generator)
    turns = course_of(commands, end, unit.speed).at(times)
    seen = Readings(times, read(turns, times, unit.sensor, generator), backrest_at(stays, times))
    seen = Readings(times, rounded(seen.turns, unit.sensor), seen.backrests)
    for fault in faults:
        seen = fault.written(seen)
    return seen
