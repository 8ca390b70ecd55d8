"""Which choice of a plan a question is about, where none or several are named."""

from leeward.cli.chosen import chosen
from leeward.programme.decision import Choice, ChoiceName, Decision
from leeward.terms.errors import InvalidInput


def asked_about(
    decision: Decision, name: ChoiceName | None, number: int | None, where: str
) -> tuple[Choice, ...]:
    """Pick the choice named, or every choice that the unit runs, the balanced one first."""
    if name is not None:
        return (chosen(decision, name, number or 1, where),)
    if number is not None:
        raise InvalidInput(
            f"number {number} of no choice that is named",
            where=where,
            expected="--choice beside --number",
            remedy="say which choice is meant, or leave the number out",
        )
    if not decision.choices:
        raise InvalidInput(
            "the plan has no choice to ask about",
            where=where,
            expected="a plan that offers programmes, or shows the closest ones",
            remedy="read its reasons, answer what they ask, and plan again",
        )
    ordered = sorted(decision.choices, key=lambda one: one.name is not ChoiceName.BALANCED)
    run_by_unit = tuple(one for one in ordered if not one.programme.turned_by_hand)
    return run_by_unit or tuple(ordered)
