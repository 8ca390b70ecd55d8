"""A measured map and the prediction for the same posture, side by side on one scale."""

from collections.abc import Sequence

import numpy as np

from leeward.contact.correction import Correction
from leeward.contact.imprint import REGIONS
from leeward.contact.measured_map import Agreement, MeasuredMap
from leeward.exchange.pictures.drawing import Box, Drawing, Point, wrapped
from leeward.exchange.pictures.palette import FAINT, INK, PAPER
from leeward.exchange.pictures.pressure_map import STEPS_MMHG, TINTS, Array
from leeward.exchange.pictures.pressure_map_contours import contours
from leeward.exchange.pictures.words import OWN_SIDES, posture_text
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Posture
from leeward.terms.units import pascal_from_mmhg

_TEXT = 13.0
_BOLD = 1.12
_LINE = 17.0
_MARGIN = 12.0
_GAP = 16.0
_NARROWEST = 360.0
_TABLE = 520.0


def measured_map(
    measured: MeasuredMap, found: Correction, posture: Posture, *, width: float = 760.0
) -> str:
    """Draw a map beside the prediction laid under it.

    Parameters
    ----------
    measured : MeasuredMap
        The map, as its file declares it.
    found : Correction
        How it compares, and what it corrects.
    posture : Posture
        The posture of both.
    width : float
        Width in screen pixels, 360 at least.

    Returns
    -------
    str
        SVG text, both seen from above with the head at the top.
    """
    if width < _NARROWEST:
        raise InvalidInput(
            f"a width of {width:g}",
            where="measured map",
            expected=f"at least {_NARROWEST:g} pixels",
            remedy="draw it wider",
        )
    compared = found.compared
    said = _said(measured, found)
    drawing = Drawing(
        "measured-map",
        width,
        title=f"Measured beside predicted: {posture_text(posture)}",
        description=" ".join((*said, *_shares(found))),
    )
    y = _written(drawing, [f"{posture_text(posture)[0].upper()}{posture_text(posture)[1:]}"], 4.0)
    y = _written(drawing, said, y)
    panel = (width - 2.0 * _MARGIN - _GAP) / 2.0
    # One scale for both: readings without a unit are given the weight that was predicted.
    total = compared.predicted.sum() / measured.value.sum()
    shown = measured.value * (1.0 if measured.is_calibrated else float(total))
    bottom = y
    for number, (words, values) in enumerate(
        (("measured", shown), ("predicted", compared.predicted))
    ):
        left = _MARGIN + number * (panel + _GAP)
        bottom = max(bottom, _panel(drawing, found, values, (words, Box(left, y, panel, 0.0))))
    y = _key(drawing, bottom + 10.0)
    return drawing.finished(_table(drawing, found, y + 8.0) + 8.0)


def _said(measured: MeasuredMap, found: Correction) -> list[str]:
    words = {
        Agreement.AGREES: "The map agrees with the prediction in its regions' shares of the load.",
        Agreement.DIFFERS: "The map differs from the prediction.",
        Agreement.CANNOT_TELL: "Cannot tell: the map does not fit this prediction.",
    }
    scaled = (
        "" if measured.is_calibrated else " The map's readings have no unit: drawn with that total."
    )
    return [
        words[found.compared.agreement],
        *(reason.sentence for reason in found.reasons),
        f"Both seen from above, head at the top, in mmHg.{scaled} {OWN_SIDES}",
    ]


def _written(drawing: Drawing, sentences: Sequence[str], y: float) -> float:
    for sentence in sentences:
        is_first = y == 4.0
        size = 16.0 if is_first else _TEXT
        room = (drawing.width - 2.0 * _MARGIN) / (_BOLD if is_first else 1.0)
        for line in wrapped(sentence, room, size):
            y += _LINE + (3.0 if is_first else 0.0)
            weight = "700" if is_first else "400"
            drawing.text(Point(_MARGIN, y), line, size=size, font_weight=weight)
    return y + 4.0


