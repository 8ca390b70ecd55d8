"""What each site bore through real days: one function for the plan and for the log.

What is unknown is run twice, as if the person had lain in the worst and in the best of the
possible postures for the site. The allowance never falls when a load rises, so the truth lies
between, wherever the law holds.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from leeward.review.conventions import LOADED_RATIO
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Place, Posture
from leeward.terms.series import PostureSeries, Validity
from leeward.tissue.allowance import affine_map
from leeward.tissue.law import STANDARD_LAW, AllowanceLaw


class RatiosAt(Protocol):
    """Load ratios at postures: the same function for planned and delivered."""

    def __call__(self, postures: tuple[Posture, ...]) -> NDArray[np.float64]:
        """Compute load ratios.

        Parameters
        ----------
        postures : tuple of Posture, length n
            Postures, with turns of any value.

        Returns
        -------
        ndarray, shape (d, n, s)
            Load ratio in each draw, draw 0 the central values; NaN where unknown. [-]
        """
        ...


@dataclass(frozen=True, slots=True, eq=False)
class AllowanceThroughDays:
    """Allowance of each site through real days, between a lower and an upper course.

    Parameters
    ----------
    edges : ndarray, shape (n + 1,)
        Edges of the segments, from the series' origin. [s]
    low, high : ndarray, shape (n + 1, s)
        Lowest and highest allowance over draws at the edges; NaN where it cannot be told. [-]
    central_low, central_high : ndarray, shape (n + 1, s)
        The same for the central values only. [-]
    peak_low, peak_high : ndarray, shape (s,)
        Largest allowance from the first edge on, over draws. [-]
    longest_low, longest_high : ndarray, shape (s,)
        Longest time loaded at a stretch, over draws. [s]
    known_fraction : float
        Share of the time that is not unknown. [-]
    """

    edges: NDArray[np.float64]
    low: NDArray[np.float64]
    high: NDArray[np.float64]
    central_low: NDArray[np.float64]
    central_high: NDArray[np.float64]
    peak_low: NDArray[np.float64]
    peak_high: NDArray[np.float64]
    longest_low: NDArray[np.float64]
    longest_high: NDArray[np.float64]
    known_fraction: float


def allowance_through(
    series: PostureSeries,
    ratios_at: RatiosAt,
    possible: Sequence[Posture],
    *,
    side_known: bool,
    start: NDArray[np.float64] | None = None,
    law: AllowanceLaw = STANDARD_LAW,
) -> AllowanceThroughDays:
    """Follow the allowance of every site through the days as they were.

    Parameters
    ----------
    series : PostureSeries
        Planned or delivered; what a log cannot show is filled in by `laid_over`.
    ratios_at : RatiosAt
        Load ratios at postures.
    possible : sequence of Posture
        Postures in which the person may have lain while nothing is known: those of the
        programme and level at least.
    side_known : bool
        Whether the sign of a turn is known; where not, each site is taken at the better and
        at the worse of both sides.
    start : ndarray, shape (2, d, s), optional
        Lower and upper allowance at the first edge; by default as after lying for ever in
        the best and in the worst of the possible postures. [-]
    law : AllowanceLaw, optional
        Conventions.

    Returns
    -------
    AllowanceThroughDays
        Lower and upper course. A posture whose load is unknown leaves the upper course
        unknown from there on.

    Raises
    ------
    InvalidInput
        If the series is empty or no posture is possible.

    Notes
    -----
    The width left by an unknown start shrinks as sites are relieved; peaks count it in.
    """
    if not series.postures or not possible:
        raise InvalidInput(
            f"{len(series.postures)} segments and {len(possible)} possible postures",
            where="allowance through real days",
            expected="at least one of each",
            remedy="judge an empty log by its verdict, which is cannot tell",
        )
    low, high = _bounds(series, ratios_at, tuple(possible), side_known)
    durations = series.durations
    first = _starts(ratios_at, tuple(possible), law) if start is None else start
    courses, peaks = [], []
    for ratio, begin in ((low, first[0]), (high, first[1])):
        row = affine_map(durations, ratio, law)
        courses.append(row.at_edges(begin))
        peaks.append(row.peak(begin))
    longest = [
        _longest(durations, ratio, unknown_counts=i == 1) for i, ratio in enumerate((low, high))
    ]
    return AllowanceThroughDays(
        edges=series.edges,
        low=courses[0].min(axis=0),
        high=courses[1].max(axis=0),
        central_low=courses[0][0],
        central_high=courses[1][0],
        peak_low=peaks[0].min(axis=0),
        peak_high=peaks[1].max(axis=0),
        longest_low=longest[0].min(axis=0),
        longest_high=longest[1].max(axis=0),
        known_fraction=series.known_fraction,
    )


def _bounds(
    series: PostureSeries, ratios_at: RatiosAt, possible: tuple[Posture, ...], side_known: bool
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Lowest and highest load ratio of each segment, in each draw."""
    best, worst = _best_and_worst(ratios_at(possible))
    own = ratios_at(series.postures)
    low, high = own.copy(), own.copy()
    if not side_known:
        mirrored = ratios_at(tuple(p.with_turn(-p.turn) for p in series.postures))
        low, high = np.minimum(own, mirrored), np.maximum(own, mirrored)
    for number, validity in enumerate(series.validity):
        if validity is Validity.UNKNOWN:
            low[:, number], high[:, number] = best, worst
        elif series.postures[number].place is not Place.BED:
            # Where the person is out of bed the sites may bear nothing, or more than in bed.
            low[:, number], high[:, number] = 0.0, np.nan
    return np.where(np.isnan(low), 0.0, low), high


def _best_and_worst(
    ratio: NDArray[np.float64],
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    known = np.where(np.isnan(ratio), 0.0, ratio)
    return known.min(axis=1), ratio.max(axis=1)


def _starts(
    ratios_at: RatiosAt, possible: tuple[Posture, ...], law: AllowanceLaw
) -> NDArray[np.float64]:
    bounds = _best_and_worst(ratios_at(possible))
    return np.stack(
        [affine_map([86400.0], q[:, np.newaxis, :], law).steady_start() for q in bounds]
    )


def _longest(
    durations: NDArray[np.float64], ratio: NDArray[np.float64], *, unknown_counts: bool
) -> NDArray[np.float64]:
    """Longest time above the loaded ratio at a stretch, per draw and site."""
    loaded = (ratio > LOADED_RATIO.value) | (np.isnan(ratio) & unknown_counts)
    run = np.zeros(ratio[:, 0].shape)
    longest = run.copy()
    for number, duration in enumerate(durations.tolist()):
        run = np.where(loaded[:, number], run + duration, 0.0)
        longest = np.maximum(longest, run)
    return longest
