"""The trade-off picture: largest index against movements during sleep, choices named."""

import math
from dataclasses import dataclass

from leeward.exchange.pictures.drawing import Box, Drawing, Point, text_width
from leeward.exchange.pictures.palette import FAINT, INK, PAPER, TIDE_PALE
from leeward.exchange.pictures.sentences import write_sentences
from leeward.programme.decision import ChoiceName, TradeOffPoint
from leeward.programme.trade_off import NamedPoint, TradeOff, WayPoint

_MARGIN = 12.0
_TEXT = 13.0
_LEFT = 58.0
_HEIGHT = 330.0
#: Radius of a numbered circle, and how far it stands beside the line of its count.
_DISC, _BESIDE = 9.0, 22.0
#: Between signs of choices at one count, and between names one under the other.
_APART, _LABEL = 26.0, 17.0
#: Indices beyond this end in an arrow; their number is written all the same.
_FURTHEST = 3.0


@dataclass(frozen=True, slots=True)
class _Scale:
    box: Box
    most: float
    low: float
    high: float

    def x(self, turns: float) -> float:
        return self.box.left + 30.0 + turns / max(self.most, 1.0) * (self.box.width - 60.0)

    def y(self, index: float) -> float:
        share = (min(max(index, self.low), self.high) - self.low) / (self.high - self.low)
        return self.box.bottom - share * self.box.height


def trade_off_picture(found: TradeOff, *, width: float = 760.0) -> str:
    """Draw relief against sleep.

    Parameters
    ----------
    found : TradeOff
        The best programme of each number of movements during sleep, the choices, and what people
        do.
    width : float
        Width in screen pixels.

    Returns
    -------
    str
        SVG text.
    """
    drawing = Drawing(
        "trade-off",
        width,
        title="Largest index against movements during sleep",
        description=trade_off_words(found),
    )
    y = write_sentences(drawing, [_caption(found)], 6.0)
    if found.points or found.choices or found.ways:
        scale = _scale(found, Box(_LEFT, y + 26.0, width - _LEFT - _MARGIN, _HEIGHT))
        _axes(drawing, scale)
        for point in found.points:
            _best(drawing, scale, point)
        taken = _ways(drawing, scale, found)
        _choices(drawing, scale, found.choices, taken)
        y = scale.box.bottom + 50.0
    return drawing.finished(write_sentences(drawing, _legend(found), y) + 4.0)


def trade_off_words(found: TradeOff) -> str:
    """The picture in words."""
    said = [_caption(found)]
    said.extend(
        f"{point.turns_in_sleep} movements during sleep: best of {point.programmes} programmes "
        f"{_band(point.index, point.index_low, point.index_high)}."
        for point in found.points
    )
    said.extend(
        f"{choice.name.value}: {choice.turns_in_sleep} movements during sleep, "
        f"{_band(choice.index, choice.index_low, choice.index_high)}."
        for choice in found.choices
    )
    said.extend(_way_words(found.ways))
    return " ".join(said)


def _caption(found: TradeOff) -> str:
    return (
        "Each place is the best programme the unit can be set to with that many movements during "
        f"sleep. An index of 1: as under {found.compared_with}. The index ranks; it promises "
        "nothing."
    )


def _band(index: float | None, low: float | None, high: float | None) -> str:
    if index is None:
        return "index not known"
    if low is None or high is None:
        return f"index {index:.2f}, band not known"
    return f"index {index:.2f} ({low:.2f} to {high:.2f})"


def _legend(found: TradeOff) -> list[str]:
    if not found.points and not found.choices and not found.ways:
        return ["Nothing keeps limits and guards, so there is nothing to draw."]
    sentences = []
    if found.points:
        sentences.append(
            "Open circle: best programme on central values; thick line: its band over the draws; "
            "thin line upwards: the other programmes of that number that keep limits and guards, "
            "an arrow where they go beyond the picture."
        )
    sentences.extend(
        f"{_SIGN[choice.name]}: {choice.name.value}, {choice.turns_in_sleep} movements during "
        f"sleep, {_band(choice.index, choice.index_low, choice.index_high)}."
        for choice in found.choices
    )
    sentences.extend(_way_words(found.ways))
    sentences.append("Hatched: more than under the regime compared; nothing there qualifies.")
    return sentences


_SIGN = {
    ChoiceName.GENTLEST: "Square",
    ChoiceName.BALANCED: "Diamond",
    ChoiceName.MOST_RELIEF: "Triangle",
    ChoiceName.CLOSEST: "Cross, does not qualify",
    ChoiceName.TODAYS: "Hexagon",
}


