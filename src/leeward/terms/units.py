"""Conversions between SI and the field's units: used only where text meets a number."""

import math

#: Standard acceleration of free fall. [m/s^2] Source: 3rd CGPM (1901), exact by definition.
STANDARD_GRAVITY = 9.80665

#: One millimetre of mercury. [Pa] Source: ISO 80000-4:2006 annex (conventional value).
PASCAL_PER_MMHG = 133.322387415

SECONDS_PER_MINUTE = 60.0
SECONDS_PER_HOUR = 3600.0
SECONDS_PER_DAY = 86400.0


def radians_from_deg(angle_deg: float) -> float:
    """Angle in degrees to radians.

    Parameters
    ----------
    angle_deg : float
        Angle. [deg]

    Returns
    -------
    float
        The same angle. [rad]
    """
    return math.radians(angle_deg)


def deg_from_radians(angle: float) -> float:
    """Angle in radians to degrees.

    Parameters
    ----------
    angle : float
        Angle. [rad]

    Returns
    -------
    float
        The same angle. [deg]
    """
    return math.degrees(angle)


def pascal_from_mmhg(pressure_mmhg: float) -> float:
    """Pressure in millimetres of mercury to pascal.

    Parameters
    ----------
    pressure_mmhg : float
        Pressure. [mmHg]

    Returns
    -------
    float
        The same pressure. [Pa]

    Examples
    --------
    >>> round(pascal_from_mmhg(32.0))
    4266
    """
    return pressure_mmhg * PASCAL_PER_MMHG


def mmhg_from_pascal(pressure: float) -> float:
    """Pressure in pascal to millimetres of mercury.

    Parameters
    ----------
    pressure : float
        Pressure. [Pa]

    Returns
    -------
    float
        The same pressure. [mmHg]
    """
    return pressure / PASCAL_PER_MMHG


def seconds_from_min(duration_min: float) -> float:
    """Duration in minutes to seconds.

    Parameters
    ----------
    duration_min : float
        Duration. [min]

    Returns
    -------
    float
        The same duration. [s]
    """
    return duration_min * SECONDS_PER_MINUTE


def min_from_seconds(duration: float) -> float:
    """Duration in seconds to minutes.

    Parameters
    ----------
    duration : float
        Duration. [s]

    Returns
    -------
    float
        The same duration. [min]
    """
    return duration / SECONDS_PER_MINUTE


def metres_from_cm(length_cm: float) -> float:
    """Length in centimetres to metres.

    Parameters
    ----------
    length_cm : float
        The quantity. [cm]

    Returns
    -------
    float
        The same quantity. [m]
    """
    return length_cm / 100.0


def cm_from_metres(length: float) -> float:
    """Length in metres to centimetres.

    Parameters
    ----------
    length : float
        The quantity. [m]

    Returns
    -------
    float
        The same quantity. [cm]
    """
    return length * 100.0


def metres_from_mm(length_mm: float) -> float:
    """Length in millimetres to metres.

    Parameters
    ----------
    length_mm : float
        The quantity. [mm]

    Returns
    -------
    float
        The same quantity. [m]
    """
    return length_mm / 1000.0


def mm_from_metres(length: float) -> float:
    """Length in metres to millimetres.

    Parameters
    ----------
    length : float
        The quantity. [m]

    Returns
    -------
    float
        The same quantity. [mm]
    """
    return length * 1000.0


def pascal_from_kpa(pressure_kpa: float) -> float:
    """Pressure in kilopascal to pascal.

    Parameters
    ----------
    pressure_kpa : float
        The quantity. [kPa]

    Returns
    -------
    float
        The same quantity. [Pa]
    """
    return pressure_kpa * 1000.0


def kpa_from_pascal(pressure: float) -> float:
    """Pressure in pascal to kilopascal.

    Parameters
    ----------
    pressure : float
        The quantity. [Pa]

    Returns
    -------
    float
        The same quantity. [kPa]
    """
    return pressure / 1000.0
