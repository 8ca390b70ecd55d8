"""One choice of a plan: by its name, or the only one there is."""

from collections.abc import Iterable

from leeward.programme.decision import Choice, ChoiceName, Decision
from leeward.terms.errors import InvalidInput


def in_use(decision: Decision, name: ChoiceName | None, number: int | None, where: str) -> Choice:
    """Pick the choice that was in use; of several it must be said which, never guessed."""
    if name is not None and number is not None:
        return chosen(decision, name, number, where)
    named = [one for one in decision.choices if name in (None, one.name)]
    if name is None:
        # No log of a surface shows turns by hand.
        named = [one for one in named if not one.programme.turned_by_hand]
    if len(named) == 1:
        return named[0]
    if name is not None and not named:
        return chosen(decision, name, 1, where)
    raise InvalidInput(
        "which of the plan's choices was in use is not said",
        where=where,
        expected=f"one of: {_listed(named)}",
        remedy=f"say it with {'--choice' if name is None else '--number'}",
    )


def chosen(decision: Decision, name: ChoiceName, number: int, where: str) -> Choice:
    """Pick a choice, or say which there are."""
    named = [one for one in decision.choices if one.name is name]
    if len(named) >= number:
        return named[number - 1]
    offered = _listed(decision.choices)
    which = f"{name.value!r}" if number == 1 else f"{name.value!r} number {number}"
    raise InvalidInput(
        f"the plan has no choice {which}",
        where=where,
        expected=f"one of: {offered}",
        remedy="say with --choice which one is meant",
    )


def _listed(choices: Iterable[Choice]) -> str:
    return ", ".join(one.name.value for one in choices) or "none"
