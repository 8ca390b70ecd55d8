"""The whole of choosing a programme: what stops it, what is offered, or what comes closest."""

from dataclasses import dataclass
from datetime import datetime

import numpy as np

from leeward.programme.acceptance import cannot_accept
from leeward.programme.cautions import cautions
from leeward.programme.choices import choose
from leeward.programme.closest import closest
from leeward.programme.decision import Beside, Choice, Outcome, RuledOut, TradeOffPoint
from leeward.programme.helps import best
from leeward.programme.more_loads import More
from leeward.programme.offloading import manual_tasks
from leeward.programme.other_conventions import Sensitivity
from leeward.programme.prescribed import prescribed_reasons
from leeward.programme.problem import Problem, problem
from leeward.programme.programme import ManualTask
from leeward.programme.protection import protection_forbids
from leeward.programme.quantities import listed, minutes, plain
from leeward.programme.ruled_out import candidates, ruled_out
from leeward.programme.search import Looked, look
from leeward.programme.stops import stops
from leeward.programme.trade_off_points import trade_off_points
from leeward.programme.what_would_change import what_would_change
from leeward.programme.windows import pause_reasons
from leeward.programme.yardstick import Yardstick
from leeward.terms.case import Case
from leeward.terms.verdict import Reason
from leeward.tissue.load_ratios import LoadRatios


@dataclass(frozen=True, slots=True)
class Findings:
    """What planning found; a decision is made of it.

    Parameters
    ----------
    outcome : Outcome
        How planning ended.
    choices : tuple of Choice
        Offered, or closest; not yet rechecked.
    reasons : tuple of Reason
        Why the outcome is what it is, and what would change it.
    cautions : tuple of Reason
        To be read before anything is done.
    cannot_accept : tuple of Reason
        What must be settled before any choice may be accepted.
    ruled_out : tuple of RuledOut
        What the search removed, by rule.
    compared_with : str
        Regime compared with, in words.
    candidates : int
        Settable cycles looked at. [-]
    trade_off : tuple of TradeOffPoint
        Relief against movements during sleep.
    beside : tuple of Beside
        What people do today, by the same computation.
    not_beside : tuple of Reason
        Ways that could not be computed, and why.
    sensitivity : Sensitivity or None
        The choices while conventions are taken otherwise.
    """

    outcome: Outcome
    choices: tuple[Choice, ...]
    reasons: tuple[Reason, ...]
    cautions: tuple[Reason, ...]
    cannot_accept: tuple[Reason, ...]
    ruled_out: tuple[RuledOut, ...]
    compared_with: str
    candidates: int
    trade_off: tuple[TradeOffPoint, ...] = ()
    beside: tuple[Beside, ...] = ()
    not_beside: tuple[Reason, ...] = ()
    sensitivity: Sensitivity | None = None


def stopped(case: Case, now: datetime) -> Findings | None:
    """Say whether planning stops before any load is computed.

    Parameters
    ----------
    case : Case
        The case.
    now : datetime
        Time of planning, aware.

    Returns
    -------
    Findings or None
        What stops it; None when planning may go on.
    """
    reasons = stops(case)
    return _ended(Outcome.STOPPED, case, reasons, now) if reasons else None


def untold(case: Case, reasons: tuple[Reason, ...], now: datetime) -> Findings:
    """Say that nothing can be told, for reasons found before the search.

    Parameters
    ----------
    case : Case
        The case.
    reasons : tuple of Reason
        Why, as questions somebody can answer.
    now : datetime
        Time of planning, aware.

    Returns
    -------
    Findings
        Without any choice.
    """
    return _ended(Outcome.CANNOT_TELL, case, reasons, now)


def find(
    case: Case,
    ratios: LoadRatios,
    yardstick: Yardstick,
    now: datetime,
    more: More | None = None,
) -> Findings:
    """Find the programmes to put to the practitioner.

    Parameters
    ----------
    case : Case
        The case.
    ratios : LoadRatios
        Load ratios of `needed_postures`.
    yardstick : Yardstick
        The regime compared, over the same draws.
    now : datetime
        Time of planning, aware.
    more : More or None
        Computes further loads where nothing qualifies; None: turns by hand are not laid in.

    Returns
    -------
    Findings
        Offered programmes, the closest ones, or why there are none.
    """
    unit = case.equipment
    halted = stopped(case, now)
    if halted is not None or unit is None:
        return halted or _ended(Outcome.STOPPED, case, (), now)
    given = problem(case, unit, ratios, yardstick)
    unanswered = _cannot_compare(given)
    if unanswered:
        return untold(case, unanswered, now)
    looked = look(given) if given.chains else None
    choices = choose(given, looked) if looked is not None else ()
    if choices:
        return _found(Outcome.OFFERED, given, (looked, choices, (_offered(given, looked),)), now)
    nearest = closest(given, looked, more) if given.chains else ()
    nearest_falls_short = nearest[0].assessment.reasons[:2] if nearest else ()
    reasons = (
        *protection_forbids(given),
        *_why_none(given, looked),
        *nearest_falls_short,
        *what_would_change(given, more),
    )
    return _found(Outcome.NONE_QUALIFIES, given, (looked, nearest, reasons), now)


