"""Planned against delivered: one verdict about the surface, with its reasons and its share."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from leeward.delivered.delivered import Delivered
from leeward.delivered.findings import Finding
from leeward.programme.programme import Programme
from leeward.review.judged_stays import (
    AgreedDeparture,
    JudgedStay,
    StayOutcome,
    judge_stays,
)
from leeward.review.judged_time import JudgedTime, judged_time
from leeward.review.kept_stays import kept_stays
from leeward.review.matching import match_stays
from leeward.review.real_days import (
    Period,
    RealWindow,
    planned_series,
    real_windows,
    zone_of,
)
from leeward.review.skin_looks import SkinLooks
from leeward.review.sleep_turns import SleepTurns, sleep_turns
from leeward.review.surface_findings import (
    SideAgreement,
    side_agreement,
    side_findings,
    stop_findings,
)
from leeward.review.verdict_reasons import Evidence, judge
from leeward.terms.day import Day
from leeward.terms.series import PostureSeries
from leeward.terms.verdict import Judgement, Verdict


@dataclass(frozen=True, slots=True, eq=False)
class Comparison:
    """What can be said of the surface against its plan.

    Parameters
    ----------
    judgement : Judgement
        Verdict about the surface, reasons, share of the time judged.
    sentence : str
        The verdict in one sentence that also says that the person was not measured and when
        the skin was last looked at: shown wherever the verdict is.
    looks_overdue : bool
        Whether a look at the skin is overdue or none is recorded.
    skin_is_damaged : bool
        Whether damage was found anywhere that no look since has seen gone.
    stays : tuple of JudgedStay
        Stays delivered, with what they were to be.
    planned : PostureSeries
        The plan over the same time, from the log's origin.
    windows : tuple of RealWindow
        Windows of the plan on the real days.
    sleep : SleepTurns
        Turns while the person sleeps, planned and seen.
    sides : SideAgreement
        Sides by the clock.
    time : JudgedTime
        How much time was judged, agreed, out of bed, unknown.
    findings : tuple of Finding
        From the log and from the comparison.
    period : Period
        The time under review.
    simulated : bool
        Whether the log is invented.
    """

    judgement: Judgement
    sentence: str
    looks_overdue: bool
    skin_is_damaged: bool
    stays: tuple[JudgedStay, ...]
    planned: PostureSeries
    windows: tuple[RealWindow, ...]
    sleep: SleepTurns
    sides: SideAgreement
    time: JudgedTime
    findings: tuple[Finding, ...]
    period: Period
    simulated: bool

    @property
    def may_be_green(self) -> bool:
        """Whether it may be shown as good: never while a look at the skin is overdue."""
        is_as_planned = self.judgement.verdict is Verdict.AS_PLANNED
        return is_as_planned and not (self.looks_overdue or self.skin_is_damaged)

    @property
    def left_out(self) -> int:
        """Planned stays left out. [-]"""
        return sum(stay.left_out for stay in self.stays)

    def count(self, outcome: StayOutcome) -> int:
        """Count stays of one outcome.

        Parameters
        ----------
        outcome : StayOutcome
            Which.

        Returns
        -------
        int
            How many. [-]
        """
        return sum(stay.outcome is outcome for stay in self.stays)


def compare(
    programme: Programme,
    delivered: Delivered,
    day: Day,
    looks: SkinLooks,
    agreed: Sequence[AgreedDeparture] = (),
    period: tuple[datetime, datetime] | None = None,
) -> Comparison:
    """Hold what was delivered against what was planned.

    Parameters
    ----------
    programme : Programme
        The plan.
    delivered : Delivered
        The log as read.
    day : Day
        The person's day: its zone, sleep, rounds.
    looks : SkinLooks
        When the skin was last looked at, and the present.
    agreed : sequence of AgreedDeparture, optional
        Times in which the person or the team chose otherwise.
    period : tuple of datetime, optional
        Start and end, aware, of the time to be judged; by default from the log's first line
        to its last. Silence in the period counts as unknown.

    Returns
    -------
    Comparison
        The verdict is about the surface only.

    Notes
    -----
    Stays are compared by order, length and angle reached, not by the clock: a unit started
    again after care goes on out of step. Sides alone are also compared by the clock.
    """
    zone = zone_of(day.time_zone)
    origin = delivered.origin.astimezone(zone)
    under = _period(delivered, period)
    windows = real_windows(programme, zone, origin, under)
    planned = planned_series(windows, origin, under)
    departures = [_seconds(one, origin) for one in agreed]
    time = judged_time(delivered.series, windows, departures, under)
    stays: tuple[JudgedStay, ...] = ()
    sides = SideAgreement(0.0, 0.0, 0.0)
    if delivered.side_known:
        shortest = min((stay.duration for w in windows for stay in w.cycle), default=0.0)
        found = kept_stays(delivered.series, under, shortest)
        stays = judge_stays(match_stays(found, windows), windows, departures)
        sides = side_agreement(planned, delivered.series)
    over = (under.start, under.end)
    found_here = [*side_findings(sides, over), *stop_findings(stays, day, origin)]
    sleep = sleep_turns(delivered, planned, day.sleep, zone)
    evidence = Evidence(delivered, stays, sides, time, sleep, looks)
    judgement, sentence = judge(evidence)
    return Comparison(
        judgement=judgement,
        sentence=sentence,
        looks_overdue=looks.is_overdue,
        skin_is_damaged=bool(looks.damaged),
        stays=stays,
        planned=planned,
        windows=windows,
        sleep=sleep,
        sides=sides,
        time=time,
        findings=(*delivered.findings, *found_here),
        period=under,
        simulated=delivered.simulated,
    )


def _period(delivered: Delivered, period: tuple[datetime, datetime] | None) -> Period:
    if period is None:
        return Period(float(delivered.series.edges[0]), float(delivered.series.edges[-1]))
    zero = delivered.origin.timestamp()
    return Period(period[0].timestamp() - zero, period[1].timestamp() - zero)


def _seconds(departure: AgreedDeparture, origin: datetime) -> tuple[float, float]:
    zero = origin.timestamp()
    return departure.start.timestamp() - zero, departure.end.timestamp() - zero
