"""The movement from one stay to the next: a turn takes time, and loads the body on its way.

A stay includes the movement that leads into it, as a unit counts it: what is left of the stay is
spent at its turn. Turns by hand are over within seconds and are counted as reached at once.
"""

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from leeward.terms.equipment import Ability
from leeward.terms.posture import Place, Posture
from leeward.terms.series import PostureSeries, Validity
from leeward.tissue.load_ratios import LoadRatios

Array = NDArray[np.float64]

#: Pieces in which one movement is counted; with more the index changes by less than a hundredth.
PIECES: Final = 7

#: Share of a movement through level that is counted as at level itself, so that the heaviest
#: load on the way is not lost between two pieces. [-] Convention of this project.
_AT_LEVEL: Final = 0.02

#: The turns of two pieces closer than this are one. [rad]
_ROUNDING: Final = 1e-6


class Piece(NamedTuple):
    """A part of a movement.

    Parameters
    ----------
    share : float
        Share of the movement's time. [-]
    turn : float
        Mean turn, signed. [rad]
    """

    share: float
    turn: float


def turning_rate(ability: Ability) -> float:
    """How fast a unit turns.

    Parameters
    ----------
    ability : Ability
        What it can be set to.

    Returns
    -------
    float
        Its largest turn over its rise time. [rad/s]
    """
    return max(ability.largest_turn_left, ability.largest_turn_right) / ability.rise_time


def movement_time(before: Posture, posture: Posture, rate: float) -> float:
    """How long the movement into a posture takes.

    Parameters
    ----------
    before, posture : Posture
        Where the surface was, and where it goes.
    rate : float
        How fast it turns. [rad/s]

    Returns
    -------
    float
        Time; 0 where the person gets out of bed. [s]
    """
    if posture.place is not Place.BED or rate <= 0.0:
        return 0.0
    return abs(posture.turn - before.turn) / rate


def setting_of_movement(before: Posture, posture: Posture) -> Posture:
    """Backrest, knees and supports during a movement.

    Parameters
    ----------
    before, posture : Posture
        Where the surface was, and where it goes.

    Returns
    -------
    Posture
        Those of the stay it leads into, unless that is level: a surface is level before the
        backrest is raised, and the backrest is down before it turns.
    """
    leads = posture if posture.turn != 0.0 or before.place is not Place.BED else before
    return leads.with_turn(0.0)


def path(start: float, end: float) -> tuple[Piece, ...]:
    """Divide a movement at one speed.

    Parameters
    ----------
    start, end : float
        Turns, signed. [rad]

    Returns
    -------
    tuple of Piece
        `PIECES` of them in order; one of a movement through level is at level.
    """
    if start * end >= 0.0:
        shares = (np.arange(PIECES) + 0.5) / PIECES
        return tuple(Piece(1.0 / PIECES, start + (end - start) * float(s)) for s in shares)
    half = PIECES // 2
    middles = (np.arange(half) + 0.5) / half
    up = (1.0 - _AT_LEVEL) * abs(start) / abs(end - start)
    down = 1.0 - _AT_LEVEL - up
    return (
        *(Piece(up / half, start * (1.0 - float(m))) for m in middles),
        Piece(_AT_LEVEL, 0.0),
        *(Piece(down / half, end * float(m)) for m in middles),
    )


def with_movements(series: PostureSeries, rate: float) -> PostureSeries:
    """Write the movements of a day that repeats into its postures.

    Parameters
    ----------
    series : PostureSeries
        Stays, each with the movement that leads into it; the first follows the last.
    rate : float
        How fast the surface turns. [rad/s]

    Returns
    -------
    PostureSeries
        Of the same length: the pieces of each movement, then what is left of its stay. A stay
        too short for its movement is all movement.
    """
    edges, postures, validity = [float(series.edges[0])], [], []
    before = series.postures[-1]
    for posture, length in zip(series.postures, series.durations.tolist(), strict=True):
        moving = min(movement_time(before, posture, rate), length)
        setting = setting_of_movement(before, posture)
        pieces = path(before.turn, posture.turn) if moving > 0.0 else ()
        for piece in pieces:
            edges.append(edges[-1] + piece.share * moving)
            postures.append(setting.with_turn(piece.turn))
            validity.append(Validity.MOVING)
        if length > moving:
            edges.append(edges[-1] + length - moving)
            postures.append(posture)
            validity.append(Validity.KNOWN)
        before = posture
    return PostureSeries(np.array(edges), tuple(postures), tuple(validity), series.origin)


def ratios_between(ratios: LoadRatios, postures: tuple[Posture, ...]) -> Array:
    """Load ratios at turns between those that are listed.

    Parameters
    ----------
    ratios : LoadRatios
        Load ratios at listed postures.
    postures : tuple of Posture, length n
        Postures of any turn.

    Returns
    -------
    ndarray, shape (d, n, s)
        Straight between the two listed turns next to each, of the same backrest, knees and
        supports; NaN where there are none, or their load is unknown. [-]
    """
    found = np.full((ratios.ratio.shape[0], len(postures), len(ratios.sites)), np.nan)
    listed: dict[Posture, list[tuple[float, int]]] = {}
    for place, posture in enumerate(ratios.postures):
        if posture.place is Place.BED:
            listed.setdefault(posture.with_turn(0.0), []).append((posture.turn, place))
    for number, posture in enumerate(postures):
        known = listed.get(posture.with_turn(0.0), [])
        low = max(((t, n) for t, n in known if t <= posture.turn + _ROUNDING), default=None)
        high = min(((t, n) for t, n in known if t >= posture.turn - _ROUNDING), default=None)
        if low is None or high is None:
            continue
        width = high[0] - low[0]
        share = 0.0 if width <= _ROUNDING else (posture.turn - low[0]) / width
        ends = ratios.ratio[:, low[1]], ratios.ratio[:, high[1]]
        if share == 0.0:
            found[:, number] = ends[0]
        else:
            found[:, number] = (1.0 - share) * ends[0] + share * ends[1]
    return found
