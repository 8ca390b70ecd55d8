"""Stays with their movements written out, for many candidates: what the allowance counts."""

import numpy as np
from numpy.typing import NDArray

from leeward.programme.loads import RatioTable
from leeward.tissue.movement import PIECES

Array = NDArray[np.float64]
Rows = NDArray[np.intp]


def predecessors(durations: Array, rows: Rows, before: Rows) -> Rows:
    """Find which posture comes before each segment.

    Parameters
    ----------
    durations : ndarray, shape (n, m)
        Length of each segment; 0 for padding. [s]
    rows : ndarray of int, shape (n, m)
        Row of each segment's posture. [-]
    before : ndarray of int, shape (n,)
        Row of the posture before the first. [-]

    Returns
    -------
    ndarray of int, shape (n, m)
        Row of the segment before that lasts. [-]
    """
    found = np.empty_like(rows)
    last = before
    for number in range(rows.shape[1]):
        found[:, number] = last
        last = np.where(durations[:, number] > 0.0, rows[:, number], last)
    return found


def last_rows(durations: Array, rows: Rows) -> Rows:
    """Find the posture each candidate ends in.

    Parameters
    ----------
    durations : ndarray, shape (n, m)
        Length of each segment; 0 for padding. [s]
    rows : ndarray of int, shape (n, m)
        Row of each segment's posture. [-]

    Returns
    -------
    ndarray of int, shape (n,)
        Row of the last segment that lasts. [-]
    """
    last = durations.shape[1] - 1 - np.argmax(durations[:, ::-1] > 0.0, axis=1)
    return np.asarray(rows[np.arange(len(rows)), last])


def moved(durations: Array, rows: Rows, before: Rows, table: RatioTable) -> tuple[Array, Rows]:
    """Write the movements of candidates into their segments.

    Parameters
    ----------
    durations : ndarray, shape (n, m)
        Length of each stay, the movement that leads into it included; 0 for padding. [s]
    rows : ndarray of int, shape (n, m)
        Row of each stay's posture. [-]
    before : ndarray of int, shape (n,)
        Row of the posture before the first. [-]
    table : RatioTable
        Load ratios and movements.

    Returns
    -------
    durations : ndarray, shape (n, m (pieces + 1))
        Pieces of each movement, then what is left of its stay. [s]
    rows : ndarray of int, shape (n, m (pieces + 1))
        Their rows. [-]
    """
    pairs = predecessors(durations, rows, before), rows
    moving = np.minimum(table.movements.time[pairs], durations)[..., np.newaxis]
    lengths = np.concatenate(
        (table.movements.share[pairs] * moving, durations[..., np.newaxis] - moving), axis=-1
    )
    places = np.concatenate((table.movements.rows[pairs], rows[..., np.newaxis]), axis=-1)
    return lengths.reshape(len(rows), -1), places.reshape(len(rows), -1)


def is_stay(flags: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Carry what is said of stays over to the segments of `moved`.

    Parameters
    ----------
    flags : ndarray of bool, shape (..., m)
        Something said of each stay.

    Returns
    -------
    ndarray of bool, shape (..., m (pieces + 1))
        The same of what is left of each stay, and False of its movement.
    """
    found = np.zeros((*flags.shape, PIECES + 1), dtype=bool)
    found[..., -1] = flags
    return found.reshape(*flags.shape[:-1], -1)


def guarded_segments(
    durations: Array, rows: Rows, before: Rows, table: RatioTable
) -> tuple[Array, Rows]:
    """Divide stays for the guard of relief: a movement relieves only what all of it relieves.

    Parameters
    ----------
    durations : ndarray, shape (n, m)
        Length of each stay, the movement that leads into it included; 0 for padding. [s]
    rows : ndarray of int, shape (n, m)
        Row of each stay's posture. [-]
    before : ndarray of int, shape (n,)
        Row of the posture before the first. [-]
    table : RatioTable
        Load ratios and movements.

    Returns
    -------
    durations : ndarray, shape (n, 2 m)
        Each movement, then what is left of its stay. [s]
    rows : ndarray of int, shape (n, 2 m, 3)
        Rows that must all relieve a site in it: of a movement those of both its ends and of
        level where it goes through level. [-]
    """
    previous = predecessors(durations, rows, before)
    moving = np.minimum(table.movements.time[previous, rows], durations)
    lengths = np.stack((moving, durations - moving), axis=-1).reshape(len(rows), -1)
    ends = np.stack((previous, rows, table.movements.through[previous, rows]), axis=-1)
    still = np.stack((rows, rows, rows), axis=-1)
    return lengths, np.stack((ends, still), axis=2).reshape(len(rows), -1, 3)
