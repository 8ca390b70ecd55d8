"""Night posture supports: blocks along legs and trunk, and what holds them in place."""

from dataclasses import dataclass
from enum import StrEnum

from leeward.terms.posture import Support


class FixedTo(StrEnum):
    """What a block cannot move against."""

    MATTRESS = "the mattress"
    SURFACE = "the tilting surface"
    PLATFORM = "the bed's platform"
    NOTHING = "nothing: it is laid loosely"


@dataclass(frozen=True, slots=True)
class Block:
    """A block along a leg or the trunk.

    Parameters
    ----------
    support : Support
        Which one.
    fixed_to : FixedTo
        What holds it: on mattress and surface it rises with a raised half, on the platform
        it stays.
    distance : float or None
        From the body's mid-line to its face; None: along the body, with room for fingers
        between. [m]
    height : float or None
        Above the mattress; None: usual. [m]
    """

    support: Support
    fixed_to: FixedTo
    distance: float | None = None
    height: float | None = None
