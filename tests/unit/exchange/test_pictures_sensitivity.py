"""The sensitivity picture and table: every number of every choice, nothing by colour alone."""

import csv
from itertools import pairwise

import pytest

from leeward.exchange.pictures.sensitivity import sensitivity_picture, sensitivity_words
from leeward.exchange.sensitivity_table import sensitivity_table
from leeward.programme.other_conventions import (
    ConventionChanged,
    IndexThen,
    OrderOfTwo,
    Sensitivity,
)
from leeward.terms.site import Site
from tests.unit.exchange.svg_reading import read_svg


def row(code: str, sentence: str, *indices: float | None) -> ConventionChanged:
    return ConventionChanged(code, sentence, tuple(IndexThen(i, Site.SACRUM) for i in indices))


FOUND = Sensitivity(
    names=("gentlest", "most relief"),
    changes=(
        row("as-planned", "As planned", 0.95, 0.90),
        row("slower", "Load and relief both act half as fast", 0.97, None),
        row("bears-less", "The skin bears a fifth less than it was seen to", 1.19, 2.40),
    ),
    orders=(OrderOfTwo(0, 1, True, ()),),
    compared_with="two-hourly turns (skin seen clear under it)",
)


@pytest.mark.parametrize("width", [360.0, 760.0, 1280.0])
def test_every_choice_stands_in_every_row_inside_the_picture(width: float):
    drawn = read_svg(sensitivity_picture(FOUND, width=width))
    circles = drawn.shapes("circle")
    assert len(circles) == 5
    for circle in circles:
        assert 0.0 < float(circle.get("cx") or 0.0) < drawn.width
        assert 0.0 < float(circle.get("cy") or 0.0) < drawn.height
    assert "2: not known" in drawn.said
    assert "1 gentlest, 2 most relief" in drawn.said


def test_no_two_signs_cover_one_another():
    circles = read_svg(sensitivity_picture(FOUND)).shapes("circle")
    heights = sorted(float(circle.get("cy") or 0.0) for circle in circles)
    radius = float(circles[0].get("r") or 0.0)
    assert min(b - a for a, b in pairwise(heights)) > 2.0 * radius


def test_what_lies_beyond_the_picture_is_an_arrow_and_a_number_in_words():
    drawn = read_svg(sensitivity_picture(FOUND))
    assert len(drawn.shapes("polygon")) == 1
    assert "2 (most relief) 2.40 at the sacrum" in sensitivity_words(FOUND)


def test_the_picture_in_words_promises_nothing():
    words = sensitivity_words(FOUND)
    assert "promises nothing" in words
    assert "Load and relief both act half as fast: 1 (gentlest) 0.97 at the sacrum" in words


def test_the_table_has_a_row_for_every_change_and_leaves_the_unknown_empty():
    rows = list(csv.reader(sensitivity_table(FOUND).splitlines()))
    assert rows[0][1] == "index of 1 (gentlest)"
    assert rows[2] == ["Load and relief both act half as fast", "0.9700", "sacrum", "", "sacrum"]
    assert len(rows) == 1 + len(FOUND.changes)
