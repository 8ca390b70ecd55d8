"""How much of the time was judged; what was agreed or out of bed is in no denominator."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from leeward.review.real_days import Period, RealWindow
from leeward.terms.series import PostureSeries, Validity


@dataclass(frozen=True, slots=True)
class JudgedTime:
    """The time under review, by what could be said of it.

    Parameters
    ----------
    known : float
        Posture known or moving. [s]
    unknown : float
        Nothing known. [s]
    agreed : float
        Agreed departures. [s]
    out_of_bed : float
        Planned out of bed. [s]
    """

    known: float
    unknown: float
    agreed: float
    out_of_bed: float

    @property
    def assessed_fraction(self) -> float:
        """Share of the time to be judged in which the posture is known. [-]"""
        total = self.known + self.unknown
        return self.known / total if total > 0.0 else 0.0


def judged_time(
    series: PostureSeries,
    windows: Sequence[RealWindow],
    agreed: Sequence[tuple[float, float]],
    period: Period,
) -> JudgedTime:
    """Divide the time under review.

    Parameters
    ----------
    series : PostureSeries
        The log.
    windows : sequence of RealWindow
        Windows of the plan.
    agreed : sequence of tuple
        Start and end of agreed departures, from the log's origin. [s]
    period : Period
        The time under review.

    Returns
    -------
    JudgedTime
        Parts that add up to the period.
    """
    if not period.end > period.start:
        return JudgedTime(0.0, 0.0, 0.0, 0.0)
    out = [(w.start, w.end) for w in windows if not w.is_in_bed]
    inner = np.concatenate([series.edges, *(np.array(span) for span in (*out, *agreed))])
    inner = inner[(inner > period.start) & (inner < period.end)]
    edges = np.unique(np.concatenate(([period.start], inner, [period.end])))
    parts = {"known": 0.0, "unknown": 0.0, "agreed": 0.0, "out_of_bed": 0.0}
    for low, high in zip(edges[:-1].tolist(), edges[1:].tolist(), strict=True):
        middle = 0.5 * (low + high)
        if any(start < middle < end for start, end in agreed):
            parts["agreed"] += high - low
        elif any(start < middle < end for start, end in out):
            parts["out_of_bed"] += high - low
        elif _is_known(series, middle):
            parts["known"] += high - low
        else:
            parts["unknown"] += high - low
    return JudgedTime(**parts)


def _is_known(series: PostureSeries, time: float) -> bool:
    number = int(np.searchsorted(series.edges, time, side="right")) - 1
    inside = 0 <= number < len(series.validity)
    return inside and series.validity[number] is not Validity.UNKNOWN
