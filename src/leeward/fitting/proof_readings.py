"""What was read in the test before leaving: angles on each side, hands, times, alarms."""

from dataclasses import dataclass, replace
from datetime import date

from leeward.terms.series import PostureSeries, Validity
from leeward.terms.skin import HandPassage

#: A log's stay shorter than this is a movement's pause. Convention of this project. [s]
SHORTEST_STAY = 240.0
#: A surface tilted less than this counts as level in a log. Convention of this project. [rad]
LEVEL = 0.05


@dataclass(frozen=True, slots=True)
class AngleReading:
    """The surface set to a turn, and what was read of it.

    Parameters
    ----------
    is_loaded : bool
        Whether the person lay on it.
    wanted : float
        Signed turn that was set. [rad]
    found : float or None
        Signed turn that an independent instrument showed. [rad]
    shown : float or None
        Signed turn that the unit itself showed. [rad]
    time_to_angle : float or None
        From the start of the movement to its end. [s]
    later : tuple of (float, float)
        Seconds after the first reading [s], and the turn then [rad].
    hand : HandPassage or None
        How a hand passed under the sacrum.
    """

    is_loaded: bool
    wanted: float
    found: float | None = None
    shown: float | None = None
    time_to_angle: float | None = None
    later: tuple[tuple[float, float], ...] = ()
    hand: HandPassage | None = None


@dataclass(frozen=True, slots=True)
class ProofReadings:
    """Everything read in one test.

    Parameters
    ----------
    done_by : str
        Who did the test.
    done_on : date
        Day.
    second_person : str
        Who else was there; empty where nobody was.
    unit_serial, software_version : str
        As on the unit; empty where nobody read them.
    instrument : str
        What the angles were read with.
    instrument_error : float or None
        How far it may be off, either way, in 19 of 20 readings. [rad]
    angles : tuple of AngleReading
        In the order they were read.
    pause_backrest : float or None
        Backrest at which the unit paused. [rad]
    surface_level_after, mattress_firm_after : float or None
        From the release until level, and until firm enough for compressions. [s]
    longest_release : float or None
        What instructions or the local resuscitation policy allow for both. [s]
    released_by : str
        Who did it, of those who will do it at night.
    mains_alarm, sensor_alarm : bool or None
        Whether it alarmed with the mains off, and with the sensor's lead off.
    photos : tuple of str
        Hashes of photos.
    """

    done_by: str
    done_on: date
    second_person: str = ""
    unit_serial: str = ""
    software_version: str = ""
    instrument: str = ""
    instrument_error: float | None = None
    angles: tuple[AngleReading, ...] = ()
    pause_backrest: float | None = None
    surface_level_after: float | None = None
    mattress_firm_after: float | None = None
    longest_release: float | None = None
    released_by: str = ""
    mains_alarm: bool | None = None
    sensor_alarm: bool | None = None
    photos: tuple[str, ...] = ()


def with_log(readings: ProofReadings, series: PostureSeries) -> ProofReadings:
    """Take from a log the angles with the person on the surface that nobody read.

    Parameters
    ----------
    readings : ProofReadings
        What was read.
    series : PostureSeries
        Postures really kept during the test.

    Returns
    -------
    ProofReadings
        Where a loaded reading has no angle, that of the longest stay of at least four minutes
        on its side; none where the log has no such stay. How far an angle dropped during a stay
        is not in a series.
    """
    held = [
        (float(length), posture.turn)
        for length, posture, validity in zip(
            series.durations, series.postures, series.validity, strict=True
        )
        if validity is Validity.KNOWN and length >= SHORTEST_STAY
    ]
    return replace(readings, angles=tuple(_filled(one, held) for one in readings.angles))


def _filled(reading: AngleReading, held: list[tuple[float, float]]) -> AngleReading:
    if not reading.is_loaded or reading.found is not None:
        return reading
    same = [
        (length, turn)
        for length, turn in held
        if (
            abs(turn) < LEVEL
            if reading.wanted == 0.0
            else turn * reading.wanted > 0.0 and abs(turn) >= LEVEL
        )
    ]
    return replace(reading, found=max(same)[1] if same else None)
