"""Follows a body from lying level through raised sections into turns, on one stated path.

Friction remembers: what a body does at 30 degrees depends on how it got there. The path is
therefore fixed: settle flat and let all shear go; then raise backrest, knees and head end
together in equal steps; then turn in steps of 5 degrees to each side. A turn between two
steps is reached from the step below it.
"""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.balance import Lying, find_balance
from leeward.contact.equilibrium import Settled, settle
from leeward.contact.pose import UNKNOWNS, Pose, joint_places
from leeward.contact.rotation import vector_from_rotation
from leeward.contact.segments import INDEX
from leeward.contact.setting import Room, anchored, first_pose, lay_down, with_anchors
from leeward.contact.stability import friction_demand, judge, stability_margin
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Posture, Support

Array = NDArray[np.float64]
Index = NDArray[np.intp]

#: Step of the path in turn, and largest step in raising sections. [rad]
TURN_STEP: Final = float(np.radians(5.0))
_RAISE_STEP: Final = float(np.radians(7.5))

#: How often a step that finds no balance is halved before its cause is named.
_HALVINGS: Final = 9

#: What a body turns by, over the turn of a split surface: only a first guess for the solver.
_FIRST_ROLL: Final = 0.66

_FAR: Final = 1.0
_NEAR: Final = 1e-3


@dataclass(frozen=True, slots=True, eq=False)
class Stand:
    """A batch of bodies at one place of their paths.

    Parameters
    ----------
    which : ndarray of int, shape (b,)
        Scenario of each. [-]
    turn : ndarray, shape (b,)
        Turn reached. [rad]
    pose : Pose
        Poses in balance.
    change : ndarray, shape (b, 45)
        Change of the unknowns per turn over the last step. [m/rad, -]
    anchors : tuple of ndarray, shape (b, 2, n)
        Where the skin's shear is zero, for each bearing. [m]
    demand, margin : ndarray, shape (b,)
        Friction demand and stability margin. [-]
    state : ndarray of int, shape (b,)
        Values of `EquilibriumState`. [-]
    """

    which: Index
    turn: Array
    pose: Pose
    change: Array
    anchors: tuple[Array, ...]
    demand: Array
    margin: Array
    state: NDArray[np.int8]

    def take(self, bodies: Index) -> "Stand":
        """Pick some bodies of the batch.

        Parameters
        ----------
        bodies : ndarray of int, shape (k,)
            Their positions. [-]

        Returns
        -------
        Stand
            Where they stand.
        """
        return Stand(
            self.which[bodies],
            self.turn[bodies],
            self.pose.take(bodies),
            self.change[bodies],
            tuple(anchor[bodies] for anchor in self.anchors),
            self.demand[bodies],
            self.margin[bodies],
            self.state[bodies],
        )


def join(stands: list[Stand]) -> Stand:
    """Put batches into one.

    Parameters
    ----------
    stands : list of Stand
        At least one.

    Returns
    -------
    Stand
        All bodies, in order.
    """
    return Stand(
        np.concatenate([stand.which for stand in stands]),
        np.concatenate([stand.turn for stand in stands]),
        Pose(
            np.concatenate([stand.pose.place for stand in stands]),
            np.concatenate([stand.pose.rotation for stand in stands]),
        ),
        np.concatenate([stand.change for stand in stands]),
        tuple(np.concatenate(group) for group in zip(*(s.anchors for s in stands), strict=True)),
        np.concatenate([stand.demand for stand in stands]),
        np.concatenate([stand.margin for stand in stands]),
        np.concatenate([stand.state for stand in stands]),
    )


def _assess(lying: Lying, settled: Settled, stand: Stand) -> Stand:
    """Judge bodies that settled; those that did not keep their old figures, NOT_SOLVED."""
    solved = np.flatnonzero(settled.is_solved)
    state = np.full(len(stand.which), EquilibriumState.NOT_SOLVED, dtype=np.int8)
    demand, margin = stand.demand.copy(), stand.margin.copy()
    anchors = stand.anchors
    if solved.size:
        part, pose = lying.take(solved), settled.pose.take(solved)
        balance = find_balance(part, pose)
        demand[solved] = friction_demand(balance, solved.size)
        margin[solved] = stability_margin(balance)
        state[solved] = judge(demand[solved], margin[solved])
        moved = anchored(part, pose, balance.joint, release=False)
        anchors = tuple(anchor.copy() for anchor in stand.anchors)
        for anchor, bearing in zip(anchors, moved.bearings, strict=True):
            anchor[solved] = bearing.anchor
    return replace(
        stand,
        pose=settled.pose,
        anchors=anchors,
        demand=demand,
        margin=margin,
        state=state,
    )


