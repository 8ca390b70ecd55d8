"""One step of a body's path: settle, judge, halve where needed, name the cause of an end."""

from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.balance import Lying, find_balance
from leeward.contact.course import Course
from leeward.contact.equilibrium import Settled, newton_step, settle
from leeward.contact.newton import MOST_REFUSED
from leeward.contact.pose import Pose, joint_places
from leeward.contact.referee import refereed
from leeward.contact.setting import Room, anchored, lay_down, with_anchors
from leeward.contact.stability import judge, smallest_stiffness
from leeward.contact.stand import Stand, choose, together
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Posture
from leeward.terms.units import radians_from_deg

Array = NDArray[np.float64]

#: A step as small as it need be close to tipping: friction's memory then hangs on the step by
#: less than the margin's own limit. Source: convention of this project. [rad]
SMALL_STEP: Final = radians_from_deg(1.0)
#: Smallest part of a step that is tried before the path is said to have ended. [-]
_SMALLEST_STEP: Final = 0.5**9
#: Steps that differ by less than this share of themselves are the same. [-]
_SAME_STEP: Final = 1e-9

#: First damping of the solver from a neighbouring posture. [-]
NEAR: Final = 1e-3

#: Shares of the limits at the last balance, a fraction of a degree before the end of the
#: path, from which the cause is named. Source: damped runs of bodies that cannot straighten:
#: at the end of a path the margin was 0.008 at most.
_NEARLY_SLIDING: Final = 0.8
_NEARLY_TIPPING: Final = 0.012


#: How far beyond its last balance a body is let go when neither names a cause. [rad]
_LET_GO: Final = radians_from_deg(0.5)


def cause_of_end(stand: Stand) -> NDArray[np.int8]:
    """Why a path ended, from friction demand and margin at the last balance.

    Parameters
    ----------
    stand : Stand
        Bodies at their last balance.

    Returns
    -------
    ndarray of int, shape (b,)
        SLIDES, TIPS, or NOT_SOLVED where neither figure explains it. [-]
    """
    cause = np.full(len(stand.which), EquilibriumState.NOT_SOLVED, dtype=np.int8)
    cause[stand.demand > _NEARLY_SLIDING] = EquilibriumState.SLIDES
    # near both limits bodies roll: sliding shows in the friction demand long before
    cause[stand.margin < _NEARLY_TIPPING] = EquilibriumState.TIPS
    return cause


def assess(lying: Lying, settled: Settled, stand: Stand) -> Stand:
    """Judge bodies that settled; those that did not keep their old figures, NOT_SOLVED.

    Parameters
    ----------
    lying : Lying
        Bodies and beds.
    settled : Settled
        Outcome of settling them.
    stand : Stand
        Where they came from.

    Returns
    -------
    Stand
        Where they stand now; skin off the bed takes hold where it next touches.
    """
    solved = np.flatnonzero(settled.is_solved)
    state = np.full(len(stand.which), EquilibriumState.NOT_SOLVED, dtype=np.int8)
    demand = np.where(settled.is_solved, settled.demand, stand.demand)
    share = np.where(settled.is_solved[:, None], settled.share, stand.share)
    margin, anchors = stand.margin.copy(), stand.anchors
    if solved.size:
        part, pose = lying.take(solved), settled.pose.take(solved)
        margin[solved] = smallest_stiffness(settled.stiffness[solved], settled.scale[solved])
        state[solved] = judge(demand[solved], margin[solved])
        joint, _ = joint_places(pose, lying.figure.link)
        moved = anchored(part, pose, joint, release=False)
        anchors = tuple(anchor.copy() for anchor in stand.anchors)
        for anchor, bearing in zip(anchors, moved.bearings, strict=True):
            anchor[solved] = bearing.anchor
    return replace(
        stand,
        pose=settled.pose,
        anchors=anchors,
        demand=demand,
        margin=margin,
        share=share,
        state=state,
    )


def settle_at(
    room: Room, posture: Posture, stand: Stand, turn: Array, guess: Pose | None = None
) -> Stand:
    """Settle bodies at a posture and judge them there.

    Parameters
    ----------
    room : Room
        Body, bed and scenarios. [-]
    posture : Posture
        Everything but the turn. [-]
    stand : Stand
        Where the bodies come from.
    turn : ndarray, shape (b,)
        Turns. [rad]
    guess : Pose or None
        Poses to start the solver from; None for those they come from.

    Returns
    -------
    Stand
        The bodies there; NOT_SOLVED where no balance was found.
    """
    lying = with_anchors(lay_down(room, posture, turn, stand.which), stand.anchors)
    start = stand.pose if guess is None else guess
    settled = settle(lying, start, NEAR, MOST_REFUSED)
    return replace(assess(lying, settled, stand), turn=turn)


def must_slide(room: Room, posture: Posture, stand: Stand, turn: Array) -> NDArray[np.bool_]:
    """Plane too steep for the friction: statics alone says so, for any body.

    Parameters
    ----------
    room : Room
        Bed and scenarios. [-]
    posture : Posture
        Everything but the turn. [-]
    stand : Stand
        Which scenarios.
    turn : ndarray, shape (b,)
        Turns. [rad]

    Returns
    -------
    ndarray of bool, shape (b,)
        Whether the slope is at least the friction coefficient on one plane. [-]
    """
    bent = posture.backrest > 0.0 or posture.knee_raise > 0.0
    propped = any(support.side is not None for support in posture.supports)
    is_plane = (turn == 0.0) | room.is_whole()
    if bent or propped:
        return np.zeros(len(turn), dtype=bool)
    upright = np.cos(turn) * np.cos(posture.head_up)
    slope = np.sqrt(np.maximum(1.0 - upright**2, 0.0)) / upright
    friction = np.array([scenario.friction for scenario in room.scenarios])[stand.which]
    return np.asarray(is_plane & (slope >= friction))


