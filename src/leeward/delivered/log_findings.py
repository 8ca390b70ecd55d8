"""Findings a log shows by itself, without its plan."""

import math
from collections.abc import Sequence
from datetime import datetime

from leeward.delivered.clock import Clock, Tally
from leeward.delivered.conventions import (
    CHANGE_ALLOWED,
    GREATEST_ANGLE,
    SAME_ANGLE,
    SHORTEST_STAY,
)
from leeward.delivered.findings import Finding, FindingKind, span_in_words
from leeward.delivered.reading import LineReader
from leeward.delivered.segments import Segment
from leeward.delivered.validity import Believed, GapCause
from leeward.terms.series import Validity
from leeward.terms.units import (
    SECONDS_PER_HOUR,
    deg_from_radians,
    min_from_seconds,
    radians_from_deg,
)
from leeward.terms.verdict import Quantity

#: More findings of one kind than this are summed up in one.
_MOST_OF_A_KIND = 20

_GAP_KINDS = {
    GapCause.SILENT: (
        FindingKind.SILENT,
        "the log has no line",
        "is the sensor powered and in reach; did the power fail?",
    ),
    GapCause.MISSING: (
        FindingKind.MISSING,
        "the log has lines but no angle",
        "is the sensor connected to what writes the log?",
    ),
    GapCause.OUT_OF_RANGE: (
        FindingKind.OUT_OF_RANGE,
        "the readings are angles no surface can have",
        "is the angle's unit in the column map right; is the sensor loose?",
    ),
}


def clock_findings(clock: Clock, zero: float, origin: datetime) -> list[Finding]:
    """Name what was wrong with the order of time.

    Parameters
    ----------
    clock : Clock
        The clock after the last line.
    zero : float
        The log's origin, since 1970-01-01T00:00:00Z. [s]
    origin : datetime
        The same, in the zone in which times are shown.

    Returns
    -------
    list of Finding
        One for each kind of trouble met.
    """
    told = (
        (
            clock.late,
            FindingKind.OUT_OF_ORDER,
            "stand after a later time and were left out",
            "was the log sorted, or written by two units?",
        ),
        (
            clock.set_back,
            FindingKind.CLOCK_SET_BACK,
            "times: the log goes back in time and goes on from there; what it says twice is "
            "counted as unknown",
            "was the clock set, or are two logs in one file?",
        ),
        (
            clock.ahead,
            FindingKind.CLOCK_AHEAD,
            "carry a time ahead of the lines around them and were left out",
            "did the clock jump; does the log run from new to old?",
        ),
        (
            clock.unset,
            FindingKind.CLOCK_UNSET,
            "carry a time before the year 2000 and were left out",
            "is the unit's clock set, and does it keep time without power?",
        ),
        (
            clock.future,
            FindingKind.IN_THE_FUTURE,
            "carry a time that has not come yet and were left out",
            "is the unit's clock right, and is the zone in the column map?",
        ),
        (
            clock.contradicting,
            FindingKind.CONTRADICTING,
            "carry the time of another line and quite another angle; those times are unknown",
            "are there two units in one log?",
        ),
    )
    return [
        _of_tally(tally, kind, f"{tally.count} {words}", look_at, (zero, origin))
        for tally, kind, words, look_at in told
        if tally.count
    ]


def _of_tally(
    tally: Tally,
    kind: FindingKind,
    sentence: str,
    look_at: str,
    origin: tuple[float, datetime],
) -> Finding:
    start, end = tally.first - origin[0], tally.last - origin[0]
    return Finding(
        kind,
        start,
        end,
        f"{kind.value}: {sentence} (first in line {tally.line})",
        look_at,
        (Quantity("lines", tally.count, "-"), Quantity("first line", tally.line, "-")),
    )


def line_findings(reader: LineReader, end: float) -> list[Finding]:
    """Name lines that could not be read and what the time column went through.

    Parameters
    ----------
    reader : LineReader
        The reader after the last line.
    end : float
        End of the log, from its origin. [s]

    Returns
    -------
    list of Finding
        Findings about lines.
    """
    found: list[Finding] = []

    def note(kind: FindingKind, sentence: str, look_at: str, count: int) -> None:
        numbers = (Quantity("lines", count, "-"),)
        found.append(Finding(kind, 0.0, end, f"{kind.value}: {sentence}", look_at, numbers))

    if reader.unreadable:
        note(
            FindingKind.UNREADABLE_LINES,
            f"{reader.unreadable} of {reader.tried} lines were left out, the first is line "
            f"{reader.first_unreadable} ({reader.first_reason})",
            "does the column map fit the whole log?",
            reader.unreadable,
        )
    if reader.nonexistent:
        note(
            FindingKind.DAYLIGHT_SAVING,
            f"{reader.nonexistent} lines carry a wall time that was left out that night when "
            "clocks went forward; times after them may be off by the change",
            "does the unit's clock follow daylight saving time?",
            reader.nonexistent,
        )
    if reader.repeated_hour:
        note(
            FindingKind.DAYLIGHT_SAVING,
            f"{reader.repeated_hour} lines carry a wall time that came twice when clocks went "
            "back; which is which was read from their order",
            "does the unit's clock follow daylight saving time?",
            reader.repeated_hour,
        )
    if len(reader.offsets) > 1:
        shown = [f"{o.total_seconds() / SECONDS_PER_HOUR:+g} h" for o in reader.offsets[:4]]
        note(
            FindingKind.ZONE_CHANGED,
            f"the offset of the times changes ({', '.join(shown)}); each was read as written",
            "daylight saving, or a clock set to another zone?",
            len(reader.offsets),
        )
    return found


