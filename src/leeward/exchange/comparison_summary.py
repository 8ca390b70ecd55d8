"""A review as numbers and words for a screen or a file."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from leeward.delivered.findings import Finding
from leeward.programme.decision import ChoiceName
from leeward.review.judged_stays import StayOutcome
from leeward.review.review import Review, SiteThroughDays
from leeward.terms.units import min_from_seconds
from leeward.terms.verdict import Judgement

#: The ends of the calendar.
EARLIEST, LATEST = datetime.min.replace(tzinfo=UTC), datetime.max.replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class TimedFinding:
    """A finding with its times on the clock.

    Parameters
    ----------
    kind : str
        What kind of thing.
    start, end : datetime
        Between which times.
    sentence : str
        What was noticed.
    look_at : str
        What to look at.
    """

    kind: str
    start: datetime
    end: datetime
    sentence: str
    look_at: str


@dataclass(frozen=True, slots=True)
class SiteRow:
    """One site through the days of the log.

    Parameters
    ----------
    site : str
        Where.
    planned_peak, delivered_low, delivered_high, compared_peak : float or None
        Largest allowance as planned, as delivered from and to, and under the regime compared.
    longest_loaded_low_min, longest_loaded_high_min : float
        Longest time loaded at a stretch, from and to.
    """

    site: str
    planned_peak: float | None
    delivered_low: float | None
    delivered_high: float | None
    compared_peak: float | None
    longest_loaded_low_min: float
    longest_loaded_high_min: float


@dataclass(frozen=True, slots=True)
class ComparisonSummary:
    """A log held against its plan.

    Parameters
    ----------
    judgement : Judgement
        Verdict about the surface, reasons, share of the time judged.
    sentence : str
        The verdict in one sentence, with what was not measured and the last look at the skin.
    may_be_green : bool
        Whether it may be shown as good.
    choice : ChoiceName
        Against which choice of the plan.
    is_replanned : bool
        Whether the plan was made anew from the case, because no plan file was given.
    simulated : bool
        Whether the log is simulated.
    start, end : datetime
        Time under review.
    coverage : float
        Share of the log's time that is known.
    stays : tuple of (str, int)
        Stays delivered by outcome, then planned stays left out.
    turns_in_sleep_planned, turns_in_sleep_seen : int
        Over all nights.
    findings : tuple of TimedFinding
        What was noticed.
    sites : tuple of SiteRow
        What each site bore.
    """

    judgement: Judgement
    sentence: str
    may_be_green: bool
    choice: ChoiceName
    is_replanned: bool
    simulated: bool
    start: datetime
    end: datetime
    coverage: float
    stays: tuple[tuple[str, int], ...]
    turns_in_sleep_planned: int
    turns_in_sleep_seen: int
    findings: tuple[TimedFinding, ...]
    sites: tuple[SiteRow, ...]


def summarise_comparison(
    review: Review, choice: ChoiceName, *, is_replanned: bool
) -> ComparisonSummary:
    """Sum up a review."""
    comparison, origin = review.comparison, review.delivered.origin
    counts = [(outcome.value, comparison.count(outcome)) for outcome in StayOutcome]
    counts.append(("planned stays left out", comparison.left_out))
    return ComparisonSummary(
        judgement=comparison.judgement,
        sentence=comparison.sentence,
        may_be_green=comparison.may_be_green,
        choice=choice,
        is_replanned=is_replanned,
        simulated=comparison.simulated,
        start=_at(origin, comparison.period.start),
        end=_at(origin, comparison.period.end),
        coverage=review.delivered.coverage,
        stays=tuple(one for one in counts if one[1]),
        turns_in_sleep_planned=comparison.sleep.planned,
        turns_in_sleep_seen=comparison.sleep.seen,
        findings=tuple(_timed(finding, origin) for finding in comparison.findings),
        sites=tuple(_row(site) for site in review.sites),
    )


def _at(origin: datetime, seconds: float) -> datetime:
    # Through UTC: aware arithmetic in one zone is that of its wall clock, which may be changed.
    try:
        elapsed = origin.astimezone(UTC) + timedelta(seconds=seconds)
        return elapsed.astimezone(origin.tzinfo)
    except OverflowError:  # beyond the calendar, where the clock of a unit can stand
        return EARLIEST if seconds < 0.0 else LATEST


def _timed(finding: Finding, origin: datetime) -> TimedFinding:
    return TimedFinding(
        kind=finding.kind.value,
        start=_at(origin, finding.start),
        end=_at(origin, finding.end),
        sentence=finding.sentence,
        look_at=finding.look_at,
    )


def _row(site: SiteThroughDays) -> SiteRow:
    return SiteRow(
        site=site.site.value,
        planned_peak=site.planned_peak,
        delivered_low=site.delivered_low,
        delivered_high=site.delivered_high,
        compared_peak=site.compared_peak,
        longest_loaded_low_min=min_from_seconds(site.longest_low),
        longest_loaded_high_min=min_from_seconds(site.longest_high),
    )