def settle_level(room: Room, posture: Posture) -> Stand:
    """Settle the body flat and level in every scenario, let all shear go, settle again.

    Parameters
    ----------
    room : Room
        Body, bed and scenarios. [-]
    posture : Posture
        Only its supports count here. [-]

    Returns
    -------
    Stand
        Where every path starts.
    """
    flat = Posture(supports=posture.supports)
    count = len(room.scenarios)
    which = np.arange(count)
    lying = lay_down(room, flat, np.zeros(count), which)
    pose = first_pose(lying)
    strength = _FAR
    for _ in range(2):
        joint, _ = joint_places(pose, room.figure.link)
        lying = anchored(lying, pose, joint, release=True)
        settled = settle(lying, pose, strength)
        pose, strength = settled.pose, _NEAR
    start = Stand(
        which,
        np.zeros(count),
        pose,
        np.zeros((count, UNKNOWNS)),
        tuple(bearing.anchor for bearing in lying.bearings),
        np.full(count, np.nan),
        np.full(count, np.nan),
        np.zeros(count, dtype=np.int8),
    )
    return _assess(lying, settled, start)


def raise_sections(room: Room, posture: Posture, stand: Stand) -> Stand:
    """Raise backrest, knees and head end together to a posture's angles.

    Parameters
    ----------
    room : Room
        Body, bed and scenarios. [-]
    posture : Posture
        Where to. [-]
    stand : Stand
        Bodies settled flat, with the posture's supports.

    Returns
    -------
    Stand
        Every body, level across; one that lost its balance on the way carries its state.
    """
    largest = max(posture.backrest, posture.knee_raise, abs(posture.head_up))
    steps = int(np.ceil(largest / _RAISE_STEP - 1e-9))
    for step in range(1, steps + 1):
        part = step / steps
        raised = replace(
            posture,
            turn=0.0,
            backrest=part * posture.backrest,
            knee_raise=part * posture.knee_raise,
            head_up=part * posture.head_up,
        )
        sliding = _must_slide(room, raised, stand, stand.turn)
        stand = replace(
            stand, state=np.where(sliding, EquilibriumState.SLIDES, stand.state).astype(np.int8)
        )
        going = np.flatnonzero(stand.state == EquilibriumState.STABLE)
        stopped = np.flatnonzero(stand.state != EquilibriumState.STABLE)
        if going.size == 0:
            break
        moved = _settle_at(room, raised, stand.take(going), stand.turn[going])
        joined = join([moved, stand.take(stopped)])
        stand = joined.take(np.argsort(np.concatenate([going, stopped])))
    unsolved = stand.state == EquilibriumState.NOT_SOLVED
    return replace(stand, state=np.where(unsolved, _cause(stand), stand.state))


def _settle_at(
    room: Room, posture: Posture, stand: Stand, turn: Array, guess: Pose | None = None
) -> Stand:
    lying = with_anchors(lay_down(room, posture, turn, stand.which), stand.anchors)
    settled = settle(lying, stand.pose if guess is None else guess, _NEAR)
    return replace(_assess(lying, settled, stand), turn=turn)


def _first_change(room: Room, stand: Stand, towards: Array) -> Array:
    """First guess of how the body moves per turn, before a step has shown it."""
    change = np.zeros((len(stand.which), UNKNOWNS))
    if not room.is_whole():
        turns = change[:, 3:].reshape(len(change), -1, 3)
        turns[:, :, 1] = _FIRST_ROLL
        for side, sign in (("right", 1.0), ("left", -1.0)):
            raised = towards * sign > 0.0
            for part in ("upper arm", "forearm"):
                turns[raised, INDEX[f"{side} {part}"], 1] = 1.0
    return change


