"""The sensitivity picture: each choice's index under every change of a convention."""

import math
from typing import NamedTuple

from leeward.exchange.pictures.drawing import Box, Drawing, Point, wrapped
from leeward.exchange.pictures.palette import FAINT, INK, PAPER, TIDE_PALE
from leeward.exchange.pictures.sentences import write_sentences
from leeward.programme.other_conventions import ConventionChanged, IndexThen, Sensitivity
from leeward.programme.sensitivity_said import numbered, sensitivity_said

_MARGIN = 12.0
_TEXT = 13.0
_LINE = 17.0
#: Height given to one choice inside a row, so that signs never cover one another.
_LANE = 17.0
_SIGN = 8.0
#: Narrower than this the words of a row stand above it.
_BESIDE = 600.0
#: Indices beyond this end in an arrow; their number is in the words all the same.
_FURTHEST = 2.0


class _Scale(NamedTuple):
    left: float
    right: float
    low: float
    high: float

    def x(self, index: float) -> float:
        share = (min(max(index, self.low), self.high) - self.low) / (self.high - self.low)
        return self.left + share * (self.right - self.left)


def sensitivity_picture(found: Sensitivity, *, width: float = 760.0) -> str:
    """Draw the choices under every change.

    Parameters
    ----------
    found : Sensitivity
        Indices of the choices.
    width : float
        Width in screen pixels.

    Returns
    -------
    str
        SVG text.
    """
    drawing = Drawing(
        "sensitivity",
        width,
        title="What the choices hang on",
        description=sensitivity_words(found),
    )
    y = write_sentences(drawing, [_caption(found), _key(found)], 6.0) + 6.0
    left = _MARGIN + (width * 0.44 if width >= _BESIDE else 10.0)
    scale = _scale(found, left, width - _MARGIN - 12.0)
    top = y + 22.0
    rows: list[tuple[ConventionChanged, float]] = []
    y = top
    for change in found.changes:
        rows.append((change, y))
        y += _row_height(found, change, width)
    _ground(drawing, scale, Box(scale.left, top, scale.right - scale.left, y - top))
    for change, at in rows:
        _row(drawing, scale, change, at)
    said = [one.sentence for one in sensitivity_said(found)]
    return drawing.finished(write_sentences(drawing, said, y + 10.0) + 4.0)


def sensitivity_words(found: Sensitivity) -> str:
    """The picture in words."""
    rows = [
        f"{change.sentence}: "
        + ", ".join(f"{numbered(found, n)} {_then(one)}" for n, one in enumerate(change.choices))
        + "."
        for change in found.changes
    ]
    return " ".join([_caption(found), *rows, *(one.sentence for one in sensitivity_said(found))])


def _then(one: IndexThen) -> str:
    if one.index is None:
        return "not known"
    return f"{one.index:.2f}" + ("" if one.site is None else f" at the {one.site.value}")


def _caption(found: Sensitivity) -> str:
    return (
        "Each row takes one convention otherwise, for the choices and for the regime compared "
        f"alike. An index of 1: as under {found.compared_with}. The index ranks; it promises "
        "nothing."
    )


def _key(found: Sensitivity) -> str:
    names = ", ".join(f"{n} {name}" for n, name in enumerate(found.names, start=1))
    return f"Numbers: {names}. Hatched: more than under the regime compared."


def _scale(found: Sensitivity, left: float, right: float) -> _Scale:
    known = [one.index for change in found.changes for one in change.choices if one.index]
    low = math.floor(10.0 * min([*known, 0.9])) / 10.0
    high = math.ceil(10.0 * max([*known, 1.1])) / 10.0
    return _Scale(left, right, max(0.0, low), min(high, _FURTHEST))


def _labels(change: ConventionChanged, width: float) -> list[str]:
    room = width * 0.44 - 10.0 if width >= _BESIDE else width - 2.0 * _MARGIN
    return wrapped(change.sentence, room, _TEXT)


def _row_height(found: Sensitivity, change: ConventionChanged, width: float) -> float:
    lanes, words = _LANE * len(found.names), _LINE * len(_labels(change, width))
    return (max(lanes, words) if width >= _BESIDE else lanes + words) + 8.0


def _ground(drawing: Drawing, scale: _Scale, box: Box) -> None:
    drawing.rectangle(box, fill=PAPER, stroke=INK)
    one = scale.x(1.0)
    above = Box(one, box.top, box.right - one, box.height)
    drawing.rectangle(above, fill=drawing.hatching(FAINT), opacity=0.35)
    steps = round((scale.high - scale.low) * 10.0)
    every = 1 if steps <= 6 else 2 if steps <= 12 else 5
    for step in range(0, steps + 1, every):
        index = scale.low + step / 10.0
        x = scale.x(index)
        drawing.line(Point(x, box.top), Point(x, box.bottom), stroke=FAINT, stroke_width=0.5)
        at = Point(x, box.top - 6.0)
        drawing.text(at, f"{index:.1f}", size=12.0, text_anchor="middle")
    drawing.line(Point(one, box.top), Point(one, box.bottom), stroke_width=2.0)


def _row(drawing: Drawing, scale: _Scale, change: ConventionChanged, top: float) -> None:
    is_wide = drawing.width >= _BESIDE
    labels = _labels(change, drawing.width)
    if not is_wide:
        # The words of a row cross the scale: a strip of paper keeps them legible.
        strip = Box(_MARGIN, top + 3.0, scale.right - _MARGIN, _LINE * len(labels))
        drawing.rectangle(strip, fill=PAPER)
    weight = "700" if change.code == "as-planned" else "400"
    for number, line in enumerate(labels):
        at = Point(_MARGIN, top + 16.0 + number * _LINE)
        drawing.text(at, line, size=_TEXT, font_weight=weight)
    if change.code != "as-planned":
        start = Point(_MARGIN, top)
        drawing.line(start, Point(scale.right, top), stroke=FAINT, stroke_width=0.5)
    y = top + 4.0 + (0.0 if is_wide else _LINE * len(labels))
    for number, one in enumerate(change.choices):
        _sign(drawing, scale, number, one, y + _LANE * (number + 0.5))


def _sign(drawing: Drawing, scale: _Scale, number: int, one: IndexThen, y: float) -> None:
    if one.index is None:
        drawing.text(Point(scale.left + 6.0, y + 4.5), f"{number + 1}: not known", size=12.0)
        return
    x = scale.x(one.index)
    drawing.circle(Point(x, y), _SIGN, fill=TIDE_PALE, stroke=INK, stroke_width=1.4)
    drawing.text(Point(x, y + 4.5), str(number + 1), size=12.0, text_anchor="middle")
    if one.index > scale.high:
        corners = (Point(x + 9.0, y - 4.0), Point(x + 15.0, y), Point(x + 9.0, y + 4.0))
        drawing.polygon(corners, fill=INK)
