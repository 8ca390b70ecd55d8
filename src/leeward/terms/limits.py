"""Limits: value, unit, edge and source in one record; the strictest wins, applied last."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum


@dataclass(frozen=True, slots=True)
class Limit:
    """One edge of a range.

    Parameters
    ----------
    value : float
        The edge, in `unit`.
    unit : str
        SI unit as text.
    source : str
        Who or what sets it.
    inclusive : bool
        Whether the edge itself is allowed.
    """

    value: float
    unit: str
    source: str
    inclusive: bool = True


class Standing(StrEnum):
    """Where a value stands against a guardrail."""

    RECOMMENDED = "within the recommended range"
    ALLOWED = "allowed, outside the recommended range"
    REFUSED = "outside the absolute range"


@dataclass(frozen=True, slots=True)
class Guardrail:
    """Absolute limits around recommended ones for one quantity.

    Parameters
    ----------
    quantity : str
        Name of the quantity.
    least, greatest : Limit
        Absolute edges; nothing outside is ever offered.
    recommended_least, recommended_greatest : Limit or None
        Edges of the recommended range inside them.
    """

    quantity: str
    least: Limit
    greatest: Limit
    recommended_least: Limit | None = None
    recommended_greatest: Limit | None = None

    def standing(self, value: float) -> Standing:
        """Classify a value.

        Parameters
        ----------
        value : float
            The quantity, in the limits' unit.

        Returns
        -------
        Standing
            REFUSED also for NaN: what cannot be compared is not allowed.
        """
        if not (_above(value, self.least) and _below(value, self.greatest)):
            return Standing.REFUSED
        low, high = self.recommended_least, self.recommended_greatest
        inside = (low is None or _above(value, low)) and (high is None or _below(value, high))
        return Standing.RECOMMENDED if inside else Standing.ALLOWED


def _above(value: float, edge: Limit) -> bool:
    return value >= edge.value if edge.inclusive else value > edge.value


def _below(value: float, edge: Limit) -> bool:
    return value <= edge.value if edge.inclusive else value < edge.value


def strictest_greatest(limits: Iterable[Limit]) -> Limit:
    """Pick the lowest upper edge; of two equal ones the exclusive one.

    Parameters
    ----------
    limits : iterable of Limit
        Upper edges in one unit, at least one.

    Returns
    -------
    Limit
        The one that rules.
    """
    return min(limits, key=lambda edge: (edge.value, edge.inclusive))
