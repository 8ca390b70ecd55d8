"""A page of pictures: at every width of the window each picture is shown once, in its own size."""

import re

import pytest

from leeward.exchange.pictures.drawing import SMALLEST_TEXT, Drawing, Point
from leeward.exchange.pictures.page import DESK, WALL, Picture, page_of_pictures


def drawn(width: float) -> str:
    drawing = Drawing("invented", width, title=f"{width:g} wide", description="Invented.")
    drawing.text(Point(10.0, 20.0), "a word")
    return drawing.finished(40.0)


def page(*pictures: Picture) -> str:
    return page_of_pictures("Invented <person>", ("A note & more.",), pictures)


def shown_at(html: str, window: float) -> list[float]:
    """Widths of the drawings that a window of some width shows, by the page's own rules."""
    hidden = {
        name
        for bound, edge, name in re.findall(
            r"@media\((max|min)-width:([\d.]+)px\)\{\.([\w-]+)\{display:none\}\}", html
        )
        if (window <= float(edge) if bound == "max" else window >= float(edge))
    }
    found = re.findall(r'<div class="([^"]+)"><svg [^>]*?width="([\d.]+)"', html)
    return [float(width) for names, width in found if not hidden & set(names.split())]


@pytest.mark.parametrize("window", [360.0, 412.0, 759.9, 760.0, 768.0, 1215.5, 1280.0, 2560.0])
def test_each_picture_is_shown_once_and_fits_the_window(window: float):
    widths = shown_at(page(Picture("one", drawn), Picture("two", drawn, WALL)), window)
    assert len(widths) == 2
    assert max(widths) <= window


def test_a_wide_window_shows_the_widest_drawing_a_picture_gains_from():
    html = page(Picture("one", drawn), Picture("two", drawn, WALL))
    assert shown_at(html, 1280.0) == [DESK, WALL]


def test_letters_never_shrink_with_the_window():
    html = page(Picture("one", drawn, WALL))
    boxes = re.findall(r'viewBox="0 0 ([\d.]+) [\d.]+" width="([\d.]+)"', html)
    assert len(boxes) == 3
    assert all(inner == outer for inner, outer in boxes)
    assert min(float(size) for size in re.findall(r'font-size="([\d.]+)"', html)) >= SMALLEST_TEXT


def test_words_are_words_and_nothing_is_fetched():
    html = page(Picture("Load <here>", drawn))
    assert "Invented &lt;person&gt;" in html
    assert "A note &amp; more." in html
    assert "Load &lt;here&gt;" in html
    assert not re.search(r"(src|href)=|url\(http|@import", html)
