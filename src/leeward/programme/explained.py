"""A plan explained: what limits each choice, one step either way, a what-if, a trace."""

from dataclasses import dataclass

from leeward.programme.decision import Choice, ChoiceName, SiteResult
from leeward.programme.front import NOT_TOLD_APART
from leeward.programme.ground import Ground
from leeward.programme.helps import Help
from leeward.programme.judged_anew import judge_anew
from leeward.programme.more_loads import MoreLoads
from leeward.programme.one_step import OneStep, steps_either_way
from leeward.programme.other_conventions import Sensitivity
from leeward.programme.quantities import plain
from leeward.programme.sensitivity import sensitivity
from leeward.programme.traced import Trace, traced
from leeward.programme.trade_off import TradeOff, trade_off
from leeward.programme.what_if import WhatIf
from leeward.programme.what_would_change import what_would_help
from leeward.programme.why_not import Answer, why_not
from leeward.terms.errors import InvalidInput
from leeward.terms.site import Site
from leeward.terms.verdict import Reason
from leeward.tissue.demand import Solver


@dataclass(frozen=True, slots=True)
class Question:
    """What somebody wants to know of a plan.

    Parameters
    ----------
    choices : tuple of Choice
        The choices asked about; a what-if and a trace are about the first.
    asked : WhatIf or None
        A change.
    traced : Site or None
        A site to be followed through the day.
    with_steps : bool
        Whether one step either way in every setting is wanted.
    with_trade_off : bool
        Whether relief against sleep is wanted: the search is made once more.
    with_sensitivity : bool
        Whether it is wanted how the choices stand while the conventions change.
    with_help : bool
        Whether it is wanted what changes would help; then no choice need be asked about.
    """

    choices: tuple[Choice, ...]
    asked: WhatIf | None = None
    traced: Site | None = None
    with_steps: bool = False
    with_trade_off: bool = False
    with_sensitivity: bool = False
    with_help: bool = False


@dataclass(frozen=True, slots=True)
class ChoiceExplained:
    """One choice and its surroundings.

    Parameters
    ----------
    name : ChoiceName
        Which.
    limiting : SiteResult or None
        The site that limits it.
    reasons : tuple of Reason
        Why this one, and how it was judged.
    steps : tuple of OneStep
        One step more and less in every setting.
    """

    name: ChoiceName
    limiting: SiteResult | None
    reasons: tuple[Reason, ...]
    steps: tuple[OneStep, ...]


@dataclass(frozen=True, slots=True)
class Explanation:
    """The answer to a question.

    Parameters
    ----------
    choices : tuple of ChoiceExplained
        Empty unless steps were asked for.
    answer : Answer or None
        To the what-if.
    trace : Trace or None
        Of the site.
    trade_off : TradeOff or None
        Relief against sleep.
    sensitivity : Sensitivity or None
        The choices asked about while the conventions change.
    notes : tuple of Reason
        Where the plan's own numbers could not be found again.
    helps : tuple of Help
        How it is now, then what changes would do, the smallest that suffices first.
    """

    choices: tuple[ChoiceExplained, ...]
    answer: Answer | None
    trace: Trace | None
    trade_off: TradeOff | None
    sensitivity: Sensitivity | None
    notes: tuple[Reason, ...]
    helps: tuple[Help, ...] = ()


def explained(
    stands: Ground, choices: tuple[Choice, ...], question: Question, solve: Solver
) -> Explanation:
    """Answer a question about a plan by the computation that made it.

    Parameters
    ----------
    stands : Ground
        What the plan stands on.
    choices : tuple of Choice
        Every choice of the plan.
    question : Question
        About at least one of them, or about what would help.
    solve : Solver
        Computes further loads for what would help.

    Returns
    -------
    Explanation
        With whatever was asked for.

    Raises
    ------
    InvalidInput
        If people make the turns of a choice asked about: the loads of its turns are no unit's.
    """
    if question.with_help:
        more = MoreLoads(stands.demand, stands.now, solve)
        helps = what_would_help(stands.problem, more)
        return Explanation((), None, None, None, None, (), helps)
    by_hand = [one.name.value for one in question.choices if one.programme.turned_by_hand]
    if by_hand:
        raise InvalidInput(
            f"the choice called {by_hand[0]} is turned by hand",
            where="question about a plan",
            expected="a choice that the unit runs",
            remedy="read its row and its remarks in the plan, beside what people do",
        )
    first = question.choices[0]
    return Explanation(
        choices=tuple(
            _surrounded(stands, choice) for choice in question.choices if question.with_steps
        ),
        answer=None if question.asked is None else why_not(stands, first, question.asked),
        trace=None if question.traced is None else traced(stands, first, question.traced),
        trade_off=trade_off(stands, choices) if question.with_trade_off else None,
        sensitivity=(
            sensitivity(stands.problem, question.choices) if question.with_sensitivity else None
        ),
        notes=_found_again(stands, question.choices),
    )


def _surrounded(stands: Ground, choice: Choice) -> ChoiceExplained:
    return ChoiceExplained(
        name=choice.name,
        limiting=choice.assessment.limiting,
        reasons=(*choice.reasons, *choice.assessment.reasons),
        steps=steps_either_way(stands, choice),
    )


def _found_again(stands: Ground, choices: tuple[Choice, ...]) -> tuple[Reason, ...]:
    """Say where the numbers of the plan are not those computed now."""
    found = judge_anew(stands, [choice.programme for choice in choices])
    notes = []
    for choice, now in zip(choices, found, strict=True):
        before = choice.assessment.limiting
        after = now.assessment.sites
        same = [one for one in after if before is not None and one.site is before.site]
        if before is None or before.index is None or not same or same[0].index is None:
            continue
        if abs(same[0].index - before.index) >= NOT_TOLD_APART:
            notes.append(
                Reason(
                    "not-found-again",
                    f"The plan says {before.index:.2f} for the {before.site.value} under the "
                    f"choice called {choice.name.value}, where {same[0].index:.2f} is computed "
                    "now: plan again before anything is decided from this.",
                    (plain("in the plan", before.index), plain("now", same[0].index)),
                )
            )
    return tuple(notes)
