"""A referee for balances: let the body move, with mass and damping, and watch what it does.

The same forces as in `find_balance`, no eigenvalue and no search for a balance. It is slow,
so it is asked only where friction demand and stability margin do not agree, and by checks.
"""

from dataclasses import dataclass, replace
from enum import IntEnum
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.balance import Balance, Lying, find_balance
from leeward.contact.damping import damping_matrix, joint_speeds, skin_speed
from leeward.contact.inertia import mass_matrix, turning_force
from leeward.contact.pose import UNKNOWNS, Pose, joint_places, motion_of_segments
from leeward.contact.rotation import vector_from_rotation
from leeward.contact.segments import INDEX
from leeward.contact.setting import anchored
from leeward.contact.skin_contact import SHEAR_STIFFNESS
from leeward.terms.sourced import Sourced
from leeward.terms.units import radians_from_deg

Array = NDArray[np.float64]
Index = NDArray[np.intp]

#: A body that has turned or slid by this much no longer lies where it was laid.
MOVED_TURN: Final = Sourced(
    radians_from_deg(20.0), "rad", "convention of this project", "any segment, from its start"
)
MOVED_SLIDE: Final = Sourced(
    0.10, "m", "convention of this project", "mean of the skin in contact, along the bed"
)
#: A body that comes to rest after more than this share of it has given way on its course.
GIVEN_WAY: Final = Sourced(
    0.15,
    "-",
    "convention of this project: 3 degrees or 15 mm, twice what any body that kept its balance "
    "moved by in 200 hard cases",
    "model bodies",
)
#: Small push along the softest motion: its largest turn, and its largest displacement. [rad, m]
PUSH: Final = Sourced(0.0175, "rad or m", "convention of this project", "not applicable")
#: Longest time watched.
LONGEST_RUN: Final = Sourced(60.0, "s", "convention of this project", "not applicable")
#: At rest: nothing faster than this for a whole second. [m/s, rad/s]
REST_SPEED: Final = Sourced(2e-4, "m/s or rad/s", "convention of this project", "not applicable")
_QUIET: Final = 1.0

#: An anchor follows when the skin has dragged this many times what the grip alone would
#: stretch: friction then gives 99 % of its largest.
_SLIP_AT: Final = 7.0

#: Time steps, and the largest motion in one. [s], [m, rad]
_SHORTEST, _FIRST, _LONGEST = 1e-4, 5e-3, 0.25
_MOST_MOTION: Final = 0.010
_MOST_STEPS: Final = 4000
_TRUNK: Final = [INDEX[segment] for segment in ("pelvis", "abdomen", "thorax")]


class Outcome(IntEnum):
    """What a body did when it was let go."""

    RESTS = 0
    ROLLS = 1
    SLIDES = 2
    GIVES_WAY = 3
    CANNOT_TELL = 4


@dataclass(frozen=True, slots=True, eq=False)
class DampedRun:
    """What a batch of bodies did.

    Parameters
    ----------
    outcome : ndarray of int, shape (b,)
        Values of `Outcome`. [-]
    time : ndarray, shape (b,)
        When that was settled. [s]
    rolled : ndarray, shape (b,)
        Largest turn of a segment from its start. [rad]
    segment : ndarray of int, shape (b,)
        The segment that turned most. [-]
    trunk : ndarray, shape (b,)
        Largest turn of pelvis, abdomen and thorax. [rad]
    slid : ndarray, shape (b,)
        How far the skin in contact moved along the bed, in the mean. [m]
    pose : Pose
        Where it was then.
    anchors : tuple of ndarray, shape (b, 2, n)
        Where the skin's shear was zero then. [m]
    steps : ndarray of int, shape (b,)
        Time steps taken. [-]
    """

    outcome: NDArray[np.int8]
    time: Array
    rolled: Array
    segment: Index
    trunk: Array
    slid: Array
    pose: Pose
    anchors: tuple[Array, ...]
    steps: Index


def softest_push(balance: Balance) -> Array:
    """Small displacement along the motion that meets the least resistance.

    Parameters
    ----------
    balance : Balance
        In balance. [-]

    Returns
    -------
    ndarray, shape (b, 45)
        Its largest turn is 0.0175 rad or its largest displacement 17.5 mm, whichever is
        first. The other way round is as good a push. [m, rad]
    """
    scaled = np.linalg.solve(balance.scale, balance.stiffness)
    values, vectors = np.linalg.eig(scaled)
    softest = np.argmin(values.real, axis=-1)
    push = np.take_along_axis(vectors.real, softest[:, None, None], axis=2)[..., 0]
    return np.asarray(PUSH.value * push / np.abs(push).max(axis=-1, keepdims=True))


