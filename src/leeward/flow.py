"""The whole job on one page: each verb passes what one room makes to the next."""

from dataclasses import replace
from datetime import datetime

import numpy as np

from leeward import __version__
from leeward.contact.correction import Correction, correct_by_map
from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest, Solve, each_in_turn
from leeward.contact.measured_map import MeasuredMap
from leeward.contact.peak_band import banded_pressure
from leeward.contact.pressure_map import PressureMap
from leeward.contact.scenarios import Arms, Vary
from leeward.delivered import delivered as logs
from leeward.fitting import fit as fitting
from leeward.fitting import proof
from leeward.fitting.edges import edge_cautions
from leeward.fitting.line import shifted
from leeward.programme import planning
from leeward.programme.adult_tables import outside_the_tables
from leeward.programme.beside import rechecked_beside
from leeward.programme.decided import decided
from leeward.programme.decision import Decision
from leeward.programme.explained import Explanation, Question, explained
from leeward.programme.ground import find_on, ground
from leeward.programme.programme import Programme
from leeward.programme.settable import needed_postures
from leeward.review.judged_stays import AgreedDeparture
from leeward.review.review import Review, review_delivered, watched_postures
from leeward.terms.case import Case
from leeward.terms.errors import CannotCompute
from leeward.terms.posture import Posture
from leeward.terms.verdict import Reason
from leeward.tissue.demand import Progress, present_request, present_scenarios, silent
from leeward.tissue.drawn_ratios import Counted, DrawnBands, drawn_bands, present_draws, uncounted
from leeward.tissue.hand_check import standing_hand_checks
from leeward.tissue.hand_comparison import HandComparison, checked_postures, compare_hands
from leeward.tissue.load_checks import interpolation_error, load_noise
from leeward.tissue.narrowing import narrowing
from leeward.tissue.standing import decide_standing
from leeward.tissue.standing_correction import correction_reasons, with_standing_correction
from leeward.tissue.standing_demand import standing_demand

read_delivered, prove = logs.read_delivered, proof.prove


def predict(
    case: Case, *postures: Posture, vary: Vary | None = None, solve: Solve = each_in_turn
) -> tuple[LoadRequest, LoadTable]:
    """Where the load lies in these postures, over the draws or the central one varied."""
    draws = present_scenarios(case)
    request = present_request(case, postures, draws if vary is None else vary(draws[0]))
    return request, solve([request])[0]


def predict_bands(
    case: Case, *postures: Posture, count: int, rng: np.random.Generator,
    counted: Counted = uncounted, solve: Solve = each_in_turn,
) -> DrawnBands:  # fmt: skip
    """Between what ends loads lie, over draws of everything nobody measured."""
    drawn = present_draws(case, count, rng)
    return drawn_bands(present_request(case, postures, ()), drawn, solve, counted)


def predict_pressures(request: LoadRequest, table: LoadTable, posture: Posture) -> PressureMap:
    """Pressure, friction and peaks on the skin in a posture that was predicted."""
    return banded_pressure(request, table, table.first_unstable(posture), posture)


def hold_map(case: Case, posture: Posture, measured: MeasuredMap, arms: Arms) -> Correction:
    """Lay a measured map over the prediction, and see what of the model it corrects."""
    central = replace(present_scenarios(case)[0], arms=arms)
    return correct_by_map(present_request(case, (posture,), (central,)), measured)


def hold_hands(case: Case, *, now: datetime) -> tuple[HandComparison, ...]:
    """Hold the hands passed under sites against what the model says there."""
    checks = standing_hand_checks(case, now)
    _, table = predict(case, *checked_postures(case, checks))
    return compare_hands(case, checks, table)


def plan(
    case: Case, *, now: datetime, progress: Progress = silent, solve: Solve = each_in_turn
) -> Decision:
    """Find the programmes to put to the practitioner, or say why there are none."""
    given, case = case, fitting.with_limits(case)  # what was found at the bed limits the plan
    if (halted := planning.stopped(case, now)) is not None:
        return decided(given, halted, now, __version__)
    standing, there = decide_standing(case, now), with_standing_correction(case, now)
    try:
        progress("where the load goes at each turn, now and under the regime compared")
        found = standing_demand(there, standing, needed_postures(case), now, solve)
    except CannotCompute as error:
        reasons: tuple[Reason, ...] = (Reason("cannot-compute", error.sentence),)
        return decided(given, planning.untold(case, reasons, now), now, __version__)
    if found is None or standing.compared is None:
        reasons = (*standing.questions, *standing.reasons)
        return decided(given, planning.untold(case, reasons, now), now, __version__)
    progress("the programmes this unit can be set to")
    findings = find_on(ground(case, standing, found, now), solve)
    progress("the recheck")
    findings = rechecked_beside(case, findings, found, standing, now, solve)
    reasons = (
        *findings.reasons, *standing.reasons, *standing.questions, *correction_reasons(case, now),
        *fitting.open_reasons(case),
    )  # fmt: skip
    cautions = (*edge_cautions(case, found.tables), *findings.cautions)
    return replace(
        decided(given, replace(findings, reasons=reasons, cautions=cautions), now, __version__),
        narrowing=narrowing(there, found),
        load_noise=load_noise(there, found),
        interpolation_error=interpolation_error(there, found),
    )


def explain(
    case: Case, decision: Decision, question: Question, *, solve: Solve = each_in_turn
) -> Explanation:
    """Answer a question about a plan by the computation that made it."""
    case = fitting.with_limits(case)
    now, standing = decision.made_at, decide_standing(case, decision.made_at)
    found = standing_demand(case, standing, needed_postures(case), now, solve)
    return explained(ground(case, standing, found, now), decision.choices, question, solve)


def fit(case: Case, *, solve: Solve = each_in_turn) -> fitting.Fitting:
    """Judge the equipment at this bed, under this person."""
    outside = outside_the_tables(case.person.body)
    return fitting.fit(case, outside, lambda *at: predict(case, *at, vary=shifted, solve=solve)[1])


def compare(
    case: Case, programme: Programme, delivered: logs.Delivered, *, now: datetime,
    agreed: tuple[AgreedDeparture, ...] = (),
) -> Review:  # fmt: skip
    """Hold what was delivered against what was planned, by the computation that planned it."""
    found = None
    if delivered.coverage > 0.0:  # of a log in which nothing is known no load can be told
        postures = watched_postures(programme, delivered)
        found = standing_demand(case, decide_standing(case, now), postures, now)
    return review_delivered(case, programme, delivered, found, now=now, agreed=agreed)


def replay(case: Case, decision: Decision) -> Decision:
    """Decide once more as it was decided then; equal where nothing changed but the time."""
    return plan(case, now=decision.made_at)
