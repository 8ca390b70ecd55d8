"""One choice of a plan by its name."""

from leeward.programme.decision import Choice, ChoiceName, Decision
from leeward.terms.errors import InvalidInput


def chosen(decision: Decision, name: ChoiceName, number: int, where: str) -> Choice:
    """Pick a choice, or say which there are."""
    named = [one for one in decision.choices if one.name is name]
    if len(named) >= number:
        return named[number - 1]
    offered = ", ".join(one.name.value for one in decision.choices) or "none"
    which = f"{name.value!r}" if number == 1 else f"{name.value!r} number {number}"
    raise InvalidInput(
        f"the plan has no choice {which}",
        where=where,
        expected=f"one of: {offered}",
        remedy="say with --choice which one is meant",
    )
