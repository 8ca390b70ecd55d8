"""Numbers by which a log is read: each with where it comes from and what it stands for."""

from leeward.terms.sourced import Sourced
from leeward.terms.units import radians_from_deg

_CONVENTION = "convention of this project"
_NOBODY = "not applicable"


def _convention(value: float, unit: str) -> Sourced:
    return Sourced(value, unit, _CONVENTION, _NOBODY)


#: No map may let silence longer than this pass as a posture kept.
GREATEST_GAP = _convention(900.0, "s")

#: A line longer than this is no line of a table of readings.
LONGEST_LINE = _convention(4096.0, "characters")

#: As many lines in a row without a reading are no log, however small its packed file is.
MOST_IDLE_LINES = _convention(100_000.0, "-")

#: A surface with a person on it cannot stand steeper; such a reading is not believed.
GREATEST_ANGLE = _convention(radians_from_deg(90.0), "rad")

#: A surface under a person does not move this far within `FAST_TIME`.
FAST_STEP = _convention(radians_from_deg(15.0), "rad")
FAST_TIME = _convention(3.0, "s")

#: Two readings of one instant further apart than this contradict each other.
CONTRADICTION = _convention(radians_from_deg(10.0), "rad")

#: Readings are put together over this time before a change is looked for.
BIN_TIME = _convention(10.0, "s")

#: Noise of one reading that the search for a change is tuned to.
READING_NOISE = _convention(radians_from_deg(2.0), "rad")

#: Half of the smallest change that must be found.
CHANGE_ALLOWED = _convention(radians_from_deg(2.5), "rad")

#: Sum of excesses over the allowed change at which a stay has ended.
CHANGE_SUM = _convention(radians_from_deg(6.6), "rad")

#: Largest excess one reading may add: two at least must agree that a stay has ended.
CHANGE_ADDED = _convention(radians_from_deg(4.5), "rad")

#: The expected angle of a stay follows slow drift with this time constant.
DRIFT_TIME = _convention(1800.0, "s")

#: Time in one posture below which it is part of a movement.
SHORTEST_STAY = _convention(300.0, "s")

#: A steeper course than this is a slow movement; drift of a sensor is far slower.
MOVING_RATE = _convention(radians_from_deg(0.25) / 60.0, "rad/s")

#: Stays closer than this in angle, one after the other, are one stay.
SAME_ANGLE = _convention(radians_from_deg(3.0), "rad")

#: Least number and least duration of equal readings that ask for a look at the sensor.
FROZEN_COUNT = _convention(20.0, "-")
FROZEN_TIME = _convention(600.0, "s")

#: A sensor whose readings turn back in this share of them does not stand still while alive.
NOISY_SHARE = _convention(0.1, "-")

#: Equal readings for longer than this are not believed even from a sensor without noise.
LONGEST_EQUAL = _convention(4.0 * 3600.0, "s")

#: Readings later than the present by more than this are not believed.
CLOCK_ALLOWANCE = _convention(300.0, "s")

#: Before this instant (2000-01-01T00:00:00Z) a clock has not been set.
CLOCK_UNSET_BEFORE = _convention(946684800.0, "s")

#: A log may not change posture more often than this: it would not be one of stays.
MOST_PIECES = _convention(200_000.0, "-")
