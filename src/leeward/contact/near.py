"""Points of skin near a bed, as the loops pass them on from one to the next.

One array holds everything, a quantity a row and a point a column: loops along a row are what a
machine does fastest, and one array is quickly compiled for.
"""

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from leeward.contact.lain_out import FACES, POINTS, LainOut

Array = NDArray[np.float64]
Index = NDArray[np.intp]

#: Rows: point from its segment's joint [m], vector area [m^2], depth [m], gradient of depth,
#: directions across and along, gradients of the arc coordinates [-], arc coordinates [m],
#: projected area [m^2], pressure [Pa], its slope [Pa/m], shear across and along [Pa], its change
#: per displacement [Pa/m], traction [Pa], force per change of a half-space's weight [N], change of
#: force per displacement [N/m].
ARM: Final = 0
OUTWARD: Final = 3
DEPTH: Final = 6
GRADIENT: Final = 7
TANGENT: Final = 10
PLACE_GRADIENT: Final = 16
PLACE: Final = 22
FACING: Final = 24
PRESSURE: Final = 25
STIFFNESS: Final = 26
SHEAR: Final = 27
SHEAR_CHANGE: Final = 29
TRACTION: Final = 35
COLUMN: Final = 38
BY_PLACE: Final = 41
_ROWS: Final = 50

#: Rows of every node: depth [m], weight [-], its gradient [1/m], gradient of depth [-], the
#: shares of a join's two sides [-]; for half-spaces the arc coordinates across and along. [m]
HEIGHT: Final = 0
WEIGHT: Final = 1
CHANGE: Final = 2
SLOPE: Final = 5
SHARE: Final = 8
LOCAL: Final = 8
_NODE_ROWS: Final = 10


class Near(NamedTuple):
    """Points near one bearing; only the first ones are in use.

    Parameters
    ----------
    point : ndarray of int, shape (n,)
        Which of the bearing's points. [-]
    value : ndarray, shape (50, n)
        What is known of each, by row. [-]
    node : ndarray, shape (2 l - 1, 10, n)
        What is known of each below every half-space, then every join. [-]
    """

    point: Index
    value: Array
    node: Array


def room_for_points(laid: LainOut) -> Near:
    """Make room for the points near any bearing.

    Parameters
    ----------
    laid : LainOut
        Bodies and beds.

    Returns
    -------
    Near
        With no points yet.
    """
    most = np.diff(laid.ends, axis=0).max(axis=0)
    count, nodes = int(most[POINTS]), 2 * int(most[FACES]) - 1
    return Near(
        np.empty(count, dtype=np.intp),
        np.empty((_ROWS, count)),
        np.empty((nodes, _NODE_ROWS, count)),
    )
