"""What a posture can turn out to be: four different things, only one a place to lie."""

from enum import IntEnum


class EquilibriumState(IntEnum):
    """State of a body in a posture; none but STABLE may be shown as a place to lie."""

    STABLE = 0
    SLIDES = 1
    TIPS = 2
    NOT_SOLVED = 3
    NOT_MODELLED = 4
    #: In balance, but trunk or head lies beyond the platform's edge.
    OVER_EDGE = 5
