"""Allowance bars: how heavily each site's time is used, against the regime compared."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from leeward.exchange.pictures.drawing import Box, Drawing, Point
from leeward.exchange.pictures.palette import FAINT, INK, PAPER, TIDE_PALE
from leeward.exchange.pictures.sentences import write_sentences
from leeward.exchange.pictures.words import sites_text
from leeward.programme.decision import Choice, SiteResult, SiteStanding
from leeward.terms.site import Site

_ROW = 24.0
_BAR = 14.0
_TEXT = 13.0
_MARGIN = 12.0
#: Narrower than this the names stand above their bars.
_BESIDE = 560.0
#: Bars beyond this end in an arrow; their number is written all the same.
_FURTHEST = 3.0

_WITH_INDEX = (SiteStanding.COMPARED, SiteStanding.ASSUMED)
_IN_WORDS = (
    (SiteStanding.UNTRIED, "Untried, so no bar: no regime has loaded it; small steps, early look"),
    (SiteStanding.NEEDS_HANDS, "Needs hands, so no bar: no turn relieves it"),
    (SiteStanding.CANNOT_TELL, "Cannot tell, so no bar"),
)


@dataclass(frozen=True, slots=True)
class _Scale:
    left: float
    right: float
    largest: float

    def x(self, index: float) -> float:
        return self.left + min(index, self.largest) / self.largest * (self.right - self.left)


def allowance_bars(choice: Choice, *, compared_with: str, width: float = 760.0) -> str:
    """Draw the index of each site with its band.

    Parameters
    ----------
    choice : Choice
        The choice whose assessment is shown.
    compared_with : str
        What an index of 1 stands for.
    width : float
        Width in screen pixels; names stand above the bars where it is narrow.

    Returns
    -------
    str
        SVG text; sites without an index are words, never bars.
    """
    measured = _measured(choice)
    drawing = Drawing(
        "allowance-bars",
        width,
        title=f"Use of each site's time, {choice.name.value} programme",
        description=bars_words(choice, compared_with=compared_with),
    )
    y = write_sentences(drawing, [_caption(compared_with)], 6.0)
    if measured:
        y = _bars(drawing, measured, choice.assessment.limiting_site, y + 6.0)
    return drawing.finished(
        write_sentences(drawing, _in_words(choice.assessment.sites), y + 4.0) + 4.0
    )


def bars_words(choice: Choice, *, compared_with: str) -> str:
    """What the bars say, whole, for those who cannot see them."""
    limiting = choice.assessment.limiting_site
    said = [_row_words(site, limiting) for site in _measured(choice)]
    return " ".join([_caption(compared_with), *said, *_in_words(choice.assessment.sites)])


def _measured(choice: Choice) -> list[SiteResult]:
    found = [site for site in choice.assessment.sites if _index(site) is not None]
    return sorted(found, key=lambda site: -(_index(site) or 0.0))


def _caption(compared_with: str) -> str:
    return (
        f"Index 1 is the site's use under the regime compared: {compared_with}. Thick line: band "
        "over what is not known. No probability, and no number of hours."
    )


def _index(site: SiteResult) -> float | None:
    if site.standing not in _WITH_INDEX:
        return None
    return site.index if site.index is not None and math.isfinite(site.index) else None


def _in_words(sites: Sequence[SiteResult]) -> list[str]:
    said = []
    for standing, words in _IN_WORDS:
        is_lost = standing is SiteStanding.CANNOT_TELL
        named = [
            result.site
            for result in sites
            if result.standing is standing or (is_lost and _is_lost(result))
        ]
        if named:
            said.append(f"{words}: {sites_text(named)}.")
    return said


def _is_lost(site: SiteResult) -> bool:
    return site.standing in _WITH_INDEX and _index(site) is None


def _value_text(site: SiteResult) -> str:
    low, high = site.index_low, site.index_high
    if low is None or high is None or not (math.isfinite(low) and math.isfinite(high)):
        return f"{site.index:.2f} (band not known)"
    return f"{site.index:.2f} ({low:.2f} to {high:.2f})"


def _row_words(site: SiteResult, limiting: Site | None) -> str:
    return f"{_name(site, limiting)}: {_value_text(site)}."


def _name(site: SiteResult, limiting: Site | None) -> str:
    assumed = ", against a policy" if site.standing is SiteStanding.ASSUMED else ""
    return f"{site.site.value}{assumed}{', limits' if site.site is limiting else ''}"


def _bars(
    drawing: Drawing, sites: Sequence[SiteResult], limiting: Site | None, top: float
) -> float:
    is_beside = drawing.width >= _BESIDE
    margins = (210.0, 170.0) if is_beside else (_MARGIN, _MARGIN)
    reach = max(max(site.index or 0.0, site.index_high or 0.0) for site in sites)
    largest = min(_FURTHEST, max(1.25, math.ceil(reach * 4.0) / 4.0))
    scale = _Scale(margins[0], drawing.width - margins[1], largest)
    above = 0.0 if is_beside else 18.0
    bottom = top + 20.0 + (_ROW + above) * len(sites)
    _axis(drawing, scale, top, bottom)
    for number, site in enumerate(sites):
        y = top + 20.0 + (_ROW + above) * number + above
        _name_bar(drawing, scale, site, site.site is limiting, y)
        _bar(drawing, scale, site, y + (_ROW - _BAR) / 2.0)
    return bottom


def _name_bar(drawing: Drawing, scale: _Scale, site: SiteResult, limits: bool, y: float) -> None:
    if drawing.width >= _BESIDE:
        places = Point(scale.left - 8.0, y + 16.0), Point(scale.right + 10.0, y + 16.0)
        anchors = "end", "start"
    else:
        places = Point(scale.left, y - 1.0), Point(scale.right, y - 1.0)
        anchors = "start", "end"
    words = _name(site, site.site if limits else None), _value_text(site)
    for place, shown, anchor in zip(places, words, anchors, strict=True):
        weight = "700" if limits else "400"
        drawing.text(place, shown, size=_TEXT, font_weight=weight, text_anchor=anchor)


def _axis(drawing: Drawing, scale: _Scale, top: float, bottom: float) -> None:
    # Where names stand above the bars, long lines would run through them.
    foot = bottom if drawing.width >= _BESIDE else top + 22.0
    for quarter in range(int(scale.largest * 4.0) + 1):
        is_one = quarter == 4
        x = scale.x(quarter / 4.0)
        look: dict[str, str | float] = (
            {"stroke_width": 2.0} if is_one else {"stroke": FAINT, "stroke_width": 0.5}
        )
        drawing.line(Point(x, top + 17.0), Point(x, foot), **look)
        if quarter % 2 == 0:
            weight = "700" if is_one else "400"
            at = Point(x, top + 12.0)
            drawing.text(
                at, f"{quarter / 4:g}", size=12.0, text_anchor="middle", font_weight=weight
            )


def _bar(drawing: Drawing, scale: _Scale, site: SiteResult, top: float) -> None:
    index = site.index or 0.0
    dashes = {"stroke_dasharray": "4 2"} if site.standing is SiteStanding.ASSUMED else {}
    end = scale.x(index)
    drawing.rectangle(
        Box(scale.left, top, end - scale.left, _BAR), fill=TIDE_PALE, stroke=INK, **dashes
    )
    if index > 1.0:
        beyond = Box(scale.x(1.0), top, end - scale.x(1.0), _BAR)
        drawing.rectangle(beyond, fill=drawing.hatching(INK), stroke=INK)
    one = scale.x(1.0)
    drawing.line(Point(one, top - 3.0), Point(one, top + _BAR + 3.0), stroke_width=2.0)
    middle = top + _BAR / 2.0
    if site.index_low is not None and site.index_high is not None:
        low, high = scale.x(site.index_low), scale.x(site.index_high)
        drawing.line(Point(low, middle), Point(high, middle), stroke=PAPER, stroke_width=6.0)
        drawing.line(Point(low, middle), Point(high, middle), stroke_width=3.0)
        for x in (low, high):
            drawing.line(Point(x, top + 2.0), Point(x, top + _BAR - 2.0), stroke_width=1.6)
    if max(index, site.index_high or 0.0) > scale.largest:
        tip = scale.x(scale.largest)
        corners = (Point(tip, top), Point(tip + 8.0, middle), Point(tip, top + _BAR))
        drawing.polygon(corners, fill=INK)
