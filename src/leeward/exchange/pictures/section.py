"""The section: bed and body cut across, gravity, pressure, surface turn beside body roll."""

from collections.abc import Sequence
from dataclasses import dataclass

from leeward.exchange.pictures.drawing import Box, Drawing, Point, text_width, wrapped
from leeward.exchange.pictures.palette import BRICK, FAINT, INK, NIGHT, PAPER, TIDE
from leeward.exchange.pictures.plain_text import visible
from leeward.exchange.pictures.words import OWN_SIDES, angle_text
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import turn_in_words
from leeward.terms.units import (
    deg_from_radians,
    mmhg_from_pascal,
    pascal_from_kpa,
    radians_from_deg,
)

_TEXT = 13.0
_LINE = 17.0
_GAP = 24.0
_MARGIN = 12.0
#: Narrower than this the cuts stand below one another.
_BESIDE = 640.0
_LONGEST_BAR = 62.0
_ARROW = 32.0
_HEADLINE, _BOLD = 16.0, 1.1

_NO_PLACE_TO_LIE = {
    EquilibriumState.SLIDES: "The body slides: not a place to lie.",
    EquilibriumState.TIPS: "The body tips over: not a place to lie.",
    EquilibriumState.NOT_SOLVED: "No resting position was found: not a place to lie.",
    EquilibriumState.NOT_MODELLED: "This posture is not modelled: cannot tell.",
    EquilibriumState.OVER_EDGE: "Trunk or head lies beyond the platform: not a place to lie.",
}

Coordinates = tuple[float, float]


@dataclass(frozen=True, slots=True)
class PressureBar:
    """Pressure on the skin at one place of a cut.

    Parameters
    ----------
    at : (float, float)
        Place: towards the person's left, up. [m]
    outward : (float, float)
        Unit vector out of the body. [-]
    pressure : float
        Pressure there. [Pa]
    """

    at: Coordinates
    outward: Coordinates
    pressure: float


@dataclass(frozen=True, slots=True)
class SectionView:
    """One cut across bed and body, in the room's frame.

    Parameters
    ----------
    name : str
        The part cut through, such as pelvis.
    outlines : tuple of closed polygons
        Body outlines as points: towards the person's left, up. [m]
    surface : tuple of points
        What the body lies on, from the person's right to their left. [m]
    bars : tuple of PressureBar
        Pressure along the skin.
    surface_turn, body_roll : float
        Turn of the surface and roll of the part in the room, positive to the person's
        left. [rad]
    state : EquilibriumState
        Only a stable body is drawn.
    """

    name: str
    outlines: tuple[tuple[Coordinates, ...], ...]
    surface: tuple[Coordinates, ...]
    bars: tuple[PressureBar, ...]
    surface_turn: float
    body_roll: float
    state: EquilibriumState = EquilibriumState.STABLE


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where a cut's metres lie on the picture."""

    box: Box
    centre: Coordinates
    scale: float
    bar_scale: float

    def point(self, place: Coordinates) -> Point:
        middle = self.box.middle
        return Point(
            middle.x + (place[0] - self.centre[0]) * self.scale,
            middle.y - (place[1] - self.centre[1]) * self.scale,
        )


