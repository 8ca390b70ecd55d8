"""Each delivered stay against the planned one: kept, or how it differs."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum

from leeward.review.conventions import (
    ANGLE_TOLERANCE,
    LEAST_TIME_TOLERANCE,
)
from leeward.review.matching import Match, mean_stay, time_tolerance
from leeward.review.real_days import RealWindow
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Posture, turn_in_words
from leeward.terms.units import deg_from_radians, radians_from_deg


class StayOutcome(StrEnum):
    """How a delivered stay compares with its plan."""

    KEPT = "kept"
    SHORT = "short"
    LONG = "long"
    OTHER_SIDE = "other side"
    ANGLE_NOT_REACHED = "angle not reached"
    ANGLE_BEYOND = "angle beyond the plan"
    AGREED = "agreed departure"
    OUT_OF_BED = "planned out of bed"


#: Outcomes that are no difference from the plan.
NO_DIFFERENCE = (StayOutcome.KEPT, StayOutcome.AGREED, StayOutcome.OUT_OF_BED)


@dataclass(frozen=True, slots=True)
class AgreedDeparture:
    """A time in which the person or the team chose otherwise: never a deviation.

    Parameters
    ----------
    start, end : datetime
        Between which times, aware.
    what : str
        What was chosen.
    agreed_by : str
        Who chose it.
    """

    start: datetime
    end: datetime
    what: str
    agreed_by: str

    def __post_init__(self) -> None:
        if self.start.tzinfo is None or self.end.tzinfo is None or not self.end > self.start:
            raise InvalidInput(
                f"from {self.start.isoformat()} to {self.end.isoformat()}",
                where=f"agreed departure {self.what!r}",
                expected="two times with their zone, the end after the start",
                remedy="correct the times",
            )


@dataclass(frozen=True, slots=True)
class JudgedStay:
    """A delivered stay, judged.

    Parameters
    ----------
    start, end : float
        From the log's origin. [s]
    turn : float
        Tilt delivered, positive to the person's left. [rad]
    planned : Posture
        Posture it stands for.
    planned_duration : float
        How long it was to last: for a stay over the edge of windows, with the time planned
        beyond the edge. [s]
    outcome : StayOutcome
        How it compares.
    left_out : int
        Planned stays left out before it or standing still through it. [-]
    match : Match
        How it was matched.
    """

    start: float
    end: float
    turn: float
    planned: Posture
    planned_duration: float
    outcome: StayOutcome
    left_out: int
    match: Match

    @property
    def duration(self) -> float:
        """How long it lasted as far as seen. [s]"""
        return self.end - self.start


def measured_in_words(turn: float) -> str:
    """Say a measured turn; what cannot be told from level is called level.

    Parameters
    ----------
    turn : float
        Measured tilt, positive to the person's left. [rad]

    Returns
    -------
    str
        Words naming the side turned to and the side raised, to whole degrees.
    """
    if abs(turn) < ANGLE_TOLERANCE.value / 2.0:
        return "level"
    return turn_in_words(radians_from_deg(round(deg_from_radians(turn))))


def judge_stays(
    matches: Sequence[Match],
    windows: Sequence[RealWindow],
    agreed: Sequence[tuple[float, float]],
) -> tuple[JudgedStay, ...]:
    """Judge stays one by one.

    Parameters
    ----------
    matches : sequence of Match
        Delivered stays with the planned ones they stand for.
    windows : sequence of RealWindow
        Windows of the plan.
    agreed : sequence of tuple
        Start and end of agreed departures, from the log's origin. [s]

    Returns
    -------
    tuple of JudgedStay
        In order of time. A stay that borders on unknown time is never called short.
    """
    judged = [_judged(match, windows, agreed) for match in matches]
    for number in range(1, len(judged)):
        # A unit started again after an agreed departure may begin its cycle afresh.
        if judged[number - 1].outcome is StayOutcome.AGREED and judged[number].match.left_out:
            freed = judged[number].left_out - judged[number].match.left_out
            judged[number] = replace(judged[number], left_out=max(0, freed))
    return tuple(judged)


def _judged(
    match: Match, windows: Sequence[RealWindow], agreed: Sequence[tuple[float, float]]
) -> JudgedStay:
    kept = match.kept
    planned = _planned_duration(match, windows)
    left_out = match.left_out
    if any(low < kept.end and high > kept.start for low, high in agreed):
        outcome, left_out = StayOutcome.AGREED, 0
    elif not match.window.is_in_bed:
        outcome, left_out = StayOutcome.OUT_OF_BED, 0
    else:
        outcome = _outcome(match, planned)
        if outcome is StayOutcome.LONG and match.window.is_turning:
            left_out += round((kept.duration - planned) / mean_stay(match.window))
    return JudgedStay(
        start=kept.start,
        end=kept.end,
        turn=kept.turn,
        planned=match.planned.posture,
        planned_duration=planned,
        outcome=outcome,
        left_out=left_out,
        match=match,
    )


def _outcome(match: Match, planned: float) -> StayOutcome:
    kept, turn = match.kept, match.planned.posture.turn
    tolerance = time_tolerance(planned)
    if kept.turn * turn < 0.0 and abs(kept.turn) > ANGLE_TOLERANCE.value:
        return StayOutcome.OTHER_SIDE
    if kept.duration > planned + tolerance:
        return StayOutcome.LONG
    if abs(kept.turn - turn) > ANGLE_TOLERANCE.value:
        is_less = abs(kept.turn) < abs(turn)
        return StayOutcome.ANGLE_NOT_REACHED if is_less else StayOutcome.ANGLE_BEYOND
    if kept.duration < planned - tolerance and not _may_be_longer(match):
        return StayOutcome.SHORT
    return StayOutcome.KEPT


def _may_be_longer(match: Match) -> bool:
    """Whether silence or the edge of a window, where the cycle begins afresh, cut it short."""
    kept, window = match.kept, match.window
    edge = LEAST_TIME_TOLERANCE.value
    at_edge = kept.start < window.start + edge or kept.end > window.end - edge
    return kept.begins_unseen or kept.ends_unseen or at_edge or not window.is_turning


def _planned_duration(match: Match, windows: Sequence[RealWindow]) -> float:
    kept = match.kept
    total = 0.0
    for window in windows:
        overlap = min(kept.end, window.end) - max(kept.start, window.start)
        if window is match.window:
            total += match.planned.duration if window.is_turning else max(overlap, 0.0)
        elif overlap > 0.0:
            near = [
                stay.duration
                for stay in window.cycle
                if abs(stay.posture.turn - kept.turn) <= ANGLE_TOLERANCE.value
            ]
            total += min(overlap, max(near, default=0.0)) if window.is_turning else overlap
    return total
