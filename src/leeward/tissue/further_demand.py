"""Load ratios beside those of a plan: on another bed, at other settings, or turned by hand."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest, Solve
from leeward.contact.scenarios import Scenario
from leeward.terms.case import Case
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Place, Posture
from leeward.tissue.demand import Demand, present_request, present_scenarios, setting_requests
from leeward.tissue.hand_check import standing_hand_checks, with_hand_checks
from leeward.tissue.load_ratios import LoadRatios
from leeward.tissue.reference_load import load_ratios
from leeward.tissue.standing_correction import with_standing_correction

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Further:
    """Loads that a plan did not need.

    Parameters
    ----------
    case : Case
        The case, with whatever is changed in it; the person is the same.
    postures : tuple of Posture
        Postures asked for.
    by_hand : bool
        Turned by people, with a wedge behind the back, and not by the surface.
    """

    case: Case
    postures: tuple[Posture, ...]
    by_hand: bool = False


def further_ratios(
    found: Demand,
    asked: Sequence[Further],
    now: datetime,
    solve: Solve,
    *,
    likeliest_only: bool = False,
) -> tuple[LoadRatios, ...]:
    """Compute load ratios beside those of a plan, measured by the same reference.

    Parameters
    ----------
    found : Demand
        What the plan stands on.
    asked : sequence of Further
        What is wanted.
    now : datetime
        Aware time: hand checks and a correction are those that stand then.
    solve : Solve
        Computes the loads; asked once, for all of them.
    likeliest_only : bool
        In the central draw alone, at about an eighth of the work.

    Returns
    -------
    tuple of LoadRatios
        One for each, in the same order, over the plan's draws or its first. What hands found
        is put in place of the model's word where the unit turns, as in the plan.

    Raises
    ------
    CannotCompute
        If a mattress cannot be modelled.
    """
    tables = further_tables(asked, now, solve, likeliest_only=likeliest_only)
    level = found.level_patch_load[_draws(likeliest_only)]
    return tuple(
        _by_hand(found, one, own, level)
        if one.by_hand
        else _by_unit(replace(found, tables=own, level_patch_load=level), one, now)
        for one, own in zip(_lasting(asked, now), tables, strict=True)
    )


def further_tables(
    asked: Sequence[Further], now: datetime, solve: Solve, *, likeliest_only: bool = False
) -> list[tuple[LoadTable, ...]]:
    """Solve what a plan did not need.

    Parameters
    ----------
    asked : sequence of Further
        What is wanted.
    now : datetime
        Aware time: a correction is the one that stands then.
    solve : Solve
        Computes the loads; asked once, for all of them.
    likeliest_only : bool
        In the central draw alone.

    Returns
    -------
    list of tuple of LoadTable
        For each, one table per setting of backrest and supports. Where people turn the person,
        draws that differ by the line alone are one: `rows_by_hand` finds each draw's.

    Raises
    ------
    CannotCompute
        If a mattress cannot be modelled.
    """
    draws = _draws(likeliest_only)
    requests = [_requests(one, draws) for one in _lasting(asked, now)]
    solved = iter(solve([request for part in requests for request in part]))
    return [tuple(next(solved) for _ in part) for part in requests]


def rows_by_hand(case: Case, table: LoadTable) -> list[int]:
    """Find each draw's row in a table of turns by hand.

    Parameters
    ----------
    case : Case
        The case it was solved for.
    table : LoadTable
        The table.

    Returns
    -------
    list of int
        One for each draw of the present bed that the table holds, in their order. [-]
    """
    places = {one: row for row, one in enumerate(table.scenarios)}
    return [places[one] for one in _hand_scenarios(case) if one in places]


def _draws(likeliest_only: bool) -> slice:
    return slice(1) if likeliest_only else slice(None)


def _lasting(asked: Sequence[Further], now: datetime) -> list[Further]:
    return [replace(one, case=with_standing_correction(one.case, now)) for one in asked]


def _requests(asked: Further, draws: slice) -> list[LoadRequest]:
    if not asked.by_hand:
        return [
            replace(one, scenarios=one.scenarios[draws])
            for one in setting_requests(asked.case, asked.postures)
        ]
    by_setting: dict[Posture, list[Posture]] = {}
    for posture in _in_bed(asked.postures):
        by_setting.setdefault(posture.with_turn(0.0), []).append(posture)
    distinct = tuple(dict.fromkeys(_hand_scenarios(asked.case)[draws]))
    return [
        replace(present_request(asked.case, tuple(kept), distinct), surface=None)
        for kept in by_setting.values()
    ]


def _in_bed(postures: tuple[Posture, ...]) -> tuple[Posture, ...]:
    return tuple(one for one in dict.fromkeys(postures) if one.place is Place.BED)


def _hand_scenarios(case: Case) -> tuple[Scenario, ...]:
    """The line belongs to the equipment: a turn by hand is not drawn with its error."""
    return tuple(replace(one, name="", line_offset=0.0) for one in present_scenarios(case))


def _by_hand(
    found: Demand, asked: Further, tables: tuple[LoadTable, ...], level: Array
) -> LoadRatios:
    sites = found.ratios.sites
    postures = _in_bed(asked.postures)
    ratio = np.full((len(level), len(postures), len(sites)), np.nan)
    is_stable = np.zeros(ratio.shape[:2], dtype=bool)
    for table in tables:
        rows = rows_by_hand(asked.case, table)[: len(level)]
        for place, posture in enumerate(postures):
            if posture in table.postures:
                column = table.position(posture)
                is_stable[:, place] = table.state[rows, column] == EquilibriumState.STABLE
                patch = table.patch_load[rows, column][:, np.newaxis]
                ratio[:, place] = load_ratios(patch, level, sites)[:, 0]
    return LoadRatios(postures, sites, ratio, is_stable)


def _by_unit(found: Demand, asked: Further, now: datetime) -> LoadRatios:
    postures = _in_bed(asked.postures)
    ratio = found.ratios_at(postures)
    is_stable = np.asarray(np.isfinite(ratio).any(axis=-1))
    return with_hand_checks(
        LoadRatios(postures, found.ratios.sites, ratio, is_stable),
        standing_hand_checks(asked.case, now),
        asked.case.day.usual_backrest,
    )
