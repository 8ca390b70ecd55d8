"""Published pressure-time curves, and what they say about heavier and lighter loads.

No curve is ever turned into hours for a person: at two hours the two differ by a factor
near five. Only their exponents are used, to weigh one load against another.
"""

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike, NDArray

from leeward.tissue import constants


def three_exponentials(
    time: ArrayLike, amplitude: ArrayLike, rate: ArrayLike
) -> NDArray[np.float64]:
    r"""Pressure that falls with time as a sum of exponentials.

    Parameters
    ----------
    time : array_like, shape (n,)
        Time under load. [s]
    amplitude : array_like, shape (m,)
        Amplitude of each exponential. [Pa]
    rate : array_like, shape (m,)
        Rate of each exponential. [1/s]

    Returns
    -------
    ndarray, shape (n,)
        Pressure. [Pa]

    Notes
    -----
    .. math:: P(t) = \sum_i a_i e^{-b_i t}

    References
    ----------
    .. [1] Linares, Mawson, Suarez 2012, J Basic Appl Sci 8:720, Table 1.
       doi:10.6000/1927-5129.2012.08.02.64
    """
    terms = np.multiply.outer(np.asarray(time, dtype=float), np.asarray(rate, dtype=float))
    return np.asarray(np.sum(np.asarray(amplitude, dtype=float) * np.exp(-terms), axis=-1))


def sigmoid(
    time: ArrayLike, span: float, steepness: float, middle: float, floor: float
) -> NDArray[np.float64]:
    r"""Pressure that steps down once with time.

    Parameters
    ----------
    time : array_like, shape (n,)
        Time under load. [s]
    span : float
        Height K of the step. [Pa]
    steepness : float
        Steepness a of the step. [1/s]
    middle : float
        Time t_0 at which half the step is done. [s]
    floor : float
        Pressure C it falls to. [Pa]

    Returns
    -------
    ndarray, shape (n,)
        Pressure. [Pa]

    Notes
    -----
    .. math:: P(t) = \frac{K}{1 + e^{a (t - t_0)}} + C

    References
    ----------
    .. [1] Linder-Ganz et al 2006, J Biomech 39:2725. PMID 16199045
    """
    steps = steepness * (np.asarray(time, dtype=float) - middle)
    return np.asarray(span * 0.5 * (1.0 - np.tanh(0.5 * steps)) + floor)


def human_curve(time: ArrayLike) -> NDArray[np.float64]:
    """Pressure at the skin that people were reported to bear for a time.

    Parameters
    ----------
    time : array_like, shape (n,)
        Time under load. [s]

    Returns
    -------
    ndarray, shape (n,)
        Pressure at the skin. [Pa]

    Notes
    -----
    Used here between 1 and 2 h only. Not a threshold: the curve it was fitted to gives
    none, and is held to be wrong at very short and very long times.

    References
    ----------
    .. [1] Linares, Mawson, Suarez 2012, J Basic Appl Sci 8:720, Table 1, after
       Reswick and Rogers 1976.

    Examples
    --------
    >>> float(human_curve(7200.0).round(-2))
    39800.0
    """
    amplitudes = [sourced.value for sourced in constants.HUMAN_AMPLITUDES]
    return three_exponentials(time, amplitudes, [rate.value for rate in constants.HUMAN_RATES])


def rat_curve(time: ArrayLike) -> NDArray[np.float64]:
    """Pressure on rat muscle above which cells died within a time.

    Parameters
    ----------
    time : array_like, shape (n,)
        Time under load. [s]

    Returns
    -------
    ndarray, shape (n,)
        Pressure on muscle, which is not pressure at the skin. [Pa]

    Notes
    -----
    Exposures of 15 min to 6 h (from memory). Used here between 1 and 2 h only.

    References
    ----------
    .. [1] Linder-Ganz et al 2006, J Biomech 39:2725. PMID 16199045

    Examples
    --------
    >>> float(rat_curve(7200.0).round(-2))
    8500.0
    """
    return sigmoid(
        time,
        constants.RAT_SPAN.value,
        constants.RAT_STEEPNESS.value,
        constants.RAT_MIDDLE.value,
        constants.RAT_FLOOR.value,
    )


def mean_exponent(
    curve: Callable[[float], NDArray[np.float64]], shorter: float, longer: float
) -> float:
    r"""Exponent with which the effect of a load rises between two times of a curve.

    Parameters
    ----------
    curve : callable
        Falling pressure [Pa] as a function of time [s].
    shorter : float
        Shorter time. [s]
    longer : float
        Longer time. [s]

    Returns
    -------
    float
        Exponent m such that the time borne goes as the pressure to the power -m. [-]

    Notes
    -----
    m = ln(t2 / t1) / ln(P(t1) / P(t2)): the mean slope between the two times on double
    logarithmic paper. Close to either end of the interval the slope differs much.

    Examples
    --------
    >>> round(mean_exponent(human_curve, 3600.0, 7200.0), 2)
    1.12
    >>> round(mean_exponent(rat_curve, 3600.0, 7200.0), 2)
    0.54
    """
    return math.log(longer / shorter) / math.log(float(curve(shorter)) / float(curve(longer)))


#: Exponents of the rate of use to one decimal: the gentler curve rules lighter loads and the
#: steeper one heavier loads, so that on either side the more demanding of the two is used.
EXPONENT_LIGHTER, EXPONENT_HEAVIER = sorted(
    round(mean_exponent(curve, constants.EXPONENT_FROM.value, constants.EXPONENT_TO.value), 1)
    for curve in (human_curve, rat_curve)
)
