"""Follows a body from lying level through raised sections into turns, on one stated path.

Friction remembers: what a body does at 30 degrees depends on how it got there. The path is
therefore fixed: settle flat, let all shear go and settle again; then raise backrest, knees
and head end together in equal steps; then turn in steps of 5 degrees to each side. A turn
between two steps is reached from the step below it.
"""

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.course import unknown_course
from leeward.contact.equilibrium import settle
from leeward.contact.other_starts import settle_from_layout
from leeward.contact.path_step import (
    NEAR,
    SMALL_STEP,
    assess,
    cause_of_end,
    felt_course,
    is_believed,
    must_slide,
    settle_at,
    turn_to,
    with_course,
)
from leeward.contact.pose import joint_places
from leeward.contact.segments import COUNT
from leeward.contact.setting import Room, anchored, first_pose, lay_down
from leeward.contact.stand import Stand, join, together
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Posture
from leeward.terms.units import radians_from_deg

Array = NDArray[np.float64]
Index = NDArray[np.intp]

#: Step of the path in turn, and largest step in raising sections. [rad]
TURN_STEP: Final = radians_from_deg(5.0)
_RAISE_STEP: Final = radians_from_deg(7.5)
#: Turns closer than this are the same turn. [rad]
_SAME_TURN: Final = 1e-9

#: Share of a step over which bodies are felt to move before the first step is taken. [-]
_FELT: Final = 0.02


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
    which, like = _unlike(room)
    count = which.size
    lying = lay_down(room, flat, np.zeros(count), which)
    pose = first_pose(lying)
    joint, _ = joint_places(pose, room.figure.link)
    pose = settle_from_layout(anchored(lying, pose, joint, release=True), pose).pose
    joint, _ = joint_places(pose, room.figure.link)
    lying = anchored(lying, pose, joint, release=True)
    settled = settle(lying, pose, NEAR)
    pose = settled.pose
    start = Stand(
        which,
        np.zeros(count),
        pose,
        unknown_course(count),
        tuple(bearing.anchor for bearing in lying.bearings),
        np.full(count, np.nan),
        np.full(count, np.nan),
        np.full((count, COUNT), np.nan),
        np.zeros(count, dtype=np.int8),
    )
    return _everyone(assess(lying, settled, start), like)


def _unlike(room: Room) -> tuple[Index, Index]:
    """Scenarios that differ on a bed that is not turned, and which of them each one is.

    Where a surface's line lies is not felt before it turns.
    """
    parts = [scenario.person_part for scenario in room.scenarios]
    distinct = list(dict.fromkeys(parts))
    first = np.array([parts.index(part) for part in distinct])
    return first, np.array([distinct.index(part) for part in parts])


def _everyone(stand: Stand, like: Index) -> Stand:
    """Where every scenario stands, from those that differ."""
    return replace(stand.take(like), which=np.arange(like.size))


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
    steps = int(np.ceil(_largest_angle(posture) / _RAISE_STEP - 1e-9))
    if steps == 0:
        return stand
    first, like = _unlike(room)
    stand = stand.take(first)
    felt = _part_raised(posture, _FELT / steps)
    course = felt_course(room, felt, stand, stand.turn, _FELT / steps)
    stand = replace(stand, course=course)
    for step in range(1, steps + 1):
        stand = _raise_on(room, posture, stand, (step - 1) / steps, step / steps)
        if not np.any(stand.state == EquilibriumState.STABLE):
            break
    unsolved = stand.state == EquilibriumState.NOT_SOLVED
    stand = replace(stand, state=np.where(unsolved, cause_of_end(stand), stand.state))
    return replace(_everyone(stand, like), course=unknown_course(like.size))


def _part_raised(posture: Posture, part: float) -> Posture:
    return replace(
        posture,
        turn=0.0,
        backrest=part * posture.backrest,
        knee_raise=part * posture.knee_raise,
        head_up=part * posture.head_up,
    )


