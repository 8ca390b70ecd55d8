"""What an invented plan stands on, for questions about it; no load is solved."""

from dataclasses import dataclass, replace
from datetime import date
from functools import cache

import numpy as np

from leeward.programme.decision import Choice
from leeward.programme.ground import Ground, ground
from leeward.programme.planning import find
from leeward.terms.equipment import Equipment
from leeward.terms.regime import Looks
from leeward.terms.site import Site
from leeward.tissue.demand import Demand, RegimeDemand
from leeward.tissue.standing import ComparedRegime, StandingDecision
from tests.unit.programme import invented


@dataclass(frozen=True)
class Asked:
    """A plan and what it stands on."""

    stands: Ground
    choices: tuple[Choice, ...]


def asked(equipment: Equipment | None = None) -> Asked:
    """Plan an invented case by the invented law of loads."""
    case = invented.case(equipment)
    looks = Looks(6, date(2026, 2, 20), date(2026, 3, 1), "Invented nurse", True)
    lain = replace(invented.regime(case), layers=(), looks=looks)
    case = replace(case, regimes=(lain,))
    ratios = invented.load_ratios(case, postures=invented.regime_postures(lain))
    compared = ComparedRegime(lain, lain.standing, frozenset(Site), frozenset())
    standing = StandingDecision(compared, (), (), ())
    level = np.full((ratios.ratio.shape[0], len(ratios.sites)), 4000.0)
    found = Demand(ratios, RegimeDemand(lain, ratios), (), level, (), ())
    stands = ground(case, standing, found, invented.NOW)
    planned = find(case, ratios, stands.problem.compared, invented.NOW)
    assert planned.choices
    return Asked(stands, planned.choices)


@cache
def plain() -> Asked:
    """The plain unit's plan, made once."""
    return asked()
