"""Damped Newton iteration of one body after another, as machine code: `settle` without NumPy."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from leeward.contact.compiled import entry, part
from leeward.contact.compiled_balance import Found, balance_of, room_for_balance
from leeward.contact.compiled_joints import turn_by
from leeward.contact.lain_out import MASS, LainOut
from leeward.contact.newton import (
    GIVE_UP,
    HAIR,
    HEAVIER,
    LARGEST_TURN,
    LEAST,
    LIGHTER,
    LONGEST_STEP,
    MOST_STEPS,
    TOLERANCE,
    UNDAMPED,
)
from leeward.contact.pose import UNKNOWNS
from leeward.contact.segments import COUNT

Array = NDArray[np.float64]
Index = NDArray[np.intp]


class Reached(NamedTuple):
    """Where a batch of bodies got to.

    Parameters
    ----------
    pelvis : ndarray, shape (b, 3)
        Points between the hips; where to start from before. [m]
    rotation : ndarray, shape (b, 14, 3, 3)
        Rotations of the segments. [-]
    is_solved : ndarray of bool, shape (b,)
        Whether each is in balance. [-]
    steps : ndarray of int, shape (b,)
        Newton steps used. [-]
    stiffness, scale : ndarray, shape (b, 45, 45)
        Of the balance each ended in; zero without one. [N/m, N, N m/rad]
    demand : ndarray, shape (b,)
        Friction demand there. [-]
    share : ndarray, shape (b, 14)
        Share of the normal force on each segment there. [-]
    """

    pelvis: Array
    rotation: Array
    is_solved: NDArray[np.bool_]
    steps: Index
    stiffness: Array
    scale: Array
    demand: Array
    share: Array


@part
def _exchange(matrix: Array, change: Array, k: int) -> None:
    """Bring the row with the largest entry of a column up to the diagonal."""
    largest, pivot = abs(matrix[k, k]), k
    for row in range(k + 1, len(change)):
        if abs(matrix[row, k]) > largest:
            largest, pivot = abs(matrix[row, k]), row
    if pivot != k:
        change[k], change[pivot] = change[pivot], change[k]
        for column in range(k, len(change)):
            kept = matrix[k, column]
            matrix[k, column] = matrix[pivot, column]
            matrix[pivot, column] = kept


@part
def _solve(matrix: Array, change: Array) -> None:
    """Solve a linear system in place: elimination with row exchanges."""
    count = len(change)
    for k in range(count):
        _exchange(matrix, change, k)
        for row in range(k + 1, count):
            factor = matrix[row, k] / matrix[k, k]
            if factor != 0.0:
                for column in range(k + 1, count):
                    matrix[row, column] -= factor * matrix[k, column]
                change[row] -= factor * change[k]
    for k in range(count - 1, -1, -1):
        for column in range(k + 1, count):
            change[k] -= matrix[k, column] * change[column]
        change[k] /= matrix[k, k]


@entry
def _step(found: Found, damping: float, change: Array) -> None:
    """One damped step towards balance, shortened where it would go too far."""
    damped = np.empty((UNKNOWNS, UNKNOWNS))
    for row in range(UNKNOWNS):
        change[row] = found.force[row]
        for column in range(UNKNOWNS):
            more = (damping + HAIR) * found.scale[row, column]
            damped[row, column] = found.stiffness[row, column] + more
    _solve(damped, change)
    longest, turned = 0.0, 0.0
    for axis in range(3):
        longest = max(longest, abs(change[axis]))
    for unknown in range(3, UNKNOWNS):
        turned = max(turned, abs(change[unknown]))
    least = max(1.0, longest / LONGEST_STEP, turned / LARGEST_TURN)
    for unknown in range(UNKNOWNS):
        change[unknown] /= least


@entry
def _move(change: Array, pelvis: Array, rotation: Array, trial: tuple[Array, Array]) -> None:
    """Write the pose after a change of the unknowns."""
    place, turned = trial
    for axis in range(3):
        place[axis] = pelvis[axis] + change[axis]
    for s in range(COUNT):
        turn_by(change[3 + 3 * s : 6 + 3 * s], rotation[s], turned[s])


def _imbalance(found: Found) -> float:
    """Size of what is out of balance, for comparing steps of one body."""
    return float(np.sum(found.force**2 / found.scale.diagonal()))


def _keep(reached: Reached, bed: int, found: Found) -> None:
    """Note the balance that a body has come into."""
    push = found.push
    reached.is_solved[bed] = True
    reached.stiffness[bed] = found.stiffness
    reached.scale[bed] = found.scale
    reached.demand[bed] = np.linalg.norm(push.shear[:3]) / max(push.shear[3], 1e-9)
    reached.share[bed] = push.normal / max(push.normal.sum(), 1e-9)


def _settle_one(
    laid: LainOut,
    bed: int,
    damping: float,
    reached: Reached,
    most_refused: int,
    rooms: tuple[Found, Found],
) -> None:
    """Let one body settle into balance."""
    found, other = rooms
    refused = 0
    trial, change = (np.empty(3), np.empty((COUNT, 3, 3))), np.empty(UNKNOWNS)
    pelvis, rotation = reached.pelvis[bed], reached.rotation[bed]
    pull = np.linalg.norm(laid.outside[bed, :3]) * laid.part[:, MASS].sum()
    balance_of(laid, bed, pelvis, rotation, found)
    before = _imbalance(found)
    for _ in range(MOST_STEPS):
        if np.abs(found.force).max() / pull < TOLERANCE:
            _keep(reached, bed, found)
            break
        if not damping < GIVE_UP or refused > most_refused:
            break
        _step(found, damping, change)
        _move(change, pelvis, rotation, trial)
        balance_of(laid, bed, *trial, other)
        after = _imbalance(other)
        if after < before:
            pelvis[:], rotation[:] = trial
            found, other, before = other, found, after
            damping = 0.0 if damping < UNDAMPED else LIGHTER * damping
        else:
            damping = max(HEAVIER * damping, LEAST)
            refused += 1
        reached.steps[bed] += 1


def settle_each(
    laid: LainOut, damping: float, reached: Reached, most_refused: int = MOST_STEPS
) -> None:
    """Let bodies settle into balance, one after another.

    Parameters
    ----------
    laid : LainOut
        Bodies and beds; anchors are not moved.
    damping : float
        First damping, as a share of the scale matrix. [-]
    reached : Reached
        Poses to start from; written over with those reached.
    most_refused : int
        Steps not kept after which a body is given up. [-]

    Notes
    -----
    The iteration of `leeward.contact.equilibrium.settle`, step by step.
    """
    rooms = (room_for_balance(laid), room_for_balance(laid))
    for bed in range(len(reached.steps)):
        _settle_one(laid, bed, damping, reached, most_refused, rooms)
