"""What is found at the bed: four outcomes, of which the worst of several rules."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from leeward.fitting.measures import Measure
from leeward.terms.verdict import Quantity

#: Said wherever something is found in order.
NOT_A_CLEARANCE = (
    "no limit found broken; not a clearance: the published limits are for flat, level beds"
)


class Outcome(StrEnum):
    """What may be said of a posture or of a bed."""

    NO_LIMIT_BROKEN = "no limit found broken"
    WITH_MEASURE = "with a measure"
    CANNOT_TELL = "cannot tell"
    NOT_TO_BE_USED = "not to be used"


#: From the mildest to the one that rules all others.
_ORDER = tuple(Outcome)


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing found.

    Parameters
    ----------
    code : str
        Stable lower-case key.
    outcome : Outcome
        What it means.
    sentence : str
        What was found, for a practitioner.
    remedy : str
        What to do: the measure to take, or what to measure and how; empty where nothing.
    numbers : tuple of Quantity
        The numbers it rests on.
    """

    code: str
    outcome: Outcome
    sentence: str
    remedy: str = ""
    numbers: tuple[Quantity, ...] = ()


def worst(findings: Iterable[Finding]) -> Outcome:
    """Take findings together.

    Parameters
    ----------
    findings : iterable of Finding
        Any number.

    Returns
    -------
    Outcome
        The one that rules; of no finding at all nothing can be told.
    """
    found = [_ORDER.index(finding.outcome) for finding in findings]
    return _ORDER[max(found)] if found else Outcome.CANNOT_TELL


def to_measure(measure: Measure, *, needed_for: str) -> Finding:
    """Say that something cannot be told until it is measured.

    Parameters
    ----------
    measure : Measure
        What is missing, and how it is found.
    needed_for : str
        What cannot be told without it.

    Returns
    -------
    Finding
        Never reassuring.
    """
    return Finding(
        f"measure-{measure.code}",
        Outcome.CANNOT_TELL,
        f"Cannot tell {needed_for}: nobody measured {measure.what}.",
        f"Measure {measure.what}: {measure.how}.",
    )
