"""Bed, unit and body to scale: from above, from the side, and cut across at a turn."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from leeward.exchange.pictures.drawing import Box, Drawing, Point, wrapped
from leeward.exchange.pictures.palette import BRICK, FAINT, INK, NIGHT, PAPER, TIDE, TIDE_PALE
from leeward.exchange.pictures.words import OWN_SIDES
from leeward.fitting.mechanism import BedSetting, Mechanism
from leeward.fitting.placement import BodyPlaces
from leeward.terms.bed_sheet import RailPart
from leeward.terms.equipment import Equipment
from leeward.terms.fit_sheet import FitSheet, FixedPoint
from leeward.terms.posture import turn_in_words
from leeward.terms.units import cm_from_metres, deg_from_radians, mm_from_metres

#: Puts a place on the bed, in metres, into the drawing.
_Placed = Callable[[float, float], Point]

_MARGIN = 24.0
_TEXT = 13.0
_LINE = 17.0


@dataclass(frozen=True, slots=True)
class PlacementView:
    """What is drawn.

    Parameters
    ----------
    mechanism : Mechanism
        Bed and unit.
    sheet : FitSheet
        Measured at the bed.
    unit : Equipment
        The unit.
    body : BodyPlaces
        Hip and shoulder tip, as far as known.
    line_offset : float or None
        The unit's line from the body's mid-line. [m]
    mattress : float or None
        Its thickness. [m]
    """

    mechanism: Mechanism
    sheet: FitSheet
    unit: Equipment
    body: BodyPlaces
    line_offset: float | None
    mattress: float | None


def from_above(view: PlacementView, width: float = 720.0) -> str:
    """Draw the bed from above, head end at the top.

    Parameters
    ----------
    view : PlacementView
        What is drawn.
    width : float
        Width of the picture.

    Returns
    -------
    str
        SVG.
    """
    bed = view.sheet.bed.platform
    length = bed.length
    scale = 0.44 * width / max(bed.width, 0.9)
    left, top = _MARGIN + 70.0, 76.0

    def at(across: float, along: float) -> Point:
        # Seen from above, head end up, the person on their back: their left is on the right.
        return Point(left + scale * (bed.width / 2.0 + across), top + scale * (length - along))

    title = "Placement from above, to scale"
    drawing = Drawing("placement-above", width, title=title, description=_above_words(view))
    drawing.text(Point(_MARGIN, 24.0), title, size=16.0, font_weight="bold")
    drawing.text(Point(_MARGIN, 44.0), f"Head end at the top. {OWN_SIDES}", size=_TEXT)
    for side, name in ((-0.5, "person's right"), (0.5, "person's left")):
        above = at(side * 0.6 * bed.width, length)
        drawing.text(Point(above.x, above.y - 4.0), name, size=_TEXT, text_anchor="middle")
    _sections(drawing, view, at, scale)
    _unit(drawing, view, at, scale)
    for part in view.sheet.bed.rail_parts:
        if part.foot_end is None or part.head_end is None:
            continue
        for side in (-1.0, 1.0):
            out = side * (bed.width / 2.0 + 0.05)
            start, end = at(out, part.foot_end), at(out, part.head_end)
            drawing.line(start, end, stroke=INK, stroke_width=4.0)
    _body(drawing, view, at)
    below = _key(drawing, view, Point(left + scale * bed.width + 40.0, top + 12.0), width)
    _scale_bar(drawing, Point(left, top + scale * length + 26.0), scale)
    return drawing.finished(max(below, top + scale * length + 52.0))


def _sections(drawing: Drawing, view: PlacementView, at: _Placed, scale: float) -> None:
    bed = view.sheet.bed.platform
    start = 0.0
    names = (("calf", bed.calf), ("thigh", bed.thigh), ("seat", bed.seat), ("back", bed.back))
    for name, length in names:
        corner = at(-bed.width / 2.0, start + length)
        box = Box(corner.x, corner.y, scale * bed.width, scale * length)
        drawing.rectangle(box, fill=PAPER, stroke=FAINT, stroke_width=1.2)
        drawing.text(Point(_MARGIN, box.middle.y + 5.0), name, size=_TEXT)
        start += length


def _unit(drawing: Drawing, view: PlacementView, at: _Placed, scale: float) -> None:
    geometry, foot = view.unit.geometry, view.sheet.unit_foot_end
    if foot is None:
        return
    corner = at(-geometry.width / 2.0, foot + geometry.length)
    box = Box(corner.x, corner.y, scale * geometry.width, scale * geometry.length)
    drawing.rectangle(box, fill=TIDE_PALE, fill_opacity=0.55, stroke=TIDE, stroke_width=1.6)
    drawing.line(
        at(0.0, foot),
        at(0.0, foot + geometry.length),
        stroke=TIDE,
        stroke_width=2.0,
        stroke_dasharray="10 4 2 4",
    )
    for point in geometry.anchor_points:
        place = at(point.across, foot + point.along)
        drawing.rectangle(Box(place.x - 5.0, place.y - 5.0, 10.0, 10.0), fill=INK)
    for element in geometry.sensing_elements:
        place = at(element.across, foot + element.along)
        drawing.circle(place, 6.0, fill=PAPER, stroke=INK, stroke_width=2.0)


def _body(drawing: Drawing, view: PlacementView, at: _Placed) -> None:
    body, half = view.body, 0.2
    # The body's mid-line lies beside the unit's line by as much, the other way.
    middle = -(view.line_offset or 0.0)
    if body.hip is not None and view.line_offset is not None:
        end = body.shoulder_high if body.shoulder_high is not None else body.hip
        drawing.line(at(middle, body.hip - 0.4), at(middle, end + 0.2), stroke=BRICK,
                     stroke_width=2.0)  # fmt: skip
    for along, name in ((body.hip, "hip"), (body.shoulder_low, "shoulder tip")):
        if along is None:
            continue
        drawing.line(at(middle - half, along), at(middle + half, along), stroke=BRICK,
                     stroke_width=2.0, stroke_dasharray="6 3")  # fmt: skip
        label = at(middle, along)
        drawing.text(Point(label.x + 8.0, label.y - 5.0), name, size=_TEXT, fill=BRICK)


def _key(drawing: Drawing, view: PlacementView, at: Point, width: float) -> float:
    foot = view.sheet.unit_foot_end
    offset = view.line_offset
    lines = [
        f"Bed: {view.sheet.bed.name}.",
        f"Unit (shaded): {view.unit.name}.",
        "Foot end not measured: the unit is not drawn."
        if foot is None
        else f"Its foot end lies {cm_from_metres(foot):.0f} cm from the platform's.",
        "Dashes and dots: the unit's line.",
        "Nobody measured where the line lies under the body."
        if offset is None
        else f"The line lies {_beside(offset)} the body's mid-line (full line).",
        "Squares: points to fasten. Rings: elements that sense.",
        "Thick lines beside the bed: rails.",
        *([] if view.body.hip is not None else ["Nobody measured where the hip lies."]),
    ]
    y = at.y
    for line in lines:
        for piece in wrapped(line, width - at.x - _MARGIN, _TEXT):
            drawing.text(Point(at.x, y), piece, size=_TEXT)
            y += _LINE
        y += 5.0
    return y


def _beside(offset: float) -> str:
    if offset == 0.0:
        return "under"
    side = "left" if offset > 0.0 else "right"
    return f"{cm_from_metres(abs(offset)):.0f} cm to the person's {side} of"


def _above_words(view: PlacementView) -> str:
    foot = view.sheet.unit_foot_end
    where = "not measured" if foot is None else f"{cm_from_metres(foot):.0f} cm"
    return f"{view.unit.name} on {view.sheet.bed.name}; its foot end from the platform's: {where}."


def from_the_side(view: PlacementView, setting: BedSetting, width: float = 720.0) -> str:
    """Draw the bed from the person's left side, flat and as it is set.

    Parameters
    ----------
    view : PlacementView
        What is drawn.
    setting : BedSetting
        The setting beside the flat bed.
    width : float
        Width of the picture.

    Returns
    -------
    str
        SVG.
    """
    bed = view.sheet.bed.platform
    length = bed.length
    scale = (width - 2.0 * _MARGIN) / (length + 0.5)
    base = 90.0 + scale * 0.95
    shown = f"backrest {deg_from_radians(setting.backrest):.0f}°, knee raise " + (
        f"{deg_from_radians(view.mechanism.knee_raise(setting)):.0f}°"
    )
    title = f"From the person's left side, to scale: flat, and {shown}"
    drawing = Drawing("placement-side", width, title=title, description=title)
    drawing.text(Point(_MARGIN, 24.0), title, size=15.0, font_weight="bold")
    drawing.text(Point(_MARGIN, 44.0), "Head end on the right.", size=_TEXT)

    def at(along: float, up: float) -> Point:
        return Point(_MARGIN + scale * (along + 0.15), base - scale * up)

    for now, colour, stroke in ((BedSetting(), FAINT, 2.0), (setting, INK, 3.5)):
        _side_of(drawing, view, now, at, colour, stroke)
    for part in view.sheet.bed.rail_parts:
        _side_rail(drawing, view, part.name, setting, at)
    _scale_bar(drawing, Point(_MARGIN, base + 34.0), scale)
    note = "Thin: flat. Thick: as set; dashes: upper face of the mattress. Outlines: rails as set."
    drawing.text(Point(_MARGIN, base + 66.0), note, size=_TEXT)
    return drawing.finished(base + 80.0)


def _side_of(
    drawing: Drawing, view: PlacementView, now: BedSetting, at: _Placed, colour: str, stroke: float
) -> None:
    whole = replace(view.mechanism, foot_end=0.0, head_end=99.0)
    thickness = view.unit.geometry.thickness + (view.mattress or 0.0)
    for section, low, high in whole.sections():
        for height, dashes in ((0.0, ""), (thickness, "5 4")):
            ends = [
                whole.place(FixedPoint(section, 0.0, along, height), now)[1:]
                for along in (low, high)
            ]
            drawing.line(
                at(*ends[0]),
                at(*ends[1]),
                stroke=colour,
                stroke_width=stroke if not dashes else 1.5,
                stroke_dasharray=dashes or "none",
            )


def _side_rail(
    drawing: Drawing, view: PlacementView, name: str, now: BedSetting, at: _Placed
) -> None:
    part = next(one for one in view.sheet.bed.rail_parts if one.name == name)
    if part.foot_end is None or part.head_end is None or part.top is None:
        return
    low = part.bottom or 0.0
    corners = [
        view.mechanism.place(FixedPoint(part.moves_with, 0.0, along, up), now)[1:]
        for along, up in (
            (part.foot_end, low),
            (part.head_end, low),
            (part.head_end, part.top),
            (part.foot_end, part.top),
        )
    ]
    drawing.polygon([at(*corner) for corner in corners], fill="none", stroke=TIDE, stroke_width=1.6)


def cut_across(view: PlacementView, turn: float, width: float = 720.0) -> str:
    """Draw bed and surface cut across at a turn, seen from the foot end.

    Parameters
    ----------
    view : PlacementView
        What is drawn.
    turn : float
        Signed turn. [rad]
    width : float
        Width of the picture.

    Returns
    -------
    str
        SVG.
    """
    half = view.mechanism.half_width
    scale = (width - 2.0 * _MARGIN) / (2.0 * half + 0.5)
    tall = 0.9
    base = 96.0 + scale * tall * 0.8
    title = f"Cut across, bed flat, to scale: {turn_in_words(turn)}"
    drawing = Drawing("placement-across", width, title=title, description=title)
    drawing.text(Point(_MARGIN, 24.0), title, size=16.0, font_weight="bold")
    words = f"Seen from the foot end, the person on their back. {OWN_SIDES}"
    drawing.text(Point(_MARGIN, 44.0), words, size=_TEXT)

    def at(across: float, up: float) -> Point:
        # From the foot end the person's left is on the right.
        return Point(width / 2.0 + scale * across, base - scale * up)

    drawing.line(at(-half, 0.0), at(half, 0.0), stroke=INK, stroke_width=3.5)
    unit, mattress = view.unit.geometry.thickness, view.mattress or 0.0
    for height, dashes in ((0.0, "none"), (unit, "2 3"), (unit + mattress, "6 4")):
        places = [
            at(*view.mechanism.lifted(side * share * half, height, turn))
            for side, share in ((-1.0, 1.0), (-1.0, 0.0), (1.0, 1.0))
        ]
        drawing.polygon(
            places, closed=False, fill="none", stroke=TIDE, stroke_width=2.0,
            stroke_dasharray=dashes,
        )  # fmt: skip
    _across_rails(drawing, view, turn, at)
    for side, name in ((-1.0, "person's right"), (1.0, "person's left")):
        below = Point(at(side * half * 0.7, 0.0).x, base + 26.0)
        drawing.text(below, name, size=_TEXT, text_anchor="middle")
    _scale_bar(drawing, Point(_MARGIN, base + 60.0), scale)
    note = "Thick: platform. Dots: top of the unit. Dashes: top of the mattress. Bars: rails."
    drawing.text(Point(_MARGIN, base + 92.0), note, size=_TEXT)
    note = "Published limits are for flat beds: look at the pressed-down edge by eye at full turn."
    drawing.text(Point(_MARGIN, base + 92.0 + _LINE), note, size=_TEXT)
    return drawing.finished(base + 92.0 + 2.0 * _LINE)


def _across_rails(drawing: Drawing, view: PlacementView, turn: float, at: _Placed) -> None:
    half, part = view.mechanism.half_width, _lowest_rail(view)
    if part is None:
        drawing.text(Point(_MARGIN, 64.0), "Rails: not measured, not drawn.", size=_TEXT)
        return
    low, high = part.bottom or 0.0, part.top or 0.0
    top = view.unit.geometry.thickness + (view.mattress or 0.0)
    # Rails that stay on the bed are drawn where they are at level.
    tilt = turn if view.sheet.bed.rails_tilt else 0.0
    for side in (-1.0, 1.0):
        out = side * (half + (part.gap_beside or 0.0))
        foot, head = (view.mechanism.lifted(out, up, tilt) for up in (low, high))
        drawing.line(at(*foot), at(*head), stroke=INK, stroke_width=6.0)
        edge = view.mechanism.lifted(side * half, top, turn)[1]
        _height_left(drawing, at(head[0], max(head[1], edge)), head[1] - edge)


def _lowest_rail(view: PlacementView) -> RailPart | None:
    known = [part for part in view.sheet.bed.rail_parts if part.top is not None]
    return min(known, key=lambda part: part.top or 0.0, default=None)


def _height_left(drawing: Drawing, place: Point, height: float) -> None:
    left = mm_from_metres(height)
    words = f"{left:.0f} mm" if left >= 0.0 else f"{-left:.0f} mm short"
    at = Point(min(max(place.x, 60.0), drawing.width - 60.0), place.y - 8.0)
    drawing.text(at, words, size=_TEXT, text_anchor="middle")


def _scale_bar(drawing: Drawing, at: Point, scale: float) -> None:
    drawing.rectangle(Box(at.x, at.y, 0.5 * scale, 5.0), fill=NIGHT, stroke=INK)
    drawing.text(Point(at.x + 0.5 * scale + 8.0, at.y + 9.0), "50 cm", size=_TEXT)
