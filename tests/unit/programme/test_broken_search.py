"""A search that has lost a rule is caught: for every rule it follows, one that does not.

Each fault is built into the search itself; what it then offers is shown to the recheck as in a
plan. The rules are those of safety that a search can break: what is written on sheets, kept in
records or said in words is no search's, and is tested where it is made.
"""

from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import dataclass, field, replace
from datetime import date
from unittest.mock import patch

import numpy as np
import pytest

from leeward.programme import (
    assessment,
    choices,
    loads,
    planning,
    pools,
    problem,
    programmes,
    search,
    turn_limits,
    yardstick,
)
from leeward.programme.loads import ratio_table
from leeward.programme.planning import Findings, find
from leeward.programme.recheck import recheck
from leeward.programme.recheck_day import RegimeLoads
from leeward.programme.settable import needed_postures, settable
from leeward.terms.case import Case
from leeward.terms.equipment import Order, SurfaceKind
from leeward.terms.limits import Limit
from leeward.terms.person import (
    Contraindication,
    ContraindicationKind,
    Line,
    ProtectedSite,
    SignedReason,
    TurnLimit,
)
from leeward.terms.posture_limits import PostureLimits
from leeward.terms.regime import Looks, Policy, Regime
from leeward.terms.site import Side, Site
from leeward.terms.units import radians_from_deg, seconds_from_min
from leeward.terms.verdict import Reason
from leeward.tissue.load_ratios import LoadRatios
from tests.unit.programme import invented

NO_LIMIT = Limit(float("inf"), "rad", "forgotten")
TWENTY = radians_from_deg(20.0)
SIGNED = SignedReason("Invented nurse", date(2026, 3, 1), "level is sore")

#: Patches: object, name, what stands in its place.
Patches = tuple[tuple[object, str, object], ...]


def the_case(
    person: dict[str, object] | None = None,
    *,
    ability: dict[str, object] | None = None,
    **changes: object,
) -> Case:
    """A unit with few settings."""
    few: dict[str, object] = {
        "smallest_turn": radians_from_deg(15.0),
        "turn_step": radians_from_deg(15.0),
        "shortest_stay": seconds_from_min(40.0),
        "stay_step": seconds_from_min(80.0),
        "level_stay_may_differ": False,
        "programmes_per_day": 1,
    }
    unit = invented.unit(**{**few, **(ability or {})})
    return invented.case(unit, person=invented.person(**(person or {})), **changes)


@dataclass(frozen=True)
class Mutant:
    """A case in which a rule bites, the search without it, and what must be found."""

    case: Case
    without: Patches
    code: str
    spoil: Callable[[LoadRatios], LoadRatios] = field(default=lambda ratios: ratios)
    lain: dict[str, float] = field(default_factory=dict)


def turned(ratios: LoadRatios) -> list[int]:
    """Rows of the turns to the left that the unit can be set to."""
    settings = [radians_from_deg(15.0), radians_from_deg(30.0)]
    return [n for n, one in enumerate(ratios.postures) if np.isclose(one.turn, settings).any()]


def with_unknown(ratios: LoadRatios) -> LoadRatios:
    ratio = ratios.ratio.copy()
    ratio[:, turned(ratios), ratios.sites.index(Site.SPINE)] = np.nan
    return replace(ratios, ratio=ratio)


def with_unstable(ratios: LoadRatios) -> LoadRatios:
    is_stable = ratios.is_stable.copy()
    is_stable[1, turned(ratios)] = False
    return replace(ratios, is_stable=is_stable)


def unknown_is_none(case: Case, ratios: LoadRatios):
    return ratio_table(case, replace(ratios, ratio=np.nan_to_num(ratios.ratio)))


def all_is_stable(case: Case, ratios: LoadRatios):
    return ratio_table(case, replace(ratios, is_stable=np.ones_like(ratios.is_stable)))


def all_guards_hold(given, programme, day):
    return np.ones(len(given.table.ratio), dtype=bool)


def every_cycle(family, ratio, longest, windows):
    return np.ones((len(family.turns), len(family.stays)), dtype=bool)


def nothing_lacks(lengths, ratio, repeats):
    return np.zeros((*ratio.shape[:-2], ratio.shape[-1]), dtype=bool)


def level_allowed(case: Case, *others):
    return settable(replace(case, person=replace(case.person, no_level_stays=None)), *others)


def off_the_grid(*given):
    found = settable(*given)
    return replace(found, stays=tuple(stay + 77.0 for stay in found.stays))


def for_ever(durations, ratio):
    return np.full((ratio.shape[0], ratio.shape[-1]), np.inf)


NO_GUARDS: Patches = (
    (pools, "keeps_guards", every_cycle),
    (pools, "lacks_relief", nothing_lacks),
    (assessment, "guards_hold", all_guards_hold),
    (assessment, "guard_reasons", lambda *given: ()),
)

ANY_INDEX: Patches = tuple(
    (module, "LARGEST_INDEX", 10.0) for module in (choices, assessment, search)
)
LEVEL_TOO = {"orders": (Order.LEFT_LEVEL_RIGHT_LEVEL,), "level_stay_may_differ": True}
TWENTY_MINUTES = {
    "shortest_stay": seconds_from_min(20.0),
    "longest_stay": seconds_from_min(20.0),
}

