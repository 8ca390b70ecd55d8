"""What of the body lies at the platform's edge or beyond it, and what a rail would bear."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import partial
from typing import Final

import numpy as np

from leeward.contact.edges import ARMS, BORNE, least_distances
from leeward.contact.load_table import LoadTable
from leeward.terms.bed import Platform, RailKind
from leeward.terms.case import Case
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Posture, turn_in_words
from leeward.terms.sourced import Sourced
from leeward.terms.units import cm_from_metres, deg_from_radians, mm_from_metres
from leeward.terms.verdict import Quantity, Reason

#: A part nearer to the edge than this is said to lie at it.
AT_EDGE: Final = Sourced(
    0.05, "m", "convention of this project: nobody lays a person down more exactly", "any"
)
#: How much nearer the edge may be where nobody measured the platform's width.
UNKNOWN_WIDTH: Final = Sourced(
    0.05, "m", "convention of this project: beds 80 cm wide instead of 90 are common", "any"
)

#: Turns closer than this are one turn. [rad]
_ROUNDING: Final = 1e-9

_WORDS: Final = {"thorax": "chest"}


class EdgePlace(StrEnum):
    """Where trunk, head and legs lie to the platform's edges."""

    CLEAR = "clear of the edge"
    AT = "at the edge"
    OVER = "over the edge"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True, slots=True)
class _NearEdge:
    """A part that lies at the edge or beyond it: least over the scenarios, negative beyond. [m]"""

    segment: str
    distance: float
    posture: Posture

    @property
    def part(self) -> str:
        """The part in words."""
        return _WORDS.get(self.segment, self.segment)


def edge_reasons(case: Case, table: LoadTable, posture: Posture) -> tuple[Reason, ...]:
    """Say what lies at the edge in one posture, arms among it.

    Parameters
    ----------
    case : Case
        The case.
    table : LoadTable
        Its loads.
    posture : Posture
        One of the table's postures.

    Returns
    -------
    tuple of Reason
        One of trunk and head beyond the edge, one of what else lies near, one of arms laid out;
        empty where all lies clear.
    """
    return _reasons(case, _near_edge(case, table, posture), are_postures_named=False)


def edge_cautions(case: Case, tables: Sequence[LoadTable]) -> tuple[Reason, ...]:
    """Say what lies at the edge in any posture that was looked at for a plan.

    Parameters
    ----------
    case : Case
        The case.
    tables : sequence of LoadTable
        Solved postures of the present bed.

    Returns
    -------
    tuple of Reason
        One of trunk and head beyond the edge, one of what else lies near: every part in the
        posture where it lies nearest. Arms are left out.
    """
    nearest: dict[str, _NearEdge] = {}
    for table in tables:
        for posture in filter(partial(is_reached, case), table.postures):
            for one in _near_edge(case, table, posture):
                known = nearest.get(one.segment)
                if one.segment not in ARMS and (known is None or one.distance < known.distance):
                    nearest[one.segment] = one
    return _reasons(case, tuple(nearest.values()), are_postures_named=True)


def is_reached(case: Case, posture: Posture) -> bool:
    """Say whether the unit can be set to a turn: a plan also looks beyond its reach.

    Parameters
    ----------
    case : Case
        The case.
    posture : Posture
        The posture.

    Returns
    -------
    bool
        Always where the case names no unit.
    """
    if case.equipment is None:
        return True
    ability = case.equipment.ability
    is_left = posture.turn > 0.0
    reach = ability.largest_turn_left if is_left else ability.largest_turn_right
    return abs(posture.turn) <= reach + _ROUNDING


def edge_place(case: Case, table: LoadTable, posture: Posture) -> EdgePlace:
    """Say where the body lies to the edge, arms left out.

    Parameters
    ----------
    case : Case
        The case.
    table : LoadTable
        Its loads.
    posture : Posture
        One of the table's postures.

    Returns
    -------
    EdgePlace
        CANNOT_TELL where the body does not rest in some scenario and lies nowhere near in the
        others.
    """
    states = table.state[:, table.position(posture)]
    if np.any(states == EquilibriumState.OVER_EDGE):
        return EdgePlace.OVER
    if any(one.segment not in ARMS for one in _near_edge(case, table, posture)):
        return EdgePlace.AT
    rests = bool(np.all(states == EquilibriumState.STABLE))
    return EdgePlace.CLEAR if rests else EdgePlace.CANNOT_TELL


