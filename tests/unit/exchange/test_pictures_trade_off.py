"""The trade-off picture: relief against sleep, choices named, nothing by colour alone."""

from dataclasses import replace

from leeward.exchange.pictures.trade_off import trade_off_picture, trade_off_words
from leeward.programme.decision import ChoiceName, TradeOffPoint
from leeward.programme.trade_off import NamedPoint, TradeOff
from tests.unit.exchange.svg_reading import read_svg

FOUND = TradeOff(
    points=(
        TradeOffPoint(2, 40, 0.97, 0.90, 1.05, 1.8),
        TradeOffPoint(4, 90, 0.91, 0.86, 0.99, 1.9),
        TradeOffPoint(9, 10, 0.88, 0.84, None, 1.4),
    ),
    choices=(
        NamedPoint(ChoiceName.GENTLEST, 2, 0.97, 0.90, 1.05),
        NamedPoint(ChoiceName.MOST_RELIEF, 9, 0.88, None, None),
    ),
    compared_with="two-hourly turns (skin seen clear under it)",
)


def test_every_choice_is_named_with_its_numbers():
    words = read_svg(trade_off_picture(FOUND)).said
    assert "Square: gentlest, 2 movements during sleep, index 0.97 (0.90 to 1.05)" in words
    assert "most relief, 9 movements during sleep, index 0.88, band not known" in words


def test_the_picture_in_words_holds_every_point():
    words = trade_off_words(FOUND)
    assert "4 movements during sleep: best of 90 programmes index 0.91 (0.86 to 0.99)" in words
    assert "9 movements during sleep: best of 10 programmes index 0.88, band not known" in words
    assert "promises nothing" in words


def test_nothing_is_drawn_outside_the_picture():
    drawn = read_svg(trade_off_picture(FOUND))
    circles = drawn.shapes("circle")
    assert len(circles) == len(FOUND.points)
    for circle in circles:
        assert 0.0 < float(circle.get("cx") or 0.0) < drawn.width
        assert 0.0 < float(circle.get("cy") or 0.0) < drawn.height


def test_where_nothing_keeps_the_guards_it_says_so():
    nothing = replace(FOUND, points=(), choices=())
    assert "nothing to draw" in read_svg(trade_off_picture(nothing)).said
