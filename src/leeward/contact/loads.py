"""The room's front door: loads of a body on a bed over postures and scenarios."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.continuation import follow_turns, raise_sections, settle_level
from leeward.contact.edges import edge_distances, is_over_edge, without_arms
from leeward.contact.load_table import LoadTable
from leeward.contact.mirror import (
    MIRRORED_SEGMENTS,
    MIRRORED_SITES,
    is_symmetric,
    mirrored_anchors,
    mirrored_rotation,
    mirrored_scenarios,
)
from leeward.contact.pose import Pose, joint_places
from leeward.contact.readings import (
    SITES,
    Bodies,
    patch_loads,
    roll_of,
    rotation_in_room,
)
from leeward.contact.scenarios import Scenario
from leeward.contact.segments import COUNT, INDEX
from leeward.contact.setting import Room, lay_down, make_room
from leeward.contact.side_supports import blocks_used
from leeward.contact.stand import Stand, join
from leeward.terms.bed import Bed
from leeward.terms.body import Body
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.equipment import SurfaceGeometry
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Place, Posture

Array = NDArray[np.float64]
Index = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class LoadRequest:
    """What loads are wanted.

    Parameters
    ----------
    body : Body
        The body.
    bed : Bed
        The bed it lies on.
    surface : SurfaceGeometry or None
        Tilting surface under the mattress; None: people turn the person by hand and put a
        wedge behind the back.
    postures : tuple of Posture
        Postures wanted, each at most once.
    scenarios : tuple of Scenario
        Ways the unknowns may be, from `corner_scenarios`.

    Raises
    ------
    CannotCompute
        Where nobody knows what holds a block that a posture uses.
    """

    body: Body
    bed: Bed
    surface: SurfaceGeometry | None
    postures: tuple[Posture, ...]
    scenarios: tuple[Scenario, ...]

    def __post_init__(self) -> None:
        # asked here, so that nothing is solved for a plan that will have no answer
        for posture in self.postures:
            blocks_used(self.bed, posture)


#: Bodies read off at once: fewer pay for every call, more leave the processor's own memory.
#: Source: convention of this project.
_READ_AT_ONCE: Final = 24

#: Computes several requests, one table each; a caller may do so on several processes at once.
Solve = Callable[[Sequence[LoadRequest]], Sequence[LoadTable]]


def each_in_turn(requests: Sequence[LoadRequest]) -> list[LoadTable]:
    """Compute several requests, one after another.

    Parameters
    ----------
    requests : sequence of LoadRequest
        What loads are wanted.

    Returns
    -------
    list of LoadTable
        One for each, as `posture_loads` gives it.
    """
    return [posture_loads(request) for request in requests]


def _check(request: LoadRequest) -> None:
    if not request.scenarios:
        raise InvalidInput(
            "no scenario was given",
            where="load request",
            expected="at least the central scenario",
            remedy="take them from corner_scenarios",
        )
    for posture in request.postures:
        angles = (posture.turn, posture.backrest, posture.knee_raise, posture.head_up)
        limits = (1.05, 1.4, 0.8, 0.35)
        if not all(abs(angle) <= limit for angle, limit in zip(angles, limits, strict=True)):
            raise InvalidInput(
                f"turn, backrest, knee raise and head-up of {angles} rad",
                where="load request, postures",
                expected=f"sizes up to {limits} rad",
                remedy="ask for postures a bed can make",
            )


def _effective(request: LoadRequest) -> tuple[tuple[Scenario, ...], Index]:
    """Scenarios that differ on this equipment, and which of them each asked one is."""
    is_line_felt = request.surface is None or request.surface.kind.value == "split"
    kept: dict[tuple[object, ...], int] = {}
    scenarios: list[Scenario] = []
    which = []
    for scenario in request.scenarios:
        line = scenario.line_offset if is_line_felt else 0.0
        key = (*scenario.person_part, line)
        if key not in kept:
            kept[key] = len(scenarios)
            scenarios.append(replace(scenario, line_offset=line))
        which.append(kept[key])
    return tuple(scenarios), np.array(which)


def _groups(postures: tuple[Posture, ...]) -> list[tuple[Posture, list[int]]]:
    """Postures in bed that differ only in their turn, with their places in the request."""
    groups: dict[Posture, list[int]] = {}
    for number, posture in enumerate(postures):
        if posture.place is Place.BED:
            groups.setdefault(posture.with_turn(0.0), []).append(number)
    return list(groups.items())


class _Filling:
    """A table being filled in, posture by posture."""

    def __init__(self, scenarios: int, postures: int) -> None:
        shape = (scenarios, postures)
        self.state = np.full(shape, EquilibriumState.NOT_MODELLED, dtype=np.int8)
        self.patch_load = np.full((*shape, len(SITES)), np.nan)
        self.figures = {
            name: np.full(shape, np.nan)
            for name in (
                "margin",
                "friction_demand",
                "pelvis_roll_bed",
                "pelvis_roll_room",
                "thorax_roll_bed",
                "thorax_roll_room",
                "edge_distance",
            )
        }
        self.segment_share = np.full((*shape, COUNT), np.nan)
        self.place = np.full((*shape, 3), np.nan)
        self.rotation = np.full((*shape, COUNT, 3, 3), np.nan)
        self.anchors: list[tuple[Array, ...] | None] = [None] * postures

    def put(self, room: Room, posture: Posture, stand: Stand, number: Index) -> None:
        """Read everything off the bodies that are stable, each in the posture of its number."""
        everyone = stand.which, number
        self.state[everyone] = stand.state
        self.figures["margin"][everyone] = stand.margin
        self.figures["friction_demand"][everyone] = stand.demand
        joint, _ = joint_places(stand.pose, room.figure.link)
        edge = edge_distances(room.figure, stand.pose, joint, room.bed.platform.width)
        rests, is_over = stand.state == EquilibriumState.STABLE, is_over_edge(edge)
        self.state[stand.which[rests & is_over], number[rests & is_over]] = (
            EquilibriumState.OVER_EDGE
        )
        resting = stand.which[rests], number[rests]
        self.figures["edge_distance"][resting] = without_arms(edge[rests])
        self.place[resting] = stand.pose.place[rests]
        self.rotation[resting] = stand.pose.rotation[rests]
        stable = np.flatnonzero(rests & ~is_over)
        if stable.size == 0:
            return
        part, at = stand.take(stable), (stand.which[stable], number[stable])
        lying = lay_down(room, posture, part.turn, part.which)
        bodies = Bodies(room, posture, lying, part.which, part.turn, part.pose, joint[stable])
        in_room = rotation_in_room(bodies)
        pelvis, thorax = INDEX["pelvis"], INDEX["thorax"]
        self.patch_load[at] = patch_loads(bodies)
        self.segment_share[at] = part.share
        self.figures["pelvis_roll_bed"][at] = roll_of(part.pose.rotation[:, pelvis])
        self.figures["thorax_roll_bed"][at] = roll_of(part.pose.rotation[:, thorax])
        self.figures["pelvis_roll_room"][at] = roll_of(in_room[:, pelvis])
        self.figures["thorax_roll_room"][at] = roll_of(in_room[:, thorax])

    def keep(self, stand: Stand, number: int) -> None:
        """Keep what holds the first body, if it is stable."""
        if stand.state[0] == EquilibriumState.STABLE:
            self.anchors[number] = tuple(anchor[0].copy() for anchor in stand.anchors)

    def keep_mirrored(self, room: Room, source: int, target: int, images: Index | None) -> None:
        """Keep what holds the first body, where it is its own mirror image."""
        anchors = self.anchors[source]
        if anchors is not None and images is not None and images[0] == 0:
            # a symmetric body in a symmetric posture lies on the mattress alone
            self.anchors[target] = (mirrored_anchors(room.figure, anchors[0]),)

    def mirror(self, source: int, target: int, images: Index | None) -> None:
        """Fill in a posture from its mirror image, scenario by scenario."""
        self.state[:, target] = self.state[images, source]
        self.patch_load[:, target] = self.patch_load[images, source][:, MIRRORED_SITES]
        self.segment_share[:, target] = self.segment_share[images, source][:, MIRRORED_SEGMENTS]
        for name, figure in self.figures.items():
            figure[:, target] = figure[images, source] * (-1.0 if "roll" in name else 1.0)
        self.place[:, target] = self.place[images, source] * (-1.0, 1.0, 1.0)
        self.rotation[:, target] = mirrored_rotation(self.rotation[images, source])


def _fill_group(room: Room, posture: Posture, turns: dict[int, float], table: _Filling) -> None:
    """Solve the turns of one group of postures; mirror those a mirror image answers."""
    images = mirrored_scenarios(room.scenarios) if is_symmetric(room.body, posture) else None
    copied = {} if images is None else _answered_by_mirror(turns)
    solved = [number for number in turns if number not in copied]
    level = raise_sections(room, posture, settle_level(room, posture))
    stands = follow_turns(room, posture, level, np.array([turns[number] for number in solved]))
    reached = dict(zip(solved, stands, strict=True))
    for numbers in _read_together(reached, len(room.scenarios)):
        several = join([reached[number] for number in numbers])
        table.put(room, posture, several, np.repeat(numbers, len(room.scenarios)))
    for number, stand in reached.items():
        table.keep(stand, number)
    for number, source in copied.items():
        table.mirror(source, number, images)
        table.keep_mirrored(room, source, number, images)


def _read_together(reached: dict[int, Stand], scenarios: int) -> Iterator[list[int]]:
    """Postures to be read off at once."""
    at_once = max(1, _READ_AT_ONCE // scenarios)
    # a bed that is not turned has no valley, not even a flat one: it is read by itself
    level = [number for number, stand in reached.items() if not np.any(stand.turn)]
    turned = [number for number in reached if number not in level]
    for group in (level, turned):
        for first in range(0, len(group), at_once):
            yield group[first : first + at_once]


def _answered_by_mirror(turns: dict[int, float]) -> dict[int, int]:
    """Postures turned to the right whose turn to the left is asked for too."""
    by_turn = {turn: number for number, turn in turns.items()}
    right = {number: turn for number, turn in turns.items() if turn < 0.0}
    return {number: by_turn[-turn] for number, turn in right.items() if -turn in by_turn}


def posture_loads(request: LoadRequest) -> LoadTable:
    """Compute where the load goes in every posture and scenario.

    Parameters
    ----------
    request : LoadRequest
        Body, bed, surface, postures and scenarios.

    Returns
    -------
    LoadTable
        States, patch loads, rolls, shares. Postures out of bed are NOT_MODELLED, those that lay
        trunk or head beyond the platform's edge OVER_EDGE; anything but STABLE has no loads.

    Raises
    ------
    CannotCompute
        For a mattress that is not foam and has no measured curve.
    InvalidInput
        For angles no bed can make.

    Notes
    -----
    Computed, not measured: nothing here has been validated on people who cannot move.
    Valid for adults within the tables of `leeward.contact.anthropometry`.
    """
    _check(request)
    scenarios, which = _effective(request)
    room = make_room(request.body, request.bed, request.surface, scenarios)
    table = _Filling(len(scenarios), len(request.postures))
    for posture, numbers in _groups(request.postures):
        turns = {number: request.postures[number].turn for number in numbers}
        _fill_group(room, posture, turns, table)
    return LoadTable(
        scenarios=request.scenarios,
        postures=request.postures,
        sites=SITES,
        patch_load=table.patch_load[which],
        state=table.state[which],
        segment_share=table.segment_share[which],
        figure=room.figure,
        pose=Pose(table.place[which], table.rotation[which]),
        anchors=tuple(table.anchors),
        **{name: value[which] for name, value in table.figures.items()},
    )
