"""The law by which load uses a site's allowance and relief gives it back."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from leeward.terms.errors import InvalidInput
from leeward.tissue import constants
from leeward.tissue.curves import EXPONENT_HEAVIER, EXPONENT_LIGHTER


@dataclass(frozen=True, slots=True)
class AllowanceLaw:
    """Conventions of the allowance; the same on both sides of every comparison.

    Parameters
    ----------
    time_constant : float
        T, over which load and recovery act. [s]
    loaded_recovery : float
        rho, the recovery that goes on under any load. [-]
    relief_recovery : float
        k0, the recovery that full relief adds. [-]
    lag : float
        Time for which recovery still goes by a heavier load before. [s]
    lighter_exponent, heavier_exponent : float
        Exponents with which the rate of use rises below and above the reference load. [-]

    Raises
    ------
    InvalidInput
        If the time constant, the recovery under load or an exponent is not positive, or
        another number is negative.
    """

    time_constant: float = constants.TIME_CONSTANT.value
    loaded_recovery: float = constants.LOADED_RECOVERY.value
    relief_recovery: float = constants.RELIEF_RECOVERY.value
    lag: float = constants.LAG.value
    lighter_exponent: float = EXPONENT_LIGHTER
    heavier_exponent: float = EXPONENT_HEAVIER

    def __post_init__(self) -> None:
        exponents = min(self.lighter_exponent, self.heavier_exponent) > 0.0
        positive = self.time_constant > 0.0 and self.loaded_recovery > 0.0 and exponents
        if not (positive and min(self.relief_recovery, self.lag) >= 0.0):
            raise InvalidInput(
                f"{self}",
                where="allowance law",
                expected="time constant, exponents, recovery under load above 0, the rest from 0",
                remedy="use the standard law or numbers from its stated ranges",
            )


#: The conventions every comparison uses.
STANDARD_LAW = AllowanceLaw()


def use_rate(ratio: ArrayLike, law: AllowanceLaw = STANDARD_LAW) -> NDArray[np.float64]:
    r"""Rate s at which a load uses the allowance, per time constant.

    Parameters
    ----------
    ratio : array_like, shape (n,)
        Load ratio q. [-]
    law : AllowanceLaw, optional
        Conventions.

    Returns
    -------
    ndarray, shape (n,)
        Rate of use; 1 at the reference load, NaN where the load is unknown. [-]

    Notes
    -----
    .. math::
        s(q) = 0.05^m\, q / 0.05 \ (q < 0.05), \quad
        q^m \ (0.05 \le q < 1), \quad q^n \ (q \ge 1)

    The standard exponents, m = 0.5 and n = 1.1, are those of the published curves between
    one and two hours, to one decimal. Valid for q of 0 or more.

    References
    ----------
    .. [1] leeward.tissue.curves.mean_exponent of the curves of Linares 2012 and
       Linder-Ganz 2006; the linear part is a convention of this project.

    Examples
    --------
    >>> [round(float(s), 3) for s in use_rate([0.0, 0.25, 1.0, 2.0])]
    [0.0, 0.5, 1.0, 2.144]
    """
    q = np.asarray(ratio, dtype=float)
    least = constants.LINEAR_BELOW.value
    rate = np.asarray(np.maximum(q, least) ** law.lighter_exponent * np.minimum(q / least, 1.0))
    np.power(q, law.heavier_exponent, out=rate, where=q > 1.0)
    return rate


def recovery(
    ratio: ArrayLike, loaded_recovery: float, relief_recovery: float
) -> NDArray[np.float64]:
    r"""Recovery that a load leaves to a site, per time constant.

    Parameters
    ----------
    ratio : array_like, shape (n,)
        Load ratio q. [-]
    loaded_recovery : float
        Recovery rho under any load. [-]
    relief_recovery : float
        Recovery k_0 that full relief adds. [-]

    Returns
    -------
    ndarray, shape (n,)
        Recovery; NaN where the load is unknown. [-]

    Notes
    -----
    .. math:: k(q) = \rho + k_0 \max(0, 1 - q)

    References
    ----------
    .. [1] AMA Arch Surg 1955;70:25 for k_0; the form is a convention of this project.
    """
    relief = np.maximum(0.0, 1.0 - np.asarray(ratio, dtype=float))
    return np.asarray(loaded_recovery + relief_recovery * relief)
