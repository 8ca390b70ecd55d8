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
from leeward.tissue.movement import (
    PIECES,
    movement_time,
    path,
    ratios_between,
    setting_of_movement,
    turning_rate,
)

#: Load ratio up to which a protected site counts as unloaded. [-] Convention of this project.
PROTECTED_RATIO = 0.2


@dataclass(frozen=True, slots=True, eq=False)
class MovementRows:
    """The movement from each row's posture into each other's.

    Parameters
    ----------
    time : ndarray, shape (p + 1, p + 1)
        How long it takes. [s]
    share : ndarray, shape (p + 1, p + 1, pieces)
        Share of that time in each of its pieces. [-]
    rows : ndarray of int, shape (p + 1, p + 1, pieces)
        Rows of the pieces' loads. [-]
    through : ndarray of int, shape (p + 1, p + 1)
        Row of level where it goes through level, else that of the posture it leads into. [-]
    """

    time: NDArray[np.float64]
    share: NDArray[np.float64]
    rows: NDArray[np.intp]
    through: NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class RatioTable:
    """Load ratios of one person: postures, one row for those not known, then movements.

    Parameters
    ----------
    ratios : LoadRatios
        What was computed.
    ratio : ndarray, shape (d, p + 1 + m, s)
        Load ratio; row p is unknown, and from there on are the pieces of movements. [-]
    usable : ndarray of bool, shape (p + 1,)
        Postures that may be offered: stable in every draw, every responsive site known, no
        protected site loaded.
    protects : ndarray of bool, shape (p + 1,)
        Postures that load no protected site beyond its ceiling in any draw.
    known : ndarray of bool, shape (p + 1,)
        Postures stable in every draw with every responsive site known.
    movements : MovementRows
        The movement from each posture into each other.
    """

    ratios: LoadRatios
    ratio: NDArray[np.float64]
    usable: NDArray[np.bool_]
    protects: NDArray[np.bool_]
    known: NDArray[np.bool_]
    movements: MovementRows

    @property
    def is_unknown(self) -> NDArray[np.bool_]:
        """Rows and sites whose load is unknown in some draw: shape (p + 1 + m, s)."""
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

    def may_offer(self, posture: Posture) -> bool:
        """Whether a posture may be offered.

        Parameters
        ----------
        posture : Posture
            The posture.

        Returns
        -------
        bool
            `usable` of its row; False where its load was never computed.
        """
        return bool(self.usable[self.row(posture)])

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


def ratio_table(case: Case, ratios: LoadRatios) -> RatioTable:
    """Judge every posture by itself before any cycle is made of it.

    Parameters
    ----------
    case : Case
        The case.
    ratios : LoadRatios
        Load ratios of the person.

    Returns
    -------
    RatioTable
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
    rate = 0.0 if case.equipment is None else turning_rate(case.equipment.ability)
    movements, postures = _movements(ratios.postures, rate)
    moving = ratios_between(ratios, postures)
    everything = np.concatenate((ratio, moving), axis=1)
    return RatioTable(ratios, everything, known & protects, protects, known, movements)


def _movements(
    postures: tuple[Posture, ...], rate: float
) -> tuple[MovementRows, tuple[Posture, ...]]:
    """Movements between listed postures, and the postures of their pieces."""
    unknown = len(postures)
    size = (unknown + 1, unknown + 1)
    time, share = np.zeros(size), np.full((*size, PIECES), 1.0 / PIECES)
    rows = np.full((*size, PIECES), unknown, dtype=np.intp)
    through = np.broadcast_to(np.arange(unknown + 1), size).copy()
    row_of: dict[Posture, int] = {}
    level = {posture: n for n, posture in enumerate(postures)}
    for number, posture in enumerate(postures):
        # What is not listed is out of bed: the surface is level until the person is back.
        for place, before in enumerate((*postures, Posture(place=Place.ELSEWHERE))):
            taken = movement_time(before, posture, rate)
            if taken <= 0.0:
                continue
            setting = setting_of_movement(before, posture)
            time[place, number] = taken
            for n, piece in enumerate(path(before.turn, posture.turn)):
                kept = setting.with_turn(round(piece.turn, 9))
                share[place, number, n] = piece.share
                rows[place, number, n] = row_of.setdefault(kept, unknown + 1 + len(row_of))
            if before.turn * posture.turn < 0.0:
                through[place, number] = level.get(setting, unknown)
    return MovementRows(time, share, rows, through), tuple(row_of)


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
