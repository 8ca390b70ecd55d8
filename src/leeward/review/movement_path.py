"""Where the surface was while it moved: a log knows where it left from, where to, and how long."""

import numpy as np

from leeward.review.conventions import ANGLE_TOLERANCE
from leeward.terms.series import PostureSeries, Validity
from leeward.tissue.movement import path

#: A movement seen for less than this share of the time the unit needs was another, faster one.
_LEAST_SEEN = 0.5


def laid_on_path(series: PostureSeries, rate: float = 0.0) -> PostureSeries:
    """Write movements out as the way from the stay before to the stay after.

    Parameters
    ----------
    series : PostureSeries
        Delivered: one segment for each movement, with the mean turn in it.
    rate : float, optional
        How fast the unit turns by its instructions; 0 where that is not known. [rad/s]

    Returns
    -------
    PostureSeries
        Of the same time. A movement between two known stays is laid straight between them;
        one whose mean turn lies off that line, as when the surface halted on its way, is left
        as it was measured.

    Notes
    -----
    The first and the last degrees of a movement cannot be told from noise and are counted with
    the stays beside it. Where a movement was seen for a little less than the unit needs, it is
    taken to have begun and ended that much outside what was seen.
    """
    series = _widened(series, rate) if rate > 0.0 else series
    edges, postures, validity = [float(series.edges[0])], [], []
    for number, posture in enumerate(series.postures):
        pieces = _pieces(series, number)
        begin, length = float(series.edges[number]), float(series.durations[number])
        shares = np.cumsum([share for share, _ in pieces])[:-1]
        edges += [*(begin + shares * length).tolist(), float(series.edges[number + 1])]
        postures += [posture.with_turn(turn) for _, turn in pieces]
        validity += [series.validity[number]] * len(pieces)
    return PostureSeries(np.array(edges), tuple(postures), tuple(validity), series.origin)


def _widened(series: PostureSeries, rate: float) -> PostureSeries:
    """Give movements seen too short the time the unit needs, from the stays on both sides."""
    edges, durations = series.edges.copy(), series.durations
    for number in range(1, len(series.postures) - 1):
        if not _is_way(series, number):
            continue
        turns = series.postures[number - 1].turn, series.postures[number + 1].turn
        needed = abs(turns[1] - turns[0]) / rate
        missing = 0.5 * (needed - float(durations[number]))
        room = 0.25 * float(min(durations[number - 1], durations[number + 1]))
        if 0.0 < missing <= room and durations[number] >= _LEAST_SEEN * needed:
            edges[number] -= missing
            edges[number + 1] += missing
    return PostureSeries(edges, series.postures, series.validity, series.origin)


def _is_way(series: PostureSeries, number: int) -> bool:
    """Whether a segment is a movement with a known stay on either side."""
    if series.validity[number] is not Validity.MOVING or not 0 < number < len(series.postures) - 1:
        return False
    around = series.validity[number - 1], series.validity[number + 1]
    return around == (Validity.KNOWN, Validity.KNOWN)


def _pieces(series: PostureSeries, number: int) -> tuple[tuple[float, float], ...]:
    turn = series.postures[number].turn
    as_measured = ((1.0, turn),)
    if not _is_way(series, number):
        return as_measured
    start, end = series.postures[number - 1].turn, series.postures[number + 1].turn
    is_straight = abs(turn - 0.5 * (start + end)) <= ANGLE_TOLERANCE.value
    return path(start, end) if is_straight else as_measured
