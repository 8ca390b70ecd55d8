"""Whether a balance is a place to lie: friction in hand, and stiffness against tipping."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.balance import Balance
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.sourced import Sourced

Array = NDArray[np.float64]

#: Friction demand above which the body is said to slide.
LARGEST_DEMAND: Final = Sourced(0.9, "-", "convention of this project", "not applicable")

#: Scaled smallest eigenvalue below which the body is said to tip.
LEAST_MARGIN: Final = Sourced(
    0.005,
    "-",
    "convention of this project: what is left half a degree before a body tips over",
    "model bodies",
)


def friction_demand(balance: Balance, batch: int) -> Array:
    """Part of the available friction that keeps the body from sliding off.

    Parameters
    ----------
    balance : Balance
        In balance. [-]
    batch : int
        Number of beds. [-]

    Returns
    -------
    ndarray, shape (b,)
        Size of the summed shear force over the sum of friction coefficient times normal
        force, 1 where nothing is left; on a plane it is the slope over the friction
        coefficient. [-]

    Notes
    -----
    Shears that oppose one another inside the body's print cancel: they hold nothing up.
    """
    shear = np.zeros((3, batch))
    available = np.zeros(batch)
    for touch in balance.touches:
        tangent = touch.value.tangent
        force = touch.facing * (touch.shear[0] * tangent[0] + touch.shear[1] * tangent[1])
        for axis in range(3):
            shear[axis] += np.bincount(touch.bed, force[axis], batch)
        available += np.bincount(touch.bed, touch.facing * touch.grip, batch)
    return np.asarray(np.sqrt(np.sum(shear**2, axis=0)) / np.maximum(available, 1e-9))


def stability_margin(balance: Balance) -> Array:
    """Smallest stiffness against any small motion of the body, scaled.

    Parameters
    ----------
    balance : Balance
        In balance. [-]

    Returns
    -------
    ndarray, shape (b,)
        Smallest real part of the eigenvalues of the full unsymmetric stiffness over the
        scale matrix; negative past tipping. [-]

    Notes
    -----
    The symmetric part alone is no test: friction makes it indefinite long before the body
    tips.
    """
    return smallest_stiffness(balance.stiffness, balance.scale)


def smallest_stiffness(stiffness: Array, scale: Array) -> Array:
    """Smallest real part of the eigenvalues of scaled stiffness matrices.

    Parameters
    ----------
    stiffness, scale : ndarray, shape (b, 45, 45)
        As in `Balance`. [N/m, N, N m/rad]

    Returns
    -------
    ndarray, shape (b,)
        The margin of `stability_margin`. [-]
    """
    scaled = np.linalg.solve(scale, stiffness)
    return np.asarray(np.min(np.linalg.eigvals(scaled).real, axis=-1))


def judge(demand: Array, margin: Array) -> NDArray[np.int8]:
    """Name the state of balances.

    Parameters
    ----------
    demand : ndarray, shape (b,)
        Friction demand. [-]
    margin : ndarray, shape (b,)
        Stability margin. [-]

    Returns
    -------
    ndarray of int, shape (b,)
        Values of `EquilibriumState`: STABLE, SLIDES or TIPS. [-]
    """
    state = np.full(demand.shape, EquilibriumState.STABLE, dtype=np.int8)
    state[~(margin >= LEAST_MARGIN.value)] = EquilibriumState.TIPS
    state[~(demand <= LARGEST_DEMAND.value)] = EquilibriumState.SLIDES
    return state
