"""What to be careful of where pillows, blocks and rails hold the person, or the bed is tilted."""

from leeward.programme.quantities import degrees, listed
from leeward.terms.bed import MattressKind, RailKind
from leeward.terms.case import Case
from leeward.terms.posture import Place, Posture, Support
from leeward.terms.supports import Block, FixedTo
from leeward.terms.verdict import Reason


def support_cautions(case: Case) -> tuple[Reason, ...]:
    """Collect what this case's supports, rails and tilt of the bed raise.

    Parameters
    ----------
    case : Case
        The case.

    Returns
    -------
    tuple of Reason
        Empty where nothing but the surface holds the person.

    References
    ----------
    .. [1] Head-down tilt and breathing, reflux and eyes: common practice, from memory.
    """
    return (
        *_blocks(case),
        *_pillows(case),
        *_rails(case),
        *_tilt(case),
        *_cells(case),
    )


def _postures(case: Case) -> tuple[Posture, ...]:
    """Every setting of the day but its turns."""
    day = case.day
    usual = [
        Posture(head_up=day.usual_head_up, supports=day.supports(one)) for one in (False, True)
    ]
    return (*usual, *(one.posture for one in day.prescribed if one.posture.place is Place.BED))


def _used(case: Case) -> frozenset[Support]:
    return frozenset().union(*(posture.supports for posture in _postures(case)))


def _blocks(case: Case) -> list[Reason]:
    used = _used(case)
    counted = [block for block in case.bed.blocks if block.support in used]
    left_out = [block for block in case.bed.blocks if block.support not in used]
    reasons = []
    if counted:
        reasons.append(
            Reason(
                "blocks-belong-to-the-plan",
                f"This plan counts on: {listed([_fixed(block) for block in counted])}. Without "
                "them, with others, or fixed to something else it does not hold: plan again.",
            )
        )
    if left_out:
        reasons.append(
            Reason(
                "blocks-not-in-the-plan",
                "This plan was made without these, and does not hold with them: "
                f"{listed([block.support.value for block in left_out])}. To use them, name them "
                "in the case and plan again.",
            )
        )
    return reasons


def _fixed(block: Block) -> str:
    if block.fixed_to is FixedTo.NOTHING:
        return f"{block.support.value}, laid loosely"
    return f"{block.support.value}, fixed to {block.fixed_to.value}"


def _pillows(case: Case) -> list[Reason]:
    if Support.PILLOW_BETWEEN_KNEES not in _used(case):
        return []
    return [
        Reason(
            "between-the-knees-unknown",
            "A pillow between the knees holds them apart here; what it presses on the inner knees "
            "and ankles is not known: look at them.",
        )
    ]


def _rails(case: Case) -> list[Reason]:
    if case.bed.rails not in (RailKind.FULL, RailKind.SPLIT):
        return []
    return [
        Reason(
            "rails-hold-nobody",
            "No turn here counts on a rail: each rests without one. A body that comes to lie "
            "against a rail does not lie as planned: let the surface down and lay it anew.",
        )
    ]


def _tilt(case: Case) -> list[Reason]:
    lowest = min(posture.head_up for posture in _postures(case))
    if lowest >= 0.0:
        return []
    return [
        Reason(
            "head-down",
            "The head end is down for part of the day: ask about breathing, reflux, swallowing and "
            "pressure in head or eyes, and see that nobody is fed so.",
            (degrees("head end down", -lowest),),
        )
    ]


def _cells(case: Case) -> list[Reason]:
    if case.bed.mattress.kind is not MattressKind.ALTERNATING_AIR:
        return []
    return [
        Reason(
            "cells-at-rest",
            "The alternating mattress is computed at rest, by its measured curve: the cells' own "
            "rise and fall is not followed, and relieves or loads single sites besides.",
        )
    ]
