"""Turns: movements of the surface from one stay to the next."""

from collections.abc import Sequence
from dataclasses import dataclass

from leeward.delivered.conventions import SAME_ANGLE
from leeward.delivered.segments import Segment
from leeward.terms.series import Validity


@dataclass(frozen=True, slots=True)
class Turn:
    """A movement between two stays that were both seen.

    Parameters
    ----------
    start, end : float
        End of the stay before and start of the stay after, from the log's origin; equal
        where the movement was faster than the readings show. [s]
    before, after : float
        Tilt of the two stays, positive to the person's left where the side is known. [rad]
    """

    start: float
    end: float
    before: float
    after: float


def find_turns(segments: Sequence[Segment]) -> tuple[Turn, ...]:
    """Find the turns in a log.

    Parameters
    ----------
    segments : sequence of Segment
        Segments in order of time.

    Returns
    -------
    tuple of Turn
        Every change between two stays without unknown time between them, with times counted
        as in the segments. A change during unknown time is no turn that was seen.
    """
    turns: list[Turn] = []
    before: Segment | None = None
    for segment in segments:
        if segment.validity is Validity.UNKNOWN:
            before = None
        elif segment.validity is Validity.KNOWN:
            if before is not None and abs(segment.turn - before.turn) >= SAME_ANGLE.value:
                turns.append(Turn(before.end, segment.start, before.turn, segment.turn))
            before = segment
    return tuple(turns)
