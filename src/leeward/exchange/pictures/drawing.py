"""An SVG drawing: shapes and words as elements with attributes, never inline styles."""

import hashlib
import xml.etree.ElementTree as ET
from collections.abc import Iterable
from typing import NamedTuple

from leeward.exchange.pictures.palette import INK
from leeward.exchange.pictures.plain_text import visible
from leeward.terms.errors import InvalidInput

#: Smallest letters a picture may hold, in its own units; pictures are never shown smaller.
SMALLEST_TEXT = 12.0
FONTS = "'Noto Sans', sans-serif"

_NARROW = frozenset("iIjl.,:;'|!()[] ftr‹›-")
# Advances hold for the wider of the usual sans-serif faces: a reader's machine may lack ours.
_WIDE = frozenset("mwMW@%—…")


class Point(NamedTuple):
    """A place in a drawing, in its own units, from the upper left corner."""

    x: float
    y: float


class Box(NamedTuple):
    """An upright rectangle in a drawing's own units."""

    left: float
    top: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Right edge."""
        return self.left + self.width

    @property
    def bottom(self) -> float:
        """Lower edge."""
        return self.top + self.height

    @property
    def middle(self) -> Point:
        """Centre."""
        return Point(self.left + self.width / 2.0, self.top + self.height / 2.0)


class Drawing:
    """A drawing being made; shapes are added from back to front."""

    def __init__(self, name: str, width: float, *, title: str, description: str) -> None:
        title, description = visible(title), visible(description)
        # Several pictures may share one page: their patterns must not answer to one name.
        digest = hashlib.sha256(f"{title}\n{description}\n{width}".encode()).hexdigest()[:8]
        self.name = f"{name}-{digest}"
        self.width = width
        self._root = ET.Element("svg", {"xmlns": "http://www.w3.org/2000/svg", "role": "img"})
        self._root.set("aria-labelledby", f"{self.name}-title {self.name}-desc")
        self._root.set("font-family", FONTS)
        self._root.set("fill", INK)
        for tag, words in (("title", title), ("desc", description)):
            ET.SubElement(self._root, tag, id=f"{self.name}-{tag}").text = words
        self._patterns = ET.SubElement(self._root, "defs")

    def rectangle(self, box: Box, **attributes: str | float) -> None:
        """Add a rectangle."""
        place = {"x": box.left, "y": box.top, "width": box.width, "height": box.height}
        self._add("rect", {**place, **attributes})

    def line(self, start: Point, end: Point, **attributes: str | float) -> None:
        """Add a straight line."""
        place = {"x1": start.x, "y1": start.y, "x2": end.x, "y2": end.y}
        self._add("line", {"stroke": INK, **place, **attributes})

    def circle(self, centre: Point, radius: float, **attributes: str | float) -> None:
        """Add a circle."""
        self._add("circle", {"cx": centre.x, "cy": centre.y, "r": radius, **attributes})

    def polygon(
        self, corners: Iterable[Point], *, closed: bool = True, **attributes: str | float
    ) -> None:
        """Add a polygon, or an open chain of lines."""
        points = " ".join(f"{_number(corner.x)},{_number(corner.y)}" for corner in corners)
        self._add("polygon" if closed else "polyline", {"points": points, **attributes})

    def path(self, commands: str, **attributes: str | float) -> None:
        """Add a path."""
        self._add("path", {"d": commands, **attributes})

    def text(
        self,
        at: Point,
        words: str,
        *,
        size: float = 13.0,
        whole: str = "",
        **attributes: str | float,
    ) -> None:
        """Add one line of words."""
        if size < SMALLEST_TEXT:
            raise InvalidInput(
                f"letters of size {size:g}",
                where=f"picture {self.name}",
                expected=f"at least {SMALLEST_TEXT:g}",
                remedy="leave the words out or make room for them",
            )
        element = self._add("text", {"x": at.x, "y": at.y, "font-size": size, **attributes})
        shown = visible(words)
        if whole and visible(whole) != shown:
            note = ET.SubElement(element, "title")
            note.text = visible(whole)
            note.tail = shown
        else:
            element.text = shown

    def hatching(self, colour: str = INK) -> str:
        """Value of a ``fill`` attribute for slanted lines."""
        identifier, pattern = self._pattern(f"hatching-{colour[1:]}", 7.0)
        if pattern is not None:
            pattern.set("patternTransform", "rotate(45)")
            stroke = {"stroke": colour, "stroke-width": "2.2"}
            ET.SubElement(pattern, "line", {"x1": "0", "y1": "0", "x2": "0", "y2": "7", **stroke})
        return f"url(#{identifier})"

    def dotting(self, colour: str = INK) -> str:
        """Value of a ``fill`` attribute for dots."""
        identifier, pattern = self._pattern(f"dotting-{colour[1:]}", 8.0)
        if pattern is not None:
            ET.SubElement(pattern, "circle", cx="4", cy="4", r="1.2", fill=colour)
        return f"url(#{identifier})"

    def finished(self, height: float) -> str:
        """Close the drawing."""
        self._root.set("viewBox", f"0 0 {_number(self.width)} {_number(height)}")
        self._root.set("width", _number(self.width))
        self._root.set("height", _number(height))
        return ET.tostring(self._root, encoding="unicode")

    def _pattern(self, kind: str, spacing: float) -> tuple[str, ET.Element | None]:
        identifier = f"{self.name}-{kind}"
        if any(known.get("id") == identifier for known in self._patterns):
            return identifier, None
        pattern = ET.SubElement(self._patterns, "pattern", id=identifier)
        pattern.set("patternUnits", "userSpaceOnUse")
        pattern.set("width", _number(spacing))
        pattern.set("height", _number(spacing))
        return identifier, pattern

    def _add(self, tag: str, attributes: dict[str, str | float]) -> ET.Element:
        written = {
            name.replace("_", "-"): value if isinstance(value, str) else _number(value)
            for name, value in attributes.items()
        }
        return ET.SubElement(self._root, tag, written)


def _number(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def text_width(words: str, size: float = 13.0) -> float:
    """Estimate how wide a line of words is, rather too wide than too narrow."""
    return size * sum(_advance(sign) for sign in words)


def _advance(sign: str) -> float:
    if sign in _NARROW:
        return 0.38
    if sign in _WIDE or ord(sign) > 0x2FF:
        return 0.98
    return 0.72 if sign.isupper() else 0.63


def fitted(words: str, width: float, size: float = 13.0) -> str:
    """Cut words to a width, so that the cut is seen."""
    if text_width(words, size) <= width:
        return words
    kept = words
    while kept and text_width(kept + "…", size) > width:
        kept = kept[:-1]
    return kept.rstrip() + "…" if len(kept) > 2 else ""


def wrapped(words: str, width: float, size: float = 13.0) -> list[str]:
    """Break words into lines of a width."""
    lines: list[str] = []
    line = ""
    for word in words.split():
        longer = f"{line} {word}" if line else word
        if text_width(longer, size) <= width:
            line = longer
            continue
        if line:
            lines.append(line)
        *full, line = _broken(word, width, size)
        lines.extend(full)
    return [*lines, line] if line else lines


def _broken(word: str, width: float, size: float) -> list[str]:
    pieces = [""]
    for sign in word:
        if pieces[-1] and text_width(pieces[-1] + sign, size) > width:
            pieces.append("")
        pieces[-1] += sign
    return pieces
