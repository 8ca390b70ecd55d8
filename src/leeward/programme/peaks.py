"""Peak allowance of written-out programmes in every draw, for several at once."""

import numpy as np
from numpy.typing import NDArray

from leeward.programme.loads import RatioTable
from leeward.programme.programmes import DaySegments, moved_day
from leeward.tissue.allowance import steady_peak
from leeward.tissue.law import STANDARD_LAW, AllowanceLaw

Array = NDArray[np.float64]


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
        unknown, that of the rest of the day. [-]
    """
    loads = table.ratio[draws]
    peak = np.empty((len(days), len(loads), len(table.sites)))
    patterns = unknown_patterns(days[0], table)
    for number, day in enumerate(moved_day(day, table) for day in days):
        for columns, unknown_rows in patterns:
            is_left_out = np.isin(day.rows, unknown_rows) & day.exempt
            kept = np.where(is_left_out, 0.0, day.durations)
            peak[number][:, columns] = steady_peak(kept, loads[:, day.rows][:, :, columns], law)
    return peak


def unknown_patterns(
    day: DaySegments, table: RatioTable
) -> list[tuple[NDArray[np.intp], NDArray[np.intp]]]:
    """Group the sites by the prescribed postures whose load on them nobody knows.

    Parameters
    ----------
    day : DaySegments
        A programme.
    table : RatioTable
        Load ratios.

    Returns
    -------
    list of (ndarray of int, ndarray of int)
        Columns of the sites, and the rows unknown to them; columns without one first. [-]
    """
    still = np.unique(day.rows[day.exempt])
    unknown = table.is_unknown[still].T
    patterns, of_column = np.unique(unknown, axis=0, return_inverse=True)
    return [
        (np.flatnonzero(of_column.ravel() == number), still[pattern])
        for number, pattern in enumerate(patterns)
    ]
