"""The pressure map: body from above, pressure in steps of one common scale, sites with peaks."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leeward.contact.pressure_map import LOCAL_CELL, PEAK_CELL, PressureMap, SitePressure
from leeward.exchange.pictures.drawing import Box, Drawing, Point, text_width, wrapped
from leeward.exchange.pictures.palette import BRICK, FAINT, INK, PAPER
from leeward.exchange.pictures.plain_text import visible
from leeward.exchange.pictures.pressure_map_contours import contours
from leeward.exchange.pictures.words import OWN_SIDES, posture_text, sites_text
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.errors import InvalidInput
from leeward.terms.units import mm_from_metres, mmhg_from_pascal, pascal_from_mmhg

#: Lower ends of the steps, the same in every map, and their tints: each darker than the last.
STEPS_MMHG = (5.0, 15.0, 25.0, 35.0, 45.0, 60.0)
TINTS = ("#dfeaeb", "#b3cfd2", "#7eabb1", "#4a838c", "#2a5a66", "#15303c")

Array = NDArray[np.float64]

_TEXT = 13.0
_LINE = 17.0
_MARGIN = 12.0
_NARROWEST = 360.0
#: Bold letters are wider than what the width of a text is estimated by.
_BOLD = 1.12
#: A site is named from this peak on.
_NAMED_MMHG = 5.0
#: Shorter arrows of friction are left out. [Pa]
_LEAST_FRICTION = 250.0
_ARROW_PER_PASCAL = 0.030

_NO_PLACE_TO_LIE = {
    EquilibriumState.SLIDES: "The body slides: not a place to lie. No pressures are shown.",
    EquilibriumState.TIPS: "The body tips over: not a place to lie. No pressures are shown.",
    EquilibriumState.NOT_SOLVED: "No resting position was found: no pressures are shown.",
    EquilibriumState.NOT_MODELLED: "This posture is not modelled: cannot tell.",
    EquilibriumState.OVER_EDGE: "Trunk or head lies beyond the platform: no place to lie.",
}


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where a map's metres lie on the picture."""

    left: float
    top: float
    scale: float
    across: float
    along: float

    def point(self, across: float, along: float) -> Point:
        return Point(
            self.left + (across - self.across) * self.scale,
            self.top + (self.along - along) * self.scale,
        )


@dataclass(frozen=True, slots=True)
class _Label:
    """A site's words beside the map."""

    site: SitePressure
    words: str
    at: Point


def pressure_map(found: PressureMap, *, notes: Sequence[str] = (), width: float = 760.0) -> str:
    """Draw a map of pressure and friction.

    Parameters
    ----------
    found : PressureMap
        One posture, in one scenario.
    notes : sequence of str
        Sentences said under the heading.
    width : float
        Width in screen pixels, 360 at least.

    Returns
    -------
    str
        SVG text, seen from above with the head at the top.
    """
    if width < _NARROWEST:
        raise InvalidInput(
            f"a width of {width:g}",
            where="pressure map",
            expected=f"at least {_NARROWEST:g} pixels",
            remedy="draw it wider",
        )
    drawing = Drawing(
        "pressure-map",
        width,
        title=f"Pressure on the skin: {posture_text(found.posture)}",
        description=" ".join((*_said(found), *notes)),
    )
    y = _heading(drawing, found, notes)
    if found.state is not EquilibriumState.STABLE:
        return drawing.finished(_refusal(drawing, _NO_PLACE_TO_LIE[found.state], y))
    frame, bottom = _frame(found, width, y + 24.0)
    _sides(drawing, y + 14.0)
    _pressures(drawing, frame, found)
    _outlines(drawing, frame, found)
    bottom = max(bottom, _labels(drawing, frame, found, y + 24.0))
    _friction(drawing, frame, found)
    _highest(drawing, frame, found)
    return drawing.finished(_key(drawing, found, bottom + 14.0) + 6.0)


def _cell_words(site: SitePressure) -> str:
    words = f"{site.site.value} {mmhg_from_pascal(site.peak.pressure):.0f}"
    if site.local_peak is not None:
        cell = mm_from_metres(site.local_peak.cell)
        words += f" ({mmhg_from_pascal(site.local_peak.pressure):.0f} over {cell:.0f} mm)"
    return words


def _named(found: PressureMap) -> list[SitePressure]:
    least = pascal_from_mmhg(_NAMED_MMHG)
    return [
        site
        for site in found.sites
        if max(site.peak.pressure, site.local_peak.pressure if site.local_peak else 0.0) >= least
    ]


