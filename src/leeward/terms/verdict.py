"""Three-valued verdicts and the reasons they carry."""

from dataclasses import dataclass
from enum import StrEnum


class Verdict(StrEnum):
    """What can be said of the surface against its plan."""

    AS_PLANNED = "as planned"
    DIFFERS = "differs"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its name and unit, inside a reason.

    Parameters
    ----------
    name : str
        What it is.
    value : float
        The number, in `unit`.
    unit : str
        Unit as shown; ``"-"`` for none.
    """

    name: str
    value: float
    unit: str


@dataclass(frozen=True, slots=True)
class Reason:
    """Why something was chosen, ruled out, or could not be told.

    Parameters
    ----------
    code : str
        Stable lower-case key, words joined by hyphens.
    sentence : str
        One sentence a practitioner can read out.
    numbers : tuple of Quantity
        The numbers it rests on.
    """

    code: str
    sentence: str
    numbers: tuple[Quantity, ...] = ()


@dataclass(frozen=True, slots=True)
class Judgement:
    """A verdict with its reasons and how much time it covers.

    Parameters
    ----------
    verdict : Verdict
        The verdict.
    reasons : tuple of Reason
        At least one.
    assessed_fraction : float
        Share of the time that could be judged. [-]
    """

    verdict: Verdict
    reasons: tuple[Reason, ...]
    assessed_fraction: float
