"""The test before leaving, judged: each reading against what was set, and what may be done now."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from leeward.fitting.causes import rank, signs_of
from leeward.fitting.leak import FAST_DROP, deg_per_hour, drop_rate
from leeward.fitting.proof_readings import AngleReading, ProofReadings, with_log
from leeward.terms.case import Case
from leeward.terms.equipment import Ability, Equipment
from leeward.terms.errors import CannotCompute
from leeward.terms.posture import turn_in_words
from leeward.terms.series import PostureSeries
from leeward.terms.skin import HandPassage
from leeward.terms.sourced import Sourced
from leeward.terms.units import deg_from_radians, radians_from_deg
from leeward.terms.verdict import Quantity, Verdict

_CONVENTION: Final = "convention of this project"
_NOBODY: Final = "not applicable"

#: How far a reading may lie from what was set.
TURN_OFF: Final = Sourced(radians_from_deg(3.0), "rad", _CONVENTION, _NOBODY)
#: How far level may lie from level.
LEVEL_OFF: Final = Sourced(radians_from_deg(2.0), "rad", _CONVENTION, _NOBODY)
#: How far the two sides may differ in how near they come to what was set.
SIDES_APART: Final = Sourced(radians_from_deg(3.0), "rad", _CONVENTION, _NOBODY)
#: How much longer than its instructions say a movement may take.
SLOWER: Final = Sourced(1.25, "-", _CONVENTION, _NOBODY)
#: How far from its instructions the backrest may be at which the unit pauses.
PAUSE_OFF: Final = Sourced(radians_from_deg(3.0), "rad", _CONVENTION, _NOBODY)


class ProofOutcome(StrEnum):
    """What may be done after the test."""

    NO_PROBLEM_FOUND = "no problem found"
    ADJUST_AND_REPEAT = "adjust and repeat"
    NOT_FINISHED = "not finished: cannot tell"
    DO_NOT_USE = "do not use"


#: When to stop the test at once. Common practice, no source.
STOP_AT_ONCE: Final = (
    "the person is in pain, short of breath, pale, frightened or asks to stop",
    "a tube, line or drain is pulled or kinked",
    "the body slides, or comes to the edge of the mattress",
    "a gap opens at a rail in which a head, neck or hand could be caught",
    "a strap tears or the unit wanders, smells, or makes a new noise",
)

#: What ends the proof's validity.
ENDS_WITH: Final = (
    "another part, mattress, layer, rail or bed",
    "the unit moved, or unused for two weeks",
    "a change of the person's mass by 10 %",
    "a stay in hospital",
)


@dataclass(frozen=True, slots=True)
class Judged:
    """One thing judged.

    Parameters
    ----------
    code : str
        Stable lower-case key.
    verdict : Verdict
        As planned, differs, or cannot tell.
    sentence : str
        What was found.
    is_grave : bool
        Whether the surface may not be used while it differs.
    numbers : tuple of Quantity
        The numbers it rests on.
    """

    code: str
    verdict: Verdict
    sentence: str
    is_grave: bool = False
    numbers: tuple[Quantity, ...] = ()


@dataclass(frozen=True, slots=True)
class Proof:
    """The test as judged.

    Parameters
    ----------
    outcome : ProofOutcome
        What may be done.
    judged : tuple of Judged
        Everything judged.
    causes : tuple of str
        What would explain the readings, best first; empty where nothing differs.
    stop_at_once, ends_with : tuple of str
        When to stop a test, and what ends its validity.
    """

    outcome: ProofOutcome
    judged: tuple[Judged, ...]
    causes: tuple[str, ...] = ()
    stop_at_once: tuple[str, ...] = STOP_AT_ONCE
    ends_with: tuple[str, ...] = ENDS_WITH


def prove(case: Case, readings: ProofReadings, seen: PostureSeries | None = None) -> Proof:
    """Judge a test.

    Parameters
    ----------
    case : Case
        The case, with its unit.
    readings : ProofReadings
        What was read.
    seen : PostureSeries or None
        Log of the test; it gives the angles with the person on the surface that nobody read.

    Returns
    -------
    Proof
        No problem is found only where every step was read and is as planned.

    Raises
    ------
    CannotCompute
        If the case names no unit.
    """
    unit = case.equipment
    if unit is None:
        raise CannotCompute(
            "no tilting unit",
            where="case, equipment",
            expected="the unit that was tested",
            remedy="name it under `equipment`",
        )
    if seen is not None:
        readings = with_log(readings, seen)
    judged = [
        *_people(readings),
        *_steps_missing(unit, readings),
        *(one for reading in readings.angles for one in _angle(reading, unit.ability)),
        *_sides(readings),
        *_drops(readings),
        *_hands(readings),
        *_pause(unit.ability, readings),
        *_release(readings),
        *_alarms(unit, readings),
    ]
    differs = any(one.verdict is Verdict.DIFFERS for one in judged)
    ranked = rank(signs_of(readings, unit.ability)).named if differs else ()
    return Proof(_outcome(judged), tuple(judged), ranked)


def _outcome(judged: list[Judged]) -> ProofOutcome:
    differs = [one for one in judged if one.verdict is Verdict.DIFFERS]
    if any(one.is_grave for one in differs):
        return ProofOutcome.DO_NOT_USE
    if differs:
        return ProofOutcome.ADJUST_AND_REPEAT
    if any(one.verdict is Verdict.CANNOT_TELL for one in judged):
        return ProofOutcome.NOT_FINISHED
    return ProofOutcome.NO_PROBLEM_FOUND


def _people(readings: ProofReadings) -> list[Judged]:
    found = []
    if not readings.second_person:
        sentence = "Only one person is named: with somebody on the surface two staff do the test."
        found.append(Judged("two-staff", Verdict.CANNOT_TELL, sentence))
    if readings.instrument_error is None:
        sentence = (
            "Nobody wrote down the instrument's error. A phone laid down twice, turned end for end "
            "between, on a firm board, shows it: half the difference of the two readings."
        )
        found.append(Judged("instrument-error", Verdict.CANNOT_TELL, sentence))
    if not readings.unit_serial:
        sentence = "Nobody wrote down the unit's serial number: the proof is of no one unit."
        found.append(Judged("serial", Verdict.CANNOT_TELL, sentence))
    return found


def _steps_missing(unit: Equipment, readings: ProofReadings) -> list[Judged]:
    """Level and each side that the unit turns to, empty first, then with the person."""
    ability = unit.ability
    sides = [("level", 0.0)]
    sides += [("turned to the left", 1.0)] if ability.largest_turn_left > 0.0 else []
    sides += [("turned to the right", -1.0)] if ability.largest_turn_right > 0.0 else []
    read = {(one.is_loaded, _sign(one)) for one in readings.angles if one.found is not None}
    return [
        Judged(
            "step-missing",
            Verdict.CANNOT_TELL,
            f"No angle was read {'with the person' if is_loaded else 'empty'}, {what}: read it.",
        )
        for is_loaded in (False, True)
        for what, sign in sides
        if (is_loaded, sign) not in read
    ]


def _sign(reading: AngleReading) -> float:
    return 0.0 if reading.wanted == 0.0 else (1.0 if reading.wanted > 0.0 else -1.0)


def _named(reading: AngleReading) -> str:
    return f"{'With the person' if reading.is_loaded else 'Empty'}, {turn_in_words(reading.wanted)}"


def _angle(reading: AngleReading, ability: Ability) -> list[Judged]:
    if reading.found is None:
        return []
    off = abs(reading.found - reading.wanted)
    allowed = LEVEL_OFF.value if reading.wanted == 0.0 else TURN_OFF.value
    numbers = (
        Quantity("set", round(deg_from_radians(reading.wanted), 1), "deg"),
        Quantity("read", round(deg_from_radians(reading.found), 1), "deg"),
    )
    is_exchanged = reading.found * reading.wanted < 0.0 and off > allowed
    differs = off > allowed + 1e-9
    sentence = f"{_named(reading)} was set; read: {turn_in_words(reading.found)}."
    if is_exchanged:
        sentence += " The sides are exchanged: hoses, or the unit the wrong way round."
    found = [
        Judged(
            "sides-exchanged" if is_exchanged else "angle",
            Verdict.DIFFERS if differs else Verdict.AS_PLANNED,
            sentence,
            is_grave=is_exchanged or abs(reading.found) > abs(reading.wanted) + TURN_OFF.value,
            numbers=numbers,
        )
    ]
    return found + _shown(reading) + _time(reading, ability)


def _shown(reading: AngleReading) -> list[Judged]:
    if reading.shown is None or reading.found is None:
        return []
    differs = abs(reading.shown - reading.found) > TURN_OFF.value + 1e-9
    sentence = (
        f"{_named(reading)}: the unit itself shows {turn_in_words(reading.shown)}, the instrument "
        f"{turn_in_words(reading.found)}."
    )
    verdict = Verdict.DIFFERS if differs else Verdict.AS_PLANNED
    return [Judged("unit-shows", verdict, sentence)]


def _time(reading: AngleReading, ability: Ability) -> list[Judged]:
    if reading.wanted == 0.0:
        return []
    if reading.time_to_angle is None:
        sentence = f"{_named(reading)}: nobody timed the movement."
        return [Judged("time-missing", Verdict.CANNOT_TELL, sentence)]
    largest = ability.largest_turn_left if reading.wanted > 0.0 else ability.largest_turn_right
    usual = ability.rise_time * abs(reading.wanted) / max(largest, 1e-9)
    differs = reading.time_to_angle > SLOWER.value * usual
    sentence = (
        f"{_named(reading)}: there after {reading.time_to_angle:.0f} s; by the unit's file "
        f"{usual:.0f} s, at most {SLOWER.value * usual:.0f} s are allowed."
    )
    numbers = (Quantity("time to angle", round(reading.time_to_angle), "s"),)
    verdict = Verdict.DIFFERS if differs else Verdict.AS_PLANNED
    return [Judged("time-to-angle", verdict, sentence, numbers=numbers)]


def _sides(readings: ProofReadings) -> list[Judged]:
    """Whether both sides fall short alike, with the person on it."""
    short = {
        _sign(one): abs(one.wanted) - abs(one.found)
        for one in readings.angles
        if one.is_loaded and one.found is not None and one.wanted != 0.0
    }
    if len(short) < 2:
        return []
    apart = abs(short[1.0] - short[-1.0])
    sentence = (
        f"Turned to the left, right side raised, it stays {deg_from_radians(short[1.0]):.1f}° "
        f"short; turned to the right, left side raised, {deg_from_radians(short[-1.0]):.1f}°."
    )
    verdict = Verdict.DIFFERS if apart > SIDES_APART.value + 1e-9 else Verdict.AS_PLANNED
    numbers = (Quantity("sides apart", round(deg_from_radians(apart), 1), "deg"),)
    return [Judged("symmetry", verdict, sentence, numbers=numbers)]


def _drops(readings: ProofReadings) -> list[Judged]:
    error = readings.instrument_error
    turned = [one for one in readings.angles if one.is_loaded and one.wanted != 0.0]
    return [_drop(one, error) for one in turned if one.found is not None]


def _drop(reading: AngleReading, error: float | None) -> Judged:
    if not reading.later or error is None or error <= 0.0:
        sentence = (
            f"{_named(reading)}: nobody read the angle again, so no leak of any size could have "
            "been seen. Read it again after 15 and 30 minutes; the first night's log completes it."
        )
        return Judged("drop-missing", Verdict.CANNOT_TELL, sentence)
    assert reading.found is not None
    times = (0.0, *(after for after, _ in reading.later))
    turns = (abs(reading.found), *(abs(turn) for _, turn in reading.later))
    drop = drop_rate(times, turns, error)
    seen = f"the smallest leak this test could have seen is {deg_per_hour(drop.smallest_seen):.1f}"
    sentence = (
        f"{_named(reading)}: drops {deg_per_hour(drop.rate):.1f}°/h "
        f"({deg_per_hour(drop.low):.1f} to {deg_per_hour(drop.high):.1f}); {seen}°/h."
    )
    numbers = (
        Quantity("drop", round(deg_per_hour(drop.rate), 2), "deg/h"),
        Quantity("smallest leak seen", round(deg_per_hour(drop.smallest_seen), 2), "deg/h"),
    )
    if drop.low > 0.0 and drop.rate > FAST_DROP.value:
        return Judged("drop", Verdict.DIFFERS, sentence, numbers=numbers)
    if drop.high > FAST_DROP.value:
        more = (
            " Whether it keeps its turn for a night cannot be told: the night's log completes it."
        )
        return Judged("drop", Verdict.CANNOT_TELL, sentence + more, numbers=numbers)
    return Judged("drop", Verdict.AS_PLANNED, sentence, numbers=numbers)


def _hands(readings: ProofReadings) -> list[Judged]:
    found = []
    for reading in readings.angles:
        if not reading.is_loaded or reading.wanted == 0.0:
            continue
        where = f"{_named(reading)}: a hand under the sacrum"
        if reading.hand is None:
            sentence = f"{where} was not tried."
            found.append(Judged("hand-missing", Verdict.CANNOT_TELL, sentence))
        else:
            passes = reading.hand is HandPassage.PASSES
            verdict = Verdict.AS_PLANNED if passes else Verdict.DIFFERS
            words = {
                HandPassage.PASSES: "passes",
                HandPassage.TIGHT: "is tight",
                HandPassage.DOES_NOT_PASS: "does not pass: this turn does not take the load off it",
            }
            found.append(Judged("hand", verdict, f"{where} {words[reading.hand]}."))
    return found


def _pause(ability: Ability, readings: ProofReadings) -> list[Judged]:
    edge = ability.pauses_above_backrest
    if edge is None:
        return []
    if readings.pause_backrest is None:
        sentence = (
            "Nobody raised the backrest until the unit paused; by its file it does above "
            f"{deg_from_radians(edge):.0f}°."
        )
        return [Judged("pause-missing", Verdict.CANNOT_TELL, sentence)]
    off = abs(readings.pause_backrest - edge)
    sentence = (
        f"It paused with the backrest at {deg_from_radians(readings.pause_backrest):.0f}°; by its "
        f"file above {deg_from_radians(edge):.0f}°."
    )
    verdict = Verdict.DIFFERS if off > PAUSE_OFF.value + 1e-9 else Verdict.AS_PLANNED
    return [Judged("pause", verdict, sentence, is_grave=readings.pause_backrest > edge)]


def _release(readings: ProofReadings) -> list[Judged]:
    """Level and firm enough for compressions: surface and mattress, by those on at night."""
    times = (readings.surface_level_after, readings.mattress_firm_after)
    allowed = readings.longest_release
    if any(time is None for time in times) or allowed is None or not readings.released_by:
        sentence = (
            "The release for resuscitation is not whole: time until the surface is level, until "
            "the mattress is firm, how long instructions or policy allow, and who of those on "
            "at night did it."
        )
        return [Judged("release-missing", Verdict.CANNOT_TELL, sentence)]
    longest = max(time for time in times if time is not None)
    sentence = (
        f"Released by {readings.released_by}: level and firm after {longest:.0f} s; "
        f"{allowed:.0f} s are allowed."
    )
    verdict = Verdict.DIFFERS if longest > allowed else Verdict.AS_PLANNED
    return [Judged("release", verdict, sentence, is_grave=True)]


def _alarms(unit: Equipment, readings: ProofReadings) -> list[Judged]:
    asked = [("mains-alarm", "with the mains off", readings.mains_alarm)]
    if unit.geometry.sensing_elements:
        asked.append(("sensor-alarm", "with the sensor's lead off", readings.sensor_alarm))
    found = []
    for code, when, alarmed in asked:
        if alarmed is None:
            sentence = f"Nobody tried whether it alarms {when}."
            found.append(Judged(code, Verdict.CANNOT_TELL, sentence))
        else:
            sentence = f"It {'alarms' if alarmed else 'does not alarm'} {when}."
            verdict = Verdict.AS_PLANNED if alarmed else Verdict.DIFFERS
            found.append(Judged(code, verdict, sentence, is_grave=True))
    return found
