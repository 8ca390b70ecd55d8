"""Body and foam brought into balance together: one Newton iteration over both.

The body has 45 unknowns, the foam some two thousand. Each step eliminates the foam with a
banded factor, which leaves a 45 x 45 system for the body.
"""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import scipy
from numpy.typing import NDArray

from leeward.contact.balance import Balance
from leeward.contact.coupled_bed import CoupledBed, CoupledTouch
from leeward.contact.coupled_foam import Factor
from leeward.contact.pose import UNKNOWNS, Pose, joint_places, motion_of_segments
from leeward.contact.segments import COUNT
from leeward.contact.skin_contact import SHEAR_STIFFNESS, Touch
from leeward.terms.units import STANDARD_GRAVITY

Array = NDArray[np.float64]
Index = NDArray[np.intp]

#: In balance: nothing larger than this share of body weight is left on the body (moments at
#: 1 m) nor, all squares summed up, in the foam.
TOLERANCE: Final = 1e-6

_MOST_STEPS: Final = 40
#: Foam settles by itself to this part of what is left on the body. [-]
_SETTLED: Final = 0.1
_FOAM_BETWEEN: Final = 3
_FAR: Final = 3e-4
#: Imbalance below which the last elimination is used again. [share of weight]
_SAME_FACTOR: Final = 5e-4
_LONGEST_STEP: Final = 0.040
_LARGEST_TURN: Final = 0.20
_SHORTEST: Final = 1.0 / 64.0
#: Slower than this a step calls for a new elimination. [-]
_SLOW: Final = 0.15
#: Keeps a body with a missing limb, or with one in the air, solvable. [-]
_HAIR: Final = 1e-9
#: Makes the foam's forces comparable with the body's scaled imbalance. [N/m]
_FOAM_SCALE: Final = 2000.0


@dataclass(frozen=True, slots=True, eq=False)
class JointBalance:
    """Body and foam in balance with one another.

    Parameters
    ----------
    pose : Pose
        One pose.
    deflection : ndarray, shape (m,)
        Compression of the foam at the grid's nodes. [m]
    touch : CoupledTouch
        What acts there.
    stiffness : ndarray, shape (45, 45)
        Of the body with the foam giving way under it, from the last elimination: stability
        margins from it were within 3 % of those at the balance itself. [N/m, N, N m/rad]
    body_residual : float
        Largest force or moment left on the body over its weight. [-]
    foam_residual : float
        Forces left on the squares, summed by size, over the weight. [-]
    steps : int
        Newton steps taken. [-]
    is_solved : bool
        Whether both residuals are below the tolerance. [-]
    """

    pose: Pose
    deflection: Array
    touch: CoupledTouch
    stiffness: Array
    body_residual: float
    foam_residual: float
    steps: int
    is_solved: bool

    def reduced(self) -> Balance:
        """The body's balance with the foam's give in its stiffness.

        Returns
        -------
        Balance
            What stability is judged on.
        """
        return replace(self.touch.balance, stiffness=self.stiffness[None])


def _cross(first: Array, second: Array) -> Array:
    return np.cross(first, second, axis=0)


def _by_unknown(touch: Touch, wrench: Array, motion: Array) -> Array:
    """Rows (6, m) of the points' segments carried over to the 45 unknowns, (m, 45)."""
    rows = np.empty((wrench.shape[1], motion.shape[-1]))
    ends = np.searchsorted(touch.segment, np.arange(COUNT + 1))
    for segment in range(COUNT):
        low, high = ends[segment], ends[segment + 1]
        rows[low:high] = wrench[:, low:high].T @ motion[segment]
    return rows


def _pressing_change(touch: Touch, motion: Array) -> Array:
    """Change of every point's force on the foam per unknown, (m, 45)."""
    normal = touch.facing * touch.stiffness * touch.value.gradient
    turning = _cross(touch.arm, normal) + touch.pressure * _cross(touch.area, touch.value.gradient)
    return _by_unknown(touch, np.concatenate([normal, turning]), motion)


def _yielding_change(touch: Touch, friction: float, motion: Array) -> Array:
    """Change of the body's forces per sinking of the foam under every point, negative, (m, 45)."""
    stretch = SHEAR_STIFFNESS.value * touch.drag
    square = stretch[0] ** 2 + stretch[1] ** 2
    by_grip = -stretch * square / np.maximum(touch.grip**2 + square, 1e-18) ** 1.5
    tangent = touch.value.tangent
    traction = friction * (by_grip[0] * tangent[0] + by_grip[1] * tangent[1])
    force = touch.facing * touch.stiffness * (traction - touch.value.gradient)
    return _by_unknown(touch, np.concatenate([force, _cross(touch.arm, force)]), motion)


@dataclass(frozen=True, slots=True, eq=False)
class _State:
    """Where the iteration is."""

    pose: Pose
    deflection: Array
    touch: CoupledTouch
    free: Index

    def merit(self) -> float:
        """Scaled size of everything out of balance, squared."""
        foam = float(np.sum(self.touch.unbalanced**2)) / _FOAM_SCALE
        scale = np.diagonal(self.touch.balance.scale[0])
        return float(np.sum((self.touch.balance.force[0] ** 2 / scale)[self.free])) + foam

    def left(self, weight: float) -> tuple[float, float]:
        """What is left out of balance on the body and in the foam, over the weight."""
        body = float(np.abs(self.touch.balance.force[0, self.free]).max()) / weight
        return body, float(np.abs(self.touch.unbalanced).sum()) / weight


