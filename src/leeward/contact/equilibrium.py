"""Damped Newton iteration to the poses in which nothing is out of balance."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leeward.contact.balance import Balance, Lying, find_balance
from leeward.contact.compiled import IS_COMPILED
from leeward.contact.compiled_settle import Reached, settle_each
from leeward.contact.lain_out import lay_out
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
from leeward.contact.pose import UNKNOWNS, Pose
from leeward.contact.readings import segment_shares
from leeward.contact.segments import COUNT
from leeward.contact.stability import friction_demand

Array = NDArray[np.float64]
Index = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Settled:
    """Outcome of settling a batch of bodies.

    Parameters
    ----------
    pose : Pose
        Final poses.
    is_solved : ndarray of bool, shape (b,)
        Whether each is in balance. [-]
    steps : ndarray of int, shape (b,)
        Newton steps used. [-]
    stiffness, scale : ndarray, shape (b, 45, 45)
        Of the balance each ended in, as in `Balance`; zero without one. [N/m, N, N m/rad]
    demand : ndarray, shape (b,)
        Friction demand there. [-]
    share : ndarray, shape (b, 14)
        Share of the normal force on each segment there. [-]
    """

    pose: Pose
    is_solved: NDArray[np.bool_]
    steps: Index
    stiffness: Array
    scale: Array
    demand: Array
    share: Array

    def keep(self, bodies: Index, balance: Balance, rows: Index) -> None:
        """Note the balance that some bodies have come into.

        Parameters
        ----------
        bodies : ndarray of int, shape (k,)
            Which bodies. [-]
        balance : Balance
            Of those still on their way.
        rows : ndarray of int, shape (k,)
            Their rows in it. [-]
        """
        count = len(balance.force)
        self.is_solved[bodies] = True
        self.stiffness[bodies] = balance.stiffness[rows]
        self.scale[bodies] = balance.scale[rows]
        self.demand[bodies] = friction_demand(balance, count)[rows]
        self.share[bodies] = segment_shares(balance, count)[rows]


def _unsettled(pose: Pose) -> Settled:
    batch = len(pose.place)
    return Settled(
        pose=pose.copy(),
        is_solved=np.zeros(batch, dtype=bool),
        steps=np.zeros(batch, dtype=np.intp),
        stiffness=np.zeros((batch, UNKNOWNS, UNKNOWNS)),
        scale=np.zeros((batch, UNKNOWNS, UNKNOWNS)),
        demand=np.full(batch, np.nan),
        share=np.full((batch, COUNT), np.nan),
    )


def _left_over(balance: Balance, lying: Lying) -> Array:
    """Largest force or moment out of balance, over body weight."""
    pull = np.sqrt(np.sum(lying.gravity**2, axis=-1)) * lying.figure.mass.sum()
    return np.asarray(np.max(np.abs(balance.force), axis=-1) / pull)


def newton_step(balance: Balance, damping: Array) -> Array:
    """One damped step towards balance, shortened where it would go too far.

    Parameters
    ----------
    balance : Balance
        What is out of balance. [-]
    damping : ndarray, shape (b,)
        Share of the scale matrix. [-]

    Returns
    -------
    ndarray, shape (b, 45)
        Change of the unknowns. [m, rad]
    """
    damped = balance.stiffness + damping[:, None, None] * balance.scale
    damped += HAIR * balance.scale
    change = np.linalg.solve(damped, balance.force[..., None])[..., 0]
    longest = np.max(np.abs(change[:, :3]), axis=-1) / LONGEST_STEP
    turned = np.max(np.abs(change[:, 3:]), axis=-1) / LARGEST_TURN
    return np.asarray(change / np.maximum(1.0, np.maximum(longest, turned))[:, None])


def _pick(balance: Balance, bodies: Index) -> Balance:
    return Balance(
        balance.force[bodies],
        balance.stiffness[bodies],
        balance.scale[bodies],
        balance.touches,
        balance.joint[bodies],
    )


def _merge(old: Balance, new: Balance, better: NDArray[np.bool_]) -> Balance:
    """Take the new balance where it is better; touches are not needed while stepping."""
    if better.all():
        return new
    wide = better[:, None]
    return Balance(
        np.where(wide, new.force, old.force),
        np.where(wide[..., None], new.stiffness, old.stiffness),
        np.where(wide[..., None], new.scale, old.scale),
        new.touches,
        np.where(wide[..., None], new.joint, old.joint),
    )


def settle(lying: Lying, pose: Pose, damping: float, most_refused: int = MOST_STEPS) -> Settled:
    """Let a batch of bodies settle into balance from given poses.

    Parameters
    ----------
    lying : Lying
        Bodies and beds; anchors are not moved. [-]
    pose : Pose
        Poses to start from.
    damping : float
        First damping, as a share of the scale matrix: about 1 from far away, 0.001
        from a neighbouring posture. [-]
    most_refused : int
        Steps not kept after which a body is given up. [-]

    Returns
    -------
    Settled
        Final poses; a body that did not come into balance keeps its last pose.

    Notes
    -----
    Levenberg damping of the exact unsymmetric stiffness; a step is kept if the scaled
    imbalance falls. Convergence is quadratic near balance. Not finding a balance says
    nothing about why.
    """
    if IS_COMPILED:
        return _settle_one_by_one(lying, pose, damping, most_refused)
    return settle_together(lying, pose, damping, most_refused)


def _settle_one_by_one(lying: Lying, pose: Pose, damping: float, most_refused: int) -> Settled:
    """Settle a batch by machine code, which gains nothing by taking bodies together."""
    found = _unsettled(pose)
    reached = Reached(
        found.pose.place,
        found.pose.rotation,
        found.is_solved,
        found.steps,
        found.stiffness,
        found.scale,
        found.demand,
        found.share,
    )
    settle_each(lay_out(lying), damping, reached, most_refused)
    return found


def settle_together(
    lying: Lying, pose: Pose, damping: float, most_refused: int = MOST_STEPS
) -> Settled:
    """Settle a batch by NumPy: the iteration that `settle` stands for.

    Parameters
    ----------
    lying : Lying
        Bodies and beds; anchors are not moved. [-]
    pose : Pose
        Poses to start from.
    damping : float
        First damping, as a share of the scale matrix. [-]
    most_refused : int
        Steps not kept after which a body is given up. [-]

    Returns
    -------
    Settled
        As from `settle`.
    """
    found = _unsettled(pose)
    pose = found.pose
    going = np.arange(len(pose.place))
    part = lying
    balance = find_balance(part, pose)
    strength = np.full(going.size, damping)
    refused = np.zeros(len(pose.place), dtype=np.intp)
    for _ in range(MOST_STEPS):
        done = _left_over(balance, part) < TOLERANCE
        if done.any():
            rest = np.flatnonzero(done)
            # its last step was taken, so what touches is what the last evaluation found
            found.keep(going[rest], balance, rest)
        hopeful = (strength < GIVE_UP) & (refused[going] <= most_refused)
        stay = np.flatnonzero(~done & hopeful)
        if stay.size < going.size:
            going, strength = going[stay], strength[stay]
            part, balance = part.take(stay), _pick(balance, stay)
        if going.size == 0:
            break
        here = pose.take(going)
        trial = here.moved(newton_step(balance, strength))
        after = find_balance(part, trial)
        better = after.imbalance() < balance.imbalance()
        pose.put(going[better], trial.take(np.flatnonzero(better)))
        balance = _merge(balance, after, better)
        lighter = np.where(strength < UNDAMPED, 0.0, LIGHTER * strength)
        strength = np.where(better, lighter, np.maximum(HEAVIER * strength, LEAST))
        found.steps[going] += 1
        refused[going] += ~better
    return found
