"""One search: the day, what may be set, the loads, and the regime compared."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leeward.programme.cycles import turn_options
from leeward.programme.day_layout import chains
from leeward.programme.limbs import absent_sites
from leeward.programme.loads import RatioTable, ratio_table
from leeward.programme.settable import Settings, settable
from leeward.programme.turn_limits import is_barred
from leeward.programme.windows import DayWindow, WindowKind, day_windows
from leeward.programme.yardstick import Yardstick
from leeward.terms.case import Case
from leeward.terms.equipment import Equipment
from leeward.terms.site import Side, Site
from leeward.tissue.guards import Reach, guard_reach
from leeward.tissue.load_ratios import LoadRatios


@dataclass(frozen=True, slots=True, eq=False)
class Problem:
    """Everything a search looks at.

    Parameters
    ----------
    case : Case
        The case.
    unit : Equipment
        The tilting unit.
    windows : tuple of DayWindow
        The day, in order.
    chains : tuple of tuple of DayWindow
        Runs of windows that share a cycle: one or two; none where nothing turns.
    settings : Settings
        What may be set.
    table : RatioTable
        Load ratios by posture.
    compared : Yardstick
        What programmes are compared with.
    reach : Reach
        Sites the guards apply to.
    """

    case: Case
    unit: Equipment
    windows: tuple[DayWindow, ...]
    chains: tuple[tuple[DayWindow, ...], ...]
    settings: Settings
    table: RatioTable
    compared: Yardstick
    reach: Reach

    @property
    def turns(self) -> tuple[float, ...]:
        """The turn options: level, to the left, to the right. [rad]"""
        return turn_options(self.settings)

    @property
    def indexed(self) -> NDArray[np.intp]:
        """Columns of the sites that limit a programme, on central values. [-]"""
        return np.flatnonzero(np.isfinite(self.compared.allowed()[0]))

    @property
    def guarded(self) -> NDArray[np.intp]:
        """Columns of the sites the guards apply to. [-]"""
        absent = absent_sites(self.case.person.body)
        owed = set(self.reach.guarded) - absent
        return np.array([n for n, s in enumerate(self.table.sites) if s in owed], dtype=np.intp)

    @property
    def central(self) -> NDArray[np.float64]:
        """Central load ratios by row of the table and site. [-]"""
        return np.asarray(self.table.ratio[0])

    def usable(self, chain: tuple[DayWindow, ...]) -> NDArray[np.bool_]:
        """Which turn options may be used in a chain.

        Parameters
        ----------
        chain : tuple of DayWindow
            The windows.

        Returns
        -------
        ndarray of bool, shape (options,)
            True where the posture may be offered in every turning window.
        """
        allowed = np.ones(len(self.turns), dtype=bool)
        for window in chain:
            if window.kind is WindowKind.TURNING:
                allowed &= self.table.usable[self.table.rows(window, self.turns)]
        return allowed


def problem(case: Case, unit: Equipment, ratios: LoadRatios, compared: Yardstick) -> Problem:
    """Set up a search.

    Parameters
    ----------
    case : Case
        The case.
    unit : Equipment
        Its tilting unit.
    ratios : LoadRatios
        Load ratios of the postures a plan may ask for.
    compared : Yardstick
        What programmes are compared with.

    Returns
    -------
    Problem
        With every limit applied.
    """
    windows = day_windows(case, unit.ability)
    turning = tuple(window for window in windows if window.kind is WindowKind.TURNING)
    barred = [side for side in Side if is_barred(case, side)]
    return Problem(
        case=case,
        unit=unit,
        windows=windows,
        chains=chains(windows, is_one_cycle=unit.ability.programmes_per_day == 1),
        settings=settable(case, unit, turning, (compared.stay_limit,)),
        table=ratio_table(case, ratios),
        compared=compared,
        reach=guard_reach(barred),
    )


def rest_of_day_sites(given: Problem) -> tuple[Site, ...]:
    """Name the compared sites whose load in some prescribed window nobody knows.

    Parameters
    ----------
    given : Problem
        The search.

    Returns
    -------
    tuple of Site
        They are judged on the rest of the day only, and that is said.
    """
    still = [w for w in given.windows if w.kind is not WindowKind.TURNING]
    rows = [given.table.row(window.posture) for window in still]
    unknown = {n for row in rows for n in np.flatnonzero(given.table.is_unknown[row]).tolist()}
    return tuple(given.table.sites[n] for n in given.indexed if n in unknown)
