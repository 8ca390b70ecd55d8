"""What was found, as a decision that can be kept and replayed."""

from datetime import datetime

from leeward.programme.decision import Decision
from leeward.programme.planning import Findings
from leeward.records.canonical import digest
from leeward.terms.case import Case


def decided(case: Case, findings: Findings, made_at: datetime, software: str) -> Decision:
    """Make the decision of a case from what planning found.

    Parameters
    ----------
    case : Case
        The case; the decision keeps its digest.
    findings : Findings
        Choices and reasons.
    made_at : datetime
        Aware time.
    software : str
        Version of the program.

    Returns
    -------
    Decision
        Nothing narrowed or measured yet.
    """
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
        made_at=made_at,
        seed=0,
        software=software,
        case_digest=digest(case),
        beside=findings.beside,
        not_beside=findings.not_beside,
        trade_off=findings.trade_off,
        sensitivity=findings.sensitivity,
    )
