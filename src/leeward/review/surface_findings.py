"""What plan and log together show of the unit: paused, stopped, other side, out of step."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from leeward.delivered.findings import Finding, FindingKind, span_in_words
from leeward.review.conventions import ANGLE_TOLERANCE, OTHER_SIDE_SHARE, RAISED_BACKREST
from leeward.review.judged_stays import JudgedStay, StayOutcome, measured_in_words
from leeward.terms.day import Day
from leeward.terms.series import PostureSeries, Validity
from leeward.terms.units import (
    SECONDS_PER_DAY,
    SECONDS_PER_HOUR,
    SECONDS_PER_MINUTE,
    deg_from_radians,
    min_from_seconds,
)
from leeward.terms.verdict import Quantity


@dataclass(frozen=True, slots=True)
class SideAgreement:
    """Where the surface was while the plan had it turned, by the clock.

    Parameters
    ----------
    turned : float
        Known time in which a turn was planned. [s]
    same, other : float
        Share of it on the planned and on the other side; the rest was level. [-]
    """

    turned: float
    same: float
    other: float

    @property
    def is_other(self) -> bool:
        """Whether the other side was the rule."""
        return (
            self.turned >= 2.0 * SECONDS_PER_HOUR
            and self.other >= OTHER_SIDE_SHARE.value
            and self.other > 3.0 * self.same
        )


def side_agreement(planned: PostureSeries, delivered: PostureSeries) -> SideAgreement:
    """Compare sides by the clock.

    Parameters
    ----------
    planned : PostureSeries
        The plan.
    delivered : PostureSeries
        The log, from the same origin.

    Returns
    -------
    SideAgreement
        Unknown time is left out of it.
    """
    if not planned.postures or not delivered.postures:
        return SideAgreement(0.0, 0.0, 0.0)
    edges = np.unique(np.concatenate((planned.edges, delivered.edges)))
    middles, lengths = (edges[1:] + edges[:-1]) / 2.0, np.diff(edges)
    plan = _at(planned, middles)
    log = _at(delivered, middles)
    is_turned = (np.abs(plan) > 0.0) & np.isfinite(log) & np.isfinite(plan)
    total = float(lengths[is_turned].sum())
    if total <= 0.0:
        return SideAgreement(0.0, 0.0, 0.0)
    side = np.where(np.abs(log) > ANGLE_TOLERANCE.value, np.sign(log), 0.0)
    same = float(lengths[is_turned & (side == np.sign(plan))].sum())
    other = float(lengths[is_turned & (side == -np.sign(plan))].sum())
    return SideAgreement(total, same / total, other / total)


def _at(series: PostureSeries, times: NDArray[np.float64]) -> NDArray[np.float64]:
    turns = np.array(
        [
            math.nan if validity is Validity.UNKNOWN else posture.turn
            for posture, validity in zip(series.postures, series.validity, strict=True)
        ]
    )
    number = np.searchsorted(series.edges, times, side="right") - 1
    is_inside = (number >= 0) & (number < len(turns))
    return np.where(is_inside, turns[np.clip(number, 0, len(turns) - 1)], np.nan)


def side_findings(agreement: SideAgreement, over: tuple[float, float]) -> list[Finding]:
    """Name exchanged sides, or a unit out of step with the clock.

    Parameters
    ----------
    agreement : SideAgreement
        Sides by the clock.
    over : tuple of float
        Start and end of the time compared, from the log's origin. [s]

    Returns
    -------
    list of Finding
        At most one.
    """
    shown = (
        Quantity("on the planned side", round(100.0 * agreement.same, 1), "%"),
        Quantity("on the other side", round(100.0 * agreement.other, 1), "%"),
    )
    if agreement.is_other:
        return [
            Finding(
                FindingKind.OTHER_SIDE,
                *over,
                f"turned to the other side than planned in {100.0 * agreement.other:.0f} % of the "
                "time planned turned: sides exchanged look like this, and so does a unit half a "
                "cycle out of step",
                "watch the next turn: which side of the person is raised, and which does the log "
                "say?",
                shown,
            )
        ]
    has_turned = agreement.same + agreement.other > 0.1
    if has_turned and agreement.same < OTHER_SIDE_SHARE.value:
        return [
            Finding(
                FindingKind.OUT_OF_STEP,
                *over,
                "out of step with the clock: on the planned side in only "
                f"{100.0 * agreement.same:.0f} % of the time planned turned; stays are compared "
                "by their order and length",
                "is the unit's clock or the zone in the column map an hour off, or was the unit "
                "started again between?",
                shown,
            )
        ]
    return []


def stop_findings(stays: Sequence[JudgedStay], day: Day, origin: datetime) -> list[Finding]:
    """Name stays that went on too long, by what they look like.

    Parameters
    ----------
    stays : sequence of JudgedStay
        Judged stays.
    day : Day
        Rounds and the length of care.
    origin : datetime
        The log's origin, in the zone of the day.

    Returns
    -------
    list of Finding
        One for each stay called long.
    """
    return [_stop(s, day, origin) for s in stays if s.outcome is StayOutcome.LONG]


def _stop(stay: JudgedStay, day: Day, origin: datetime) -> Finding:
    extra = stay.duration - stay.planned_duration
    kept = stay.match.kept
    near_round = _round_in(stay, day, origin)
    words = (
        f"the surface stayed {measured_in_words(stay.turn)} "
        f"{span_in_words(origin, stay.start, stay.end)}, "
        f"{min_from_seconds(extra):.0f} min longer than the "
        f"{min_from_seconds(stay.planned_duration):.0f} min planned"
    )
    raised = kept.backrest - stay.planned.backrest > RAISED_BACKREST.value
    kind, look_at = FindingKind.PAUSED, "what was going on then; was the pause meant?"
    if raised:
        words += f", with the backrest at {deg_from_radians(kept.backrest):.0f}°"
        look_at = "does the unit pause above a backrest angle, and was the backrest lowered after?"
    elif kept.begins_unseen and stay.start > 0.0:
        kind = FindingKind.POWER_LOSS
        words += ", after the log had been silent"
        look_at = "was the power off, and what does the unit do when power returns?"
    elif extra > day.care_time or kept.ends_unseen:
        kind = FindingKind.STOPPED
        look_at = "is the unit running now; how is it started again after care?"
    if near_round:
        words += "; a carers' round fell into it"
    numbers = (
        Quantity("stay", min_from_seconds(stay.duration), "min"),
        Quantity("planned", min_from_seconds(stay.planned_duration), "min"),
    )
    return Finding(kind, stay.start, stay.end, f"{kind.value}: {words}", look_at, numbers)


def _round_in(stay: JudgedStay, day: Day, origin: datetime) -> bool:
    """Whether a round goes on at the start of the stay or begins before it was to end."""
    begins = datetime.fromtimestamp(origin.timestamp() + stay.start, tz=origin.tzinfo)
    of_day = begins.hour * SECONDS_PER_HOUR + begins.minute * SECONDS_PER_MINUTE
    reach = stay.planned_duration + 2.0 * day.care_time
    return any((at + day.care_time - of_day) % SECONDS_PER_DAY <= reach for at in day.rounds)
