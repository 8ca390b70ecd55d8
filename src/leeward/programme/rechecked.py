"""Every choice rechecked before anyone sees it; one that does not pass is withheld."""

from dataclasses import replace
from datetime import datetime

from leeward.programme.decision import Choice, ChoiceName, Outcome
from leeward.programme.planning import Findings
from leeward.programme.recheck import recheck
from leeward.programme.recheck_day import RegimeLoads
from leeward.terms.case import Case
from leeward.terms.regime import RegimeStanding
from leeward.terms.verdict import Reason
from leeward.tissue.demand import Demand
from leeward.tissue.standing import StandingDecision


def rechecked(
    case: Case, findings: Findings, demand: Demand, standing: StandingDecision, now: datetime
) -> Findings:
    """Recheck every choice.

    Parameters
    ----------
    case : Case
        The case.
    findings : Findings
        What the search found.
    demand : Demand
        The load ratios it found them on.
    standing : StandingDecision
        Which regimes count.
    now : datetime
        Time of planning, aware.

    Returns
    -------
    Findings
        Choices with what the recheck found; those offered that did not pass are gone, which
        is said first, and if none is left nothing can be told.
    """
    compared = RegimeLoads(demand.compared.regime, demand.compared.ratios)
    failed = _failed(demand, standing)
    choices = tuple(
        replace(c, recheck=recheck(c.programme, case, demand.ratios, compared, failed, now=now))
        for c in findings.choices
    )
    kept = tuple(c for c in choices if not c.recheck or c.name is ChoiceName.CLOSEST)
    withheld = tuple(_withheld(choice) for choice in choices if choice not in kept)
    is_empty = findings.outcome is Outcome.OFFERED and not kept
    return replace(
        findings,
        outcome=Outcome.CANNOT_TELL if is_empty else findings.outcome,
        choices=kept,
        reasons=(*withheld, *findings.reasons),
    )


def _failed(demand: Demand, standing: StandingDecision) -> tuple[RegimeLoads, ...]:
    """Failed regimes, and others at the sites where looks contradict them.

    What is not clear under the regime compared itself the recheck derives on its own.
    """
    found = []
    for one, load in zip(standing.failed, demand.failed, strict=True):
        if one.regime.standing is RegimeStanding.FAILED:
            found.append(RegimeLoads(one.regime, load.ratios))
        elif one.regime is not demand.compared.regime:
            at_sites = replace(one.regime, failed_sites=tuple(sorted(one.sites)))
            found.append(RegimeLoads(at_sites, load.ratios))
    return tuple(found)


def _withheld(choice: Choice) -> Reason:
    found = " ".join(reason.sentence for reason in choice.recheck)
    return Reason("withheld", f"The {choice.name.value} programme is withheld: {found}")
