"""Asks the damped run what becomes of bodies for which no balance was found."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.damped_run import DampedRun, Outcome, damped_run
from leeward.contact.pose import UNKNOWNS
from leeward.contact.setting import Room, lay_down, with_anchors
from leeward.contact.stand import Stand
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Posture

Array = NDArray[np.float64]

#: A body at rest has a balance, so not having found one is the solver's fault.
_NAME: Final = {
    Outcome.ROLLS: EquilibriumState.TIPS,
    Outcome.GIVES_WAY: EquilibriumState.TIPS,
    Outcome.SLIDES: EquilibriumState.SLIDES,
    Outcome.RESTS: EquilibriumState.NOT_SOLVED,
    Outcome.CANNOT_TELL: EquilibriumState.NOT_SOLVED,
}


def let_go(room: Room, posture: Posture, stand: Stand, turn: Array) -> DampedRun:
    """Let bodies go, from where they last lay in balance, in a posture a little further on.

    Parameters
    ----------
    room : Room
        Body, bed and scenarios. [-]
    posture : Posture
        Everything but the turn. [-]
    stand : Stand
        Bodies at their last balance.
    turn : ndarray, shape (b,)
        Turns in which they are let go. [rad]

    Returns
    -------
    DampedRun
        What they did; nobody pushed them.
    """
    lying = with_anchors(lay_down(room, posture, turn, stand.which), stand.anchors)
    return damped_run(lying, stand.pose, np.zeros((len(turn), UNKNOWNS)))


def refereed(room: Room, posture: Posture, stand: Stand, turn: Array) -> NDArray[np.int8]:
    """Name what neither friction demand nor stability margin explains.

    Parameters
    ----------
    room : Room
        Body, bed and scenarios. [-]
    posture : Posture
        Everything but the turn. [-]
    stand : Stand
        Bodies at their last balance; only those NOT_SOLVED are let go.
    turn : ndarray, shape (b,)
        Turns in which no balance was found. [rad]

    Returns
    -------
    ndarray of int, shape (b,)
        Values of `EquilibriumState`: TIPS for a body that rolled or gave way, SLIDES for one
        that slid; NOT_SOLVED stays where it came to rest, so that a balance was missed, or
        was still on its way after a minute. [-]
    """
    state = stand.state.copy()
    asked = np.flatnonzero(state == EquilibriumState.NOT_SOLVED)
    if asked.size:
        run = let_go(room, posture, stand.take(asked), turn[asked])
        state[asked] = [_NAME[Outcome(outcome)] for outcome in run.outcome]
    return state
