"""The whole job on one page: each verb passes what one room makes to the next."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime

from leeward import __version__
from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest, Solve, each_in_turn
from leeward.contact.scenarios import Vary
from leeward.delivered.column_map import ColumnMap
from leeward.delivered.delivered import Delivered
from leeward.delivered.delivered import read_delivered as read_log
from leeward.programme import planning
from leeward.programme.decision import Decision
from leeward.programme.explained import Explanation, Question, explained
from leeward.programme.ground import ground, measured_by
from leeward.programme.planning import Findings
from leeward.programme.programme import Programme
from leeward.programme.rechecked import rechecked
from leeward.programme.settable import needed_postures
from leeward.records.canonical import digest
from leeward.review.judged_stays import AgreedDeparture
from leeward.review.review import Review, review_delivered, watched_postures
from leeward.terms.case import Case
from leeward.terms.errors import CannotCompute
from leeward.terms.posture import Posture
from leeward.terms.verdict import Reason
from leeward.tissue.demand import Demand, Progress, demand, present_request, present_scenarios
from leeward.tissue.hand_check import standing_hand_checks
from leeward.tissue.load_checks import interpolation_error, load_noise
from leeward.tissue.narrowing import narrowing
from leeward.tissue.standing import StandingDecision, decide_standing


def _silent(_: str) -> None:
    """Progress that nobody wants to see."""


def predict(
    case: Case, *postures: Posture, vary: Vary | None = None, solve: Solve = each_in_turn
) -> tuple[LoadRequest, LoadTable]:
    """Where the load lies in these postures, over the draws or the central one varied."""
    draws = present_scenarios(case)
    request = present_request(case, postures, draws if vary is None else vary(draws[0]))
    return request, solve([request])[0]


def plan(
    case: Case, *, now: datetime, progress: Progress = _silent, solve: Solve = each_in_turn
) -> Decision:
    """Find the programmes to put to the practitioner, or say why there are none."""
    halted = planning.stopped(case, now)
    if halted is not None:
        return _decision(case, halted, now)
    standing = decide_standing(case, now)
    try:
        progress("where the load goes at each turn, now and under the regime compared")
        found = _demand(case, standing, needed_postures(case), now, solve)
    except CannotCompute as error:
        reason = Reason("cannot-compute", error.sentence)
        return _decision(case, planning.untold(case, (reason,), now), now)
    if found is None or standing.compared is None:
        reasons = (*standing.questions, *standing.reasons)
        return _decision(case, planning.untold(case, reasons, now), now)
    progress("the programmes this unit can be set to")
    findings = planning.find(case, found.ratios, measured_by(case, standing, found), now)
    progress("the recheck")
    findings = rechecked(case, findings, found, standing, now)
    reasons = (*findings.reasons, *standing.reasons, *standing.questions)
    return replace(
        _decision(case, replace(findings, reasons=reasons), now),
        narrowing=narrowing(case, found),
        load_noise=load_noise(case, found),
        interpolation_error=interpolation_error(case, found),
    )


def explain(
    case: Case, decision: Decision, question: Question, *, solve: Solve = each_in_turn
) -> Explanation:
    """Answer a question about a plan by the computation that made it."""
    now, standing = decision.made_at, decide_standing(case, decision.made_at)
    found = _demand(case, standing, needed_postures(case), now, solve)
    return explained(ground(case, standing, found, now), decision.choices, question)


def read_delivered(lines: Iterable[str], column_map: ColumnMap, *, now: datetime) -> Delivered:
    """Read a log as postures really kept, with gaps and findings."""
    return read_log(lines, column_map, now=now)


def compare(
    case: Case,
    programme: Programme,
    delivered: Delivered,
    *,
    now: datetime,
    agreed: tuple[AgreedDeparture, ...] = (),
) -> Review:
    """Hold what was delivered against what was planned, by the computation that planned it."""
    found = None
    if delivered.coverage > 0.0:  # of a log in which nothing is known no load can be told
        postures = watched_postures(programme, delivered)
        found = _demand(case, decide_standing(case, now), postures, now)
    return review_delivered(case, programme, delivered, found, now=now, agreed=agreed)


def replay(case: Case, decision: Decision) -> Decision:
    """Decide once more as it was decided then; equal where nothing changed but the time."""
    return plan(case, now=decision.made_at)


def _demand(
    case: Case,
    standing: StandingDecision,
    postures: tuple[Posture, ...],
    now: datetime,
    solve: Solve = each_in_turn,
) -> Demand | None:
    if standing.compared is None:
        return None
    felt = standing_hand_checks(case, now)
    failed = [one.regime for one in standing.failed]
    there = replace(case, hand_checks=felt)
    return demand(there, standing.compared.regime, failed, postures, solve)


def _decision(case: Case, findings: Findings, now: datetime) -> Decision:
    return Decision(
        outcome=findings.outcome,
        choices=findings.choices,
        reasons=findings.reasons,
        cautions=findings.cautions,
        cannot_accept=findings.cannot_accept,
        ruled_out=findings.ruled_out,
        compared_with=findings.compared_with,
        missing=case.missing,
        narrowing=None,
        candidates=findings.candidates,
        load_noise=None,
        interpolation_error=None,
        made_at=now,
        seed=0,
        software=__version__,
        case_digest=digest(case),
    )