def _change(old: Pose, new: Pose, turned: Array) -> Array:
    rotated = vector_from_rotation(new.rotation @ np.swapaxes(old.rotation, -1, -2))
    moved = np.concatenate([new.place - old.place, rotated.reshape(len(turned), -1)], axis=1)
    return np.asarray(moved / turned[:, None])


def _must_slide(room: Room, posture: Posture, stand: Stand, turn: Array) -> NDArray[np.bool_]:
    """Plane too steep for the friction: statics alone says so, for any body."""
    bent = posture.backrest > 0.0 or posture.knee_raise > 0.0
    propped = {Support.BOLSTER_LEFT, Support.BOLSTER_RIGHT} & posture.supports
    is_plane = (turn == 0.0) | room.is_whole()
    if bent or propped:
        return np.zeros(len(turn), dtype=bool)
    upright = np.cos(turn) * np.cos(posture.head_up)
    slope = np.sqrt(np.maximum(1.0 - upright**2, 0.0)) / upright
    friction = np.array([scenario.friction for scenario in room.scenarios])[stand.which]
    return np.asarray(is_plane & (slope >= friction))


def turn_to(room: Room, posture: Posture, stand: Stand, turn: Array) -> Stand:
    """Turn bodies on by one step, halving it where no balance is found.

    Parameters
    ----------
    room : Room
        Body, bed and scenarios. [-]
    posture : Posture
        Everything but the turn. [-]
    stand : Stand
        Stable bodies.
    turn : ndarray, shape (b,)
        Where to. [rad]

    Returns
    -------
    Stand
        Bodies at these turns; the state of one that found no balance is its cause, and its
        pose the last one in balance.
    """
    sliding = _must_slide(room, posture, stand, turn)
    state = np.where(sliding, EquilibriumState.SLIDES, stand.state).astype(np.int8)
    result = replace(stand, turn=turn, state=state)
    going = np.flatnonzero(~sliding)
    if going.size == 0:
        return result
    tried = _one_step(room, posture, stand.take(going), turn[going])
    failed = np.flatnonzero(tried.state == EquilibriumState.NOT_SOLVED)
    if failed.size:
        again = _in_halves(room, posture, stand.take(going[failed]), turn[going[failed]])
        fine = np.flatnonzero(tried.state != EquilibriumState.NOT_SOLVED)
        order = np.argsort(np.concatenate([fine, failed]))
        tried = join([tried.take(fine), again]).take(order)
    stopped = np.flatnonzero(sliding)
    order = np.argsort(np.concatenate([going, stopped]))
    return join([tried, result.take(stopped)]).take(order)


def _one_step(room: Room, posture: Posture, stand: Stand, turn: Array) -> Stand:
    turned = turn - stand.turn
    guess = stand.pose.moved(stand.change * turned[:, None])
    moved = _settle_at(room, posture, stand, turn, guess)
    change = _change(stand.pose, moved.pose, turned)
    solved = (moved.state != EquilibriumState.NOT_SOLVED)[:, None]
    return replace(moved, change=np.where(solved, change, stand.change))


def _in_halves(room: Room, posture: Posture, stand: Stand, turn: Array) -> Stand:
    """Approach a turn in halved steps; stop at the last balance and name the cause."""
    step = turn - stand.turn
    for _ in range(_HALVINGS):
        step = 0.5 * step
        stable = stand.state == EquilibriumState.STABLE
        if not stable.any():
            break
        tried = _one_step(room, posture, stand, stand.turn + step)
        kept = (tried.state != EquilibriumState.NOT_SOLVED) & stable
        stand = _choose(kept, tried, stand)
    reached = _one_step(room, posture, stand, turn)
    arrived = (reached.state != EquilibriumState.NOT_SOLVED) & (
        stand.state == EquilibriumState.STABLE
    )
    stand = _choose(arrived, reached, stand)
    stuck = ~arrived & (stand.state == EquilibriumState.STABLE)
    return replace(stand, turn=turn, state=np.where(stuck, _cause(stand), stand.state))


