"""Longest unbroken time in a state, over segments, for many candidates at once."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from leeward.terms.units import SECONDS_PER_DAY
from leeward.tissue import constants


def longest_relief(durations: ArrayLike, ratio: ArrayLike, *, repeats: bool) -> NDArray[np.float64]:
    """Longest unbroken time for which a site is relieved.

    Parameters
    ----------
    durations : array_like, shape (n,) or (..., n)
        Length of each segment; 0 for padding. [s]
    ratio : array_like, shape (..., n, s)
        Load ratio of each segment at each site; an unknown load is no relief. [-]
    repeats : bool
        True for a cycle that follows itself, False for a window that does not.

    Returns
    -------
    ndarray, shape (..., s)
        Longest time with a load ratio of at most 0.9; a day where that never ends. [s]
    """
    relieved = _relieved(ratio)
    return _longest(durations, relieved, ~relieved, repeats=repeats)


def longest_loaded(
    durations: ArrayLike, ratio: ArrayLike, exempt: ArrayLike | None = None
) -> NDArray[np.float64]:
    """Longest unbroken time for which a site may be loaded, over a repeating day.

    Parameters
    ----------
    durations : array_like, shape (n,) or (..., n)
        Length of each segment; 0 for padding. [s]
    ratio : array_like, shape (..., n, s)
        Load ratio of each segment at each site; an unknown load counts as loaded. [-]
    exempt : array_like of bool, shape (n,) or (..., n), optional
        Segments of prescribed postures: their time is not counted, but unless they relieve
        the site they do not break a run either.

    Returns
    -------
    ndarray, shape (..., s)
        Longest time not known to be at or below a load ratio of 0.9; a day where that
        never ends. [s]
    """
    relieved = _relieved(ratio)
    counts = ~relieved
    if exempt is not None:
        counts = counts & ~np.asarray(exempt, dtype=bool)[..., np.newaxis]
    return _longest(durations, counts, relieved, repeats=True)


def longest_seen_loaded(durations: ArrayLike, ratio: ArrayLike) -> NDArray[np.float64]:
    """Longest unbroken time for which a regime is known to have loaded a site.

    Parameters
    ----------
    durations : array_like, shape (n,) or (..., n)
        Length of each segment; 0 for padding. [s]
    ratio : array_like, shape (..., n, s)
        Load ratio of each segment at each site; an unknown load proves nothing. [-]

    Returns
    -------
    ndarray, shape (..., s)
        Longest time with a load ratio known to be above 0.9; a day where that never
        ends. [s]
    """
    loaded = np.asarray(ratio, dtype=float) > constants.RELIEVED_AT.value
    return _longest(durations, loaded, ~loaded, repeats=True)


def _relieved(ratio: ArrayLike) -> NDArray[np.bool_]:
    return np.asarray(np.asarray(ratio, dtype=float) <= constants.RELIEVED_AT.value)


def _longest(
    durations: ArrayLike, counts: NDArray[np.bool_], breaks: NDArray[np.bool_], *, repeats: bool
) -> NDArray[np.float64]:
    """Longest sum of segments that count between two that break; the rest do neither."""
    length = np.asarray(durations, dtype=float)
    shape = (*np.broadcast_shapes(length.shape[:-1], counts.shape[:-2]), counts.shape[-1])
    run, longest = np.zeros(shape), np.zeros(shape)
    for number in [*range(counts.shape[-2])] * (2 if repeats else 1):
        duration = length[..., number, np.newaxis]
        run = run + duration * counts[..., number, :]
        run = np.where(breaks[..., number, :] & (duration > 0.0), 0.0, run)
        longest = np.maximum(longest, run)
    counted = np.einsum("...n,...ns->...s", length, counts)
    if not repeats:
        return np.asarray(np.minimum(longest, counted))
    # What never breaks goes on for all of every day, however short the cycle written down.
    total = length.sum(axis=-1)[..., np.newaxis]
    is_broken = np.any(breaks & (length > 0.0)[..., np.newaxis], axis=-2)
    endless = counted * np.maximum(1.0, SECONDS_PER_DAY / np.maximum(total, 1.0))
    return np.asarray(np.where(is_broken, np.minimum(longest, counted), endless))
