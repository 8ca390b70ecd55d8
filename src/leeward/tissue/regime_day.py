"""A regime as the day it repeats."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from leeward.terms.clock import DaySpan
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Posture
from leeward.terms.regime import Regime, Stay
from leeward.terms.series import PostureSeries, Validity
from leeward.terms.units import SECONDS_PER_DAY


def regime_series(regime: Regime) -> PostureSeries:
    """Unroll a regime into the postures it repeats.

    Parameters
    ----------
    regime : Regime
        The regime.

    Returns
    -------
    PostureSeries
        One cycle where day and night are alike, since a cycle that runs on need not fit
        into 24 h; else the day's cycle from the end of the night, then the night's, each
        begun afresh and cut at its end.

    Raises
    ------
    InvalidInput
        If a cycle is missing.
    """
    cycles = (regime.cycle, regime.night_cycle) if regime.night_cycle else (regime.cycle,)
    for cycle in cycles:
        if not cycle:
            raise InvalidInput(
                "a cycle without stays",
                where=f"regime {regime.name!r}",
                expected="at least one stay",
                remedy="say how the person has lain and for how long",
            )
    night = regime.night
    if not regime.night_cycle or night is None:
        return _series(list(regime.cycle), 0.0)
    day = DaySpan(night.end, night.start)
    if night.start == night.end:
        return _series(list(regime.night_cycle), night.start)
    stays = [*_cut(regime.cycle, day.duration), *_cut(regime.night_cycle, night.duration)]
    return _series(stays, day.start)


def _cut(cycle: tuple[Stay, ...], duration: float) -> list[Stay]:
    stays: list[Stay] = []
    left = duration
    while left > 1e-6:
        stay = cycle[len(stays) % len(cycle)]
        stays.append(Stay(stay.posture, min(stay.duration, left)))
        left -= stay.duration
    return stays


def _series(stays: list[Stay], start: float) -> PostureSeries:
    return PostureSeries(
        edges=start + np.concatenate(([0.0], np.cumsum([stay.duration for stay in stays]))),
        postures=tuple(stay.posture for stay in stays),
        validity=(Validity.KNOWN,) * len(stays),
        origin="midnight",
    )


def longest_stay(durations: ArrayLike, postures: Sequence[Posture]) -> float:
    """Longest time kept in one posture over a repeating row of segments.

    Parameters
    ----------
    durations : array_like, shape (n,)
        Length of each segment. [s]
    postures : sequence of Posture, length n
        Posture of each segment; equal neighbours are one stay.

    Returns
    -------
    float
        Longest stay; a whole day where the posture never changes. [s]
    """
    length: NDArray[np.float64] = np.asarray(durations, dtype=float)
    if len(set(postures)) == 1:
        return SECONDS_PER_DAY
    longest = run = 0.0
    before: Posture | None = None
    for duration, posture in zip([*length, *length], [*postures, *postures], strict=True):
        run = run + float(duration) if posture == before else float(duration)
        longest, before = max(longest, run), posture
    return longest