class _Motion:
    """Bodies on their way; rewritten from step to step."""

    def __init__(self, lying: Lying, pose: Pose) -> None:
        batch = len(pose.place)
        joint, _ = joint_places(pose, lying.figure.link)
        # skin that a push lifts off the bed takes hold where it next touches
        slipped = _slipped(lying, find_balance(lying, pose))
        self.lying = anchored(slipped, pose, joint, release=False)
        self.pose = pose.copy()
        self.start = pose.copy()
        self.speed = np.zeros((batch, UNKNOWNS))
        self.step = np.full(batch, _FIRST)
        self.time = np.zeros(batch)
        self.quiet = np.zeros(batch)
        self.slid = np.zeros((batch, 2))
        self.steps = np.zeros(batch, dtype=np.intp)
        self.which = np.arange(batch)

    def keep(self, bodies: Index) -> None:
        """Follow only some of the bodies on."""
        self.lying = self.lying.take(bodies)
        self.pose, self.start = self.pose.take(bodies), self.start.take(bodies)
        for name in ("speed", "step", "time", "quiet", "slid", "steps", "which"):
            setattr(self, name, getattr(self, name)[bodies])

    def advance(self) -> None:
        """One time step of every body; a body that would move too far tries a shorter one."""
        figure = self.lying.figure
        balance = find_balance(self.lying, self.pose)
        _, arm = joint_places(self.pose, figure.link)
        motion = motion_of_segments(arm)
        mass = mass_matrix(figure, self.pose, motion) + 1e-9 * balance.scale
        damping = damping_matrix(self.lying, balance.touches, motion)
        force = balance.force - turning_force(figure, self.pose, arm, motion, self.speed)
        h = self.step[:, None, None]
        resist = damping + h * balance.stiffness
        pull = force - np.matmul(resist, self.speed[..., None])[..., 0]
        change = np.linalg.solve(mass + h * resist, (h[..., 0] * pull)[..., None])[..., 0]
        speed = self.speed + change
        largest = np.abs(speed).max(axis=-1) * self.step
        fine = (largest < _MOST_MOTION) | (self.step <= _SHORTEST)
        done = fine[:, None]
        self.speed = np.where(done, speed, self.speed)
        moved = np.where(done, self.step[:, None] * speed, 0.0)
        along = skin_speed(balance.touches, *joint_speeds(motion, speed))
        self.slid += np.where(done, self.step[:, None] * along, 0.0)
        self.pose = self.pose.moved(moved)
        self.time += np.where(fine, self.step, 0.0)
        is_quiet = fine & (np.abs(speed).max(axis=-1) < REST_SPEED.value)
        self.quiet = np.where(is_quiet, self.quiet + self.step, 0.0)
        self.steps += 1
        wish = np.clip(0.5 * _MOST_MOTION / np.maximum(largest, 1e-12), 0.3, 1.4)
        self.step = np.clip(wish * self.step, _SHORTEST, _LONGEST)
        joint, _ = joint_places(self.pose, figure.link)
        self.lying = anchored(_slipped(self.lying, balance), self.pose, joint, release=False)

    def turned(self) -> Array:
        """How far every segment has turned from its start, (b, 14)."""
        away = self.pose.rotation @ np.swapaxes(self.start.rotation, -1, -2)
        angle = np.sqrt(np.sum(vector_from_rotation(away) ** 2, axis=-1))
        return np.where(self.lying.figure.present, angle, 0.0)

    def outcome(self) -> NDArray[np.int8]:
        """What is settled by now: -1 for a body still to be watched."""
        found = np.full(len(self.time), -1, dtype=np.int8)
        found[self.time >= LONGEST_RUN.value] = Outcome.CANNOT_TELL
        turn = self.turned().max(axis=-1) / MOVED_TURN.value
        slide = np.linalg.norm(self.slid, axis=-1) / MOVED_SLIDE.value
        is_far = np.maximum(turn, slide) > GIVEN_WAY.value
        found[self.quiet >= _QUIET] = Outcome.RESTS
        found[(self.quiet >= _QUIET) & is_far] = Outcome.GIVES_WAY
        found[(slide >= 1.0) & (slide >= turn)] = Outcome.SLIDES
        found[(turn >= 1.0) & (turn > slide)] = Outcome.ROLLS
        return found