def belief_findings(believed: Believed, zero: float, origin: datetime) -> list[Finding]:
    """Name silences, readings that were not believed and a sensor that stood still.

    Parameters
    ----------
    believed : Believed
        The book of readings after the last line.
    zero : float
        The log's origin, since 1970-01-01T00:00:00Z. [s]
    origin : datetime
        The same, in the zone in which times are shown.

    Returns
    -------
    list of Finding
        Findings in order of kind and time.
    """
    found: list[Finding] = []
    for cause, (kind, words, look_at) in _GAP_KINDS.items():
        spans = [(g.start - zero, g.end - zero) for g in believed.gaps if g.cause is cause]
        found += _of_spans(kind, words, look_at, spans, origin)
    frozen = [(run.start - zero, run.end - zero) for run in believed.frozen()]
    found += _of_spans(
        FindingKind.FROZEN,
        "one and the same reading is repeated so that a sensor that stopped cannot be told from a "
        "surface that stood still",
        "move the sensor by hand: do the readings follow?",
        frozen,
        origin,
    )
    at = (zero, origin)
    if believed.out_of_range.count:
        limit = deg_from_radians(GREATEST_ANGLE.value)
        words = f"{believed.out_of_range.count} readings lie beyond {limit:g}° and were left out"
        look_at = "is the angle's unit in the column map right; is the sensor loose?"
        found.append(_of_tally(believed.out_of_range, FindingKind.OUT_OF_RANGE, words, look_at, at))
    if believed.missing.count:
        words = f"{believed.missing.count} lines have no angle"
        look_at = "is the sensor connected to what writes the log?"
        found.append(_of_tally(believed.missing, FindingKind.MISSING, words, look_at, at))
    if believed.fast.count:
        words = f"{believed.fast.count} readings jump further than a surface moves; left out"
        look_at = "is the sensor fastened; is its cable sound?"
        found.append(_of_tally(believed.fast, FindingKind.TOO_FAST, words, look_at, at))
    return found


def _of_spans(
    kind: FindingKind,
    words: str,
    look_at: str,
    spans: list[tuple[float, float]],
    origin: datetime,
) -> list[Finding]:
    if len(spans) > _MOST_OF_A_KIND:
        total = min_from_seconds(sum(end - start for start, end in spans))
        over = (spans[0][0], spans[-1][1])
        sentence = f"{len(spans)} times, {total:.0f} min together, {words}"
        summed = (Quantity("times", len(spans), "-"), Quantity("duration", total, "min"))
        text = f"{kind.value}: {sentence} ({span_in_words(origin, *over)})"
        return [Finding(kind, *over, text, look_at, summed)]
    found = []
    for start, end in spans:
        length = min_from_seconds(end - start)
        text = f"{kind.value}: {words} {span_in_words(origin, start, end)} ({length:.0f} min)"
        numbers = (Quantity("duration", length, "min"),)
        found.append(Finding(kind, start, end, text, look_at, numbers))
    return found


def shape_findings(segments: Sequence[Segment], zero: float) -> list[Finding]:
    """Name what the course of the angle shows: no turn, a level beside zero, drift.

    Parameters
    ----------
    segments : sequence of Segment
        Segments in order of time, since 1970-01-01T00:00:00Z.
    zero : float
        The log's origin, since 1970-01-01T00:00:00Z. [s]

    Returns
    -------
    list of Finding
        Findings over the whole log.
    """
    stays = [s for s in segments if s.validity is Validity.KNOWN]
    if not stays:
        return []
    over = (segments[0].start - zero, segments[-1].end - zero)
    largest = max(abs(s.turn) for s in stays)
    if largest < 2.0 * CHANGE_ALLOWED.value:
        degrees = deg_from_radians(largest)
        return [
            Finding(
                FindingKind.NEVER_TURNED,
                *over,
                f"no turn seen: the largest angle of any stay is {degrees:.1f}°",
                "is the unit running; is the angle's unit in the column map right?",
                (Quantity("largest angle", degrees, "deg"),),
            )
        ]
    return [*_offset(stays, largest, over), *_drift(stays, over)]


def _offset(stays: list[Segment], largest: float, over: tuple[float, float]) -> list[Finding]:
    level = [s for s in stays if abs(s.turn) < largest / 2.0 and s.end - s.start >= 600.0]
    total = sum(s.end - s.start for s in level)
    if not level:
        return []
    mean = sum(s.turn * (s.end - s.start) for s in level) / total
    if abs(mean) < SAME_ANGLE.value:
        return []
    degrees = deg_from_radians(mean)
    return [
        Finding(
            FindingKind.OFFSET,
            *over,
            f"level reads beside zero: the flattest stays read {degrees:+.1f}° on average",
            "does the sensor lie flat; does the bed stand level?",
            (Quantity("reading at level", degrees, "deg"),),
        )
    ]


def _drift(stays: list[Segment], over: tuple[float, float]) -> list[Finding]:
    long = [s for s in stays if s.end - s.start >= 4.0 * SHORTEST_STAY.value]
    if len(long) < 3:
        return []
    slopes = sorted(s.drift for s in long)
    middle = slopes[len(slopes) // 2]
    if abs(middle) * SECONDS_PER_HOUR < radians_from_deg(1.0) or math.isnan(middle):
        return []
    per_hour = deg_from_radians(middle) * SECONDS_PER_HOUR
    return [
        Finding(
            FindingKind.DRIFT,
            *over,
            f"the angle drifts within stays by {per_hour:+.1f}° an hour: a leak or a drifting "
            "sensor; one signal cannot tell them apart",
            "measure the angle by hand at the start and at the end of a stay",
            (Quantity("drift", per_hour, "deg/h"),),
        )
    ]