def section(
    views: Sequence[SectionView],
    *,
    headline: str = "",
    notes: Sequence[str] = (),
    width: float = 1200.0,
) -> str:
    """Draw cuts side by side, or below one another where it is narrow.

    Parameters
    ----------
    views : sequence of SectionView
        Cuts of one posture, such as pelvis and thorax; at least one.
    headline : str
        Sentence over the cuts, if there is one.
    notes : sequence of str
        Sentences said under the cuts.
    width : float
        Width in screen pixels.

    Returns
    -------
    str
        SVG text; the cuts are seen from the foot of the bed.
    """
    if not views:
        raise InvalidInput(
            "no cut to draw", where="section", expected="at least one", remedy="give a cut"
        )
    said = [f"{visible(view.name)}: {' '.join(_lines(view))}" for view in views]
    drawing = Drawing(
        "section",
        width,
        title="Bed and body cut across, seen from the foot of the bed",
        description=" ".join([*([headline] if headline else []), *said, *notes, OWN_SIDES]),
    )
    columns = len(views) if width >= _BESIDE else 1
    panel = (width - 2.0 * _MARGIN - _GAP * (columns - 1)) / columns
    drawn = [view for view in views if view.state is EquilibriumState.STABLE]
    largest = max((bar.pressure for view in drawn for bar in view.bars), default=0.0)
    bottom = 0.0
    y = _heading(drawing, headline)
    for number, view in enumerate(views):
        left = _MARGIN + (number % columns) * (panel + _GAP)
        top = y if columns > 1 else max(y, bottom)
        bottom = max(bottom, _panel(drawing, view, Box(left, top, panel, 0.0), largest))
    bottom = _scale_bar(drawing, largest, bottom + 6.0)
    return drawing.finished(_noted(drawing, notes, bottom) + 6.0)


def _lines(view: SectionView) -> list[str]:
    said = [f"Surface: {turn_in_words(view.surface_turn)}."]
    if view.state is not EquilibriumState.STABLE:
        return [*said, _NO_PLACE_TO_LIE[view.state]]
    # A model's tenth of a degree is not worth saying.
    roll = radians_from_deg(round(deg_from_radians(view.body_roll)))
    said.append(f"Body, in the room: {turn_in_words(roll)}.")
    less = abs(view.surface_turn) - abs(roll)
    if view.surface_turn * roll < 0.0:
        said.append("The body has rolled the other way.")
    elif angle_text(less) == "0°":
        said.append("The body has rolled as far as the surface.")
    else:
        word = "less" if less > 0.0 else "more"
        said.append(f"The body has rolled {angle_text(less)} {word} than the surface.")
    return said


def _heading(drawing: Drawing, headline: str) -> float:
    y = 4.0
    # bold letters are wider than text_width takes them to be
    for line in wrapped(headline, (drawing.width - 2.0 * _MARGIN) / _BOLD, _HEADLINE):
        y += 21.0
        drawing.text(Point(_MARGIN, y), line, size=_HEADLINE, font_weight="700")
    for line in wrapped(
        f"Seen from the foot of the bed. {OWN_SIDES}", drawing.width - 2.0 * _MARGIN, _TEXT
    ):
        y += _LINE
        drawing.text(Point(_MARGIN, y), line, size=_TEXT)
    return y + 8.0


def _panel(drawing: Drawing, view: SectionView, place: Box, largest: float) -> float:
    y = place.top + 16.0
    drawing.text(Point(place.left, y), view.name, size=16.0, font_weight="700")
    for sentence in _lines(view):
        for line in wrapped(sentence, place.width, _TEXT):
            y += _LINE
            drawing.text(Point(place.left, y), line, size=_TEXT)
    box = Box(place.left, y + 10.0, place.width, 0.62 * place.width)
    drawing.rectangle(box, fill="none", stroke=FAINT)
    frame = _frame(view, box, largest)
    _draw_bed(drawing, view, frame)
    if view.state is EquilibriumState.STABLE:
        _draw_body(drawing, view, frame)
    else:
        _draw_refusal(drawing, _NO_PLACE_TO_LIE[view.state], box)
    _draw_gravity(drawing, box)
    for anchor, x, words in (
        ("start", box.left + 6.0, "person's right"),
        ("end", box.right - 6.0, "person's left"),
    ):
        drawing.text(Point(x, box.top + 17.0), words, size=_TEXT, text_anchor=anchor)
    return box.bottom + 12.0


