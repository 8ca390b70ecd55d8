"""A page of pictures that stays legible on a phone: each is drawn anew for every width."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from html import escape

from leeward.exchange.pictures.palette import INK, PAPER
from leeward.exchange.pictures.plain_text import visible

#: Widths a picture is drawn at, narrowest first, and from which window on each is shown. [px]
PHONE, DESK, WALL = 360.0, 744.0, 1200.0
_SHOWN_FROM = {PHONE: 0.0, DESK: 760.0, WALL: 1216.0}


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture of the page.

    Parameters
    ----------
    heading : str
        What it shows.
    draw : callable
        Given a width in screen pixels, the picture as SVG text.
    widest : float
        The largest width that it gains from.
    """

    heading: str
    draw: Callable[[float], str]
    widest: float = DESK


def page_of_pictures(title: str, notes: Sequence[str], pictures: Sequence[Picture]) -> str:
    """Put pictures on one page, none of whose letters shrink with the window.

    Parameters
    ----------
    title : str
        Title of the page.
    notes : sequence of str
        Sentences under it.
    pictures : sequence of Picture
        From top to bottom.

    Returns
    -------
    str
        HTML that needs no other file. Of the drawings of a picture the widest that fits the
        window is shown, in its own size.
    """
    parts = [
        f"<h1>{escape(visible(title))}</h1>",
        *(f"<p>{escape(visible(note))}</p>" for note in notes),
    ]
    for picture in pictures:
        widths = [width for width in _SHOWN_FROM if width <= picture.widest]
        drawn = "".join(
            f'<div class="{_shown(width, widths)}">{picture.draw(width)}</div>' for width in widths
        )
        parts.append(f"<section><h2>{escape(visible(picture.heading))}</h2>{drawn}</section>")
    body = "\n".join(parts)
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(visible(title))}</title><style>{_rules()}</style></head>\n"
        f"<body>{body}</body></html>\n"
    )


def _shown(width: float, widths: Sequence[float]) -> str:
    """Name of the windows a drawing is for: from its own width on, until the next one fits."""
    wider = [other for other in widths if other > width]
    return f"from-{width:.0f}" + (f" until-{wider[0]:.0f}" if wider else "")


def _rules() -> str:
    rules = [
        f"body{{margin:0;background:{PAPER};color:{INK};font-family:'Noto Sans',sans-serif}}",
        "h1,h2,p{margin:12px;max-width:44em}h1{font-size:20px}h2{font-size:16px}p{font-size:14px}",
        "svg{display:block}section{break-inside:avoid}",
    ]
    for width, shown_from in _SHOWN_FROM.items():
        if shown_from:
            rules.append(
                f"@media(max-width:{shown_from - 0.02:g}px){{.from-{width:.0f}{{display:none}}}}"
            )
            rules.append(
                f"@media(min-width:{shown_from:g}px){{.until-{width:.0f}{{display:none}}}}"
            )
    return "".join(rules)
