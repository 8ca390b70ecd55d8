"""One day of postures as pieces on a ribbon that begins at some hour of the clock."""

from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from leeward.programme.programme import Programme, daily_series
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Posture
from leeward.terms.series import PostureSeries, Validity
from leeward.terms.units import SECONDS_PER_DAY

#: Times closer than this are one time: edges of logs carry rounding.
_SAME_TIME = 1e-3


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of one posture; times are seconds after the ribbon begins."""

    start: float
    end: float
    posture: Posture
    validity: Validity


def planned_pieces(programme: Programme, begins: float) -> tuple[Piece, ...]:
    """A programme's day; `begins` is seconds after midnight."""
    return _on_ribbon(daily_series(programme), -begins)


def delivered_pieces(series: PostureSeries, begins: float) -> tuple[Piece, ...]:
    """A logged day; what the log does not cover is unknown, never level."""
    if float(series.edges[-1] - series.edges[0]) > SECONDS_PER_DAY + _SAME_TIME:
        raise InvalidInput(
            f"a log of {float(series.edges[-1] - series.edges[0]) / 3600.0:.1f} h",
            where="day ribbon, delivered",
            expected="at most 24 h",
            remedy="cut it to one day with one_day first",
        )
    logged = _on_ribbon(series, _clock_of_origin(series.origin) - begins)
    gaps: list[Piece] = []
    reached = 0.0
    for piece in logged:
        if piece.start > reached + _SAME_TIME:
            gaps.append(Piece(reached, piece.start, piece.posture, Validity.UNKNOWN))
        reached = max(reached, piece.end)
    if reached < SECONDS_PER_DAY - _SAME_TIME:
        gaps.append(Piece(reached, SECONDS_PER_DAY, Posture(), Validity.UNKNOWN))
    return _merged(sorted((*logged, *gaps), key=lambda piece: piece.start))


def _merged(pieces: list[Piece]) -> tuple[Piece, ...]:
    """Join unknown neighbours: what is unknown has no edges of its own."""
    merged: list[Piece] = []
    for piece in pieces:
        if merged and piece.validity is merged[-1].validity is Validity.UNKNOWN:
            merged[-1] = replace(merged[-1], end=piece.end)
        else:
            merged.append(piece)
    return tuple(merged)


def one_day(series: PostureSeries, begins: float) -> PostureSeries:
    """Cut 24 h out of a longer series, from `begins` seconds after its second zero."""
    first, last = float(series.edges[0]), float(series.edges[-1])
    start, end = max(begins, first), min(begins + SECONDS_PER_DAY, last)
    if end <= start:
        raise InvalidInput(
            f"a day beginning {begins:g} s after the log's second zero",
            where="one day of a log",
            expected=f"a beginning between {first - SECONDS_PER_DAY:g} and {last:g} s",
            remedy="choose a day the log covers",
        )
    inside = (series.edges[1:] > start) & (series.edges[:-1] < end)
    kept = np.flatnonzero(inside)
    edges = series.edges[kept[0] : kept[-1] + 2].clip(start, end)
    return PostureSeries(
        edges=edges,
        postures=tuple(series.postures[i] for i in kept),
        validity=tuple(series.validity[i] for i in kept),
        origin=series.origin,
    )


def _on_ribbon(series: PostureSeries, shift: float) -> tuple[Piece, ...]:
    pieces: list[Piece] = []
    for number, posture in enumerate(series.postures):
        length = float(series.edges[number + 1] - series.edges[number])
        start = (float(series.edges[number]) + shift) % SECONDS_PER_DAY
        end, validity = start + length, series.validity[number]
        pieces.append(Piece(start, min(end, SECONDS_PER_DAY), posture, validity))
        if end > SECONDS_PER_DAY + _SAME_TIME:
            pieces.append(Piece(0.0, end - SECONDS_PER_DAY, posture, validity))
    return tuple(sorted(pieces, key=lambda piece: piece.start))


def _clock_of_origin(origin: str) -> float:
    if origin == "midnight":
        return 0.0
    try:
        when = datetime.fromisoformat(origin)
    except ValueError:
        raise InvalidInput(
            f"{origin!r} as the log's second zero",
            where="day ribbon, delivered",
            expected='a time in ISO 8601, or "midnight"',
            remedy="give the series the time its log began",
        ) from None
    return when.hour * 3600.0 + when.minute * 60.0 + when.second