def turn_to(room: Room, posture: Posture, stand: Stand, turn: Array) -> Stand:
    """Turn bodies on by one step, in smaller ones where no likely balance is found.

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
    sliding = must_slide(room, posture, stand, turn)
    state = np.where(sliding, EquilibriumState.SLIDES, stand.state).astype(np.int8)
    result = replace(stand, turn=turn, state=state)
    going = np.flatnonzero(~sliding)
    if going.size == 0:
        return result
    start = stand.take(going)
    tried = _one_step(room, posture, start, turn[going])
    is_fine = _is_turn_believed(start, tried)
    fine, doubted = np.flatnonzero(is_fine), np.flatnonzero(~is_fine)
    if doubted.size:
        again = _in_small_steps(room, posture, start.take(doubted), turn[going[doubted]])
        tried = together(tried.take(fine), again, (fine, doubted))
    stopped = np.flatnonzero(sliding)
    return together(tried, result.take(stopped), (going, stopped))


def is_believed(stand: Stand, moved: Stand, step: Array, angle: Array | float) -> NDArray[np.bool_]:
    """Whether a step found a balance that holds, about where the body's course led.

    Parameters
    ----------
    stand, moved : Stand
        Before and after the step.
    step : ndarray, shape (b,)
        The step, in the course's own parameter. [-]
    angle : ndarray, shape (b,), or float
        By how much the bed moved. [rad]

    Returns
    -------
    ndarray of bool, shape (b,)
        False where smaller steps should be tried; close to tipping only small ones count. [-]
    """
    found = moved.state != EquilibriumState.NOT_SOLVED
    reserve = np.where(np.abs(angle) <= SMALL_STEP, 0.0, _NEARLY_TIPPING)
    led = stand.course.led(stand.pose, moved.pose, step)
    return np.asarray(found & (moved.margin > reserve) & led)


def _is_turn_believed(stand: Stand, moved: Stand) -> NDArray[np.bool_]:
    turned = moved.turn - stand.turn
    return is_believed(stand, moved, turned, turned)


def _one_step(room: Room, posture: Posture, stand: Stand, turn: Array) -> Stand:
    turned = turn - stand.turn
    guess = stand.pose.moved(stand.course.ahead(turned))
    moved = settle_at(room, posture, stand, turn, guess)
    return with_course(stand, moved, turned)


def with_course(stand: Stand, moved: Stand, step: Array) -> Stand:
    """Note how bodies that found a balance moved.

    Parameters
    ----------
    stand, moved : Stand
        Before and after the step.
    step : ndarray, shape (b,)
        The step. [-]

    Returns
    -------
    Stand
        After the step; bodies without a balance keep their course.
    """
    solved = np.flatnonzero(moved.state != EquilibriumState.NOT_SOLVED)
    course = stand.course.take(np.arange(len(step)))
    if solved.size:
        before, after = stand.pose.take(solved), moved.pose.take(solved)
        course.put(solved, course.take(solved).after(before, after, step[solved]))
    return replace(moved, course=course)


def felt_course(room: Room, posture: Posture, stand: Stand, turn: Array, share: float) -> Course:
    """Course of bodies about to move, from one Newton step over a small share of the way.

    Parameters
    ----------
    room : Room
        Body, bed and scenarios. [-]
    posture : Posture
        At that share of the way, the turn apart.
    stand : Stand
        Bodies in balance at the start.
    turn : ndarray, shape (b,)
        Turns at that share of the way. [rad]
    share : float
        The share, in the path's own parameter. [-]

    Returns
    -------
    Course
        Rates at the start.
    """
    lying = with_anchors(lay_down(room, posture, turn, stand.which), stand.anchors)
    batch = len(turn)
    rate = newton_step(find_balance(lying, stand.pose), np.zeros(batch)) / share
    return Course(rate, np.zeros_like(rate), np.zeros(batch), np.ones(batch, dtype=bool))


def _half_of(left: Array) -> Array:
    """Largest whole halving of a step that is shorter than all that is left of it. [-]"""
    return np.asarray(0.5 * 2.0 ** np.ceil(np.log2((1.0 - _SAME_STEP) * left)))


def _in_small_steps(room: Room, posture: Posture, stand: Stand, turn: Array) -> Stand:
    """Approach a turn in steps halved where one fails; stop at the last balance, name the cause."""
    whole = turn - stand.turn
    share = np.full(len(turn), 0.5)
    while True:
        left = turn - stand.turn
        is_going = (stand.state == EquilibriumState.STABLE) & (left != 0.0)
        going = np.flatnonzero(is_going & (share >= _SMALLEST_STEP))
        if going.size == 0:
            break
        part, step = stand.take(going), (share * whole)[going]
        is_last = np.abs(step) >= (1.0 - _SAME_STEP) * np.abs(left[going])
        tried = _one_step(room, posture, part, np.where(is_last, turn[going], part.turn + step))
        is_fine = _is_turn_believed(part, tried)
        shorter = np.where(is_last, _half_of((left / whole)[going]), 0.5 * share[going])
        share[going] = np.where(is_fine, 2.0 * share[going], shorter)
        others = np.flatnonzero(~np.isin(np.arange(len(turn)), going))
        stand = together(choose(is_fine, tried, part), stand.take(others), (going, others))
    stuck = (stand.state == EquilibriumState.STABLE) & (stand.turn != turn)
    ended = replace(stand, state=np.where(stuck, cause_of_end(stand), stand.state))
    beyond = stand.turn + np.clip(turn - stand.turn, -_LET_GO, _LET_GO)
    return replace(stand, turn=turn, state=refereed(room, posture, ended, beyond))
