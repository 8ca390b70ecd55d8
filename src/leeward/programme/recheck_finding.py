"""Findings of the recheck: one sentence each, with the numbers it rests on."""

import math
from collections.abc import Iterable

from leeward.terms.units import deg_from_radians, min_from_seconds
from leeward.terms.verdict import Quantity, Reason

#: Settings and limits are compared to this share of themselves: they pass through degrees and
#: minutes on their way, and the last bit of a float is no setting. [-]
SLACK = 1e-6


def is_within(value: float, edge: float, *, inclusive: bool = True) -> bool:
    """Whether a value keeps below an upper edge; what cannot be compared does not.

    Parameters
    ----------
    value, edge : float
        In one unit; NaN is never within. [-]
    inclusive : bool
        Whether the edge itself is allowed.

    Returns
    -------
    bool
        True inside.
    """
    slack = SLACK * max(abs(edge), SLACK)
    return value <= edge + slack if inclusive else value < edge - slack


def is_same(one: float, other: float) -> bool:
    """Whether two settings are the same one.

    Parameters
    ----------
    one, other : float
        In one unit. [-]

    Returns
    -------
    bool
        True when neither exceeds the other.
    """
    return is_within(one, other) and is_within(other, one)


def finding(code: str, sentence: str, *numbers: Quantity) -> Reason:
    """Make a finding.

    Parameters
    ----------
    code : str
        Stable key.
    sentence : str
        One sentence a practitioner can read out.
    *numbers : Quantity
        What it rests on.

    Returns
    -------
    Reason
        The finding.
    """
    return Reason(code, sentence, numbers)


def once_each(findings: Iterable[Reason]) -> tuple[Reason, ...]:
    """Leave out what was said before: a cycle repeats its stays.

    Parameters
    ----------
    findings : iterable of Reason
        Findings in order.

    Returns
    -------
    tuple of Reason
        The first of each sentence.
    """
    first: dict[tuple[str, str], Reason] = {}
    for one in findings:
        first.setdefault((one.code, one.sentence), one)
    return tuple(first.values())


def degrees_of(name: str, angle: float) -> Quantity:
    """Show an angle in degrees.

    Parameters
    ----------
    name : str
        What it is.
    angle : float
        The angle. [rad]

    Returns
    -------
    Quantity
        To a hundredth of a degree.
    """
    return Quantity(name, round(deg_from_radians(angle), 2), "°")


def minutes_of(name: str, duration: float) -> Quantity:
    """Show a duration in minutes.

    Parameters
    ----------
    name : str
        What it is.
    duration : float
        The duration. [s]

    Returns
    -------
    Quantity
        To a tenth of a minute.
    """
    return Quantity(name, round(min_from_seconds(duration), 1), "min")


def number_of(name: str, value: float) -> Quantity:
    """Show a number without unit.

    Parameters
    ----------
    name : str
        What it is.
    value : float
        The number. [-]

    Returns
    -------
    Quantity
        To four decimals.
    """
    return Quantity(name, round(value, 4) if math.isfinite(value) else value, "-")
