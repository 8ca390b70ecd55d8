"""Stays as delivered, counted as a programme counts them: with the movement that leads in."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from leeward.review.conventions import ANGLE_TOLERANCE, LEAST_TIME_TOLERANCE
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
        In order of time. Time that is unknown belongs to none, and a few minutes at the edge
        of what was seen are no stay: they may be part of a movement.
    """
    found: list[KeptStay] = []
    begins, unseen = float(series.edges[0]), True
    for number, validity in enumerate(series.validity):
        start, end = float(series.edges[number]), float(series.edges[number + 1])
        if validity is Validity.UNKNOWN:
            _end_unseen(found, unseen)
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
    _end_unseen(found, unseen)
    whole = _without_halts(found, shortest)
    return tuple(s for s in whole if _touches(s, period) and not _is_fragment(s))


def _touches(stay: KeptStay, period: Period) -> bool:
    return stay.end > period.start and stay.start < period.end


def _is_fragment(stay: KeptStay) -> bool:
    """Whether the edge of what was seen leaves so little that it may be part of a movement."""
    is_cut = stay.begins_unseen or stay.ends_unseen
    return is_cut and stay.duration < LEAST_TIME_TOLERANCE.value


def _is_same(one: KeptStay, other: KeptStay) -> bool:
    return abs(one.turn - other.turn) < ANGLE_TOLERANCE.value / 2.0


def _joined(one: KeptStay, other: KeptStay) -> KeptStay:
    total = one.duration + other.duration
    turn = (one.turn * one.duration + other.turn * other.duration) / total
    backrest = max(one.backrest, other.backrest)
    return KeptStay(one.start, other.end, turn, backrest, one.begins_unseen, other.ends_unseen)


def _end_unseen(found: list[KeptStay], unseen: bool) -> None:
    """Note that nobody saw the last stay end, unless that is known already."""
    if found and not unseen:
        found[-1] = replace(found[-1], ends_unseen=True)


def _is_halt(
    before: KeptStay | None, stay: KeptStay, after: KeptStay | None, shortest: float
) -> bool:
    """Whether a stay is only a movement that halted on its way."""
    if before is None or after is None or before.end != stay.start or stay.end != after.start:
        return False
    is_on_the_way = (stay.turn - before.turn) * (after.turn - stay.turn) > 0.0
    return is_on_the_way and stay.duration < shortest / 2.0


def _without_halts(stays: Sequence[KeptStay], shortest: float) -> list[KeptStay]:
    kept: list[KeptStay] = []
    for number, stay in enumerate(stays):
        before = kept[-1] if kept else None
        after = stays[number + 1] if number + 1 < len(stays) else None
        if not _is_halt(before, stay, after, shortest):
            starts = before.end if before is not None and not stay.begins_unseen else stay.start
            kept.append(replace(stay, start=starts))
    return kept
