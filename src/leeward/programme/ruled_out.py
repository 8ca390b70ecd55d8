"""How many candidates each rule removed, with one example in numbers."""

from dataclasses import replace

import numpy as np

from leeward.programme.cycles import cycle_count
from leeward.programme.decision import RuledOut
from leeward.programme.loads import protected_ceilings
from leeward.programme.problem import Problem
from leeward.programme.quantities import degrees, minutes, plain
from leeward.programme.search import LARGEST_INDEX, Looked
from leeward.programme.settable import Settings, stay_grid, turn_grid
from leeward.programme.turn_limits import turn_edges
from leeward.programme.windows import WindowKind
from leeward.terms.equipment import Ability
from leeward.terms.limits import Limit, strictest_greatest
from leeward.terms.posture import turn_in_words
from leeward.terms.site import Side
from leeward.terms.verdict import Quantity, Reason

_NO_EDGE = Limit(float("inf"), "rad", "none")


def all_settings(ability: Ability) -> Settings:
    """Collect what a unit can be set to before anybody's limits.

    Parameters
    ----------
    ability : Ability
        What it can be set to.

    Returns
    -------
    Settings
        Its whole range.
    """
    return Settings(
        left=turn_grid(ability, Side.LEFT, _NO_EDGE),
        right=turn_grid(ability, Side.RIGHT, _NO_EDGE),
        stays=stay_grid(ability, ()),
        orders=ability.orders,
        turns_may_differ=ability.turns_may_differ,
        stays_may_differ=ability.stays_may_differ,
        level_stay_may_differ=ability.level_stay_may_differ,
    )


def candidates(given: Problem) -> int:
    """Count the settable cycles that were looked at, over all windows that turn.

    Parameters
    ----------
    given : Problem
        The search.

    Returns
    -------
    int
        Their number, limits not yet applied. [-]
    """
    return cycle_count(all_settings(given.unit.ability)) * len(given.chains)


def ruled_out(given: Problem, looked: Looked | None) -> tuple[RuledOut, ...]:
    """Account for the candidates rule by rule, in the order in which rules apply.

    Parameters
    ----------
    given : Problem
        The search.
    looked : Looked or None
        What was looked at; None where the postures or the guards left nothing.

    Returns
    -------
    tuple of RuledOut
        Cycles first, then whole days. A rule that removed nothing is not listed.
    """
    found = [_by_limits(given), _by_posture(given), _by_protection(given)]
    found.append(_by_guards(given, looked))
    if looked is not None:
        found.append(not_joined(looked))
        found.extend((_by_edges(looked), _by_index(given, looked)))
    return tuple(one for one in found if one.count > 0)


def _by_limits(given: Problem) -> RuledOut:
    count = candidates(given) - cycle_count(given.settings) * len(given.chains)
    return RuledOut(
        "a limit on turn, stay, level stays, or one side only", count, _strictest(given)
    )


def _strictest(given: Problem) -> Reason:
    turning = [window for window in given.windows if window.kind is WindowKind.TURNING]
    numbers: list[Quantity] = []
    said: list[str] = []
    for side in Side:
        edges = [
            edge
            for window in turning
            for edge in turn_edges(given.case, given.unit, side, window.posture)
        ]
        if edges:
            edge = strictest_greatest(edges)
            numbers.append(degrees(f"largest turn to the {side.value}", edge.value))
            said.append(f"to the {side.value}, {side.other.value} side raised: {edge.source}")
    stay = given.compared.stay_limit
    numbers.append(minutes("longest stay", stay.value))
    level = "; no level stays" if given.case.person.no_level_stays is not None else ""
    return Reason(
        "limits",
        f"What rules: {'; '.join([*said, f'stay: {stay.source}'])}{level}.",
        tuple(numbers),
    )


def _counted(given: Problem, rows: np.ndarray) -> int:
    """Cycles whose postures are all among the allowed rows, over all chains."""
    table = replace(given.table, usable=rows)
    narrowed = replace(given, table=table)
    return sum(cycle_count(given.settings, narrowed.usable(chain)) for chain in given.chains)


def _by_posture(given: Problem) -> RuledOut:
    everything = cycle_count(given.settings) * len(given.chains)
    count = everything - _counted(given, given.table.known)
    bad = _first_turn(given, ~given.table.known)
    return RuledOut(
        "a posture that is not stable in every corner, or whose load is not known",
        count,
        Reason("not-a-place-to-lie", f"For example {bad}."),
    )


