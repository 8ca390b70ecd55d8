"""What a plan stands on, kept together so that questions about it meet the same computation."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from leeward.programme.decision import Outcome
from leeward.programme.loads import ratio_table
from leeward.programme.more_loads import MoreLoads
from leeward.programme.planning import Findings, find
from leeward.programme.problem import Problem, problem
from leeward.programme.yardstick import Yardstick, yardstick
from leeward.terms.case import Case
from leeward.terms.errors import CannotCompute, InvalidInput
from leeward.terms.posture import Place, Posture
from leeward.tissue.basis import basis, standing_in_words
from leeward.tissue.demand import Demand, Solver, posture_tables
from leeward.tissue.hand_check import standing_hand_checks, with_hand_checks
from leeward.tissue.load_ratios import LoadRatios
from leeward.tissue.reference_load import common_reference, reference_load
from leeward.tissue.standing import StandingDecision

#: Turns closer than this are one turn: degrees typed and steps counted differ by rounding. [rad]
SAME_TURN = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """A case with everything its programmes are judged by.

    Parameters
    ----------
    case : Case
        The case.
    standing : StandingDecision
        Which regimes count.
    demand : Demand
        What each site is asked to bear.
    problem : Problem
        The search: windows, settings, loads, yardstick.
    now : datetime
        Time for which it holds, aware.
    """

    case: Case
    standing: StandingDecision
    demand: Demand
    problem: Problem
    now: datetime


def ground(case: Case, standing: StandingDecision, found: Demand | None, now: datetime) -> Ground:
    """Set up what the programmes of a case are judged by, as planning does.

    Parameters
    ----------
    case : Case
        The case.
    standing : StandingDecision
        Which regimes count.
    found : Demand or None
        Load ratios of the needed postures; None where no regime is compared.
    now : datetime
        Time for which it holds, aware.

    Returns
    -------
    Ground
        Ready for questions.

    Raises
    ------
    CannotCompute
        If there is no regime to compare with, or no unit.
    """
    if found is None or standing.compared is None or case.equipment is None:
        raise CannotCompute(
            "nothing to judge a programme by",
            where="question about a plan",
            expected="a tilting unit, and a regime seen clear or one somebody assumed",
            remedy="answer the questions that planning asks first",
        )
    measure = measured_by(case, standing, found)
    return Ground(case, standing, found, problem(case, case.equipment, found.ratios, measure), now)


def find_on(stands: Ground, solve: Solver) -> Findings:
    """Find the programmes to put to the practitioner.

    Parameters
    ----------
    stands : Ground
        What the plan is to stand on.
    solve : Solver
        Computes further loads where nothing qualifies.

    Returns
    -------
    Findings
        Offered programmes, the closest ones, or why there are none.
    """
    more = MoreLoads(stands.demand, stands.now, solve)
    ratios, measure = stands.demand.ratios, stands.problem.compared
    return find(stands.case, ratios, measure, stands.now, more)


def measured_by(case: Case, standing: StandingDecision, found: Demand) -> Yardstick:
    """Make the yardstick of the regime compared.

    Parameters
    ----------
    case : Case
        The case.
    standing : StandingDecision
        Which regimes count; one of them is compared.
    found : Demand
        Load ratios of the regimes.

    Returns
    -------
    Yardstick
        What every programme of the case is measured by.

    Raises
    ------
    InvalidInput
        If no regime is compared.
    """
    if standing.compared is None:
        raise InvalidInput(
            "no regime to compare with",
            where="yardstick",
            expected="a regime seen clear, or one somebody assumed",
            remedy="answer the questions of the standing decision",
        )
    return yardstick(
        standing_in_words(standing.compared),
        basis(standing, found),
        standing.compared.regime,
        found.compared.ratios,
        case.policy,
    )


def with_postures(stands: Ground, postures: Sequence[Posture]) -> Ground:
    """Add postures somebody asks about, by the tables that were solved where they reach.

    Parameters
    ----------
    stands : Ground
        What the plan stands on.
    postures : sequence of Posture
        Any; those already known and those out of bed change nothing.

    Returns
    -------
    Ground
        The same with their load ratios added. Numbers of known postures stay as they were: a
        turn beyond the solved ones is solved by itself.
    """
    known = stands.demand.ratios
    asked = tuple(
        one
        for one in dict.fromkeys(postures)
        if one.place is Place.BED and one not in known.postures
    )
    if not asked:
        return stands
    inside = stands.demand.ratios_at(asked)
    beyond = [n for n in range(len(asked)) if not np.isfinite(inside[0, n]).any()]
    if beyond:
        wider = posture_tables(stands.case, tuple(asked[n] for n in beyond))
        solved = replace(stands.demand, tables=wider).ratios_at(tuple(asked[n] for n in beyond))
        inside[:, beyond] = solved
    added = with_hand_checks(
        LoadRatios(asked, known.sites, inside, np.asarray(np.isfinite(inside).any(axis=-1))),
        standing_hand_checks(stands.case, stands.now),
        stands.case.day.usual_backrest,
    )
    ratios = LoadRatios(
        (*known.postures, *asked),
        known.sites,
        np.concatenate((known.ratio, added.ratio), axis=1),
        np.concatenate((known.is_stable, added.is_stable), axis=1),
    )
    return replace(
        stands,
        demand=replace(stands.demand, ratios=ratios),
        problem=replace(stands.problem, table=ratio_table(stands.case, ratios)),
    )


def reference_pressures(stands: Ground) -> NDArray[np.float64]:
    """Pressure that each site's load is measured against.

    Parameters
    ----------
    stands : Ground
        What the plan stands on.

    Returns
    -------
    ndarray, shape (d, s)
        A load ratio of 1 is this pressure over the patch; NaN where unknown. [Pa]
    """
    level = stands.demand.level_patch_load
    common = common_reference(level, stands.demand.ratios.sites)
    return reference_load(level, common[:, np.newaxis])


def no_findings(stands: Ground) -> Findings:
    """Make an empty account of planning for choices that were asked for, not found.

    Parameters
    ----------
    stands : Ground
        What the plan stands on.

    Returns
    -------
    Findings
        Without choices, reasons or cautions: none is offered.
    """
    return Findings(
        outcome=Outcome.NONE_QUALIFIES,
        choices=(),
        reasons=(),
        cautions=(),
        cannot_accept=(),
        ruled_out=(),
        compared_with=stands.problem.compared.name,
        candidates=0,
    )
