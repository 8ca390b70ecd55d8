"""What the place of the surface's line under the body does, and whether the legs follow."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from leeward.contact.load_table import LoadTable
from leeward.contact.scenarios import Scenario, with_line_moved
from leeward.fitting.finding import Finding, Outcome
from leeward.terms.case import Case
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Posture, turn_in_words
from leeward.terms.posture_limits import PostureLimits
from leeward.terms.units import cm_from_metres, deg_from_radians, radians_from_deg
from leeward.terms.verdict import Quantity

#: How far the line is laid aside to show what its place does. Convention of this project. [m]
SHIFTS: Final = (0.0, 0.02, -0.02, 0.05, -0.05)

#: A trunk twisted further against the pelvis asks for support of the legs.
#: Convention of this project. [rad]
TWIST: Final = radians_from_deg(10.0)


@dataclass(frozen=True, slots=True)
class LineEffect:
    """What the body does with the line at one place.

    Parameters
    ----------
    posture : Posture
        The posture.
    shift : float
        The line, towards the person's left from where it is taken to lie. [m]
    state : EquilibriumState
        Whether the body rests.
    pelvis_roll, chest_roll : float or None
        Roll in the room towards the person's left; None where the body does not rest. [rad]
    edge_distance : float or None
        Outermost skin to the platform's nearer edge. [m]
    """

    posture: Posture
    shift: float
    state: EquilibriumState
    pelvis_roll: float | None
    chest_roll: float | None
    edge_distance: float | None


def shifted(draw: Scenario) -> tuple[Scenario, ...]:
    """Lay the line aside, all else kept.

    Parameters
    ----------
    draw : Scenario
        The central one.

    Returns
    -------
    tuple of Scenario
        In the order of `SHIFTS`.
    """
    return with_line_moved(draw, SHIFTS)


def turns_to_try(case: Case, limits: PostureLimits) -> tuple[Posture, ...]:
    """List level and the largest turn to each side that nothing bars.

    Parameters
    ----------
    case : Case
        The case.
    limits : PostureLimits
        Found at the bed.

    Returns
    -------
    tuple of Posture
        At the day's usual backrest and knee raise; level alone where there is no unit.
    """
    flat = Posture(backrest=case.day.usual_backrest, knee_raise=case.day.usual_knee_raise)
    if case.equipment is None:
        return (flat,)
    ability = case.equipment.ability
    left = min([ability.largest_turn_left, *(edge.value for edge in limits.turn_left)])
    right = min([ability.largest_turn_right, *(edge.value for edge in limits.turn_right)])
    return tuple(flat.with_turn(turn) for turn in dict.fromkeys((0.0, left, -right)))


def line_effects(table: LoadTable) -> tuple[LineEffect, ...]:
    """Read what the line's place does.

    Parameters
    ----------
    table : LoadTable
        Loads with the scenarios of `shifted`.

    Returns
    -------
    tuple of LineEffect
        Shifts inside postures.
    """
    effects = []
    for column, posture in enumerate(table.postures):
        for row, shift in enumerate(SHIFTS):
            state = EquilibriumState(int(table.state[row, column]))
            rests = state is EquilibriumState.STABLE
            effects.append(
                LineEffect(
                    posture,
                    shift,
                    state,
                    float(table.pelvis_roll_room[row, column]) if rests else None,
                    float(table.thorax_roll_room[row, column]) if rests else None,
                    float(table.edge_distance[row, column]) if rests else None,
                )
            )
    return tuple(effects)


def line_findings(effects: tuple[LineEffect, ...]) -> list[Finding]:
    """Judge where the body rests and how it twists.

    Parameters
    ----------
    effects : tuple of LineEffect
        As `line_effects` gives them.

    Returns
    -------
    list of Finding
        For each posture: rests or not, with the line where it is and laid aside; twist.
    """
    found = []
    for posture in dict.fromkeys(effect.posture for effect in effects):
        same = [effect for effect in effects if effect.posture == posture]
        found.append(_rests(posture, same))
        twist = _twist(posture, same[0])
        found.extend([] if twist is None else [twist])
    return found


def _rests(posture: Posture, same: list[LineEffect]) -> Finding:
    words = turn_in_words(posture.turn)
    here = same[0]
    if here.state is not EquilibriumState.STABLE:
        return Finding(
            "does-not-rest",
            Outcome.NOT_TO_BE_USED,
            f"When {words}, the body does not rest: {_state(here.state)}.",
            "Turn less far, or support the side; the plan leaves such turns out.",
        )
    lost = [effect for effect in same if effect.state is not EquilibriumState.STABLE]
    rolls = [
        (one.shift, abs(deg_from_radians(one.pelvis_roll)))
        for one in same
        if one.pelvis_roll is not None
    ]
    numbers = tuple(
        Quantity(f"pelvis roll, line {_aside(shift)}", round(roll, 1), "deg")
        for shift, roll in rolls
    )
    if lost:
        side = "left" if lost[0].shift > 0.0 else "right"
        return Finding(
            "rests-only-here",
            Outcome.WITH_MEASURE,
            f"When {words}, the body no longer rests with the line "
            f"{cm_from_metres(abs(lost[0].shift)):.0f} cm further to the person's {side}: "
            f"{_state(lost[0].state)}.",
            "Mark where the line must lie, and look at it before every turn of this size.",
            numbers,
        )
    told = "; ".join(f"{roll:.0f}° with it {_aside(shift)}" for shift, roll in rolls[1:])
    sentence = (
        f"When {words}, the pelvis rolls {rolls[0][1]:.0f}° with the line where it lies; {told}."
        if posture.turn
        else "Level, the body rests with the line up to 5 cm to either side."
    )
    return Finding("rests", Outcome.NO_LIMIT_BROKEN, sentence, "", numbers)


def _twist(posture: Posture, here: LineEffect) -> Finding | None:
    if here.pelvis_roll is None or here.chest_roll is None:
        return None
    twist = abs(here.chest_roll - here.pelvis_roll)
    if not np.isfinite(twist) or twist <= TWIST:
        return None
    return Finding(
        "twist",
        Outcome.WITH_MEASURE,
        f"When {turn_in_words(posture.turn)}, the chest rolls {deg_from_radians(twist):.0f}° "
        "apart from the pelvis: the legs hold the pelvis back.",
        "Support the legs so that they follow, with a pillow or the unit's extension.",
        (Quantity("twist", round(deg_from_radians(twist), 1), "deg"),),
    )


def _aside(shift: float) -> str:
    if shift == 0.0:
        return "where it lies"
    return (
        f"{cm_from_metres(abs(shift)):.0f} cm to the person's {'left' if shift > 0.0 else 'right'}"
    )


def _state(state: EquilibriumState) -> str:
    return state.name.lower().replace("_", " ")
