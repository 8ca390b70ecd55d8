"""Peak allowance of written-out programmes in every draw, for several at once."""

import numpy as np
from numpy.typing import NDArray

from leeward.programme.loads import RatioTable
from leeward.programme.programmes import DaySegments, moved_day
from leeward.tissue.allowance import steady_peak
from leeward.tissue.law import STANDARD_LAW, AllowanceLaw

Array = NDArray[np.float64]
Rows = NDArray[np.intp]


def peaks_over_draws(
    days: list[DaySegments],
    table: RatioTable,
    *,
    law: AllowanceLaw = STANDARD_LAW,
    draws: slice = slice(None),
) -> Array:
    """Peak allowance of each day at each site in each draw.

    Parameters
    ----------
    days : list of DaySegments, length k
        Programmes of one case: their prescribed windows are the same.
    table : RatioTable
        Load ratios.
    law : AllowanceLaw
        Conventions.
    draws : slice
        Which draws; by default all.

    Returns
    -------
    ndarray, shape (k, d, s)
        Peak allowance, the movements counted. At a site whose load in a prescribed window is
        unknown in a draw, that of the rest of the day there. [-]
    """
    loads = table.ratio[draws]
    peak = np.empty((len(days), len(loads), len(table.sites)))
    patterns = unknown_patterns(days[0], table, draws)
    for number, day in enumerate(moved_day(day, table) for day in days):
        for draw, column, unknown_rows in patterns:
            is_left_out = np.isin(day.rows, unknown_rows) & day.exempt
            kept = np.where(is_left_out, 0.0, day.durations)
            ratio = loads[draw, day.rows[:, np.newaxis], column]
            peak[number][draw, column] = steady_peak(kept, ratio, law)
    return peak


def unknown_patterns(
    day: DaySegments, table: RatioTable, draws: slice = slice(None)
) -> list[tuple[Rows, Rows, Rows]]:
    """Group sites in draws by the prescribed postures whose load on them is not known there.

    Parameters
    ----------
    day : DaySegments
        A programme.
    table : RatioTable
        Load ratios.
    draws : slice
        Which draws; by default all.

    Returns
    -------
    list of (ndarray of int, ndarray of int, ndarray of int)
        Draw and column of each site in a draw, and the rows unknown to it there; those without
        one first. What one draw does not know is not left out of another. [-]
    """
    still = np.unique(day.rows[day.exempt])
    unknown = np.isnan(table.ratio[draws][:, still])
    count, _, sites = unknown.shape
    patterns, of_pair = np.unique(
        np.moveaxis(unknown, 1, 2).reshape(count * sites, len(still)), axis=0, return_inverse=True
    )
    return [
        (*np.divmod(np.flatnonzero(of_pair.ravel() == number), sites), still[pattern])
        for number, pattern in enumerate(patterns)
    ]
