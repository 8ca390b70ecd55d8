"""What each site is asked to bear: load ratios on the present bed and under regimes."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.continuation import TURN_STEP
from leeward.contact.corrected import corrected_body, corrected_scenario
from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest, Solve, each_in_turn
from leeward.contact.scenarios import Scenario, corner_scenarios
from leeward.terms.bed import Bed
from leeward.terms.case import Case
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.equipment import SurfaceGeometry, SurfaceKind
from leeward.terms.errors import CannotCompute
from leeward.terms.posture import Place, Posture
from leeward.terms.regime import Regime, TurnMeans
from leeward.terms.site import Site
from leeward.tissue.hand_check import with_hand_checks
from leeward.tissue.load_ratios import LoadRatios
from leeward.tissue.movement import turning_rate
from leeward.tissue.reference_load import load_ratios

Array = NDArray[np.float64]

#: Turns solved directly on each side; those between are interpolated.
#: Source: convention of this project; the error is measured and shown with every plan.
KNOTS_A_SIDE: Final = 8

LEVEL: Final = Posture()

#: Turns closer than this are one turn. [rad]
_ROUNDING: Final = 1e-6

#: Computes loads; rooms that are handed loads hand it on, and never ask for loads themselves.
Solver = Solve

#: Told the name of each step as it begins.
Progress = Callable[[str], None]


def silent(step: str) -> None:
    """Say nothing of progress.

    Parameters
    ----------
    step : str
        Name of the step.
    """
    del step


@dataclass(frozen=True, slots=True, eq=False)
class RegimeDemand:
    """A regime and the load ratios of its own postures.

    Parameters
    ----------
    regime : Regime
        How the person has lain.
    ratios : LoadRatios
        At its postures and on the way between them, on its own mattress and layers, in the
        draws shared by all.
    rate : float
        How fast its surface turned; 0 for turns by hand, over within seconds. [rad/s]
    friction_demand : ndarray, shape (d, p), or None
        Friction demand at its postures; None where it was not computed. [-]
    """

    regime: Regime
    ratios: LoadRatios
    rate: float = 0.0
    friction_demand: Array | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Demand:
    """Load ratios of one person on the present bed, beside those under regimes.

    Parameters
    ----------
    ratios : LoadRatios
        At every posture asked for, on the present bed and surface.
    compared : RegimeDemand
        The regime compared with.
    failed : tuple of RegimeDemand
        Regimes the skin was not clear under.
    level_patch_load : ndarray, shape (d, s)
        Patch loads lying flat and level under the regime compared: what every ratio is
        measured by. [Pa]
    tables : tuple of LoadTable
        Solved postures of the present bed, one table per setting of backrest and supports.
    scenarios : tuple of Scenario
        The draws.
    """

    ratios: LoadRatios
    compared: RegimeDemand
    failed: tuple[RegimeDemand, ...]
    level_patch_load: Array
    tables: tuple[LoadTable, ...]
    scenarios: tuple[Scenario, ...]

    def ratios_at(self, postures: tuple[Posture, ...]) -> Array:
        """Load ratios at postures of any turn, by the tables that were solved.

        Parameters
        ----------
        postures : tuple of Posture, length n
            Postures, for example those of a log.

        Returns
        -------
        ndarray, shape (d, n, s)
            Load ratios; NaN where the setting was not solved or the turn lies beyond. [-]
        """
        sites = self.ratios.sites
        return _assembled(self.tables, postures, sites, self.level_patch_load).ratio


def demand(
    case: Case,
    compared: Regime,
    failed: Sequence[Regime],
    postures: Sequence[Posture],
    solve: Solve = each_in_turn,
) -> Demand:
    """Compute load ratios for a case and the regimes its programmes are compared with.

    Parameters
    ----------
    case : Case
        The case.
    compared : Regime
        Regime seen clear, or assumed.
    failed : sequence of Regime
        Regimes the skin was not clear under.
    postures : sequence of Posture
        Postures asked for on the present bed, in any order.
    solve : Solve
        Computes the loads of all beds and settings; asked once.

    Returns
    -------
    Demand
        Ratios of all, over draws that differ only in what differs between the beds.

    Raises
    ------
    CannotCompute
        If the mattress or the compared regime's means cannot be modelled, or the person has
        no stable place to lie flat and level in some draw.
    """
    asked = tuple(dict.fromkeys(postures))
    own_requests = setting_requests(case, asked)
    lying = _lying(case, compared)
    unwell = [_lying_if_known(case, regime) for regime in failed]
    known = [one for one in unwell if one is not None]
    solved = _each_once(solve, [*own_requests, *(one.request for one in (lying, *known))])
    tables = tuple(solved[: len(own_requests)])
    lain = _Lain(lying, solved[len(own_requests)])
    of_failed = iter(solved[len(own_requests) + 1 :])
    level = lain.level()
    own = _assembled(tables, asked, lain.sites, level)
    return Demand(
        ratios=with_hand_checks(own, case.hand_checks, case.day.usual_backrest),
        compared=RegimeDemand(
            compared, lain.ratios(level), _rate(case, compared), lain.friction_demand
        ),
        failed=tuple(
            _unknown(regime, lain.sites, level)
            if one is None
            else RegimeDemand(
                regime, _Lain(one, next(of_failed)).ratios(level), _rate(case, regime)
            )
            for regime, one in zip(failed, unwell, strict=True)
        ),
        level_patch_load=level,
        tables=tables,
        scenarios=present_scenarios(case),
    )


def _each_once(solve: Solve, requests: list[LoadRequest]) -> list[LoadTable]:
    """Solve what differs: a regime may have failed on the very bed it is compared on."""
    distinct = list(dict.fromkeys(requests))
    tables = dict(zip(distinct, solve(distinct), strict=True))
    return [tables[request] for request in requests]


def present_scenarios(case: Case) -> tuple[Scenario, ...]:
    """Draws of the present bed and surface.

    Parameters
    ----------
    case : Case
        The case.

    Returns
    -------
    tuple of Scenario
        The central one and sixteen corners.
    """
    made = corner_scenarios(
        case.bed, _present_surface(case), case.person.body, case.placement.line_offset
    )
    return tuple(corrected_scenario(one, case.bed, case.correction) for one in made)


def present_request(
    case: Case, postures: tuple[Posture, ...], scenarios: tuple[Scenario, ...]
) -> LoadRequest:
    """Ask for loads on the present bed and surface.

    Parameters
    ----------
    case : Case
        The case.
    postures : tuple of Posture
        Postures.
    scenarios : tuple of Scenario
        Draws.

    Returns
    -------
    LoadRequest
        What `posture_loads` takes.
    """
    body = corrected_body(case.person.body, case.correction)
    return LoadRequest(body, case.bed, _present_surface(case), postures, scenarios)


def posture_tables(case: Case, postures: Sequence[Posture]) -> tuple[LoadTable, ...]:
    """Solve the present bed at a few turns for every setting of backrest and supports.

    Parameters
    ----------
    case : Case
        The case.
    postures : sequence of Posture
        Postures that will be asked for; those out of bed are left out.

    Returns
    -------
    tuple of LoadTable
        One per setting, in order of first mention.
    """
    return tuple(each_in_turn(setting_requests(case, postures)))


def setting_requests(case: Case, postures: Sequence[Posture]) -> list[LoadRequest]:
    """Ask for the present bed at a few turns for every setting of backrest and supports.

    Parameters
    ----------
    case : Case
        The case.
    postures : sequence of Posture
        Postures that will be asked for; those out of bed are left out.

    Returns
    -------
    list of LoadRequest
        One per setting, in order of first mention.
    """
    scenarios = present_scenarios(case)
    by_setting: dict[Posture, set[float]] = {}
    for posture in postures:
        if posture.place is Place.BED:
            by_setting.setdefault(posture.with_turn(0.0), {0.0}).add(posture.turn)
    return [
        present_request(case, tuple(setting.with_turn(t) for t in knots(turns)), scenarios)
        for setting, turns in by_setting.items()
    ]


def knots(turns: set[float]) -> list[float]:
    """Choose which turns are solved directly.

    Parameters
    ----------
    turns : set of float
        Turns asked for, level among them. [rad]

    Returns
    -------
    list of float
        Level, and at most `KNOTS_A_SIDE` on each side: the largest turn asked for and steps
        of the path below it, on which a turn costs nothing beyond the path itself. [rad]
    """
    chosen = {0.0}
    for side in (1.0, -1.0):
        angles = sorted(side * turn for turn in turns if side * turn > 0.0)
        if not angles:
            continue
        steps = int(angles[-1] / TURN_STEP - _ROUNDING)
        path = [number * TURN_STEP for number in range(1, steps + 1)]
        places = np.linspace(0, len(path) - 1, min(len(path), KNOTS_A_SIDE - 1)).round()
        below = [path[place] for place in places.astype(int)] if path else []
        # A step that was asked for is taken as asked, so that it need not be interpolated.
        near = {step: turn for step in below for turn in angles if abs(step - turn) < _ROUNDING}
        chosen.update(side * near.get(step, step) for step in (*below, angles[-1]))
    return sorted(chosen)


def _present_surface(case: Case) -> SurfaceGeometry | None:
    return None if case.equipment is None else case.equipment.geometry


@dataclass(frozen=True, slots=True, eq=False)
class _Lying:
    """A regime's postures to be solved, and the row of each shared draw."""

    regime: Regime
    request: LoadRequest
    rows: list[int]


