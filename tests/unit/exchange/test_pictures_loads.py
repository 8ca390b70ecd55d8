"""Load against turn, and the stability strip: no place to lie never looks like one."""

import itertools

import pytest

from leeward.exchange.pictures.load_curve import SiteCurve, TurnLoad, load_curve
from leeward.exchange.pictures.stability_strip import StabilityStrip, stability_strip
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.errors import InvalidInput
from leeward.terms.site import Site
from tests.unit.exchange.svg_reading import read_svg

STABLE, SLIDES = EquilibriumState.STABLE, EquilibriumState.SLIDES
LEVEL = TurnLoad(0.0, 3000.0, 2500.0, 3500.0, is_stable=True)


def curve(*loads: TurnLoad, width: float = 760.0):
    return read_svg(load_curve([SiteCurve(Site.SACRUM, loads)], width=width))


def test_a_stable_turn_has_a_dot_and_its_band_in_words():
    picture = curve(LEVEL)
    assert len(picture.shapes("circle")) == 1
    assert "sacrum: level: 23 mmHg (19 to 26)." in picture.description


def test_a_turn_that_is_no_place_to_lie_has_no_dot_whatever_its_load():
    picture = curve(LEVEL, TurnLoad(0.5, 3000.0, 2500.0, 3500.0, is_stable=False))
    assert len(picture.shapes("circle")) == 1
    assert len(picture.filled_with("hatching")) == 1
    assert "right side raised: no place to lie" in picture.description


def test_an_unknown_load_is_hatched_and_said():
    picture = curve(TurnLoad(0.0, None, None, None, is_stable=True))
    assert picture.shapes("circle") == []
    assert "cannot tell" in picture.description


def test_a_curve_of_nothing_is_refused():
    with pytest.raises(InvalidInput, match="no loads to draw"):
        load_curve([])


@pytest.mark.parametrize("width", [360.0, 760.0])
def test_only_what_is_not_stable_is_hatched(width: float):
    strip = StabilityStrip((-0.5, 0.0), (0.2, 0.4), ((SLIDES, STABLE), (STABLE, STABLE)))
    picture = read_svg(stability_strip(strip, width=width))
    assert len(picture.filled_with("hatching")) == 1
    assert "S" in picture.words
    assert "left side raised slides" in picture.description
    assert "Friction 0.4: stable at every turn." in picture.description


def test_level_is_numbered_however_many_turns_there_are():
    turns = tuple(0.07 * number for number in range(-10, 11))
    strip = StabilityStrip(turns, (0.4,), ((STABLE,) * len(turns),))
    picture = read_svg(stability_strip(strip, width=360.0))
    assert "0°" in picture.words
    loads = tuple(TurnLoad(turn, 3000.0, 2500.0, 3500.0, is_stable=True) for turn in turns)
    assert "0°" in curve(*loads, width=360.0).words


def test_numbers_of_turns_do_not_run_into_each_other():
    turns = tuple(0.07 * number for number in range(-10, 11))
    strip = StabilityStrip(turns, (0.4,), ((STABLE,) * len(turns),))
    picture = read_svg(stability_strip(strip, width=360.0))
    places = sorted(
        float(text.get("x")) for text in picture.shapes("text") if (text.text or "").endswith("°")
    )
    assert all(after - before >= 27.0 for before, after in itertools.pairwise(places))
