"""A review as numbers and words: nothing is lost and nothing is added."""

from datetime import timedelta

import pytest

from leeward.delivered.findings import FindingKind
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