def _slipped(lying: Lying, balance: Balance) -> Lying:
    """Let anchors follow skin that has dragged too far."""
    bearings = []
    for bearing, touch in zip(lying.bearings, balance.touches, strict=True):
        size = np.sqrt(touch.drag[0] ** 2 + touch.drag[1] ** 2)
        most = _SLIP_AT * touch.grip / SHEAR_STIFFNESS.value
        excess = np.maximum(1.0 - most / np.maximum(size, 1e-12), 0.0)
        anchor = bearing.anchor.copy()
        anchor[touch.bed, :, touch.point] += (excess * touch.drag).T
        bearings.append(replace(bearing, anchor=anchor))
    return replace(lying, bearings=tuple(bearings))


def damped_run(lying: Lying, pose: Pose, push: Array) -> DampedRun:
    r"""Let bodies move from given poses until each rests or has moved away.

    Parameters
    ----------
    lying : Lying
        Bodies and beds, with the anchors of the poses' last balance. [-]
    pose : Pose
        Where they are let go, without speed.
    push : ndarray, shape (b, 45)
        Displacement they are given first. [m, rad]

    Returns
    -------
    DampedRun
        RESTS: nothing faster than 0.0002 m/s or rad/s for a second. GIVES_WAY: the same,
        but only after some segment turned by 3 degrees or the skin moved 15 mm. ROLLS: a
        segment has turned by 20 degrees. SLIDES: the skin in contact has moved along the bed
        by 100 mm in the mean. CANNOT_TELL: none of these within 60 s.

    Notes
    -----
    .. math:: (M + h C + h^2 K) \, \Delta v = h \, (f - b - (C + h K) v)

    with mass M, damping C and the exact stiffness K: backward Euler, one Newton iteration a
    step, the step chosen so that nothing moves more than 10 mm or 0.01 rad in it, and never
    over 0.25 s. Slow instabilities (growing by less than e in a minute) count as rest.
    Friction's anchors follow skin that has dragged far; skin that lifts takes hold anew
    where it next touches.
    """
    batch = len(push)
    motion = _Motion(lying, pose.moved(push))
    motion.start = pose.copy()
    end = DampedRun(
        outcome=np.full(batch, Outcome.CANNOT_TELL, dtype=np.int8),
        time=np.zeros(batch),
        rolled=np.zeros(batch),
        segment=np.zeros(batch, dtype=np.intp),
        trunk=np.zeros(batch),
        slid=np.zeros(batch),
        pose=pose.copy(),
        anchors=tuple(bearing.anchor.copy() for bearing in lying.bearings),
        steps=np.zeros(batch, dtype=np.intp),
    )
    for _ in range(_MOST_STEPS):
        motion.advance()
        found = motion.outcome()
        settled = found >= 0
        if settled.any():
            _write(end, motion, np.flatnonzero(settled), found)
            motion.keep(np.flatnonzero(~settled))
        if motion.which.size == 0:
            break
    else:
        stay = np.arange(len(motion.which))
        _write(end, motion, stay, np.full(len(stay), Outcome.CANNOT_TELL, dtype=np.int8))
    return end


def _write(end: DampedRun, motion: _Motion, bodies: Index, outcome: NDArray[np.int8]) -> None:
    """Write down where some bodies ended."""
    which = motion.which[bodies]
    turned = motion.turned()[bodies]
    end.outcome[which] = outcome[bodies]
    end.time[which] = motion.time[bodies]
    end.rolled[which] = turned.max(axis=-1)
    end.segment[which] = turned.argmax(axis=-1)
    end.trunk[which] = turned[:, _TRUNK].max(axis=-1)
    end.slid[which] = np.linalg.norm(motion.slid[bodies], axis=-1)
    end.pose.put(which, motion.pose.take(bodies))
    end.steps[which] = motion.steps[bodies]
    for anchor, bearing in zip(end.anchors, motion.lying.bearings, strict=True):
        anchor[which] = bearing.anchor[bodies]
