"""The sensitivity of a plan's choices in sentences a practitioner can use."""

from leeward.programme.other_conventions import ConventionChanged, OrderOfTwo, Sensitivity
from leeward.programme.quantities import listed, plain
from leeward.terms.verdict import Quantity, Reason

#: An index that is at most this far above 1 is 1: rounding. [-]
_ROUNDING = 1e-9


def sensitivity_said(found: Sensitivity) -> tuple[Reason, ...]:
    """Say which choices keep their order, and which change sides of the regime compared.

    Parameters
    ----------
    found : Sensitivity
        Indices under every change.

    Returns
    -------
    tuple of Reason
        One for each pair of choices, then one for each choice. What is only ranked is never
        said to be safe: an index below 1 under every change is no promise.
    """
    pairs = tuple(_pair(found, one) for one in found.orders)
    alike: dict[tuple[bool | None, tuple[str, ...]], list[int]] = {}
    for number in range(len(found.names)):
        alike.setdefault(_crossed(found, number), []).append(number)
    return (*pairs, *(_sides(found, numbers, *key) for key, numbers in alike.items()))


def numbered(found: Sensitivity, number: int) -> str:
    """Name a choice by its number and its name.

    Parameters
    ----------
    found : Sensitivity
        The choices.
    number : int
        Which, from 0. [-]

    Returns
    -------
    str
        For example "1 (gentlest)".
    """
    return f"{number + 1} ({found.names[number]})"


def _pair(found: Sensitivity, one: OrderOfTwo) -> Reason:
    both = f"{numbered(found, one.first)} and {numbered(found, one.second)}"
    tried = len(found.changes) - 1
    if not one.is_told_apart:
        return Reason("not-told-apart", f"{both} cannot be told apart as planned.")
    if not one.turned_by:
        under = _known_under(found, [one.first, one.second], f"all {tried} changes")
        return Reason("order-kept", f"{both} keep their order under {under}.")
    told = [_lower(change) for change in found.changes if change.code in one.turned_by]
    return Reason(
        "order-changes",
        f"{both} change places where {_either(told)}: which of them is used less hangs on that.",
        (plain("changes under which they do", float(len(told))), plain("of", float(tried))),
    )


def _crossed(found: Sensitivity, number: int) -> tuple[bool | None, tuple[str, ...]]:
    """Whether a choice lies above the regime compared, and the changes that move it across."""
    as_planned, *changed = (one.choices[number].index for one in found.changes)
    if as_planned is None:
        return None, ()
    is_above = _above(as_planned)
    codes = [one.code for one in found.changes[1:]]
    pairs = zip(codes, changed, strict=True)
    return is_above, tuple(
        code for code, then in pairs if then is not None and _above(then) is not is_above
    )


def _above(index: float) -> bool:
    return index > 1.0 + _ROUNDING


def _sides(
    found: Sensitivity, numbers: list[int], is_above: bool | None, codes: tuple[str, ...]
) -> Reason:
    names = listed([numbered(found, number) for number in numbers])
    if is_above is None:
        return Reason("index-not-known", f"The index is not known of {names}.")
    one, (here, there) = len(numbers) == 1, ("at or below", "above")
    quantities, said = _quantities(found, numbers), _spans_in_words(found, numbers)
    if codes:
        if is_above:
            there = here
        told = [_lower(change) for change in found.changes if change.code in codes]
        verb = "comes" if one else "come"
        return Reason(
            "side-changes",
            f"{names} {verb} out {there} the regime compared where {_either(told)}. "
            f"{said[:1].upper()}{said[1:]}.",
            quantities,
        )
    verb = "stays" if one else "stay"
    side, no_promise = (there, "") if is_above else (here, " That is no promise.")
    return Reason(
        "side-kept",
        f"{names} {verb} {side} the regime compared under "
        f"{_known_under(found, numbers, 'every change')}: {said}.{no_promise}",
        quantities,
    )


def _known_under(found: Sensitivity, numbers: list[int], all_of_them: str) -> str:
    """Under how many changes these choices' indices are known: the others prove nothing."""
    changed = found.changes[1:]
    known = sum(all(one.choices[n].index is not None for n in numbers) for one in changed)
    if known == len(changed):
        return all_of_them
    return f"the {known} of {len(changed)} changes under which the index is known"


def _spans_in_words(found: Sensitivity, numbers: list[int]) -> str:
    said = []
    for number in numbers:
        as_planned, low, high = _span(found, number)
        name = f"{number + 1}: " if len(numbers) > 1 else ""
        said.append(
            f"{name}index {as_planned:.2f} as planned, {low:.2f} to {high:.2f} under the changes"
        )
    return "; ".join(said)


def _quantities(found: Sensitivity, numbers: list[int]) -> tuple[Quantity, ...]:
    return tuple(
        plain(f"{what} of {number + 1}", value)
        for number in numbers
        for what, value in zip(
            ("index as planned", "lowest", "highest"), _span(found, number), strict=True
        )
    )


def _span(found: Sensitivity, number: int) -> tuple[float, float, float]:
    """Index as planned, the lowest and the highest."""
    indices = [one.choices[number].index for one in found.changes]
    known = [one for one in indices if one is not None]
    return known[0], min(known), max(known)


def _lower(change: ConventionChanged) -> str:
    sentence = change.sentence.partition(":")[0]
    return sentence[:1].lower() + sentence[1:]


def _either(told: list[str]) -> str:
    return listed(told) if len(told) < 2 else f"any of these holds: {'; '.join(told)}"
