"""The measured map beside the prediction: one scale, sides in words, room on a phone."""

from dataclasses import replace

import numpy as np
import pytest

from leeward.contact.correction import Correction
from leeward.contact.imprint import REGIONS
from leeward.contact.loads import LoadRequest
from leeward.contact.measured_map import Agreement, MapComparison, MeasuredMap, Overlay
from leeward.exchange.pictures.drawing import text_width
from leeward.exchange.pictures.measured_map import measured_map
from leeward.terms.bed import Bed
from leeward.terms.body import Body, Sex
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Posture
from leeward.terms.units import pascal_from_mmhg, radians_from_deg
from leeward.terms.verdict import Reason
from tests.unit.exchange.svg_reading import read_svg

TURNED = Posture(turn=radians_from_deg(20.0))
SHARE = np.array([0.06, 0.3, 0.14, 0.25, 0.13, 0.12])


def invented(agreement: Agreement = Agreement.DIFFERS, *, is_made: bool = True):
    """A round print, twice as high as predicted, and what it corrects."""
    rows, columns = np.linspace(0.8, -0.8, 30), np.linspace(-0.4, 0.4, 16)
    value = pascal_from_mmhg(60.0) * np.exp(-8.0 * (rows[:, None] ** 2 + columns[None] ** 2))
    measured = MeasuredMap(value, 0.055, 0.053, True)
    compared = MapComparison(
        agreement, (), Overlay(0.8, rows, columns), SHARE, SHARE[::-1], np.zeros(6), 0.5 * value
    )
    asked = LoadRequest(Body(1.7, 70.0, Sex.FEMALE), Bed(), None, (), ())
    reasons = (Reason("map-compared", "On the pelvis lie 7 points more of the load."),)
    after = SHARE if is_made else None
    return measured, Correction(asked, is_made, 0.4, (), (), reasons, compared, after)


def test_both_lie_on_one_scale_with_the_persons_sides_in_words():
    picture = read_svg(measured_map(*invented(), TURNED))
    assert "Turned to the left 20°, right side raised" in picture.said
    assert picture.words.count("person's left") == picture.words.count("person's right") == 2
    assert len(picture.shapes("path")) == 5 + 3


def test_readings_without_a_unit_are_given_the_weight_that_was_predicted():
    measured, found = invented()
    plain = replace(measured, value=0.01 * measured.value, is_calibrated=False)
    picture = read_svg(measured_map(plain, found, TURNED))
    assert "readings have no unit: drawn with that total" in picture.said
    assert len(picture.shapes("path")) == 3 + 3


@pytest.mark.parametrize(
    ("agreement", "words"),
    [
        (Agreement.AGREES, "agrees with the prediction"),
        (Agreement.DIFFERS, "differs from the prediction"),
        (Agreement.CANNOT_TELL, "Cannot tell: the map does not fit this prediction"),
    ],
)
def test_what_the_map_says_of_the_prediction_is_said(agreement: Agreement, words: str):
    assert words in read_svg(measured_map(*invented(agreement), TURNED)).said


def test_shares_stand_region_by_region_and_corrected_only_where_something_was():
    made = read_svg(measured_map(*invented(), TURNED))
    assert set(REGIONS) <= set(made.words)
    assert "corrected" in made.words
    assert "corrected" not in read_svg(measured_map(*invented(is_made=False), TURNED)).words


@pytest.mark.parametrize("width", [360.0, 760.0, 1200.0])
def test_no_words_run_off_the_picture(width: float):
    picture = read_svg(measured_map(*invented(), TURNED, width=width))
    for text in picture.shapes("text"):
        x, size = float(text.get("x")), float(text.get("font-size"))
        long = 0.92 * text_width(text.text or "", size)
        start = {"end": x - long, "middle": x - long / 2.0}.get(text.get("text-anchor"), x)
        assert start >= 0.0
        assert start + long <= width


def test_too_narrow_a_picture_is_refused():
    with pytest.raises(InvalidInput, match="a width of 200"):
        measured_map(*invented(), TURNED, width=200.0)