def _frame(view: SectionView, box: Box, largest: float) -> _Frame:
    bodies = view.outlines if view.state is EquilibriumState.STABLE else ()
    places = [*view.surface, *(place for outline in bodies for place in outline)]
    across = [place[0] for place in places] or [0.0]
    up = [place[1] for place in places] or [0.0]
    room = Box(0.0, 0.0, box.width - 24.0, box.height - 44.0 - _LONGEST_BAR)
    scale = min(
        room.width / max(max(across) - min(across), 0.1),
        room.height / max(max(up) - min(up), 0.1),
    )
    # The body sits high enough to leave room for the longest bar under it.
    lowered = 0.5 * (_LONGEST_BAR - 28.0) / scale
    centre = (
        0.5 * (max(across) + min(across)),
        0.5 * (max(up) + min(up)) - lowered,
    )
    return _Frame(box, centre, scale, _LONGEST_BAR / largest if largest > 0.0 else 0.0)


def _draw_bed(drawing: Drawing, view: SectionView, frame: _Frame) -> None:
    top = [frame.point(place) for place in view.surface]
    if not top:
        return
    floor = frame.box.bottom - 1.0
    under = [*top, Point(top[-1].x, floor), Point(top[0].x, floor)]
    drawing.polygon(under, fill=NIGHT)
    drawing.polygon(top, closed=False, fill="none", stroke=INK, stroke_width=2.0)


def _draw_body(drawing: Drawing, view: SectionView, frame: _Frame) -> None:
    for bar in view.bars:
        start = frame.point(bar.at)
        length = bar.pressure * frame.bar_scale
        end = Point(start.x + bar.outward[0] * length, start.y - bar.outward[1] * length)
        drawing.line(start, end, stroke=TIDE, stroke_width=2.0)
    for outline in view.outlines:
        corners = [frame.point(place) for place in outline]
        drawing.polygon(corners, fill=PAPER, stroke=INK, stroke_width=2.0)


def _draw_refusal(drawing: Drawing, words: str, box: Box) -> None:
    lines = wrapped(words, box.width - 60.0, 16.0)
    wide = max(text_width(line, 16.0) for line in lines) * 1.1 + 20.0
    high = 22.0 * len(lines) + 12.0
    middle = box.middle
    plate = Box(middle.x - wide / 2.0, middle.y - high / 2.0, wide, high)
    drawing.rectangle(plate, fill=PAPER, stroke=BRICK, stroke_width=3.0)
    for number, line in enumerate(lines, 1):
        at = Point(middle.x, plate.top + 22.0 * number)
        drawing.text(at, line, size=16.0, font_weight="700", text_anchor="middle")


def _draw_gravity(drawing: Drawing, box: Box) -> None:
    x, top = box.middle.x, box.top + 8.0
    tip = top + _ARROW
    drawing.line(Point(x, top), Point(x, tip - 8.0), stroke_width=2.5)
    drawing.polygon((Point(x - 6.0, tip - 10.0), Point(x + 6.0, tip - 10.0), Point(x, tip)))
    drawing.text(Point(x + 10.0, top + 9.0), "gravity", size=_TEXT)


def _noted(drawing: Drawing, notes: Sequence[str], y: float) -> float:
    for note in notes:
        for line in wrapped(f"{note[0].upper()}{note[1:]}.", drawing.width - 2.0 * _MARGIN, _TEXT):
            y += _LINE
            drawing.text(Point(_MARGIN, y), line, size=_TEXT)
    return y


def _scale_bar(drawing: Drawing, largest: float, y: float) -> float:
    if largest <= 0.0:
        return y
    shown_kpa = next(
        (kpa for kpa in (20.0, 10.0, 5.0, 2.0) if pascal_from_kpa(kpa) <= largest), 1.0
    )
    shown = pascal_from_kpa(shown_kpa)
    length = shown * _LONGEST_BAR / largest
    drawing.line(
        Point(_MARGIN, y + 9.0), Point(_MARGIN + length, y + 9.0), stroke=TIDE, stroke_width=3.0
    )
    words = (
        f"{shown_kpa:g} kPa ({mmhg_from_pascal(shown):.0f} mmHg) on the skin at that place of the "
        "cut, central values; bars point out of the body."
    )
    for line in wrapped(words, drawing.width - length - 3.0 * _MARGIN, _TEXT):
        drawing.text(Point(2.0 * _MARGIN + length, y + 13.0), line, size=_TEXT)
        y += _LINE
    return y