@dataclass(frozen=True, slots=True, eq=False)
class _Lain:
    """Solved postures of a regime with one row per shared draw."""

    lying: _Lying
    table: LoadTable

    @property
    def sites(self) -> tuple[Site, ...]:
        return self.table.sites

    def level(self) -> Array:
        place = self.table.position(LEVEL)
        if self.table.state_everywhere(LEVEL) is not EquilibriumState.STABLE:
            raise CannotCompute(
                "no stable place to lie flat and level was found in every draw",
                where=f"regime {self.lying.regime.name!r}",
                expected="a person who lies still on a level bed",
                remedy="check stature, mass, rest angles and mattress",
            )
        return self.table.patch_load[self.lying.rows, place]

    @property
    def friction_demand(self) -> Array:
        return self.table.friction_demand[self.lying.rows]

    def ratios(self, level: Array) -> LoadRatios:
        table, rows = self.table, self.lying.rows
        stable = table.state[rows] == EquilibriumState.STABLE
        ratio = load_ratios(table.patch_load[rows], level, table.sites)
        return LoadRatios(table.postures, table.sites, ratio, stable)


def _lying(case: Case, regime: Regime) -> _Lying:
    """Ask for a regime's postures; what is the person's is drawn as on the present bed."""
    bed = replace(case.bed, mattress=regime.mattress, layers=regime.layers)
    surface = _regime_surface(case, regime)
    kept = tuple(stay.posture for stay in (*regime.cycle, *regime.night_cycle))
    passed = _passed(kept) if surface is not None else ()
    postures = tuple(dict.fromkeys((LEVEL, *kept, *passed)))
    scenarios = _regime_scenarios(case, bed, surface)
    distinct = tuple(dict.fromkeys(scenarios))
    body = corrected_body(case.person.body, case.correction)
    request = LoadRequest(body, bed, surface, postures, distinct)
    return _Lying(regime, request, [distinct.index(scenario) for scenario in scenarios])


