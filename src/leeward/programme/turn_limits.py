"""How far the person may be turned to each side: every edge with its source, strictest last."""

from leeward.terms.bed import Bed
from leeward.terms.case import Case
from leeward.terms.equipment import Ability, Equipment, SurfaceKind
from leeward.terms.limits import Limit, strictest_greatest
from leeward.terms.person import Line, TurnLimit
from leeward.terms.posture import Posture, Support
from leeward.terms.site import Side
from leeward.terms.units import radians_from_deg

#: On a surface that tilts as one, the body slides or tips between 15 and 28 degrees without
#: a side support; above this edge a measured friction or a support is needed. [rad]
WHOLE_SURFACE_TURN = Limit(
    radians_from_deg(15.0), "rad", "whole surface without measured friction or side support"
)

_SUPPORT = {Side.LEFT: Support.BOLSTER_LEFT, Side.RIGHT: Support.BOLSTER_RIGHT}


def turn_edges(case: Case, unit: Equipment, towards: Side, posture: Posture) -> tuple[Limit, ...]:
    """List every upper edge of a turn towards one side.

    Parameters
    ----------
    case : Case
        The case.
    unit : Equipment
        The tilting unit.
    towards : Side
        Side the person would be turned to.
    posture : Posture
        Backrest, knee and supports during the turn.

    Returns
    -------
    tuple of Limit
        Ability of the unit first, then the person, their lines, the bed, the surface. A line
        whose slack nobody checked sets no edge here: no angle could be named for it, and no
        programme can be accepted until it is checked.
    """
    return (
        _ability_edge(unit.ability, towards),
        *hand_turn_edges(case, towards),
        *_found_at_the_bed(case, towards),
        *_surface_edges(case.bed, unit, towards, posture),
    )


def largest_turn(case: Case, unit: Equipment, towards: Side, posture: Posture) -> Limit:
    """Pick the edge that rules a turn towards one side.

    Parameters
    ----------
    case : Case
        The case.
    unit : Equipment
        The tilting unit.
    towards : Side
        Side the person would be turned to.
    posture : Posture
        Backrest, knee and supports during the turn.

    Returns
    -------
    Limit
        The strictest.
    """
    return strictest_greatest(turn_edges(case, unit, towards, posture))


def hand_turn_edges(case: Case, towards: Side) -> tuple[Limit, ...]:
    """List every upper edge of a turn by hand towards one side.

    Parameters
    ----------
    case : Case
        The case.
    towards : Side
        Side the person would be turned to.

    Returns
    -------
    tuple of Limit
        The person's own limits and the slack of lines, as far as checked: what the unit, the
        surface and its cables set does not bind people's hands.
    """
    return (
        *(_personal(one) for one in case.person.turn_limits if one.towards is towards),
        *_line_edges(case.person.lines, towards),
    )


def is_barred(case: Case, towards: Side) -> bool:
    """Whether somebody barred turning towards a side.

    Parameters
    ----------
    case : Case
        The case.
    towards : Side
        The side.

    Returns
    -------
    bool
        True when the person's own limits or a line allow no turn that way.
    """
    return any(edge.value <= 0.0 for edge in hand_turn_edges(case, towards))


def _ability_edge(ability: Ability, towards: Side) -> Limit:
    left = towards is Side.LEFT
    value = ability.largest_turn_left if left else ability.largest_turn_right
    return Limit(value, "rad", "the unit reaches no further")


def _personal(one: TurnLimit) -> Limit:
    return Limit(max(0.0, one.largest), "rad", f"the person: {one.reason}")


def _line_edges(lines: tuple[Line, ...], towards: Side) -> tuple[Limit, ...]:
    left = towards is Side.LEFT
    slack = [(one.what, one.largest_turn_left if left else one.largest_turn_right) for one in lines]
    return tuple(
        Limit(max(0.0, value), "rad", f"slack of the {what}")
        for what, value in slack
        if value is not None
    )


def _found_at_the_bed(case: Case, towards: Side) -> tuple[Limit, ...]:
    limits = case.posture_limits
    return limits.turn_left if towards is Side.LEFT else limits.turn_right


def _surface_edges(bed: Bed, unit: Equipment, towards: Side, posture: Posture) -> tuple[Limit, ...]:
    supported = _SUPPORT[towards] in posture.supports
    if unit.geometry.kind is SurfaceKind.SPLIT or bed.friction is not None or supported:
        return ()
    return (WHOLE_SURFACE_TURN,)
