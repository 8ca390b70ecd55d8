"""Numbers as reasons show them: in the field's units, named, beside the unit."""

from leeward.terms.units import deg_from_radians, min_from_seconds
from leeward.terms.verdict import Quantity


def degrees(name: str, angle: float) -> Quantity:
    """Show an angle.

    Parameters
    ----------
    name : str
        What it is.
    angle : float
        The angle. [rad]

    Returns
    -------
    Quantity
        In degrees, to a tenth.

    Examples
    --------
    >>> degrees("largest turn", 0.5236).value
    30.0
    """
    return Quantity(name, round(deg_from_radians(angle), 1), "°")


def minutes(name: str, duration: float) -> Quantity:
    """Show a duration.

    Parameters
    ----------
    name : str
        What it is.
    duration : float
        The duration. [s]

    Returns
    -------
    Quantity
        In minutes, to a tenth.
    """
    return Quantity(name, round(min_from_seconds(duration), 1), "min")


def plain(name: str, value: float, unit: str = "-") -> Quantity:
    """Show a number that needs no conversion.

    Parameters
    ----------
    name : str
        What it is.
    value : float
        The number, in `unit`.
    unit : str
        Its unit.

    Returns
    -------
    Quantity
        To three decimals.
    """
    return Quantity(name, round(float(value), 3), unit)


def listed(words: list[str]) -> str:
    """Join words as a sentence lists them.

    Parameters
    ----------
    words : list of str
        At least one.

    Returns
    -------
    str
        With commas and a last *and*.

    Examples
    --------
    >>> listed(["sacrum", "spine", "coccyx"])
    'sacrum, spine and coccyx'
    """
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def minutes_in_words(duration: float) -> str:
    """Say a duration in minutes, or in hours where that is shorter to hear.

    Parameters
    ----------
    duration : float
        The duration. [s]

    Returns
    -------
    str
        For example ``"45 min"`` or ``"2 h"``.

    Examples
    --------
    >>> minutes_in_words(7200.0), minutes_in_words(2700.0), minutes_in_words(5400.0)
    ('2 h', '45 min', '90 min')
    """
    length = min_from_seconds(duration)
    if length >= 120.0 and length % 60.0 == 0.0:
        return f"{length / 60.0:g} h"
    return f"{round(length, 1):g} min"
