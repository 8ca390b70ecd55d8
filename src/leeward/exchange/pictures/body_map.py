"""The body map: a figure seen from behind, each site with its load and band in words."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from leeward.exchange.pictures.body_outline import HALF_OUTLINE, place_of
from leeward.exchange.pictures.drawing import Drawing, Point, wrapped
from leeward.exchange.pictures.palette import FAINT, INK, PAPER, TIDE
from leeward.exchange.pictures.plain_text import visible
from leeward.exchange.pictures.words import OWN_SIDES, sites_text
from leeward.terms.site import Side, Site
from leeward.terms.units import mmhg_from_pascal

_TEXT = 13.0
_SMALL = 12.0
_MARGIN = 12.0
_LABEL = 34.0
#: A line with the load ratio makes each label this much higher.
_RATIO_LINE = 14.0
#: The figure is this much wider than its height, arms included.
_FIGURE_SHARE = 0.42
_LABEL_WIDTH = 150.0
_LARGEST_MARK = 13.0
#: Narrower than this the sites are listed under the figure.
_BESIDE = 600.0


@dataclass(frozen=True, slots=True)
class SiteLoad:
    """Load of one site in one posture.

    Parameters
    ----------
    site : Site
        Where.
    patch_load : float or None
        Mean pressure over the site's patch, central; None or NaN where unknown. [Pa]
    low, high : float or None
        Band. [Pa]
    ratio, ratio_low, ratio_high : float or None
        Load ratio q and its band; None where not asked for or unknown. [-]
    """

    site: Site
    patch_load: float | None
    low: float | None = None
    high: float | None = None
    ratio: float | None = None
    ratio_low: float | None = None
    ratio_high: float | None = None


@dataclass(frozen=True, slots=True)
class _Figure:
    crown: Point
    stature: float

    def point(self, place: tuple[float, float]) -> Point:
        return Point(self.crown.x + place[0] * self.stature, self.crown.y + place[1] * self.stature)


def body_map(loads: Sequence[SiteLoad], *, caption: str, width: float = 760.0) -> str:
    """Draw the loads of one posture on a figure seen from behind.

    Parameters
    ----------
    loads : sequence of SiteLoad
        One for each site shown.
    caption : str
        Which posture this is, in words.
    width : float
        Width in screen pixels.

    Returns
    -------
    str
        SVG text; larger marks mean more load, a site that cannot be told is hatched and said.
    """
    said = [
        f"{load.site.value}: {', '.join(filter(None, (_value_text(load), _ratio_text(load))))}."
        for load in loads
    ]
    lead = (
        f"{_sentence(visible(caption))} Mean pressure over a 60 mm patch, with its band. "
        f"{_about_ratio(loads)}Seen from behind. {OWN_SIDES}"
    )
    drawing = Drawing(
        "body-map", width, title="Where the load lies", description=" ".join([lead, *said])
    )
    y = 4.0
    for line in wrapped(lead, width - 2.0 * _MARGIN, _TEXT):
        y += 17.0
        drawing.text(Point(_MARGIN, y), line, size=_TEXT)
    y += 14.0
    bottom = _labelled(drawing, loads, y) if width >= _BESIDE else _listed(drawing, loads, y)
    return drawing.finished(bottom + 10.0)


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:].removesuffix('.')}."


def _labelled(drawing: Drawing, loads: Sequence[SiteLoad], top: float) -> float:
    """The figure with a label and a leader for each site."""
    columns = _columns(loads)
    high = _label_height(loads)
    room = drawing.width - 2.0 * (_LABEL_WIDTH + _MARGIN) - 16.0
    height = max(300.0, high * max(map(len, columns)), min(room / _FIGURE_SHARE, 640.0))
    figure = _Figure(Point(drawing.width / 2.0, top), min(height, room / _FIGURE_SHARE))
    _draw_figure(drawing, figure, loads)
    for column, side in zip(columns, Side, strict=True):
        _draw_labels(drawing, figure, column, side, (high, height))
    return top + height


def _label_height(loads: Sequence[SiteLoad]) -> float:
    return _LABEL + (_RATIO_LINE if any(map(_ratio_text, loads)) else 0.0)


def _listed(drawing: Drawing, loads: Sequence[SiteLoad], top: float) -> float:
    """The figure, and under it the sites from the most loaded down."""
    stature = min(440.0, (drawing.width - 2.0 * _MARGIN) / _FIGURE_SHARE)
    _draw_figure(drawing, _Figure(Point(drawing.width / 2.0, top), stature), loads)
    y = top + stature + 8.0
    right = drawing.width - _MARGIN
    for load in sorted(filter(_is_known, loads), key=lambda load: -_known(load)):
        y += 19.0
        drawing.text(Point(_MARGIN, y), load.site.value, size=_TEXT)
        drawing.text(Point(right, y), _value_text(load), size=_TEXT, text_anchor="end")
        if _ratio_text(load):
            y += _RATIO_LINE
            drawing.text(Point(right, y), _ratio_text(load), size=_SMALL, text_anchor="end")
        drawing.line(Point(_MARGIN, y + 5.0), Point(right, y + 5.0), stroke=FAINT, stroke_width=0.5)
    unknown = [load.site for load in loads if not _is_known(load)]
    if unknown:
        y += 6.0
        for line in wrapped(f"Cannot tell: {sites_text(unknown)}.", right - _MARGIN, _TEXT):
            y += 17.0
            drawing.text(Point(_MARGIN, y), line, size=_TEXT)
    return y


def _draw_figure(drawing: Drawing, figure: _Figure, loads: Sequence[SiteLoad]) -> None:
    _draw_outline(drawing, figure)
    largest = max(map(_known, loads), default=0.0)
    # The smaller mark lies on the larger one, so that neither hides the other.
    for load in sorted(loads, key=lambda load: -_known(load)):
        _draw_mark(drawing, figure.point(place_of(load.site)), load, largest)
    y = figure.point((0.0, 0.02)).y
    for across, words, anchor in (
        (-0.105, "person's left", "end"),
        (0.105, "person's right", "start"),
    ):
        x = figure.point((across, 0.0)).x
        drawing.text(Point(x, y), words, size=_SMALL, text_anchor=anchor, font_style="italic")


def _is_known(load: SiteLoad) -> bool:
    return load.patch_load is not None and math.isfinite(load.patch_load)


def _known(load: SiteLoad) -> float:
    return load.patch_load if load.patch_load is not None and _is_known(load) else 0.0


def _is_spared(load: SiteLoad) -> bool:
    """Whether the whole band is nothing to the nearest mmHg."""
    return load.high is not None and mmhg_from_pascal(max(_known(load), load.high)) < 0.5


def _value_text(load: SiteLoad) -> str:
    if not _is_known(load):
        return "cannot tell"
    if _is_spared(load):
        return "0 mmHg"
    shown = f"{mmhg_from_pascal(_known(load)):.0f}"
    if load.low is None or load.high is None:
        shown += " mmHg, no band"
    else:
        shown += f" ({mmhg_from_pascal(load.low):.0f} to {mmhg_from_pascal(load.high):.0f}) mmHg"
    return shown


def _about_ratio(loads: Sequence[SiteLoad]) -> str:
    if all(load.ratio is None for load in loads):
        return ""
    return (
        "q: the same over this person's reference load lying level on this bed; no limit is meant. "
    )


def _ratio_text(load: SiteLoad) -> str:
    if load.ratio is None or not _is_known(load) or _is_spared(load):
        return ""
    if load.ratio_low is None or load.ratio_high is None:
        return f"q {load.ratio:.2f}, no band"
    return f"q {load.ratio:.2f} ({load.ratio_low:.2f} to {load.ratio_high:.2f})"


def _columns(loads: Sequence[SiteLoad]) -> tuple[list[SiteLoad], list[SiteLoad]]:
    """Labels at the figure's left and right; those of the mid-line go where there is room."""
    left = [load for load in loads if load.site.side is Side.LEFT]
    right = [load for load in loads if load.site.side is Side.RIGHT]
    for load in (load for load in loads if load.site.side is None):
        (left if len(left) < len(right) else right).append(load)
    order = {load.site: place_of(load.site)[1] for load in loads}
    return (
        sorted(left, key=lambda load: order[load.site]),
        sorted(right, key=lambda load: order[load.site]),
    )


