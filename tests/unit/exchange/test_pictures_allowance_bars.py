"""Allowance bars show an index with its band, and words where there is no index."""

from dataclasses import replace

import pytest

from leeward.exchange.pictures.allowance_bars import allowance_bars
from leeward.exchange.pictures.palette import TIDE_PALE
from leeward.programme.decision import SiteResult, SiteStanding
from leeward.terms.site import Site
from tests.unit.exchange.invented import choice, site_result
from tests.unit.exchange.svg_reading import Picture, read_svg


def drawn(*sites: SiteResult, width: float = 760.0) -> Picture:
    one = choice()
    assessment = replace(one.assessment, sites=sites or one.assessment.sites)
    picture = allowance_bars(
        replace(one, assessment=assessment), compared_with="an invented regime", width=width
    )
    return read_svg(picture)


def compared(site: Site, index: float | None, **given) -> SiteResult:
    return replace(site_result(site, index, SiteStanding.COMPARED), **given)


def test_each_site_with_an_index_has_one_bar():
    sites = choice().assessment.sites
    bars = drawn().shapes("rect", fill=TIDE_PALE)
    assert len(bars) == sum(site.index is not None for site in sites)


def test_length_is_index():
    picture = drawn(compared(Site.SPINE, 0.4), compared(Site.SACRUM, 0.8))
    widths = [float(bar.get("width")) for bar in picture.shapes("rect", fill=TIDE_PALE)]
    assert widths[0] == pytest.approx(2.0 * widths[1], abs=0.02)


def test_the_most_used_site_comes_first_and_the_limiting_one_is_named():
    words = drawn(compared(Site.SPINE, 0.4), compared(Site.SACRUM, 0.8)).words
    assert words.index("sacrum, limits") < words.index("spine")


def test_the_number_stands_with_its_band():
    assert "0.50 (0.44 to 0.55)" in drawn(compared(Site.SPINE, 0.5)).words


def test_use_above_that_of_the_regime_compared_is_hatched():
    assert len(drawn(compared(Site.SPINE, 1.2)).filled_with("hatching")) == 1
    assert drawn(compared(Site.SPINE, 1.0)).filled_with("hatching") == []


@pytest.mark.parametrize(
    ("standing", "words"),
    [
        (SiteStanding.UNTRIED, "Untried, so no bar"),
        (SiteStanding.NEEDS_HANDS, "Needs hands, so no bar"),
        (SiteStanding.CANNOT_TELL, "Cannot tell, so no bar"),
    ],
)
def test_a_site_without_an_index_is_words_even_if_a_number_came_along(standing, words):
    picture = drawn(site_result(Site.LEFT_HEEL, 0.2, standing))
    assert f"{words}" in picture.said
    assert "left heel" in picture.said
    assert picture.shapes("rect", fill=TIDE_PALE) == []


@pytest.mark.parametrize("index", [None, float("nan"), float("inf")])
def test_an_index_that_is_no_number_cannot_be_told(index):
    picture = drawn(replace(compared(Site.SPINE, None), index=index))
    assert "Cannot tell, so no bar: spine." in picture.said


def test_a_band_that_is_not_known_is_said_so():
    picture = drawn(compared(Site.SPINE, 0.5, index_low=None))
    assert "0.50 (band not known)" in picture.words


def test_an_index_far_out_ends_in_an_arrow_and_keeps_its_number():
    picture = drawn(compared(Site.SPINE, 7.5))
    assert len(picture.shapes("polygon")) == 1
    assert any(words.startswith("7.50") for words in picture.words)


def test_it_is_said_to_be_no_probability_and_no_hours():
    assert "No probability, and no number of hours." in drawn().description
