"""Which planned stay a delivered one stands for, when the unit need not be in step.

A unit restarted after care goes on out of step with the clock. So stays are matched by their
sequence: the cheapest path through the cycle that explains angles and durations, where leaving
stays out, or beginning the cycle afresh, costs something and unknown time costs nothing.

References
----------
.. [1] A. J. Viterbi, "Error bounds for convolutional codes and an asymptotically optimum
   decoding algorithm", IEEE Trans. Inform. Theory 13 (1967) 260-269 (from memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from leeward.review.conventions import (
    ANGLE_TOLERANCE,
    LEAST_TIME_TOLERANCE,
    TIME_TOLERANCE_SHARE,
)
from leeward.review.kept_stays import KeptStay
from leeward.review.real_days import RealWindow
from leeward.terms.regime import Stay

_LEFT_OUT = 1.0  # cost of each planned stay left out
_BEGUN_AFRESH = 1.5  # cost of starting the cycle again in the middle
_OTHER_SIDE = 4.0  # cost of the wrong side: dearer than leaving a stay out
_MOST_ANGLE = 3.0
_DURATION = 0.5


@dataclass(frozen=True, slots=True)
class Match:
    """A delivered stay and the planned one it stands for.

    Parameters
    ----------
    kept : KeptStay
        As delivered.
    window : RealWindow
        Window in which most of it lies.
    position : int
        Place of the planned stay in the window's cycle. [-]
    left_out : int
        Planned stays left out just before it. [-]
    """

    kept: KeptStay
    window: RealWindow
    position: int
    left_out: int

    @property
    def planned(self) -> Stay:
        """The planned stay."""
        return self.window.cycle[self.position]


def match_stays(stays: Sequence[KeptStay], windows: Sequence[RealWindow]) -> tuple[Match, ...]:
    """Match delivered stays with planned ones.

    Parameters
    ----------
    stays : sequence of KeptStay
        Delivered, in order.
    windows : sequence of RealWindow
        Windows of the plan, in order.

    Returns
    -------
    tuple of Match
        One for each stay that lies in a window.
    """
    placed = [(stay, window) for stay in stays if (window := _window_of(stay, windows))]
    if not placed:
        return ()
    cost = [_misfit(placed[0][0], stay) for stay in placed[0][1].cycle]
    came_from: list[list[tuple[int, int]]] = []
    for before, after in pairwise(placed):
        stay, window = after
        step = [_cheapest(cost, before, after, q) for q in range(len(window.cycle))]
        came_from.append([(p, skipped) for _, p, skipped in step])
        cost = [step[q][0] + _misfit(stay, planned) for q, planned in enumerate(window.cycle)]
    return _traced(placed, cost, came_from)


def _traced(
    placed: list[tuple[KeptStay, RealWindow]],
    cost: list[float],
    came_from: list[list[tuple[int, int]]],
) -> tuple[Match, ...]:
    position = min(range(len(cost)), key=cost.__getitem__)
    matches = []
    for number in range(len(placed) - 1, -1, -1):
        stay, window = placed[number]
        before, left_out = came_from[number - 1][position] if number else (0, 0)
        matches.append(Match(stay, window, position, left_out))
        position = before
    return tuple(reversed(matches))


def _window_of(stay: KeptStay, windows: Sequence[RealWindow]) -> RealWindow | None:
    shared = [(min(stay.end, w.end) - max(stay.start, w.start), -w.start, w) for w in windows]
    best = max(shared, key=lambda entry: entry[:2], default=None)
    return best[2] if best is not None and best[0] > 0.0 else None


def _cheapest(
    cost: list[float],
    before: tuple[KeptStay, RealWindow],
    after: tuple[KeptStay, RealWindow],
    q: int,
) -> tuple[float, int, int]:
    """Cost of being at place q, the place come from, and stays left out on the way."""
    steps = [_step(before, after, p, q) for p in range(len(cost))]
    return min((cost[p] + price, p, skipped) for p, (price, skipped) in enumerate(steps))


def _step(
    before: tuple[KeptStay, RealWindow], after: tuple[KeptStay, RealWindow], p: int, q: int
) -> tuple[float, int]:
    """Cost of going from place p of the cycle to place q, and stays left out on the way."""
    (one, window), (other, next_window) = before, after
    cycle = window.cycle
    if next_window is not window or len(cycle) == 1:
        return 0.0, 0
    unseen = other.start - one.end
    if unseen > 0.0 and p == q:
        over = one.duration + other.duration - cycle[p].duration
        left_out = max(0, round(over / mean_stay(window)))
        return _LEFT_OUT * left_out, left_out
    between = [(p + 1 + k) % len(cycle) for k in range((q - p - 1) % len(cycle))]
    left_out = 0
    for place in between:
        # What unknown time had room for is neither kept nor left out.
        unseen -= cycle[place].duration
        left_out += unseen < -time_tolerance(cycle[place].duration)
    price = _LEFT_OUT * left_out
    return (min(price, _BEGUN_AFRESH) if q == 0 else price), left_out


def mean_stay(window: RealWindow) -> float:
    """Mean length of the stays of a window's cycle.

    Parameters
    ----------
    window : RealWindow
        The window.

    Returns
    -------
    float
        Mean planned duration. [s]
    """
    return sum(stay.duration for stay in window.cycle) / len(window.cycle)


def time_tolerance(planned: float) -> float:
    """By how much a stay may be longer or shorter and still count as kept.

    Parameters
    ----------
    planned : float
        Planned duration. [s]

    Returns
    -------
    float
        Tolerance. [s]
    """
    return max(LEAST_TIME_TOLERANCE.value, TIME_TOLERANCE_SHARE.value * planned)


def _misfit(kept: KeptStay, planned: Stay) -> float:
    turn = planned.posture.turn
    off = min(abs(kept.turn - turn) / ANGLE_TOLERANCE.value, _MOST_ANGLE)
    if kept.turn * turn < 0.0 and abs(kept.turn) > ANGLE_TOLERANCE.value:
        off = _OTHER_SIDE
    apart = (kept.duration - planned.duration) / planned.duration
    if kept.begins_unseen or kept.ends_unseen:
        apart = max(apart, 0.0)
    return off + _DURATION * min(abs(apart), 1.0)