def _panel(drawing: Drawing, found: Correction, values: Array, where: tuple[str, Box]) -> float:
    words, place = where
    overlay = found.compared.overlay
    drawing.text(Point(place.left, place.top + 16.0), words, size=_TEXT, font_weight="700")
    for side, x, anchor in (
        ("right", place.left, "start"),
        ("left", place.right, "end"),
    ):
        drawing.text(Point(x, place.top + 33.0), f"person's {side}", text_anchor=anchor)
    wide, long = (abs(float(one[-1] - one[0])) for one in (overlay.across, overlay.along))
    scale = place.width / wide
    frame = Box(place.left, place.top + 40.0, place.width, long * scale)
    drawing.rectangle(frame, fill=PAPER, stroke=FAINT)
    across, along = (
        (one[-1] - one[0]) / max(len(one) - 1, 1) for one in (overlay.across, overlay.along)
    )
    for step, tint in zip(STEPS_MMHG, TINTS, strict=True):
        loops = contours(values, pascal_from_mmhg(step))
        if loops:
            commands = " ".join(
                "M"
                + "L".join(
                    f"{frame.left + np.clip(column * abs(across) * scale, 0.0, frame.width):.1f},"
                    f"{frame.top + np.clip(row * abs(along) * scale, 0.0, frame.height):.1f}"
                    for column, row in loop
                )
                + "Z"
                for loop in loops
            )
            drawing.path(commands, fill=tint, fill_rule="evenodd", stroke=INK, stroke_width=0.4)
    return frame.bottom


def _key(drawing: Drawing, y: float) -> float:
    width = (drawing.width - 2.0 * _MARGIN) / len(STEPS_MMHG)
    for number, (step, tint) in enumerate(zip(STEPS_MMHG, TINTS, strict=True)):
        box = Box(_MARGIN + number * width, y, width, 14.0)
        drawing.rectangle(box, fill=tint, stroke=INK, stroke_width=0.6)
        drawing.text(Point(box.left, box.bottom + 15.0), f"{step:.0f}", size=_TEXT)
    return y + 31.0


def _shares(found: Correction) -> list[str]:
    compared, after = found.compared, found.corrected_share
    return [
        f"{name}: {100.0 * compared.measured_share[number]:.0f} % measured, "
        f"{100.0 * compared.predicted_share[number]:.0f} % predicted"
        + ("." if after is None else f", {100.0 * after[number]:.0f} % corrected.")
        for number, name in enumerate(REGIONS)
    ]


def _table(drawing: Drawing, found: Correction, y: float) -> float:
    """Shares of the load, region by region."""
    compared, after = found.compared, found.corrected_share
    columns = [("measured", compared.measured_share), ("predicted", compared.predicted_share)]
    if after is not None:
        columns.append(("corrected", after))
    right = min(drawing.width - _MARGIN, _TABLE)
    # room for the longest region on a narrow page
    step = min(90.0, (right - _MARGIN - 118.0) / len(columns))
    ends = [right - step * (len(columns) - 1 - number) for number in range(len(columns))]
    y += _LINE
    drawing.text(Point(_MARGIN, y), "share of load", size=_TEXT, font_weight="700")
    for end, (words, _) in zip(ends, columns, strict=True):
        drawing.text(Point(end, y), words, size=_TEXT, text_anchor="end")
    for number, name in enumerate(REGIONS):
        y += _LINE + 2.0
        drawing.text(Point(_MARGIN, y), name, size=_TEXT)
        for end, (_, share) in zip(ends, columns, strict=True):
            drawing.text(Point(end, y), f"{100.0 * share[number]:.0f} %", text_anchor="end")
        drawing.line(Point(_MARGIN, y + 5.0), Point(right, y + 5.0), stroke=FAINT, stroke_width=0.5)
    return y + 8.0
