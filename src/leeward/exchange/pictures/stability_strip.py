"""The stability strip: whether the body stays, at each turn and friction."""

from dataclasses import dataclass

from leeward.exchange.pictures.drawing import Box, Drawing, Point, wrapped
from leeward.exchange.pictures.palette import FAINT, INK, NIGHT, PAPER, TIDE_PALE
from leeward.exchange.pictures.words import OWN_SIDES
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import turn_in_words
from leeward.terms.units import deg_from_radians

_TEXT = 13.0
_SMALL = 12.0
_LINE = 17.0
_MARGIN = 12.0
_AXIS = 44.0
_ROW = 26.0
#: Turns nearer to one another than this are not all numbered, in screen pixels.
_NUMBER_ROOM = 27.0

#: A letter and a word for each state; a letter fits where a word does not.
STATE_LETTERS = {
    EquilibriumState.STABLE: ("", "stable: plain"),
    EquilibriumState.SLIDES: ("S", "S slides"),
    EquilibriumState.TIPS: ("T", "T tips"),
    EquilibriumState.NOT_SOLVED: ("?", "? not solved"),
    EquilibriumState.NOT_MODELLED: ("-", "- not modelled"),
    EquilibriumState.OVER_EDGE: ("E", "E over the edge"),
}


@dataclass(frozen=True, slots=True)
class StabilityStrip:
    """States over turn and friction.

    Parameters
    ----------
    turns : tuple of float, length n
        Settable turns, positive to the person's left, ascending. [rad]
    frictions : tuple of float, length m
        Friction coefficients. [-]
    states : tuple of m tuples of n EquilibriumState
        For each friction, the state at each turn.
    """

    turns: tuple[float, ...]
    frictions: tuple[float, ...]
    states: tuple[tuple[EquilibriumState, ...], ...]


def stability_strip(strip: StabilityStrip, *, width: float = 760.0) -> str:
    """Draw a cell for each settable turn and friction.

    Parameters
    ----------
    strip : StabilityStrip
        What was solved; at least one turn and one friction.
    width : float
        Width in screen pixels.

    Returns
    -------
    str
        SVG text; only plain cells are stable, all others carry a letter on hatching.
    """
    if not strip.turns or not strip.frictions:
        raise InvalidInput(
            "no states to draw",
            where="stability strip",
            expected="a turn and a friction",
            remedy="give both",
        )
    lead = (
        "Does the body stay where it is put? Each settable turn at each friction between person "
        "and bed, all else at its central value: a stable cell here is not yet stable in every "
        f"draw. {OWN_SIDES}"
    )
    key = "Key: " + ", ".join(words for _, words in STATE_LETTERS.values()) + "."
    drawing = Drawing(
        "stability-strip",
        width,
        title="Stable, slides or tips, by turn and friction",
        description=" ".join([lead, key, *_said(strip)]),
    )
    y = 4.0
    for line in (
        *wrapped(lead, width - 2.0 * _MARGIN, _TEXT),
        *wrapped(key, width - 2.0 * _MARGIN, _TEXT),
    ):
        y += _LINE
        drawing.text(Point(_MARGIN, y), line, size=_TEXT)
    y += _LINE + 6.0
    drawing.text(Point(_MARGIN, y), "friction", size=_SMALL)
    return drawing.finished(_cells(drawing, strip, y + 8.0) + 10.0)


def _said(strip: StabilityStrip) -> list[str]:
    said = []
    for friction, row in zip(strip.frictions, strip.states, strict=True):
        gone = [
            f"{turn_in_words(turn)} {state.name.lower().replace('_', ' ')}"
            for turn, state in zip(strip.turns, row, strict=True)
            if state is not EquilibriumState.STABLE
        ]
        said.append(f"Friction {friction:.1f}: {', '.join(gone) or 'stable at every turn'}.")
    return said


def _cells(drawing: Drawing, strip: StabilityStrip, top: float) -> float:
    left = _MARGIN + _AXIS
    wide = (drawing.width - _MARGIN - left) / len(strip.turns)
    for number, (friction, row) in enumerate(zip(strip.frictions, strip.states, strict=True)):
        y = top + number * _ROW
        at = Point(left - 8.0, y + 18.0)
        drawing.text(at, f"{friction:.1f}", size=_TEXT, text_anchor="end")
        for column, state in enumerate(row):
            _cell(drawing, Box(left + column * wide, y, wide, _ROW), state)
    y = top + len(strip.frictions) * _ROW + 15.0
    taken: list[float] = []
    for column, turn in sorted(enumerate(strip.turns), key=lambda one: abs(one[1])):
        at = Point(left + (column + 0.5) * wide, y)
        if all(abs(at.x - other) >= _NUMBER_ROOM for other in taken):
            words = f"{abs(deg_from_radians(turn)):.0f}°"
            drawing.text(at, words, size=_SMALL, text_anchor="middle")
            taken.append(at.x)
    if strip.turns[0] < 0.0:
        drawing.text(Point(left, y + 16.0), "turned to the right", size=_SMALL)
    if strip.turns[-1] > 0.0:
        end = Point(drawing.width - _MARGIN, y + 16.0)
        drawing.text(end, "turned to the left", size=_SMALL, text_anchor="end")
    return y + 16.0


def _cell(drawing: Drawing, box: Box, state: EquilibriumState) -> None:
    if state is EquilibriumState.STABLE:
        drawing.rectangle(box, fill=TIDE_PALE, stroke=INK)
        return
    drawing.rectangle(box, fill=NIGHT, stroke=INK)
    drawing.rectangle(box, fill=drawing.hatching(FAINT))
    plate = Box(box.middle.x - 7.0, box.top + 4.0, 14.0, box.height - 8.0)
    drawing.rectangle(plate, fill=PAPER)
    at = Point(box.middle.x, box.middle.y + 4.5)
    words, _ = STATE_LETTERS[state]
    drawing.text(at, words, font_weight="700", text_anchor="middle")