def _said(found: PressureMap) -> list[str]:
    """All that the picture shows, in words."""
    said = [f"Seen from above, head at the top. {posture_text(found.posture)}."]
    if found.state is not EquilibriumState.STABLE:
        return [*said, _NO_PLACE_TO_LIE[found.state], OWN_SIDES]
    cell = mm_from_metres(PEAK_CELL.value)
    peaks = "; ".join(_cell_words(site) for site in _named(found))
    said.append(f"Highest mean pressure over {cell:.0f} mm, in mmHg: {peaks}.")
    return [*said, _highest_words(found), OWN_SIDES]


def _heading(drawing: Drawing, found: PressureMap, notes: Sequence[str]) -> float:
    y = 4.0
    scenario = "central values" if found.scenario == "central" else visible(found.scenario)
    sentences = (
        (f"{posture_text(found.posture)[0].upper()}{posture_text(found.posture)[1:]}", 16.0),
        (f"Seen from above, head at the top. {OWN_SIDES} Scenario: {scenario}.", _TEXT),
        *((note, _TEXT) for note in notes),
    )
    for sentence, size in sentences:
        is_bold = size > _TEXT
        room = (drawing.width - 2.0 * _MARGIN) / (_BOLD if is_bold else 1.0)
        for line in wrapped(sentence, room, size):
            y += _LINE + size - _TEXT
            weight = "700" if is_bold else "400"
            drawing.text(Point(_MARGIN, y), line, size=size, font_weight=weight)
    return y + 6.0


def _refusal(drawing: Drawing, words: str, top: float) -> float:
    lines = wrapped(words, drawing.width - 60.0, 16.0)
    plate = Box(_MARGIN, top + 6.0, drawing.width - 2.0 * _MARGIN, 22.0 * len(lines) + 16.0)
    drawing.rectangle(plate, fill=PAPER, stroke=BRICK, stroke_width=3.0)
    for number, line in enumerate(lines, 1):
        at = Point(plate.middle.x, plate.top + 22.0 * number)
        drawing.text(at, line, size=16.0, font_weight="700", text_anchor="middle")
    return plate.bottom + 12.0


def _frame(found: PressureMap, width: float, top: float) -> tuple[_Frame, float]:
    """Scale and place of the map: about two fifths of the width, names on both sides."""
    corners = np.array([corner for outline in found.outlines for corner in outline.corners])
    low, high = corners.min(axis=0) - 0.02, corners.max(axis=0) + 0.02
    wide = 0.42 * width
    scale = min(wide / float(high[0] - low[0]), 1.1 * width / float(high[1] - low[1]))
    middle = 0.5 * float(low[0] + high[0])
    left = 0.5 * width - scale * (middle - float(low[0]))
    frame = _Frame(left, top, scale, float(low[0]), float(high[1]))
    return frame, frame.point(0.0, float(low[1])).y


def _sides(drawing: Drawing, y: float) -> None:
    for anchor, x, words in (
        ("start", _MARGIN, "person's right"),
        ("end", drawing.width - _MARGIN, "person's left"),
    ):
        drawing.text(Point(x, y), words, size=_TEXT, font_weight="700", text_anchor=anchor)


def _pressures(drawing: Drawing, frame: _Frame, found: PressureMap) -> None:
    for outline in found.outlines:
        drawing.polygon([frame.point(*corner) for corner in outline.corners], fill=PAPER)
    for step, tint in zip(STEPS_MMHG, TINTS, strict=True):
        loops = contours(found.pressure, pascal_from_mmhg(step))
        if not loops:
            continue
        commands = " ".join(_closed(frame, found, loop) for loop in loops)
        drawing.path(commands, fill=tint, fill_rule="evenodd", stroke=INK, stroke_width=0.4)


def _closed(frame: _Frame, found: PressureMap, loop: Sequence[tuple[float, float]]) -> str:
    places = [
        frame.point(
            float(found.across[0]) + column * found.cell, float(found.along[0]) + row * found.cell
        )
        for column, row in loop
    ]
    return "M" + "L".join(f"{place.x:.1f},{place.y:.1f}" for place in places) + "Z"


def _outlines(drawing: Drawing, frame: _Frame, found: PressureMap) -> None:
    for outline in found.outlines:
        corners = [frame.point(*corner) for corner in outline.corners]
        drawing.polygon(corners, fill="none", stroke=INK, stroke_width=1.0)


def _friction(drawing: Drawing, frame: _Frame, found: PressureMap) -> None:
    """Arrows of the bed's friction on the skin."""
    for site in _named(found):
        across, along = site.shear_across, site.shear_along
        size = float(np.hypot(across, along))
        if size >= _LEAST_FRICTION:
            _arrow(drawing, frame.point(site.across, site.along), (across, -along))


def _highest(drawing: Drawing, frame: _Frame, found: PressureMap) -> None:
    """A ring round the highest cell anywhere on the body, a site or not."""
    if found.highest is not None:
        place = frame.point(found.highest.across, found.highest.along)
        drawing.circle(place, 11.0, fill="none", stroke=PAPER, stroke_width=4.0)
        drawing.circle(place, 11.0, fill="none", stroke=BRICK, stroke_width=2.0)


