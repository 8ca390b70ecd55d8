"""What a pressure mat on the mattress would show under a body, by the uncoupled model."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.balance import find_balance
from leeward.contact.loads import LoadRequest, posture_loads
from leeward.contact.pose import Pose
from leeward.contact.setting import lay_down, make_room
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.errors import CannotCompute, InvalidInput
from leeward.terms.sourced import Sourced

Array = NDArray[np.float64]
Index = NDArray[np.intp]

#: How widely mat, cover and foam spread the force of one point of skin.
SPREAD: Final = Sourced(
    0.025, "m", "convention of this project: about one sensor cell", "pressure mats in use"
)

#: Regions along the body, from the head, and where each ends below the crown as a fraction of
#: stature. Source: convention of this project.
REGIONS: Final = ("head", "upper trunk", "waist", "pelvis", "thighs", "calves and feet")
_REGION_ENDS: Final = (0.14, 0.32, 0.40, 0.54, 0.71)
#: Level of the hips below the crown, fraction of stature (as in `leeward.contact.layout`).
_HIPS_BELOW_CROWN: Final = 0.47


@dataclass(frozen=True, slots=True, eq=False)
class Imprint:
    """Forces of the skin on the mat, point by point.

    Parameters
    ----------
    along : ndarray, shape (m,)
        Arc along the mattress from the hips, positive towards the head. [m]
    across : ndarray, shape (m,)
        Arc across from the body's mid-line, positive towards the person's left. [m]
    force : ndarray, shape (m,)
        Normal force. [N]
    stature : float
        Of the body. [m]
    """

    along: Array
    across: Array
    force: Array
    stature: float

    def seen(self, along: Array, across: Array, spread: float = SPREAD.value) -> Array:
        """Force per area at the cells of a mat.

        Parameters
        ----------
        along, across : ndarray, shape (r,) and (c,)
            Middles of rows and columns, as for the imprint. [m]
        spread : float
            Standard deviation of what one point of skin is spread over. [m]

        Returns
        -------
        ndarray, shape (r, c)
            Pressure, spread as a mat spreads it. [Pa]
        """
        rows = bell(along, self.along, spread)
        columns = bell(across, self.across, spread)
        return np.asarray((rows * self.force) @ columns.T)


def bell(middle: Array, place: Array, spread: float) -> Array:
    """Share of what lies at each place that each middle sees.

    Parameters
    ----------
    middle : ndarray, shape (n,)
        Middles of rows or columns. [m]
    place : ndarray, shape (m,)
        Places. [m]
    spread : float
        Standard deviation. [m]

    Returns
    -------
    ndarray, shape (n, m)
        Density. [1/m]
    """
    apart = (middle[:, None] - place) / spread
    return np.asarray(np.exp(-0.5 * apart**2) / (spread * np.sqrt(2.0 * np.pi)))


def imprint(request: LoadRequest) -> Imprint:
    """Compute what a mat would show under a body in one posture.

    Parameters
    ----------
    request : LoadRequest
        One posture and one scenario.

    Returns
    -------
    Imprint
        Forces on the mattress; those on a bolster do not reach the mat.

    Raises
    ------
    InvalidInput
        If more than one posture or scenario is asked for.
    CannotCompute
        If the posture is no place to lie.
    """
    if len(request.postures) != 1 or len(request.scenarios) != 1:
        raise InvalidInput(
            f"{len(request.postures)} postures and {len(request.scenarios)} scenarios",
            where="imprint",
            expected="one of each",
            remedy="ask for the posture in which the map was taken",
        )
    table = posture_loads(request)
    if table.state[0, 0] != EquilibriumState.STABLE:
        raise CannotCompute(
            "the model finds no stable place to lie in this posture",
            where="imprint",
            expected="the posture in which the map was taken",
            remedy="check turn, backrest and supports",
        )
    room = make_room(request.body, request.bed, request.surface, request.scenarios)
    (posture,) = request.postures
    lying = lay_down(room, posture, np.array([posture.turn]), np.zeros(1, dtype=np.intp))
    touch = find_balance(lying, Pose(table.pose.place[0], table.pose.rotation[0])).touches[0]
    across, along = touch.value.place
    return Imprint(along, across, touch.pressure * touch.facing, request.body.stature)


def region_of(along: Array, stature: float) -> Index:
    """Which region of the body each level belongs to.

    Parameters
    ----------
    along : ndarray, shape (n,)
        Arc along the mattress from the hips, positive towards the head. [m]
    stature : float
        Of the body. [m]

    Returns
    -------
    ndarray of int, shape (n,)
        Positions in `REGIONS`. [-]
    """
    below_crown = _HIPS_BELOW_CROWN - along / stature
    return np.searchsorted(np.array(_REGION_ENDS), below_crown, side="left")


def region_shares(along: Array, load: Array, stature: float) -> Array:
    """Share of the load in each region.

    Parameters
    ----------
    along : ndarray, shape (n,)
        Arc along the mattress from the hips, positive towards the head. [m]
    load : ndarray, shape (n,)
        Load there, in any unit. [-]
    stature : float
        Of the body. [m]

    Returns
    -------
    ndarray, shape (6,)
        Shares in the order of `REGIONS`; they add up to 1. [-]
    """
    total = np.bincount(region_of(along, stature), load, len(REGIONS))
    return np.asarray(total / max(float(total.sum()), 1e-12))
