"""What every picture keeps: it parses, it speaks, nothing is too small or styled inline."""

import re
from dataclasses import replace
from itertools import pairwise

import pytest

from leeward.exchange.pictures import palette
from leeward.exchange.pictures.allowance_bars import allowance_bars
from leeward.exchange.pictures.body_map import SiteLoad, body_map
from leeward.exchange.pictures.day_ribbon import day_ribbon
from leeward.exchange.pictures.drawing import (
    Drawing,
    Point,
    fitted,
    text_width,
    wrapped,
)
from leeward.exchange.pictures.section import section
from leeward.terms.errors import InvalidInput
from leeward.terms.site import Site
from tests.unit.exchange import invented
from tests.unit.exchange.svg_reading import Picture, read_svg

PHONE, PAGE = 380.0, 1200.0


def ribbon(width: float) -> str:
    return day_ribbon(
        invented.programme(),
        sleep=invented.SLEEP,
        rounds=invented.ROUNDS,
        delivered=invented.delivered(),
        width=width,
    )


def bars(width: float) -> str:
    return allowance_bars(invented.choice(), compared_with="an invented regime", width=width)


def cuts(width: float) -> str:
    view = invented.section_view(25.0, 16.0)
    return section((view, replace(view, name="thorax")), width=width)


def load_map(width: float) -> str:
    loads = [SiteLoad(site, 3000.0, 2500.0, 3600.0) for site in Site]
    return body_map(loads, caption="Level (invented).", width=width)


EVERY = pytest.mark.parametrize("draw", [ribbon, bars, cuts, load_map])
WIDTHS = pytest.mark.parametrize("width", [PHONE, 560.0, 760.0, PAGE])


@EVERY
@WIDTHS
def test_a_picture_is_as_wide_as_asked_and_reads_as_xml(draw, width: float):
    picture = read_svg(draw(width))
    assert picture.width == width
    assert picture.root.get("viewBox") == f"0 0 {width:g} {picture.root.get('height')}"


@EVERY
def test_a_picture_has_no_inline_style_no_script_and_no_address(draw):
    svg = draw(PAGE)
    assert not re.search(r"<style|\sstyle=|<script|href|\son\w+=", svg)
    assert re.findall(r"https?://[^\"]*", svg) == ["http://www.w3.org/2000/svg"]


@EVERY
def test_a_picture_speaks_to_those_who_cannot_see_it(draw):
    root = read_svg(draw(PAGE)).root
    title, desc = root[0], root[1]
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == f"{title.get('id')} {desc.get('id')}"
    assert len(title.text or "") > 5
    assert len(desc.text or "") > 60


@EVERY
@WIDTHS
def test_no_letters_are_smaller_than_twelve(draw, width: float):
    sizes = [float(text.get("font-size", "0")) for text in read_svg(draw(width)).shapes("text")]
    assert sizes
    assert min(sizes) >= 12.0


@EVERY
@WIDTHS
def test_no_words_run_out_of_the_picture(draw, width: float):
    for left, right in (edges(text) for text in read_svg(draw(width)).shapes("text")):
        assert left >= -1.0
        assert right <= width + 1.0


@EVERY
@WIDTHS
def test_no_line_of_words_runs_into_the_next_one(draw, width: float):
    lines: dict[str, list[tuple[float, float]]] = {}
    for text in read_svg(draw(width)).shapes("text"):
        lines.setdefault(text.get("y", ""), []).append(edges(text))
    for line in lines.values():
        for before, after in pairwise(sorted(line)):
            assert before[1] <= after[0] + 1.0


def edges(text) -> tuple[float, float]:
    words = (text.text or "") + "".join(child.tail or "" for child in text)
    wide = text_width(words, float(text.get("font-size")))
    left = float(text.get("x")) - wide * {"middle": 0.5, "end": 1.0}.get(
        text.get("text-anchor"), 0.0
    )
    return left, left + wide


@EVERY
def test_only_the_palette_is_used(draw):
    known = {value for name, value in vars(palette).items() if name.isupper()}
    assert set(re.findall(r'"(#[0-9a-f]{6})"', draw(PAGE))) <= known


@EVERY
def test_patterns_of_two_pictures_do_not_share_a_name(draw):
    first, second = (
        {element.get("id") for element in read_svg(draw(width)).root.iter() if element.get("id")}
        for width in (PAGE, PHONE)
    )
    assert first
    assert not first & second


@EVERY
def test_every_pattern_used_is_there(draw):
    svg = draw(PAGE)
    used = set(re.findall(r"url\(#([^)]+)\)", svg))
    assert used <= {element.get("id") for element in read_svg(svg).root.iter()}


@EVERY
def test_the_same_picture_has_the_same_bytes(draw):
    assert draw(760.0) == draw(760.0)


def test_letters_below_the_smallest_are_refused():
    drawing = Drawing("trial", 100.0, title="trial", description="trial")
    with pytest.raises(InvalidInput, match="letters of size 8"):
        drawing.text(Point(0.0, 0.0), "too small", size=8.0)


def test_markup_in_words_stays_words():
    drawing = Drawing("trial", 100.0, title="<b>", description="&amp;")
    drawing.text(Point(0.0, 9.0), '</text><script x="1">&')
    picture: Picture = read_svg(drawing.finished(10.0))
    assert picture.words == ['</text><script x="1">&']
    assert picture.description == "&amp;"


def test_a_cut_word_keeps_its_whole_text_beside_it():
    drawing = Drawing("trial", 100.0, title="trial", description="trial")
    drawing.text(Point(0.0, 9.0), "long…", whole="long winded")
    text = read_svg(drawing.finished(10.0)).shapes("text")[0]
    assert text[0].text == "long winded"
    assert text[0].tail == "long…"


def test_fitted_words_fit_and_show_the_cut():
    shown = fitted("float both heels on a pillow", 80.0)
    assert shown.endswith("…")
    assert text_width(shown) <= 80.0


def test_wrapped_words_fit_and_lose_nothing():
    words = "float both heels on a pillow " + "x" * 60
    lines = wrapped(words, 120.0)
    assert "".join(lines).replace(" ", "") == words.replace(" ", "")
    assert max(text_width(line) for line in lines) <= 120.0
