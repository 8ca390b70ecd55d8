"""A review as numbers and words: nothing is lost and nothing is added."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from leeward.delivered.findings import Finding, FindingKind
from leeward.exchange.comparison_summary import summarise_comparison
from leeward.programme.decision import ChoiceName
from leeward.records.canonical import to_plain
from leeward.terms.units import min_from_seconds
from tests.unit.delivered.logs import readings
from tests.unit.review.asked import asked
from tests.unit.review.plans import as_planned, delivered
from tests.unit.review.test_review import reviewed


@pytest.fixture(scope="module")
def review():
    return reviewed(as_planned(48.0), demand=asked())


@pytest.fixture(scope="module")
def summary(review):
    return summarise_comparison(review, ChoiceName.GENTLEST, is_replanned=True)


def test_the_verdict_and_its_sentence_are_those_of_the_review(review, summary):
    assert summary.judgement == review.comparison.judgement
    assert summary.sentence == review.comparison.sentence
    assert summary.may_be_green == review.comparison.may_be_green
    assert (summary.choice, summary.is_replanned) == (ChoiceName.GENTLEST, True)


def test_times_are_on_the_clock_of_the_log(review, summary):
    assert summary.start == review.delivered.origin
    assert summary.end - summary.start == timedelta(hours=48)
    assert summary.start.tzinfo is not None


def at(review, origin: datetime, start: float, end: float):
    """The finding of a log from a time to another, on its clock."""
    one = Finding(FindingKind.CLOCK_UNSET, start, end, "Invented.", "nothing")
    found = replace(
        review,
        comparison=replace(review.comparison, findings=(one,)),
        delivered=replace(review.delivered, origin=origin),
    )
    return summarise_comparison(found, ChoiceName.BALANCED, is_replanned=False).findings[0]


def test_a_night_in_which_the_clock_is_changed_keeps_its_hours(review):
    origin = datetime(2026, 3, 28, 22, tzinfo=ZoneInfo("Europe/London"))
    found = at(review, origin, 0.0, 6 * 3600.0)
    assert found.end.astimezone(UTC) == datetime(2026, 3, 29, 4, tzinfo=UTC)
    assert f"{found.end:%H:%M}" == "05:00"


def test_a_clock_that_stands_beyond_the_calendar_is_told_at_its_edge(review):
    found = at(review, datetime(2026, 3, 28, tzinfo=UTC), -1e11, 1e12)
    assert (found.start.year, found.end.year) == (1, 9999)


def test_stays_are_counted_by_outcome_and_none_of_nothing(review, summary):
    counted = dict(summary.stays)
    assert all(count > 0 for count in counted.values())
    assert sum(counted.values()) == len(review.comparison.stays)


def test_every_site_is_there_in_minutes(review, summary):
    assert [row.site for row in summary.sites] == [one.site.value for one in review.sites]
    for row, one in zip(summary.sites, review.sites, strict=True):
        assert row.longest_loaded_high_min == pytest.approx(min_from_seconds(one.longest_high))
        assert row.delivered_high == one.delivered_high


def test_findings_keep_their_words_and_stand_on_the_clock():
    times, angles = readings(48.0)
    heard = (times < times[0] + 10 * 3600.0) | (times > times[0] + 16 * 3600.0)
    review = reviewed(delivered(times[heard], angles[heard]))
    found = summarise_comparison(review, ChoiceName.BALANCED, is_replanned=False)
    silent = [one for one in found.findings if one.kind == FindingKind.SILENT.value]
    assert silent
    assert silent[0].start - found.start == pytest.approx(
        timedelta(hours=10), abs=timedelta(minutes=2)
    )
    assert silent[0].end - silent[0].start >= timedelta(hours=5)
    assert silent[0].sentence in {one.sentence for one in review.comparison.findings}


def test_it_has_a_plain_form(summary):
    plain = to_plain(summary)
    assert plain["judgement"]["verdict"] == "as planned"
    assert plain["sites"][0]["site"] == "sacrum"