def _choose(first_is_right: NDArray[np.bool_], first: Stand, second: Stand) -> Stand:
    count = len(first_is_right)
    both = join([first, second])
    return both.take(np.where(first_is_right, np.arange(count), count + np.arange(count)))


#: Shares of the limits at the last balance, a fraction of a degree before the end of the
#: path, from which the cause is named. Source: convention of this project.
_NEARLY_SLIDING: Final = 0.8
_NEARLY_TIPPING: Final = 0.012


def _cause(stand: Stand) -> NDArray[np.int8]:
    """Why the path ended, from friction demand and margin at the last balance."""
    cause = np.full(len(stand.which), EquilibriumState.NOT_SOLVED, dtype=np.int8)
    cause[stand.margin < _NEARLY_TIPPING] = EquilibriumState.TIPS
    cause[stand.demand > _NEARLY_SLIDING] = EquilibriumState.SLIDES
    return cause


def follow_turns(room: Room, posture: Posture, level: Stand, turns: Array) -> list[Stand]:
    """Turn every body to every asked turn, each side from level.

    Parameters
    ----------
    room : Room
        Body, bed and scenarios. [-]
    posture : Posture
        Everything but the turn. [-]
    level : Stand
        Bodies with sections raised, not turned.
    turns : ndarray, shape (t,)
        Signed turns asked for. [rad]

    Returns
    -------
    list of Stand, length t
        One batch of all scenarios for each turn, in the order asked.
    """
    count = len(level.which)
    found: list[Stand | None] = [level if turn == 0.0 else None for turn in turns]
    sides = [side for side in (1.0, -1.0) if np.any(turns * side > 0.0)]
    if sides:
        path = join([level for _ in sides])
        towards = np.repeat(sides, count)
        path = replace(path, change=_first_change(room, path, towards))
        furthest = int(np.ceil(np.max(np.abs(turns)) / TURN_STEP - 1e-9))
        for step in range(furthest):
            target = towards * TURN_STEP * (step + 1)
            low, high = step * TURN_STEP, (step + 1) * TURN_STEP
            asked = [
                number for number, turn in enumerate(turns) if low + 1e-9 < abs(turn) < high - 1e-9
            ]
            path = _advance(room, posture, path, target, (turns, asked, found, sides))
            for number, turn in enumerate(turns):
                if abs(abs(turn) - high) <= 1e-9:
                    found[number] = path.take(_of_side(float(turn), sides, count))
    return [stand for stand in found if stand is not None]


def _of_side(turn: float, sides: list[float], count: int) -> Index:
    return np.arange(count) + count * sides.index(float(np.sign(turn)))


def _advance(
    room: Room,
    posture: Posture,
    path: Stand,
    target: Array,
    between: tuple[Array, list[int], list[Stand | None], list[float]],
) -> Stand:
    """Move the path on by one step, with the turns asked for on the way in one batch."""
    turns, asked, found, sides = between
    count = len(path.which) // len(sides)
    branches = [
        replace(part, turn=np.full(count, turns[number]))
        for number in asked
        for part in [path.take(_of_side(float(turns[number]), sides, count))]
    ]
    everything = join([path] + [path.take(_of_side(float(turns[n]), sides, count)) for n in asked])
    goal = np.concatenate([target] + [branch.turn for branch in branches])
    moved = _step_stable(room, posture, everything, goal)
    for place, number in enumerate(asked):
        start = len(path.which) + place * count
        found[number] = moved.take(np.arange(start, start + count))
    return moved.take(np.arange(len(path.which)))


def _step_stable(room: Room, posture: Posture, stand: Stand, goal: Array) -> Stand:
    """Turn on the bodies that are stable; the others keep their state at the new turn."""
    going = np.flatnonzero(stand.state == EquilibriumState.STABLE)
    stopped = np.flatnonzero(stand.state != EquilibriumState.STABLE)
    waiting = replace(stand.take(stopped), turn=goal[stopped])
    if going.size == 0:
        return waiting
    moved = turn_to(room, posture, stand.take(going), goal[going])
    return join([moved, waiting]).take(np.argsort(np.concatenate([going, stopped])))