def _way_words(ways: tuple[WayPoint, ...]) -> list[str]:
    said = [
        f"{number}: {way.name}, {way.turns_in_sleep} movements during sleep, "
        f"{_band(way.index, way.index_low, way.index_high)}"
        + ("." if way.qualifies else ", does not qualify.")
        for number, way in enumerate(ways, 1)
    ]
    return ["Numbers in circles: what people do, by the same computation; not proposed.", *said] * (
        len(said) > 0
    )


def _scale(found: TradeOff, box: Box) -> _Scale:
    indices = [value for point in found.points for value in (point.index, point.index_low)]
    indices += [point.index_high for point in found.points if point.index_high is not None]
    named: tuple[NamedPoint | WayPoint, ...] = (*found.choices, *found.ways)
    for one in named:
        indices += [value for value in (one.index, one.index_low, one.index_high) if value]
    known = [value for value in indices if math.isfinite(value)] or [1.0]
    counts = [point.turns_in_sleep for point in found.points]
    most = max([*counts, *(one.turns_in_sleep for one in named)])
    low = math.floor(10.0 * min(*known, 0.95)) / 10.0
    high = min(_FURTHEST, math.ceil(10.0 * max(*known, 1.15)) / 10.0)
    # Room for the names of the choices below the lowest band, one under the other.
    names = (len(found.choices) + 1) * _LABEL / box.height
    room = names * (high - low) / max(1.0 - names, 0.5)
    return _Scale(box, float(most), max(0.0, math.floor(10.0 * (low - room)) / 10.0), high)


def _axes(drawing: Drawing, scale: _Scale) -> None:
    box = scale.box
    one = scale.y(1.0)
    drawing.rectangle(box, fill=PAPER, stroke=INK)
    above = Box(box.left, box.top, box.width, one - box.top)
    drawing.rectangle(above, fill=drawing.hatching(FAINT), opacity=0.35)
    drawing.line(Point(box.left, one), Point(box.right, one), stroke_width=2.0)
    steps = round((scale.high - scale.low) * 10.0)
    every = 1 if steps <= 12 else 2 if steps <= 20 else 5
    first = -round(scale.low * 10.0) % every
    for step in range(first, steps + 1, every):
        index = scale.low + step / 10.0
        y = scale.y(index)
        is_one = abs(index - 1.0) < 0.01
        if not is_one:
            drawing.line(Point(box.left, y), Point(box.right, y), stroke=FAINT, stroke_width=0.5)
        weight = "700" if is_one else "400"
        at = Point(box.left - 8.0, y + 4.0)
        drawing.text(at, f"{index:.1f}", size=12.0, text_anchor="end", font_weight=weight)
    _counts(drawing, scale)
    drawing.text(Point(_MARGIN, box.top - 10.0), "largest index", size=_TEXT)
    drawing.text(
        Point(box.right, box.bottom + 38.0),
        "movements during sleep",
        size=_TEXT,
        text_anchor="end",
    )


def _counts(drawing: Drawing, scale: _Scale) -> None:
    room = (scale.box.width - 60.0) / max(scale.most, 1.0)
    every = max(1, math.ceil(text_width("00 ", 12.0) / room))
    for turns in range(0, int(scale.most) + 1, every):
        at = Point(scale.x(turns), scale.box.bottom + 18.0)
        drawing.text(at, str(turns), size=12.0, text_anchor="middle")


def _best(drawing: Drawing, scale: _Scale, point: TradeOffPoint) -> None:
    x, y = scale.x(point.turns_in_sleep), scale.y(point.index)
    top = scale.y(point.worst_index)
    drawing.line(Point(x, y), Point(x, top), stroke_width=0.8, stroke_dasharray="3 3")
    if point.worst_index > scale.high:
        corners = (Point(x - 4.0, top + 8.0), Point(x, top + 1.0), Point(x + 4.0, top + 8.0))
        drawing.polygon(corners, fill=INK)
    high = math.inf if point.index_high is None else point.index_high
    _whisker(drawing, scale, x, (point.index_low, high))
    drawing.circle(Point(x, y), 4.5, fill=PAPER, stroke=INK, stroke_width=1.6)


def _whisker(drawing: Drawing, scale: _Scale, x: float, band: tuple[float, float]) -> None:
    low, high = (scale.y(value) for value in band)
    drawing.line(Point(x, low), Point(x, high), stroke_width=3.0)
    for y in (low, high):
        drawing.line(Point(x - 5.0, y), Point(x + 5.0, y), stroke_width=1.6)


