"""Two plans beside each other: what is set, what limits it, what it costs, what changed."""

from dataclasses import dataclass
from datetime import datetime

from leeward.exchange.case_changes import CaseChange, case_changes
from leeward.exchange.plan_file import StoredPlan
from leeward.programme.decision import Assessment, Choice, ChoiceName, Outcome, SiteResult
from leeward.terms.site import Site


@dataclass(frozen=True, slots=True)
class PlanSide:
    """One of the two.

    Parameters
    ----------
    label : str
        The person's label.
    made_at : datetime
        When it was planned.
    software : str
        Version of leeward.
    outcome : Outcome
        How planning ended.
    compared_with : str
        What an index of 1 stands for.
    choice : ChoiceName
        Which choice is shown.
    settings : tuple of str
        What is entered at the unit.
    assessment : Assessment
        How it was judged.
    """

    label: str
    made_at: datetime
    software: str
    outcome: Outcome
    compared_with: str
    choice: ChoiceName
    settings: tuple[str, ...]
    assessment: Assessment


@dataclass(frozen=True, slots=True)
class SitePair:
    """One site under both.

    Parameters
    ----------
    site : Site
        Where.
    first, second : SiteResult or None
        Under each; None where that plan does not list it.
    """

    site: Site
    first: SiteResult | None
    second: SiteResult | None


@dataclass(frozen=True, slots=True)
class SideBySide:
    """Two plans.

    Parameters
    ----------
    first, second : PlanSide
        The two.
    is_same_person : bool
        Whether both bear the same label; nothing else is known of who they are.
    is_same_measure : bool
        Whether both indices are over the same regime, on the same loads of the same case.
    sites : tuple of SitePair
        Sites that some index or load differs at, most used first.
    changes : tuple of CaseChange
        What changed in the case.
    """

    first: PlanSide
    second: PlanSide
    is_same_person: bool
    is_same_measure: bool
    sites: tuple[SitePair, ...]
    changes: tuple[CaseChange, ...]


def side_by_side(first: tuple[StoredPlan, Choice], second: tuple[StoredPlan, Choice]) -> SideBySide:
    """Hold two plans beside each other; nothing is computed.

    Parameters
    ----------
    first, second : tuple of StoredPlan and Choice
        A plan and one of its choices.

    Returns
    -------
    SideBySide
        With what changed in the case between them.
    """
    (before, its_choice), (after, other_choice) = first, second
    decisions = before.decision, after.decision
    return SideBySide(
        first=_side(before, its_choice),
        second=_side(after, other_choice),
        is_same_person=before.case.person.label == after.case.person.label,
        is_same_measure=before.case_digest == after.case_digest
        and decisions[0].software == decisions[1].software
        and decisions[0].compared_with == decisions[1].compared_with,
        sites=_sites(its_choice, other_choice),
        changes=case_changes(before.case_plain, after.case_plain),
    )


def _side(stored: StoredPlan, choice: Choice) -> PlanSide:
    decision = stored.decision
    return PlanSide(
        label=stored.case.person.label,
        made_at=decision.made_at,
        software=decision.software,
        outcome=decision.outcome,
        compared_with=decision.compared_with,
        choice=choice.name,
        settings=choice.settings,
        assessment=choice.assessment,
    )


def _sites(first: Choice, second: Choice) -> tuple[SitePair, ...]:
    results = [{one.site: one for one in choice.assessment.sites} for choice in (first, second)]
    pairs = [
        SitePair(site, results[0].get(site), results[1].get(site))
        for site in dict.fromkeys((*results[0], *results[1]))
    ]
    return tuple(sorted(pairs, key=lambda pair: -_largest(pair)))


def _largest(pair: SitePair) -> float:
    return max(one.index or 0.0 for one in (pair.first, pair.second) if one is not None)
