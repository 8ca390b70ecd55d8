"""Load of chosen sites against turn: a panel for each site, a bar for each settable turn."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from leeward.exchange.pictures.drawing import Box, Drawing, Point, wrapped
from leeward.exchange.pictures.palette import FAINT, INK, PAPER, TIDE_PALE
from leeward.exchange.pictures.words import OWN_SIDES
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import turn_in_words
from leeward.terms.site import Site
from leeward.terms.units import deg_from_radians, mmhg_from_pascal, pascal_from_mmhg

_TEXT = 13.0
_SMALL = 12.0
_LINE = 17.0
_MARGIN = 12.0
_GAP = 24.0
_AXIS = 34.0
_PLOT = 130.0
#: Narrower than this the panels stand below one another.
_BESIDE = 640.0
#: Turns nearer to one another than this are not all numbered, in screen pixels.
_NUMBER_ROOM = 34.0


@dataclass(frozen=True, slots=True)
class TurnLoad:
    """Load of one site at one turn.

    Parameters
    ----------
    turn : float
        Turn of the surface, positive to the person's left. [rad]
    patch_load : float or None
        Mean pressure over the site's patch, central; None where unknown. [Pa]
    low, high : float or None
        Band; None unless every draw knows it. [Pa]
    is_stable : bool
        Stable in every draw: nothing else is a place to lie.
    """

    turn: float
    patch_load: float | None
    low: float | None
    high: float | None
    is_stable: bool


@dataclass(frozen=True, slots=True)
class SiteCurve:
    """Loads of one site over turns.

    Parameters
    ----------
    site : Site
        Where.
    loads : tuple of TurnLoad
        From the largest turn to the right to the largest to the left.
    """

    site: Site
    loads: tuple[TurnLoad, ...]


@dataclass(frozen=True, slots=True)
class _Scale:
    plot: Box
    first: float
    last: float
    top: float

    def across(self, turn: float) -> float:
        share = (turn - self.first) / max(self.last - self.first, 1e-9)
        return self.plot.left + 12.0 + share * (self.plot.width - 24.0)

    def up(self, load: float) -> float:
        return self.plot.bottom - load / self.top * self.plot.height


def load_curve(curves: Sequence[SiteCurve], *, width: float = 760.0) -> str:
    """Draw the load of each site against turn, on one scale.

    Parameters
    ----------
    curves : sequence of SiteCurve
        One for each site shown; at least one, each with at least one turn.
    width : float
        Width in screen pixels.

    Returns
    -------
    str
        SVG text; a turn that is no place to lie, or whose load is unknown, is hatched.
    """
    if not curves or not all(curve.loads for curve in curves):
        raise InvalidInput(
            "no loads to draw",
            where="load curve",
            expected="at least one site with one turn",
            remedy="name a site",
        )
    lead = (
        "Load of each site against the turn of the surface: mean pressure over a 60 mm patch in "
        "mmHg. A dot is the central value, a bar its band over the draws; hatched is no place to "
        f"lie, or unknown. Nothing was computed between the dots. {OWN_SIDES}"
    )
    drawing = Drawing(
        "load-curve",
        width,
        title="Load against turn",
        description=" ".join([lead, *(_said(curve) for curve in curves)]),
    )
    y = 4.0
    for line in wrapped(lead, width - 2.0 * _MARGIN, _TEXT):
        y += _LINE
        drawing.text(Point(_MARGIN, y), line, size=_TEXT)
    columns = 2 if width >= _BESIDE and len(curves) > 1 else 1
    panel = (width - 2.0 * _MARGIN - _GAP * (columns - 1)) / columns
    top = _top(curves)
    high = _PLOT + 74.0
    for number, curve in enumerate(curves):
        left = _MARGIN + (number % columns) * (panel + _GAP)
        _panel(drawing, curve, Box(left, y + 10.0 + (number // columns) * high, panel, high), top)
    return drawing.finished(y + 10.0 + math.ceil(len(curves) / columns) * high)


def _is_shown(load: TurnLoad) -> bool:
    return load.is_stable and load.patch_load is not None


def _said(curve: SiteCurve) -> str:
    return (
        f"{curve.site.value}: "
        + "; ".join(f"{turn_in_words(load.turn)}: {_value(load)}" for load in curve.loads)
        + "."
    )


def _value(load: TurnLoad) -> str:
    if not load.is_stable:
        return "no place to lie"
    if load.patch_load is None:
        return "cannot tell"
    shown = f"{mmhg_from_pascal(load.patch_load):.0f} mmHg"
    if load.low is None or load.high is None:
        return f"{shown}, no band"
    return f"{shown} ({mmhg_from_pascal(load.low):.0f} to {mmhg_from_pascal(load.high):.0f})"


def _top(curves: Sequence[SiteCurve]) -> float:
    """Upper end of the common scale, a whole step of 20 mmHg."""
    shown = [
        max(load.high or 0.0, load.patch_load or 0.0)
        for curve in curves
        for load in curve.loads
        if _is_shown(load)
    ]
    step = pascal_from_mmhg(20.0)
    return step * max(1, math.ceil(max(shown, default=0.0) / step))


def _panel(drawing: Drawing, curve: SiteCurve, place: Box, top: float) -> None:
    drawing.text(Point(place.left, place.top + 16.0), curve.site.value, font_weight="700")
    plot = Box(place.left + _AXIS, place.top + 26.0, place.width - _AXIS, _PLOT)
    scale = _Scale(plot, curve.loads[0].turn, curve.loads[-1].turn, top)
    drawing.rectangle(plot, fill=PAPER, stroke=FAINT)
    for share in (0.0, 0.5, 1.0):
        y = scale.up(share * top)
        drawing.line(Point(plot.left, y), Point(plot.right, y), stroke=FAINT, stroke_width=0.5)
        words = f"{mmhg_from_pascal(share * top):.0f}"
        drawing.text(Point(plot.left - 5.0, y + 4.0), words, size=_SMALL, text_anchor="end")
    for load in curve.loads:
        _mark(drawing, scale, load)
    _numbers(drawing, scale, curve)


def _mark(drawing: Drawing, scale: _Scale, load: TurnLoad) -> None:
    x = scale.across(load.turn)
    if not _is_shown(load) or load.patch_load is None:
        column = Box(x - 6.0, scale.plot.top, 12.0, scale.plot.height)
        drawing.rectangle(column, fill=drawing.hatching(INK))
        return
    if load.low is not None and load.high is not None:
        high = scale.up(load.high)
        bar = Box(x - 5.0, high, 10.0, max(scale.up(load.low) - high, 1.0))
        drawing.rectangle(bar, fill=TIDE_PALE, stroke=INK)
    drawing.circle(Point(x, scale.up(load.patch_load)), 3.5, fill=INK)


def _numbers(drawing: Drawing, scale: _Scale, curve: SiteCurve) -> None:
    y = scale.plot.bottom + 15.0
    taken: list[float] = []
    # From level outwards, so that it is numbered however many turns there are.
    for load in sorted(curve.loads, key=lambda load: abs(load.turn)):
        x = scale.across(load.turn)
        if all(abs(x - other) >= _NUMBER_ROOM for other in taken):
            words = f"{abs(deg_from_radians(load.turn)):.0f}°"
            drawing.text(Point(x, y), words, size=_SMALL, text_anchor="middle")
            taken.append(x)
    if scale.first < 0.0:
        drawing.text(Point(scale.plot.left, y + 16.0), "to the right", size=_SMALL)
    if scale.last > 0.0:
        at = Point(scale.plot.right, y + 16.0)
        drawing.text(at, "to the left", size=_SMALL, text_anchor="end")
