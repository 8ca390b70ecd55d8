"""Whether a regime's mattress and layers are those of the bed now."""

from dataclasses import fields
from enum import StrEnum

from leeward.terms.bed import Layer, Mattress, MattressKind


class Sameness(StrEnum):
    """How two things compare, as far as anyone wrote them down."""

    SAME = "the same"
    NOT_DESCRIBED = "not described on either side"
    DIFFERENT = "different"
    CANNOT_TELL = "described on one side only"


def mattress_sameness(then: Mattress, now: Mattress) -> Sameness:
    """Compare a regime's mattress with the one on the bed now.

    Parameters
    ----------
    then : Mattress
        Under the regime.
    now : Mattress
        On the bed now.

    Returns
    -------
    Sameness
        A field known on both sides that differs decides; one known on one side only
        leaves it open.
    """
    pairs = [(_written(then, f.name), _written(now, f.name)) for f in fields(Mattress)]
    if any(a is not None and b is not None and a != b for a, b in pairs):
        return Sameness.DIFFERENT
    if any((a is None) != (b is None) for a, b in pairs):
        return Sameness.CANNOT_TELL
    return Sameness.NOT_DESCRIBED if pairs[0] == (None, None) else Sameness.SAME


def _written(mattress: Mattress, field: str) -> object:
    """A field's value; None where nobody wrote it down."""
    value: object = getattr(mattress, field)
    return None if value in (MattressKind.UNDESCRIBED, ()) else value


def layers_sameness(then: tuple[Layer, ...] | None, now: tuple[Layer, ...] | None) -> Sameness:
    """Compare the layers between body and mattress, whatever their order.

    Parameters
    ----------
    then : tuple of Layer or None
        Under the regime; None where nobody looked.
    now : tuple of Layer or None
        On the bed now; None where nobody looked.

    Returns
    -------
    Sameness
        Unknown on one side leaves it open.
    """
    if then is None or now is None:
        return Sameness.NOT_DESCRIBED if then is now else Sameness.CANNOT_TELL
    return (
        Sameness.SAME if sorted(map(repr, then)) == sorted(map(repr, now)) else (Sameness.DIFFERENT)
    )