def _by_protection(given: Problem) -> RuledOut:
    count = _counted(given, given.table.known) - _counted(given, given.table.usable)
    numbers: list[Quantity] = []
    for site, ceiling in protected_ceilings(given.case).items():
        column = given.table.sites.index(site)
        loads = given.table.ratio[:, np.flatnonzero(given.table.known), column].max(axis=0)
        if loads.size:
            numbers.append(plain(f"least load ratio at the {site.value}", float(loads.min())))
            numbers.append(plain(f"ceiling at the {site.value}", ceiling))
    bad = _first_turn(given, given.table.known & ~given.table.protects)
    return RuledOut(
        "a protected site",
        count,
        Reason("protected-site-loaded", f"For example {bad}.", tuple(numbers)),
    )


def _first_turn(given: Problem, rows: np.ndarray) -> str:
    for window in given.windows:
        if window.kind is WindowKind.TURNING:
            here = given.table.rows(window, given.turns)
            for turn, row in zip(given.turns, here.tolist(), strict=True):
                if rows[row]:
                    return f"{window.name}, {turn_in_words(turn)}"
    return "none"


def _by_guards(given: Problem, looked: Looked | None) -> RuledOut:
    """Where nothing is left, some window has no cycle that keeps the guards: none counts."""
    if looked is None:
        count = _counted(given, given.table.usable)
    else:
        count = sum(pool.usable - pool.guarded for pool in looked.pools)
    return RuledOut(
        "relief too short or load too long within a cycle",
        count,
        Reason(
            "guards",
            "Every site that turning can relieve is owed 25 min of relief together in each cycle, "
            "and no longer a load than the regime compared put on it.",
            (minutes("longest stay", given.compared.stay_limit.value),),
        ),
    )


def not_joined(looked: Looked) -> RuledOut:
    """Say what was left out of a large search, and how low its index could be.

    Parameters
    ----------
    looked : Looked
        What was looked at.

    Returns
    -------
    RuledOut
        Cycles that keep the guards and were laid into no day.
    """
    count = sum(pool.guarded - len(pool.cycles) for pool in looked.pools)
    least = min(pool.least_left_out for pool in looked.pools)
    lowest = float(np.min(looked.index[looked.fits], initial=np.inf))
    numbers = [plain("cycles kept", float(sum(len(pool.cycles) for pool in looked.pools)))]
    numbers += [
        plain(*one)
        for one in (("lowest index of the others", least), ("lowest index found", lowest))
        if np.isfinite(one[1])
    ]
    return RuledOut(
        "not laid into the day", count, Reason("thinned", _thinned(least, lowest), tuple(numbers))
    )


def _thinned(least: float, lowest: float) -> str:
    if np.isnan(least):
        return (
            "The cycles kept are the best of every kind of disturbance; the rest were only looked "
            "at as if each ran for ever. How low their index could be was not computed."
        )
    if least > LARGEST_INDEX:
        return (
            "None of them can qualify: whatever they are joined with, they use some site at least "
            f"{least:.3f} times as much as under the regime compared."
        )
    if least >= lowest:
        return (
            f"No day with one of them can have an index below {least:.3f}; the lowest found is "
            f"{lowest:.3f}, so nothing that was left out relieves more. Some of them might "
            "disturb less."
        )
    return (
        f"No day with one of them can have an index below {least:.3f}; the lowest found is "
        f"{lowest:.3f}. Between these two nothing is known of them."
    )


def _by_edges(looked: Looked) -> RuledOut:
    return RuledOut(
        "days: a load or a stay that runs on too long from one window into the next",
        int((~looked.fits).sum()),
        Reason(
            "across-windows",
            "The end of one window and the start of the next add up.",
            (plain("days looked at", float(len(looked.fits))),),
        ),
    )


def _by_index(given: Problem, looked: Looked) -> RuledOut:
    over = looked.fits & ~(looked.index <= LARGEST_INDEX)
    nearest = float(np.min(looked.index[over], initial=np.inf)) if bool(over.any()) else np.nan
    return RuledOut(
        "days: a site used more than under the regime compared",
        int(over.sum()),
        Reason(
            "index-above-one",
            f"The nearest of them uses its most used site {nearest:.3f} times as much as under "
            f"{given.compared.name}.",
            (plain("largest index", nearest),),
        ),
    )