def _near_edge(case: Case, table: LoadTable, posture: Posture) -> tuple[_NearEdge, ...]:
    """Parts that lie at the edge or beyond it: trunk, head, legs, then arms beyond it.

    Empty where the body rests in no scenario.
    """
    far = AT_EDGE.value + (0.0 if _is_width_known(case) else UNKNOWN_WIDTH.value)
    found = [
        _NearEdge(name, distance, posture)
        for name, distance in least_distances(table, posture, case.bed.platform.width).items()
    ]
    found.sort(key=lambda one: (one.segment in ARMS, one.segment not in BORNE))
    return tuple(one for one in found if one.distance < (0.0 if one.segment in ARMS else far))


def _rails_of(case: Case) -> RailKind:
    """Rails as found at the bed where somebody looked, else as written in the case."""
    sheet = case.fit_sheet
    if sheet is not None and sheet.bed.rails is not RailKind.UNDESCRIBED:
        return sheet.bed.rails
    return case.bed.rails


def _is_width_known(case: Case) -> bool:
    """A platform as wide as the typical one may be one that nobody measured."""
    return case.bed.platform.width != Platform().width


def _reasons(
    case: Case, near: tuple[_NearEdge, ...], *, are_postures_named: bool
) -> tuple[Reason, ...]:
    """One reason each of what is over the edge, of what lies near it, and of arms."""
    over = [one for one in near if one.segment in BORNE and one.distance < 0.0]
    arms = [one for one in near if one.segment in ARMS]
    others = [one for one in near if one not in (*over, *arms)]
    said = partial(_said, are_postures_named=are_postures_named)
    return (
        *([_over(case, over, said)] if over else ()),
        *([_at(case, sorted(others, key=lambda one: one.distance), said)] if others else ()),
        *([_arms(arms)] if arms else ()),
    )


def _over(case: Case, parts: Sequence[_NearEdge], said: Callable[[_NearEdge], str]) -> Reason:
    return Reason(
        "over-the-edge",
        f"Beyond the platform's edge {_listed(parts, said)}: over it, or against a rail, whose "
        "load is not computed. A posture that lays trunk or head beyond the edge is never "
        "offered.",
        _numbers(case, parts),
    )


def _at(case: Case, parts: Sequence[_NearEdge], said: Callable[[_NearEdge], str]) -> Reason:
    return Reason(
        "at-the-edge",
        f"At the platform's edge {_listed(parts, said)}: {_held(_rails_of(case))}."
        f"{'' if _is_width_known(case) else _width(case)}",
        _numbers(case, parts),
    )


def _arms(arms: Sequence[_NearEdge]) -> Reason:
    beyond = round(mm_from_metres(-min(one.distance for one in arms)))
    return Reason(
        "arm-beyond-the-edge",
        f"An arm laid out may reach {beyond} mm beyond the platform's edge: lay arms on the trunk "
        "and see that they stay there.",
        (Quantity("beyond the edge", beyond, "mm"),),
    )


def _listed(parts: Sequence[_NearEdge], said: Callable[[_NearEdge], str]) -> str:
    words = [said(one) for one in parts]
    if len(words) == 1:
        return f"lies {words[0]}"
    return f"lie {', '.join(words[:-1])} and {words[-1]}"


def _numbers(case: Case, parts: Sequence[_NearEdge]) -> tuple[Quantity, ...]:
    half = Quantity(
        "from the mid-line to the edge", cm_from_metres(0.5 * case.bed.platform.width), "cm"
    )
    return (*(Quantity(one.part, round(mm_from_metres(one.distance)), "mm") for one in parts), half)


def _said(one: _NearEdge, *, are_postures_named: bool) -> str:
    distance = round(mm_from_metres(one.distance))
    place = f"{-distance} mm beyond it" if distance < 0 else f"{distance} mm from it"
    where = f", {_posture(one.posture)}" if are_postures_named else ""
    return f"the {one.part} ({place}{where})"


def _posture(posture: Posture) -> str:
    words = turn_in_words(posture.turn)
    if posture.backrest:
        words += f", backrest {deg_from_radians(posture.backrest):.0f}°"
    return words


def _held(rails: RailKind) -> str:
    if rails is RailKind.NONE:
        return "there is no rail, so it may hang over the edge"
    if rails is RailKind.UNDESCRIBED:
        return (
            "against a rail, or over the edge; which, cannot be told until somebody writes down "
            "the rails"
        )
    gaps = ", and between the parts of a split rail over the edge"
    return (
        "where a rail is up it leans on it (what the rail bears is not computed), else it hangs "
        f"over the edge{gaps if rails is RailKind.SPLIT else ''}"
    )


def _width(case: Case) -> str:
    wide = cm_from_metres(case.bed.platform.width)
    return f" Nobody measured the platform's width: taken as {wide:.0f} cm, and narrower is common."