@dataclass(frozen=True, slots=True, eq=False)
class _Elimination:
    """The foam taken out of the joint system: K = S + C' F^-1 J at one state.

    Parameters
    ----------
    factor : Factor
        Of foam and tissue.
    sinking : ndarray, shape (m, 45)
        How the foam follows each unknown of the body. [m/m, m/rad]
    yielding : ndarray, shape (m, 45)
        How the body's forces fall with the foam. [N/m, N]
    stiffness : ndarray, shape (45, 45)
        Of the body with the foam giving way. [N/m, N, N m/rad]
    """

    factor: Factor
    sinking: Array
    yielding: Array
    stiffness: Array

    def step(self, state: _State) -> tuple[Array, Array]:
        """Change of the body's unknowns and of the foam."""
        alone, free = self.factor.solve(state.touch.unbalanced), state.free
        force = state.touch.balance.force[0] - self.yielding.T @ alone
        change = np.zeros(len(force))
        change[free] = np.linalg.solve(self.stiffness[np.ix_(free, free)], force[free])
        return change, alone + self.sinking @ change


def _eliminate(bed: CoupledBed, state: _State) -> _Elimination:
    touch, friction = state.touch, float(bed.lying.friction[0])
    met, under = touch.met, touch.under
    factor = bed.grid.factor(touch.slope, bed.couplings, touch.firmness)
    _, arm = joint_places(state.pose, bed.lying.figure.link)
    motion = motion_of_segments(arm)[0]
    points, reach = under.node.shape
    shares = scipy.sparse.csr_array(
        (under.share.ravel(), under.node.ravel(), np.arange(0, points * reach + 1, reach)),
        shape=(points, bed.grid.count),
    ).T
    pressing = _pressing_change(met, motion)
    # parts of the body that lie on nothing do not move the foam
    felt = np.flatnonzero(pressing.any(axis=0))
    sinking = np.zeros((bed.grid.count, pressing.shape[1]))
    sinking[:, felt] = factor.solve(shares @ pressing[:, felt])
    yielding = shares @ _yielding_change(met, friction, motion)
    stiffness = touch.balance.stiffness[0] + yielding.T @ sinking
    stiffness += _HAIR * touch.balance.scale[0]
    return _Elimination(factor, sinking, yielding, stiffness)


def _moved(bed: CoupledBed, state: _State, change: Array, sunk: Array, foam_left: float) -> _State:
    """Take a step, halved until it brings body and foam nearer to balance."""
    longest = float(np.abs(change[:3]).max()) / _LONGEST_STEP
    turned = float(np.abs(change[3:]).max()) / _LARGEST_TURN
    part, merit = 1.0 / max(1.0, longest, turned), state.merit()
    while True:
        pose = state.pose.moved(part * change[None])
        deflection = np.maximum(state.deflection + part * sunk, 0.0)
        if foam_left > 0.0:
            deflection = bed.pressed(pose).settled(deflection, foam_left, _FOAM_BETWEEN)
        new = _State(pose, deflection, bed.touch(pose, deflection), state.free)
        if new.merit() < merit or part < _SHORTEST:
            return new
        part *= 0.5


def settle_jointly(
    bed: CoupledBed, pose: Pose, deflection: Array, held: tuple[int, ...] = ()
) -> JointBalance:
    """Bring body and foam into balance together.

    Parameters
    ----------
    bed : CoupledBed
        Body and bed. [-]
    pose : Pose
        Pose to start from: the uncoupled balance.
    deflection : ndarray, shape (m,)
        Deflection of the foam to start from, from `first_deflection`. [m]
    held : tuple of int
        Unknowns that something else holds still, as pillows behind the back hold a roll; the
        force or moment left there is what holds them. [-]

    Returns
    -------
    JointBalance
        With what is left out of balance in both.

    Notes
    -----
    Newton steps with the foam eliminated by a banded Cholesky factor; near balance the last
    elimination is used again.

    References
    ----------
    .. [1] P. L. Pasternak 1954, two-parameter foundation (from memory).
    """
    weight = float(bed.lying.figure.mass.sum()) * STANDARD_GRAVITY
    free = np.setdiff1d(np.arange(UNKNOWNS), held)
    state = _State(pose, deflection, bed.touch(pose, deflection), free)
    eliminated, before, steps = _eliminate(bed, state), np.inf, 0
    while steps < _MOST_STEPS:
        left = max(state.left(weight))
        if left < TOLERANCE:
            break
        if steps and (left > _SAME_FACTOR or left > _SLOW * before):
            eliminated = _eliminate(bed, state)
        change, sunk = eliminated.step(state)
        # far from balance foam is cheaper to settle by itself after each step than with the body
        foam_left = _SETTLED * left * weight if left > _FAR else 0.0
        state, before, steps = _moved(bed, state, change, sunk, foam_left), left, steps + 1
    body, foam = state.left(weight)
    solved = max(body, foam) < TOLERANCE
    stiffness = eliminated.stiffness
    return JointBalance(
        state.pose, state.deflection, state.touch, stiffness, body, foam, steps, solved
    )
