"""Field units of length and pressure to SI, for what files give in cm, mm and kPa."""


def metres_from_cm(length_cm: float) -> float:
    """Length in centimetres to metres.

    Parameters
    ----------
    length_cm : float
        Length. [cm]

    Returns
    -------
    float
        The same length. [m]

    Examples
    --------
    >>> metres_from_cm(162.5)
    1.625
    """
    return length_cm / 100.0


def metres_from_mm(length_mm: float) -> float:
    """Length in millimetres to metres.

    Parameters
    ----------
    length_mm : float
        Length. [mm]

    Returns
    -------
    float
        The same length. [m]
    """
    return length_mm / 1000.0


def pascal_from_kpa(pressure_kpa: float) -> float:
    """Pressure in kilopascal to pascal.

    Parameters
    ----------
    pressure_kpa : float
        Pressure. [kPa]

    Returns
    -------
    float
        The same pressure. [Pa]
    """
    return pressure_kpa * 1000.0
