"""Load ratios looked up by posture; a posture nobody computed is unknown, never unloaded."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leeward.programme.limbs import absent_sites
from leeward.programme.windows import DayWindow
from leeward.terms.case import Case
from leeward.terms.posture import Place, Posture
from leeward.terms.site import RESPONSIVE_SITES, Site
from leeward.tissue.load_ratios import LoadRatios

#: Load ratio up to which a protected site counts as unloaded. [-] Convention of this project.
PROTECTED_RATIO = 0.2


@dataclass(frozen=True, slots=True, eq=False)
class LoadTable:
    """Load ratios of one person with a last row for postures that are not known.

    Parameters
    ----------
    ratios : LoadRatios
        What was computed.
    ratio : ndarray, shape (d, p + 1, s)
        Load ratio; the last row is unknown. [-]
    usable : ndarray of bool, shape (p + 1,)
        Postures that may be offered: stable in every draw, every responsive site known, no
        protected site loaded.
    protects : ndarray of bool, shape (p + 1,)
        Postures that load no protected site beyond its ceiling in any draw.
    known : ndarray of bool, shape (p + 1,)
        Postures stable in every draw with every responsive site known.
    """

    ratios: LoadRatios
    ratio: NDArray[np.float64]
    usable: NDArray[np.bool_]
    protects: NDArray[np.bool_]
    known: NDArray[np.bool_]

    @property
    def is_unknown(self) -> NDArray[np.bool_]:
        """Rows and sites whose load is unknown in some draw: shape (p + 1, s)."""
        return np.asarray(np.isnan(self.ratio).any(axis=0))

    @property
    def sites(self) -> tuple[Site, ...]:
        """The sites, in order of the last axis."""
        return self.ratios.sites

    def row(self, posture: Posture) -> int:
        """Find the row of a posture kept in a prescribed window.

        Parameters
        ----------
        posture : Posture
            The posture.

        Returns
        -------
        int
            Its row, or that of the unknown. [-]
        """
        if posture.place is Place.BED and posture in self.ratios.postures:
            return self.ratios.position(posture)
        return len(self.ratios.postures)

    def rows(self, window: DayWindow, turns: tuple[float, ...]) -> NDArray[np.intp]:
        """Find the rows of the turns a window may hold.

        Parameters
        ----------
        window : DayWindow
            A turning window.
        turns : tuple of float
            Signed turns. [rad]

        Returns
        -------
        ndarray of int, shape (turns,)
            Their rows; the row of the unknown where a load was never computed. [-]
        """
        return np.array([self.row(window.posture.with_turn(turn)) for turn in turns], dtype=np.intp)


def load_table(case: Case, ratios: LoadRatios) -> LoadTable:
    """Judge every posture by itself before any cycle is made of it.

    Parameters
    ----------
    case : Case
        The case.
    ratios : LoadRatios
        Load ratios of the person.

    Returns
    -------
    LoadTable
        With what may be offered. The ceiling of a protected site holds in every draw, as
        stability does.
    """
    draws, _, sites = ratios.ratio.shape
    ratio = np.concatenate((ratios.ratio, np.full((draws, 1, sites), np.nan)), axis=1)
    absent = absent_sites(case.person.body)
    guarded = [s in RESPONSIVE_SITES and s not in absent for s in ratios.sites]
    known = np.append(ratios.is_stable.all(axis=0), False)
    known &= np.isfinite(ratio[:, :, guarded]).all(axis=(0, 2))
    ceilings = protected_ceilings(case)
    protects = np.ones(known.shape, dtype=bool)
    for column, site in enumerate(ratios.sites):
        if site in ceilings:
            protects &= (ratio[:, :, column] <= ceilings[site]).all(axis=0)
    return LoadTable(ratios, ratio, known & protects, protects, known)


def protected_ceilings(case: Case) -> dict[Site, float]:
    """List the load ratio each protected site may bear.

    Parameters
    ----------
    case : Case
        The case.

    Returns
    -------
    dict of Site to float
        0.2 unless a named practitioner wrote another ceiling and why. [-]
    """
    ceilings: dict[Site, float] = {}
    for one in case.person.protected_sites:
        by = one.ceiling_by
        signed = by is not None and bool(by.by.strip()) and bool(by.reason.strip())
        asked = PROTECTED_RATIO if one.ceiling is None else one.ceiling
        allowed = asked if signed else min(asked, PROTECTED_RATIO)
        ceilings[one.site] = min(allowed, ceilings.get(one.site, math.inf))
    return ceilings
