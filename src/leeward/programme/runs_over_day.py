"""Unbroken loads that run on from chain to chain, for every pair of candidates at once."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leeward.tissue import constants


@dataclass(frozen=True, slots=True, eq=False)
class LoadRuns:
    """How each site is loaded along a chain, as far as its neighbours need to know.

    Parameters
    ----------
    is_broken : ndarray of bool, shape (n, g)
        Whether anything relieves the site.
    lead, trail : ndarray, shape (n, g)
        Loaded time up to the first relief and after the last; all of it where none. [s]
    """

    is_broken: NDArray[np.bool_]
    lead: NDArray[np.float64]
    trail: NDArray[np.float64]


def load_runs(
    durations: NDArray[np.float64], ratio: NDArray[np.float64], exempt: NDArray[np.bool_]
) -> LoadRuns:
    """Follow the load of each site along a chain.

    Parameters
    ----------
    durations : ndarray, shape (n, m)
        Length of each segment. [s]
    ratio : ndarray, shape (n, m, g)
        Load ratio of each segment at each guarded site. [-]
    exempt : ndarray of bool, shape (m,)
        Prescribed segments: their time does not count, and only relief breaks a run.

    Returns
    -------
    LoadRuns
        An unknown load counts as loaded.
    """
    relieved = ratio <= constants.RELIEVED_AT.value
    shape = (len(durations), ratio.shape[2])
    run, lead = np.zeros(shape), np.zeros(shape)
    broken = np.zeros(shape, dtype=bool)
    for number in range(durations.shape[1]):
        length = durations[:, number, np.newaxis]
        breaks = relieved[:, number] & (length > 0.0)
        lead = np.where(breaks & ~broken, run, lead)
        broken |= breaks
        run = np.where(breaks, 0.0, run if exempt[number] else run + length)
    return LoadRuns(broken, np.where(broken, lead, run), run)


def runs_are_short(
    first: LoadRuns, second: LoadRuns, longest: NDArray[np.float64]
) -> NDArray[np.bool_]:
    """Judge the loads across both edges of every pair of chains that make a day.

    Parameters
    ----------
    first, second : LoadRuns
        Candidates of each chain.
    longest : ndarray, shape (g,)
        Longest time each site may be loaded without a break. [s]

    Returns
    -------
    ndarray of bool, shape (first, second)
        True where no site is loaded too long across an edge.
    """
    short = np.ones((len(first.lead), len(second.lead)), dtype=bool)
    for column, most in enumerate((longest + 1e-6).tolist()):
        into_second = first.trail[:, column, np.newaxis] + second.lead[:, column]
        into_first = second.trail[:, column] + first.lead[:, column, np.newaxis]
        run = np.maximum(into_second, into_first)
        # Where one chain has no relief at all, its length joins the loads on both sides.
        through_first = ~first.is_broken[:, column, np.newaxis]
        through_second = ~second.is_broken[:, column]
        both = first.lead[:, column, np.newaxis] + second.trail[:, column] + second.lead[:, column]
        run = np.where(through_first & ~through_second, both, run)
        other = second.lead[:, column] + (first.trail + first.lead)[:, column, np.newaxis]
        run = np.where(through_second & ~through_first, other, run)
        short &= run <= most
    return short


def own_runs_are_short(runs: LoadRuns, longest: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Judge the load across midnight of chains that are a day by themselves.

    Parameters
    ----------
    runs : LoadRuns
        Candidates.
    longest : ndarray, shape (g,)
        Longest time each site may be loaded without a break. [s]

    Returns
    -------
    ndarray of bool, shape (n,)
        True where no site is loaded too long across the edge.
    """
    run = np.where(runs.is_broken, runs.lead + runs.trail, runs.lead)
    return np.asarray((run <= longest + 1e-6).all(axis=1))