def _raise_on(room: Room, posture: Posture, stand: Stand, low: float, high: float) -> Stand:
    """Raise the sections from one share of a posture to another under bodies still stable."""
    raised = _part_raised(posture, high)
    sliding = must_slide(room, raised, stand, stand.turn)
    state = np.where(sliding, EquilibriumState.SLIDES, stand.state).astype(np.int8)
    stand = replace(stand, state=state)
    going = np.flatnonzero(stand.state == EquilibriumState.STABLE)
    stopped = np.flatnonzero(stand.state != EquilibriumState.STABLE)
    if going.size == 0:
        return stand
    part, steps = stand.take(going), np.full(going.size, high - low)
    guess = part.pose.moved(part.course.ahead(steps))
    moved = with_course(part, settle_at(room, raised, part, part.turn, guess), steps)
    angle = (high - low) * _largest_angle(posture)
    is_fine = is_believed(part, moved, steps, angle)
    fine, doubted = np.flatnonzero(is_fine), np.flatnonzero(~is_fine)
    if doubted.size and angle > SMALL_STEP:
        middle = 0.5 * (low + high)
        again = _raise_on(room, posture, part.take(doubted), low, middle)
        again = _raise_on(room, posture, again, middle, high)
        moved = together(moved.take(fine), again, (fine, doubted))
    return together(moved, stand.take(stopped), (going, stopped))


def _largest_angle(posture: Posture) -> float:
    return max(posture.backrest, posture.knee_raise, abs(posture.head_up))


def _legs(wanted: set[float]) -> Iterator[list[tuple[float, float]]]:
    """Legs of the path, step by step: (turn reached, turn come from), both sides together."""
    last = {1.0: 0.0, -1.0: 0.0}
    steps = int(np.ceil(max(map(abs, wanted)) / TURN_STEP - _SAME_TURN))
    for step in range(steps):
        low, high = step * TURN_STEP + _SAME_TURN, (step + 1) * TURN_STEP - _SAME_TURN
        legs = [(t, last[float(np.sign(t))]) for t in wanted if low < abs(t) < high]
        for side in (1.0, -1.0):
            beyond = sorted((t for t in wanted if t * side >= high), key=abs)
            if beyond:
                node = side * (step + 1) * TURN_STEP
                reached = beyond[0] if abs(beyond[0] - node) <= _SAME_TURN else node
                legs.append((reached, last[side]))
                last[side] = reached
        yield legs


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
    reached = {0.0: level}
    wanted = {float(turn) for turn in turns if abs(turn) > _SAME_TURN}
    for legs in _legs(wanted | {0.0}):
        starts = [_ready(room, posture, reached[origin], turn) for turn, origin in legs]
        goal = np.repeat([turn for turn, _ in legs], count)
        moved = _step_stable(room, posture, join(starts), goal)
        for place, (turn, _) in enumerate(legs):
            reached[turn] = moved.take(place * count + np.arange(count))
    return [_nearest(reached, float(turn)) for turn in turns]


def _nearest(reached: dict[float, Stand], turn: float) -> Stand:
    """The stand at a turn; turns that are the same but for rounding share one."""
    found = min(reached, key=lambda place: abs(place - turn))
    if abs(found - turn) > 2.0 * _SAME_TURN:
        raise AssertionError(f"the path passed {turn} rad by")
    return reached[found]


def _ready(room: Room, posture: Posture, stand: Stand, turn: float) -> Stand:
    """Feel how bodies that have not turned yet begin to."""
    if np.any(stand.turn != 0.0):
        return stand
    felt = np.full(len(stand.which), _FELT * turn)
    return replace(stand, course=felt_course(room, posture, stand, felt, _FELT * turn))


def _step_stable(room: Room, posture: Posture, stand: Stand, goal: Array) -> Stand:
    """Turn on the bodies that are stable; the others keep their state at the new turn."""
    going = np.flatnonzero(stand.state == EquilibriumState.STABLE)
    stopped = np.flatnonzero(stand.state != EquilibriumState.STABLE)
    waiting = replace(stand.take(stopped), turn=goal[stopped])
    if going.size == 0:
        return waiting
    moved = turn_to(room, posture, stand.take(going), goal[going])
    return together(moved, waiting, (going, stopped))
