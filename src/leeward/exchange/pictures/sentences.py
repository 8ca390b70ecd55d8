"""Sentences above or below what a picture draws, as wide as the picture."""

from collections.abc import Sequence

from leeward.exchange.pictures.drawing import Drawing, Point, wrapped

_MARGIN = 12.0
_TEXT = 13.0
_LINE = 17.0
_BETWEEN = 4.0


def write_sentences(drawing: Drawing, sentences: Sequence[str], y: float) -> float:
    """Write sentences one below the other.

    Parameters
    ----------
    drawing : Drawing
        Where.
    sentences : sequence of str
        Each begins a line of its own.
    y : float
        Where the first begins, in screen pixels.

    Returns
    -------
    float
        Where the next would begin, in screen pixels.
    """
    for sentence in sentences:
        for line in wrapped(sentence, drawing.width - 2.0 * _MARGIN, _TEXT):
            drawing.text(Point(_MARGIN, y + _TEXT), line, size=_TEXT)
            y += _LINE
        y += _BETWEEN
    return y