def _highest_words(found: PressureMap) -> str:
    if found.highest is None:
        return ""
    cell = mm_from_metres(found.highest.peak.cell)
    return (
        f"Ring: highest anywhere on the body, {mmhg_from_pascal(found.highest.peak.pressure):.0f} "
        f"mmHg over {cell:.0f} mm, {found.highest.segment}."
    )


def _arrow(drawing: Drawing, start: Point, pull: tuple[float, float]) -> None:
    end = Point(start.x + pull[0] * _ARROW_PER_PASCAL, start.y + pull[1] * _ARROW_PER_PASCAL)
    size = float(np.hypot(*pull))
    x, y = pull[0] / size, pull[1] / size
    head = [
        Point(end.x + 5.0 * x, end.y + 5.0 * y),
        Point(end.x - 4.0 * x - 4.5 * y, end.y - 4.0 * y + 4.5 * x),
        Point(end.x - 4.0 * x + 4.5 * y, end.y - 4.0 * y - 4.5 * x),
    ]
    # light rims keep arrows visible on the darkest tint
    drawing.line(start, end, stroke=PAPER, stroke_width=4.5)
    drawing.polygon(head, fill=INK, stroke=PAPER, stroke_width=1.5)
    drawing.line(start, end, stroke=INK, stroke_width=2.0)


def _labels(drawing: Drawing, frame: _Frame, found: PressureMap, top: float) -> float:
    """Names and peaks beside the map, each with a line to its site."""
    sides: dict[int, list[SitePressure]] = {-1: [], 1: []}
    for site in sorted(_named(found), key=lambda site: -site.along):
        if abs(site.across) < 0.02:
            side = -1 if len(sides[-1]) <= len(sides[1]) else 1
        else:
            side = 1 if site.across > 0.0 else -1
        sides[side].append(site)
    lowest = top
    for side, sites in sides.items():
        y = top + 12.0
        for site in sites:
            place = frame.point(site.across, site.along)
            y = max(y, place.y + 4.0)
            y = _label(drawing, site, place, side, y) + 4.0
            lowest = max(lowest, y)
    return lowest


def _label(drawing: Drawing, site: SitePressure, place: Point, side: int, y: float) -> float:
    x = _MARGIN if side < 0 else drawing.width - _MARGIN
    anchor = "start" if side < 0 else "end"
    lines = wrapped(_cell_words(site), 0.30 * drawing.width, _TEXT)
    end = x - side * (max(text_width(line, _TEXT) for line in lines) + 4.0)
    drawing.line(Point(end, y - 4.0), place, stroke=PAPER, stroke_width=3.0)
    drawing.line(Point(end, y - 4.0), place, stroke=FAINT)
    drawing.circle(place, 3.0, fill=PAPER, stroke=INK, stroke_width=1.2)
    for line in lines:
        drawing.text(Point(x, y), line, size=_TEXT, text_anchor=anchor)
        y += _LINE
    return y


def _key(drawing: Drawing, found: PressureMap, y: float) -> float:
    width = (drawing.width - 2.0 * _MARGIN) / len(STEPS_MMHG)
    for number, (step, tint) in enumerate(zip(STEPS_MMHG, TINTS, strict=True)):
        box = Box(_MARGIN + number * width, y, width, 16.0)
        drawing.rectangle(box, fill=tint, stroke=INK, stroke_width=0.6)
        drawing.text(Point(box.left, box.bottom + 15.0), f"{step:.0f}", size=_TEXT)
    y += 31.0
    squares = f"{mm_from_metres(found.cell):.0f} mm"
    small = mm_from_metres(LOCAL_CELL.value)
    sentences = [
        f"Tints: mean pressure over squares of {squares}, in mmHg from the number under each "
        "tint; the same in every map.",
        f"Numbers: highest mean over a square of {mm_from_metres(PEAK_CELL.value):.0f} mm near the "
        f"site, in mmHg; over {small:.0f} mm besides at small round bones. A peak over a smaller "
        "square is higher.",
        _highest_words(found),
        "Arrows: friction of the bed on the skin, 30 pixels for 1 kPa.",
        "Computed, not measured: one stiffness of the foam, set by convention, decides how high "
        "peaks are.",
        f"Not known, whatever the tint: {sites_text(found.unknown)}." if found.unknown else "",
    ]
    for sentence in sentences:
        for line in wrapped(sentence, drawing.width - 2.0 * _MARGIN, _TEXT):
            y += _LINE
            drawing.text(Point(_MARGIN, y), line, size=_TEXT)
        y += 3.0
    return y
