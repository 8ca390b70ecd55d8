"""What fitting found the bed and the surface allow: the planner obeys it."""

from dataclasses import dataclass

from leeward.terms.limits import Limit


@dataclass(frozen=True, slots=True)
class PostureLimits:
    """Upper edges found at the bed; empty tuples where nobody measured.

    Parameters
    ----------
    turn_left, turn_right : tuple of Limit
        Largest turn towards each side. [rad]
    backrest : tuple of Limit
        Largest backrest. [rad]
    """

    turn_left: tuple[Limit, ...] = ()
    turn_right: tuple[Limit, ...] = ()
    backrest: tuple[Limit, ...] = ()


#: Nobody measured at the bed yet.
NOTHING_MEASURED = PostureLimits()