def _choices(
    drawing: Drawing, scale: _Scale, choices: tuple[NamedPoint, ...], taken: list[Box]
) -> None:
    """Signs, and names below them where nothing else stands."""
    known = [one for one in choices if one.index is not None]
    places = [
        Point(x, scale.y(one.index or 0.0))
        for one, x in zip(known, _side_by_side(scale, known), strict=True)
    ]
    feet = [_foot(scale, one, at) for one, at in zip(known, places, strict=True)]
    for choice, at in zip(known, places, strict=True):
        if choice.index_low is not None and choice.index_high is not None:
            _whisker(drawing, scale, at.x, (choice.index_low, choice.index_high))
        _sign(drawing, choice.name, at)
    for choice, at, foot in zip(known, places, feet, strict=True):
        width = text_width(choice.name.value, _TEXT)
        # Below every sign near by: a name across another's band is read as its own.
        near = max(other.y for other in feet if abs(other.x - at.x) < width)
        label = _label(scale, Point(at.x, near + 8.0), width, taken)
        taken.append(label)
        drawing.line(foot, Point(at.x, label.top), stroke_width=0.8)
        place = Point(label.left, label.top + 13.0)
        drawing.text(place, choice.name.value, size=_TEXT, font_weight="700")


def _label(scale: _Scale, below: Point, width: float, taken: list[Box]) -> Box:
    """The first free place below a point, inside the picture's sides."""
    left = min(max(below.x - width / 2.0, scale.box.left + 4.0), scale.box.right - width - 4.0)
    label = Box(left, below.y, width, 16.0)
    while any(_overlap(label, one) for one in taken):
        label = label._replace(top=label.top + _LABEL)
    return label


def _foot(scale: _Scale, choice: NamedPoint, at: Point) -> Point:
    low = at.y if choice.index_low is None else scale.y(choice.index_low)
    return Point(at.x, max(at.y + 10.0, low))


def _side_by_side(scale: _Scale, choices: list[NamedPoint]) -> list[float]:
    """Where each choice stands; several of one number of movements stand beside one another."""
    counts = [one.turns_in_sleep for one in choices]
    return [
        scale.x(count) + _APART * (counts[:place].count(count) - (counts.count(count) - 1) / 2.0)
        for place, count in enumerate(counts)
    ]


def _ways(drawing: Drawing, scale: _Scale, found: TradeOff) -> list[Box]:
    """Numbered circles beside the line of their number of movements, clear of one another."""
    taken: list[Point] = []
    for number, way in enumerate(found.ways, 1):
        if way.index is None:
            continue
        y = min(max(scale.y(way.index), scale.box.top + 12.0), scale.box.bottom - 12.0)
        at = Point(scale.x(way.turns_in_sleep) + _BESIDE, y)
        while any(math.dist(at, other) < 2.0 * _DISC + 2.0 for other in taken):
            at = Point(at.x + 2.0 * _DISC + 4.0, at.y)
        taken.append(at)
        if way.index_low is not None and way.index_high is not None:
            low, high = scale.y(way.index_low), scale.y(way.index_high)
            drawing.line(Point(at.x, low), Point(at.x, high), stroke_width=1.6)
        drawing.circle(at, _DISC, fill=PAPER, stroke=INK, stroke_width=1.6)
        place = Point(at.x, at.y + 4.5)
        drawing.text(place, str(number), size=12.0, text_anchor="middle", font_weight="700")
    return [Box(at.x - _DISC, at.y - _DISC, 2.0 * _DISC, 2.0 * _DISC) for at in taken]


def _overlap(first: Box, second: Box) -> bool:
    return (
        first.left < second.right + 6.0
        and second.left < first.right + 6.0
        and first.top < second.bottom
        and second.top < first.bottom
    )


def _sign(drawing: Drawing, name: ChoiceName, at: Point) -> None:
    x, y, r = at.x, at.y, 8.0
    if name is ChoiceName.CLOSEST:
        for slant in (1.0, -1.0):
            start, end = Point(x - r, y - slant * r), Point(x + r, y + slant * r)
            drawing.line(start, end, stroke_width=3.0)
        return
    corners = {
        ChoiceName.GENTLEST: ((-r, -r), (r, -r), (r, r), (-r, r)),
        ChoiceName.BALANCED: ((0.0, -10.0), (10.0, 0.0), (0.0, 10.0), (-10.0, 0.0)),
        ChoiceName.MOST_RELIEF: ((0.0, -10.0), (9.0, 8.0), (-9.0, 8.0)),
        ChoiceName.TODAYS: ((-5, -9), (5, -9), (10, 0), (5, 9), (-5, 9), (-10, 0)),
    }[name]
    drawing.polygon(
        (Point(x + across, y + down) for across, down in corners),
        fill=TIDE_PALE,
        stroke=INK,
        stroke_width=2.0,
    )