MUTANTS = {
    "an unknown load is no load": Mutant(
        the_case(),
        ((problem, "ratio_table", unknown_is_none),),
        "load-unknown",
        with_unknown,
        lain={"turn_deg": 25.0},
    ),
    "a protected site is loaded": Mutant(
        the_case({"protected_sites": (ProtectedSite(Site.LEFT_TROCHANTER, "sore"),)}),
        (
            (loads, "protected_ceilings", lambda case: {}),
            (assessment, "protected_ceilings", lambda case: {}),
        ),
        "protected-site-loaded",
    ),
    "a contraindication stops nothing": Mutant(
        the_case({"contraindications": (Contraindication(next(iter(ContraindicationKind))),)}),
        ((planning, "stops", lambda case: ()),),
        "contraindicated",
    ),
    "a posture that is not stable in one draw is offered": Mutant(
        the_case(), ((problem, "ratio_table", all_is_stable),), "not-a-place-to-lie", with_unstable
    ),
    "a whole surface turns beyond 15 degrees without friction or support": Mutant(
        replace(
            the_case(),
            equipment=replace(
                the_case().equipment,
                geometry=replace(the_case().equipment.geometry, kind=SurfaceKind.WHOLE),
            ),
            bed=replace(the_case().bed, friction=None),
        ),
        ((turn_limits, "_surface_edges", lambda *given: ()),),
        "whole-surface-without-support",
    ),
    "the person's own limit is forgotten": Mutant(
        the_case({"turn_limits": (TurnLimit(Side.LEFT, TWENTY, "sore hip"),)}),
        ((turn_limits, "_personal", lambda one: NO_LIMIT),),
        "turn-beyond-limit",
    ),
    "the slack of a line is forgotten": Mutant(
        the_case({"lines": (Line("drip", Side.LEFT, TWENTY, TWENTY),)}),
        ((turn_limits, "_line_edges", lambda *given: ()),),
        "turn-beyond-limit",
    ),
    "what was found at the bed is forgotten": Mutant(
        the_case(posture_limits=PostureLimits(turn_left=(Limit(TWENTY, "rad", "rail"),))),
        ((turn_limits, "_found_at_the_bed", lambda *given: ()),),
        "turn-beyond-limit",
    ),
    "the policy's interval is forgotten": Mutant(
        the_case(policy=Policy("invented", "invented", seconds_from_min(60.0), "0.5")),
        ((yardstick, "stay_limit", lambda *given: Limit(8 * 3600.0, "s", "forgotten")),),
        "stay-too-long",
    ),
    "level stays are set where none may be": Mutant(
        the_case({"no_level_stays": SIGNED}, ability=LEVEL_TOO),
        ((problem, "settable", level_allowed),),
        "level-stay-forbidden",
    ),
    "a stay is off the unit's grid": Mutant(
        the_case(), ((problem, "settable", off_the_grid),), "stay-not-settable"
    ),
    "relief is owed to no site": Mutant(
        the_case(ability=TWENTY_MINUTES),
        NO_GUARDS,
        "relief-too-short",
    ),
    "a load may last longer than under the regime": Mutant(
        the_case(ability={"longest_stay": seconds_from_min(200.0)}),
        (
            (yardstick, "longest_seen_loaded", for_ever),
            (yardstick, "stay_limit", lambda *given: Limit(8 * 3600.0, "s", "forgotten")),
            *NO_GUARDS,
            *ANY_INDEX,
        ),
        "loaded-too-long",
        lain={"turn_deg": 30.0, "stay_min": 40.0},
    ),
    "a site is used more than under the regime": Mutant(
        the_case(),
        ANY_INDEX,
        "index-above-one",
    ),
    "heels and head have no task": Mutant(
        the_case(), ((programmes, "manual_tasks", lambda *given: ()),), "hands-missing"
    ),
}


def planned(one: Mutant) -> tuple[Case, Regime, LoadRatios, Findings]:
    lain = replace(
        invented.regime(one.case, **one.lain),
        layers=(),
        first=date(2026, 2, 1),
        last=date(2026, 3, 2),
        looks=Looks(5, date(2026, 2, 20), date(2026, 3, 1), "Invented nurse", True),
    )
    case = replace(one.case, regimes=(lain,))
    # The loads of every turn are there, those no limit allows among them.
    wide = replace(the_case(), equipment=case.equipment, bed=replace(case.bed, friction=0.4))
    postures = (*invented.regime_postures(lain), *needed_postures(wide))
    ratios = one.spoil(invented.load_ratios(case, draws=2, postures=postures))
    return case, lain, ratios, find(case, ratios, invented.measured_by(case, ratios, lain),
                                    invented.NOW)  # fmt: skip


def against(one: Mutant) -> list[Reason]:
    """What the recheck says of everything offered."""
    case, lain, ratios, found = planned(one)
    return [
        reason
        for choice in found.choices
        if choice.assessment.qualifies
        for reason in recheck(
            choice.programme, case, ratios, RegimeLoads(lain, ratios), (), now=invented.NOW
        )
    ]


@pytest.mark.parametrize("fault", MUTANTS)
def test_a_search_that_has_lost_a_rule_is_caught(fault: str):
    one = MUTANTS[fault]
    assert against(one) == [], "the search as it is breaks no rule"
    with ExitStack() as stack:
        for where, name, otherwise in one.without:
            stack.enter_context(patch.object(where, name, otherwise))
        found = against(one)
    assert any(reason.code == one.code for reason in found), {r.code for r in found}
