"""Loads and stays that run on from chain to chain, for every pair of candidates at once."""

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
    longest : ndarray, shape (n, g)
        Longest loaded time inside the chain. [s]
    lead, trail : ndarray, shape (n, g)
        Loaded time up to the first relief and after the last; all of it where none. [s]
    """

    is_broken: NDArray[np.bool_]
    longest: NDArray[np.float64]
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
    run, lead, longest = np.zeros(shape), np.zeros(shape), np.zeros(shape)
    broken = np.zeros(shape, dtype=bool)
    for number in range(durations.shape[1]):
        length = durations[:, number, np.newaxis]
        breaks = relieved[:, number] & (length > 0.0)
        lead = np.where(breaks & ~broken, run, lead)
        broken |= breaks
        run = np.where(breaks, 0.0, run if exempt[number] else run + length)
        longest = np.maximum(longest, run)
    return LoadRuns(broken, longest, np.where(broken, lead, run), run)


def runs_are_short(
    first: LoadRuns, second: LoadRuns, longest: NDArray[np.float64]
) -> NDArray[np.bool_]:
    """Judge the loads inside and across both edges of every pair of chains that make a day.

    Parameters
    ----------
    first, second : LoadRuns
        Candidates of each chain.
    longest : ndarray, shape (g,)
        Longest time each site may be loaded without a break. [s]

    Returns
    -------
    ndarray of bool, shape (first, second)
        True where no site is loaded too long.
    """
    first_fits = np.asarray(np.all(first.longest <= longest + 1e-6, axis=1))
    second_fits = np.asarray(np.all(second.longest <= longest + 1e-6, axis=1))
    short = first_fits[:, np.newaxis] & second_fits
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
    return np.asarray(short)


def own_runs_are_short(runs: LoadRuns, longest: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Judge the loads of chains that are a day by themselves, over their own edge too.

    Parameters
    ----------
    runs : LoadRuns
        Candidates.
    longest : ndarray, shape (g,)
        Longest time each site may be loaded without a break. [s]

    Returns
    -------
    ndarray of bool, shape (n,)
        True where no site is loaded too long.
    """
    across = np.where(runs.is_broken, runs.lead + runs.trail, runs.lead)
    run = np.maximum(runs.longest, across)
    return np.asarray((run <= longest + 1e-6).all(axis=1))


@dataclass(frozen=True, slots=True, eq=False)
class StayRuns:
    """Times kept in one posture along a chain; a prescribed posture ends a stay.

    Parameters
    ----------
    longest : ndarray, shape (n,)
        Longest inside the chain. [s]
    lead, trail : ndarray, shape (n,)
        Time in the first posture and in the last; 0 where that is prescribed. [s]
    first, last : ndarray of int, shape (n,)
        Rows of those postures. [-]
    """

    longest: NDArray[np.float64]
    lead: NDArray[np.float64]
    trail: NDArray[np.float64]
    first: NDArray[np.intp]
    last: NDArray[np.intp]


def stay_runs(
    durations: NDArray[np.float64], rows: NDArray[np.intp], exempt: NDArray[np.bool_]
) -> StayRuns:
    """Follow the posture along a chain.

    Parameters
    ----------
    durations : ndarray, shape (n, m)
        Length of each segment. [s]
    rows : ndarray of int, shape (n, m)
        Row of each segment's posture. [-]
    exempt : ndarray of bool, shape (m,)
        Prescribed segments.

    Returns
    -------
    StayRuns
        One entry for each candidate.
    """
    run = np.zeros(len(durations))
    longest, lead = np.zeros(len(durations)), np.zeros(len(durations))
    in_lead = np.ones(len(durations), dtype=bool)
    last = rows[:, 0]
    for number in range(durations.shape[1]):
        length = durations[:, number]
        lasts = length > 0.0
        changes = lasts & ((rows[:, number] != last) | bool(exempt[number]))
        lead = np.where(changes & in_lead, run, lead)
        in_lead &= ~changes
        counted = 0.0 if exempt[number] else length
        run = np.where(changes, counted, run + counted)
        last = np.where(lasts, rows[:, number], last)
        longest = np.maximum(longest, run)
    return StayRuns(longest, np.where(in_lead, run, lead), run, rows[:, 0], last)


def stays_are_short(before: StayRuns, after: StayRuns, limit: float) -> NDArray[np.bool_]:
    """Judge stays inside chains and across the edge between them.

    Parameters
    ----------
    before, after : StayRuns
        Candidates of the chain that ends at the edge and of the one that begins there.
    limit : float
        Longest stay that may be planned. [s]

    Returns
    -------
    ndarray of bool, shape (before, after)
        True where no stay is longer. Two chains that are one stay each are not joined again
        at the other edge: a cycle has at least two stays.
    """
    joins = before.last[:, np.newaxis] == after.first
    across = np.where(joins, before.trail[:, np.newaxis] + after.lead, 0.0)
    longest = np.maximum(np.maximum(before.longest[:, np.newaxis], after.longest), across)
    return np.asarray(longest <= limit + 1e-6)


def own_stays_are_short(runs: StayRuns, limit: float) -> NDArray[np.bool_]:
    """Judge the stays of chains that are a day by themselves.

    Parameters
    ----------
    runs : StayRuns
        Candidates.
    limit : float
        Longest stay that may be planned. [s]

    Returns
    -------
    ndarray of bool, shape (n,)
        True where no stay is longer, that across the edge included.
    """
    across = np.where(runs.last == runs.first, runs.trail + runs.lead, 0.0)
    return np.asarray(np.maximum(runs.longest, across) <= limit + 1e-6)
