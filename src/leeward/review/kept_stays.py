"""Stays as delivered, counted as a programme counts them: with the movement that leads in."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from leeward.review.conventions import ANGLE_TOLERANCE
from leeward.review.real_days import Period
from leeward.terms.series import PostureSeries, Validity


@dataclass(frozen=True, slots=True)
class KeptStay:
    """One stay found in a log.

    Parameters
    ----------
    start, end : float
        From the log's origin; the movement that leads into it is counted with it. [s]
    turn : float
        Tilt of the stay, positive to the person's left. [rad]
    backrest : float
        Backrest where measured, else 0. [rad]
    begins_unseen, ends_unseen : bool
        Whether it borders on unknown time or the edge of the log: it may have been longer.
    """

    start: float
    end: float
    turn: float
    backrest: float
    begins_unseen: bool
    ends_unseen: bool

    @property
    def duration(self) -> float:
        """How long it was seen. [s]"""
        return self.end - self.start


def kept_stays(series: PostureSeries, period: Period, shortest: float) -> tuple[KeptStay, ...]:
    """Find the stays of a log.

    Parameters
    ----------
    series : PostureSeries
        The log.
    period : Period
        Only stays that touch this time are wanted.
    shortest : float
        Shortest stay planned: what lies on the way between two angles for less than half of
        it is a movement that halted. [s]

    Returns
    -------
    tuple of KeptStay
        In order of time. Time that is unknown belongs to none.
    """
    found: list[KeptStay] = []
    begins, unseen = float(series.edges[0]), True
    for number, validity in enumerate(series.validity):
        start, end = float(series.edges[number]), float(series.edges[number + 1])
        if validity is Validity.UNKNOWN:
            if found and not unseen:
                found[-1] = replace(found[-1], ends_unseen=True)
            begins, unseen = end, True
        elif validity is Validity.KNOWN:
            posture = series.postures[number]
            stay = KeptStay(begins, end, posture.turn, posture.backrest, unseen, False)
            if found and not unseen and _is_same(found[-1], stay):
                stay = _joined(found.pop(), stay)
            found.append(stay)
            begins, unseen = end, False
        elif unseen:
            begins = min(begins, start)
    if found and not unseen:
        found[-1] = replace(found[-1], ends_unseen=True)
    whole = _without_halts(found, shortest)
    return tuple(s for s in whole if s.end > period.start and s.start < period.end)


def _is_same(one: KeptStay, other: KeptStay) -> bool:
    return abs(one.turn - other.turn) < ANGLE_TOLERANCE.value / 2.0


def _joined(one: KeptStay, other: KeptStay) -> KeptStay:
    total = one.duration + other.duration
    turn = (one.turn * one.duration + other.turn * other.duration) / total
    backrest = max(one.backrest, other.backrest)
    return KeptStay(one.start, other.end, turn, backrest, one.begins_unseen, other.ends_unseen)


def _without_halts(stays: Sequence[KeptStay], shortest: float) -> list[KeptStay]:
    kept: list[KeptStay] = []
    for number, stay in enumerate(stays):
        before = kept[-1] if kept else None
        after = stays[number + 1] if number + 1 < len(stays) else None
        is_halt = (
            before is not None
            and after is not None
            and before.end == stay.start
            and stay.end == after.start
            and stay.duration < shortest / 2.0
            and (stay.turn - before.turn) * (after.turn - stay.turn) > 0.0
        )
        if not is_halt:
            starts = before.end if before is not None and not stay.begins_unseen else stay.start
            kept.append(replace(stay, start=starts))
    return kept