def _found(
    outcome: Outcome,
    given: Problem,
    result: tuple[Looked | None, tuple[Choice, ...], tuple[Reason, ...]],
    now: datetime,
) -> Findings:
    looked, choices, reasons = result
    pauses = pause_reasons(given.case, given.unit.ability)
    return Findings(
        outcome=outcome,
        choices=choices,
        reasons=(*pauses, *reasons),
        cautions=(*prescribed_reasons(given), *cautions(given.case, now)),
        cannot_accept=tuple(
            dict.fromkeys(cannot_accept(given.case, _all_tasks(given, choices), now))
        ),
        ruled_out=ruled_out(given, looked),
        compared_with=given.compared.name,
        candidates=candidates(given),
        trade_off=trade_off_points(given, looked),
    )


def _all_tasks(given: Problem, choices: tuple[Choice, ...]) -> tuple[ManualTask, ...]:
    tasks = [task for choice in choices for task in choice.programme.tasks]
    return tuple(dict.fromkeys(tasks)) or manual_tasks(given.case, given.compared.untried)


def _ended(outcome: Outcome, case: Case, reasons: tuple[Reason, ...], now: datetime) -> Findings:
    return Findings(
        outcome=outcome,
        choices=(),
        reasons=reasons,
        cautions=cautions(case, now),
        cannot_accept=cannot_accept(case, manual_tasks(case), now),
        ruled_out=(),
        compared_with="",
        candidates=0,
    )


def _cannot_compare(given: Problem) -> tuple[Reason, ...]:
    """Sites without which nothing can be said of any programme."""
    allowed = given.compared.allowed()[0]
    peak = given.compared.peaks.peak[0]
    unknown = [
        given.table.sites[n].value
        for n in given.guarded
        if np.isnan(peak[n]) or np.isnan(allowed[n])
    ]
    if unknown:
        return (
            Reason(
                "regime-load-unknown",
                f"How much the regime compared used {listed(unknown)} is not known, so nothing "
                "can be compared with it there: describe the mattress and the postures of the "
                "regime.",
            ),
        )
    if len(given.indexed) == 0:
        return (
            Reason(
                "nothing-tried",
                f"{given.compared.name} tried no site that turning relieves: there is nothing to "
                "compare with. How else has this person lain?",
            ),
        )
    return ()


def _offered(given: Problem, looked: Looked | None) -> Reason:
    lowest = best(looked)
    return Reason(
        "offered",
        "Programmes qualify beside the regime compared: "
        f"{given.compared.name}. None is a promise; skin checks decide.",
        (plain("lowest index", lowest),),
    )


def _why_none(given: Problem, looked: Looked | None) -> tuple[Reason, ...]:
    if not given.chains:
        return (
            Reason(
                "never-turns",
                "There is no time of the day at which the unit may turn: every window is "
                "prescribed, or the unit pauses. Turning goes on by hand as before.",
            ),
        )
    removed = ruled_out(given, looked)
    if looked is None:
        last = removed[-1] if removed else None
        said = "limits, stability or guards" if last is None else last.rule
        numbers = () if last is None else last.example.numbers
        return (
            Reason(
                "nothing-settable",
                f"No cycle that could be set is left: what removed the last of them was {said}.",
                numbers,
            ),
        )
    lowest = best(looked)
    if not np.isfinite(lowest):
        return (
            Reason(
                "guards-forbid",
                "No day keeps every guard: somewhere a load or a stay runs on for longer than "
                "under the regime compared.",
                (minutes("longest stay that may be planned", given.compared.stay_limit.value),),
            ),
        )
    return (
        Reason(
            "none-reaches",
            f"Every settable programme uses some site more than under {given.compared.name}; the "
            f"lowest index is {lowest:.2f}.",
            (plain("lowest index", lowest),),
        ),
    )