def _draw_outline(drawing: Drawing, figure: _Figure) -> None:
    half = list(HALF_OUTLINE)
    whole = [*half, *((-across, down) for across, down in reversed(half[1:-1]))]
    corners = [figure.point(place) for place in whole]
    count = len(corners)
    commands = [f"M{corners[0].x:.1f},{corners[0].y:.1f}"]
    # A curve through the points: each control point lies a sixth of the way along its chord.
    for n in range(count):
        before, start, end, after = (corners[(n + k) % count] for k in (-1, 0, 1, 2))
        first = start.x + (end.x - before.x) / 6.0, start.y + (end.y - before.y) / 6.0
        second = end.x - (after.x - start.x) / 6.0, end.y - (after.y - start.y) / 6.0
        commands.append(
            f"C{first[0]:.1f},{first[1]:.1f} {second[0]:.1f},{second[1]:.1f} "
            f"{end.x:.1f},{end.y:.1f}"
        )
    drawing.path(" ".join([*commands, "Z"]), fill=PAPER, stroke=INK, stroke_width=1.6)


def _draw_mark(drawing: Drawing, at: Point, load: SiteLoad, largest: float) -> None:
    if not _is_known(load):
        drawing.circle(at, 6.0, fill=PAPER)
        drawing.circle(at, 6.0, fill=drawing.hatching(INK), stroke=INK)
        return
    share = _known(load) / largest if largest > 0.0 else 0.0
    radius = max(2.0, _LARGEST_MARK * math.sqrt(share))
    drawing.circle(at, radius, fill=TIDE, fill_opacity=0.55, stroke=INK)


def _draw_labels(
    drawing: Drawing,
    figure: _Figure,
    loads: Sequence[SiteLoad],
    side: Side,
    heights: tuple[float, float],
) -> None:
    high, height = heights
    is_left = side is Side.LEFT
    edge = _MARGIN if is_left else drawing.width - _MARGIN
    end = _MARGIN + _LABEL_WIDTH if is_left else drawing.width - _MARGIN - _LABEL_WIDTH
    anchor = "start" if is_left else "end"
    bottom = figure.crown.y + height
    y = figure.crown.y
    for number, load in enumerate(loads):
        mark = figure.point(place_of(load.site))
        latest = bottom - high * (len(loads) - number)
        y = max(y, min(mark.y - 10.0, latest))
        drawing.text(Point(edge, y + 12.0), load.site.value, size=_TEXT, text_anchor=anchor)
        drawing.text(Point(edge, y + 27.0), _value_text(load), size=_SMALL, text_anchor=anchor)
        if _ratio_text(load):
            at = Point(edge, y + 27.0 + _RATIO_LINE)
            drawing.text(at, _ratio_text(load), size=_SMALL, text_anchor=anchor)
        rule = y + high - 3.0
        drawing.line(Point(edge, rule), Point(end, rule), stroke=FAINT, stroke_width=0.5)
        drawing.line(Point(end, rule), mark, stroke=FAINT, stroke_width=0.8)
        y += high