def _lying_if_known(case: Case, regime: Regime) -> _Lying | None:
    """Ask for a failed regime's postures; None where its bed or means cannot be modelled."""
    try:
        return _lying(case, regime)
    except CannotCompute:
        return None


def _passed(kept: tuple[Posture, ...]) -> tuple[Posture, ...]:
    """Postures a surface passes on its way: level and steps up to the largest turn."""
    settings = dict.fromkeys(posture.with_turn(0.0) for posture in kept)
    turns = {0.0, *(posture.turn for posture in kept)}
    return tuple(setting.with_turn(turn) for setting in settings for turn in knots(turns))


def _rate(case: Case, regime: Regime) -> float:
    """How fast the surface turned: by hand a movement is over within seconds."""
    if regime.means is TurnMeans.BY_HAND or case.equipment is None:
        return 0.0
    return turning_rate(case.equipment.ability)


def _unknown(regime: Regime, sites: tuple[Site, ...], level: Array) -> RegimeDemand:
    """A failed regime of unknown loads: it forbids everything at the sites that failed."""
    stays = (*regime.cycle, *regime.night_cycle)
    postures = tuple(dict.fromkeys(stay.posture for stay in stays))
    ratio = np.full((level.shape[0], len(postures), len(sites)), np.nan)
    unknown = LoadRatios(postures, sites, ratio, np.zeros(ratio.shape[:2], dtype=bool))
    return RegimeDemand(regime, unknown, 0.0)


def _regime_surface(case: Case, regime: Regime) -> SurfaceGeometry | None:
    if regime.means is TurnMeans.BY_HAND:
        return None
    kind = SurfaceKind.SPLIT if regime.means is TurnMeans.SPLIT_SURFACE else SurfaceKind.WHOLE
    geometry = _present_surface(case)
    if geometry is None or geometry.kind is not kind:
        raise CannotCompute(
            f"the regime was run on a {kind.value} tilting surface whose sizes are not known",
            where=f"regime {regime.name!r}",
            expected="turns by hand, or the same kind of surface as the present one",
            remedy="enter the present unit's file, or compare with a regime run by hand",
        )
    return geometry


def _regime_scenarios(
    case: Case, bed: Bed, surface: SurfaceGeometry | None
) -> tuple[Scenario, ...]:
    """Draws of the regime's bed in the same order: what is the person's is shared."""
    made = corner_scenarios(bed, surface, case.person.body, case.placement.line_offset)
    is_same = (bed.mattress, bed.layers) == (case.bed.mattress, case.bed.layers)
    scenarios = tuple(corrected_scenario(one, bed, case.correction, is_same) for one in made)
    if surface is not None:
        return scenarios
    # The line belongs to the equipment: a turn by hand is not drawn with its error.
    return tuple(replace(scenario, name="", line_offset=0.0) for scenario in scenarios)


def _assembled(
    tables: tuple[LoadTable, ...],
    postures: tuple[Posture, ...],
    sites: tuple[Site, ...],
    level: Array,
) -> LoadRatios:
    ratio = np.full((level.shape[0], len(postures), len(sites)), np.nan)
    is_stable = np.zeros(ratio.shape[:2], dtype=bool)
    for table in tables:
        setting = table.postures[0].with_turn(0.0)
        places = [
            n
            for n, p in enumerate(postures)
            if p.place is Place.BED and p.with_turn(0.0) == setting
        ]
        turns = np.array([postures[n].turn for n in places])
        patch = table.interpolated(turns, like=setting)
        ratio[:, places] = load_ratios(patch, level, sites)
        is_stable[:, places] = np.isfinite(patch).any(axis=-1)
    return LoadRatios(postures, sites, ratio, is_stable)
