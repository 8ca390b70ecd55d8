"""How much of an allowance fades over a part: exp(x) - 1, the quickest way to the last digits."""

import numpy as np
from numpy.typing import NDArray

#: Up to here the quotient below is exact to rounding.
_SMALL = 0.25


def faded_away(exponent: NDArray[np.float64]) -> NDArray[np.float64]:
    r"""Change over a part: exp(x) - 1.

    Parameters
    ----------
    exponent : ndarray, shape (n,)
        Rate times time, x: 0 or below; NaN where unknown. [-]

    Returns
    -------
    ndarray, shape (n,)
        Relative change. [-]

    Notes
    -----
    Parts of a movement are short: there the quotient of two polynomials takes a third of the
    time of the exponential function.

    .. math::
        e^x - 1 = \frac{2 x p}{q - x p}, \quad
        p = 15120 + 420 x^2 + x^4, \quad q = 30240 + 3360 x^2 + 30 x^4

    Its error is below :math:`4 \times 10^{-11} |x|^{11}`, so 1e-17 at the largest x it is
    used for, 0.25.

    References
    ----------
    .. [1] The diagonal Pade approximant of order five of the exponential function; from memory.

    Examples
    --------
    >>> float(faded_away(np.array([-0.125]))[0]) - float(np.expm1(-0.125))
    0.0
    """
    if not bool(np.min(exponent, initial=0.0) >= -_SMALL):
        return np.asarray(np.expm1(exponent))
    square = exponent * exponent
    odd = ((square + 420.0) * square + 15120.0) * exponent
    even = (30.0 * square + 3360.0) * square + 30240.0
    even -= odd
    odd *= 2.0
    odd /= even
    return np.asarray(odd)
