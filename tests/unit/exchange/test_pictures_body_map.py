"""The body map puts each site on the person's own side and never shows the unknown as none."""

import math

import pytest

from leeward.exchange.pictures.body_map import SiteLoad, body_map
from leeward.exchange.pictures.body_outline import HALF_OUTLINE, place_of
from leeward.exchange.pictures.palette import TIDE
from leeward.terms.site import Site
from leeward.terms.units import pascal_from_mmhg
from tests.unit.exchange.svg_reading import Picture, read_svg


def drawn(*loads: SiteLoad, width: float = 760.0) -> Picture:
    return read_svg(body_map(loads, caption="Level (invented).", width=width))


def known(site: Site, mmhg: float, **more: float) -> SiteLoad:
    return SiteLoad(site, *(pascal_from_mmhg(mmhg * part) for part in (1.0, 0.8, 1.2)), **more)


def marks(picture: Picture) -> list[tuple[float, float, float]]:
    found = picture.shapes("circle", fill=TIDE)
    return [tuple(float(mark.get(name)) for name in ("cx", "cy", "r")) for mark in found]


def test_every_site_has_a_place_on_the_figure():
    widest = max(across for across, _ in HALF_OUTLINE)
    for site in Site:
        across, down = place_of(site)
        assert abs(across) <= widest
        assert 0.0 < down < 1.0


def test_a_pair_lies_mirrored():
    for site in Site:
        across, down = place_of(site)
        assert place_of(site.mirrored) == (-across, down)


@pytest.mark.parametrize("width", [380.0, 760.0])
def test_seen_from_behind_the_left_of_the_person_is_on_the_left(width: float):
    picture = drawn(known(Site.LEFT_HEEL, 30.0), width=width)
    assert marks(picture)[0][0] < width / 2.0
    x = {words: float(text.get("x")) for words, text in zip(
        picture.words, picture.shapes("text"), strict=True)}  # fmt: skip
    assert x["person's left"] < x["person's right"]


def test_the_area_of_a_mark_is_its_load():
    large, small = marks(drawn(known(Site.SACRUM, 30.0), known(Site.SPINE, 7.5)))
    assert large[2] == pytest.approx(2.0 * small[2])


@pytest.mark.parametrize("width", [380.0, 760.0])
def test_the_load_stands_with_its_unit_and_band(width: float):
    assert "30 (24 to 36) mmHg" in drawn(known(Site.SACRUM, 30.0), width=width).words


@pytest.mark.parametrize("load", [None, math.nan])
@pytest.mark.parametrize("width", [380.0, 760.0])
def test_a_load_nobody_knows_is_hatched_and_said(load, width: float):
    picture = drawn(SiteLoad(Site.LEFT_EAR, load), known(Site.SACRUM, 30.0), width=width)
    assert "annot tell" in picture.said
    assert "left ear" in picture.said
    assert any("hatching" in (mark.get("fill") or "") for mark in picture.shapes("circle"))
    assert len(marks(picture)) == 1


def test_a_band_nobody_knows_is_said():
    assert "30 mmHg, no band" in drawn(SiteLoad(Site.SACRUM, pascal_from_mmhg(30.0))).words


@pytest.mark.parametrize("width", [380.0, 760.0])
def test_the_load_ratio_stands_with_its_band_and_says_what_it_is(width: float):
    load = known(Site.SACRUM, 30.0, ratio=0.9, ratio_low=0.8, ratio_high=1.05)
    picture = drawn(load, width=width)
    assert "q 0.90 (0.80 to 1.05)" in picture.words
    assert "reference load lying level on this bed" in picture.said


def test_a_load_ratio_without_a_band_says_so():
    assert "q 0.90, no band" in drawn(known(Site.SACRUM, 30.0, ratio=0.9)).words


def test_a_site_that_bears_nothing_in_any_draw_has_one_short_number():
    assert "0 mmHg" in drawn(known(Site.LEFT_HEEL, 0.2), known(Site.SACRUM, 30.0)).words


def test_labels_of_all_sites_have_room():
    picture = drawn(*(known(site, 15.0) for site in Site))
    assert {site.value for site in Site} <= set(picture.words)
    assert max(float(text.get("y")) for text in picture.shapes("text")) < picture.height
