"""Figures of the body on the bed: speed, balance of forces, bodies that find rest."""

import csv
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bench.registry import Figure, measures, median_seconds
from leeward.contact.balance import Lying, find_balance
from leeward.contact.continuation import Stand, follow_turns, settle_level
from leeward.contact.equilibrium import settle_together
from leeward.contact.loads import LoadRequest, LoadTable, posture_loads
from leeward.contact.pose import Pose, joint_places
from leeward.contact.scenarios import corner_scenarios
from leeward.contact.setting import (
    Room,
    anchored,
    first_pose,
    lay_down,
    make_room,
    with_anchors,
)
from leeward.terms.bed import Bed
from leeward.terms.body import Body, RestAngles, Sex
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.equipment import SurfaceGeometry, SurfaceKind
from leeward.terms.posture import Posture
from leeward.terms.units import STANDARD_GRAVITY, radians_from_deg

BODIES = Path(__file__).parent.parent / "tests" / "data" / "nhanes" / "adults.csv"
PERSON = Body(stature=1.68, mass=72.0, sex=Sex.FEMALE)
SPLIT = SurfaceGeometry(SurfaceKind.SPLIT, 1.9, 0.85, 0.06, 0.05, 12.0)
WHOLE = replace(SPLIT, kind=SurfaceKind.WHOLE)
#: Largest turn tried with contractures. [rad]
STEEPEST = {SPLIT: radians_from_deg(40.0), WHOLE: radians_from_deg(30.0)}
SEED, TRIED = 20261125, 200
LEVEL = Posture()
#: The damping that a level path begins with. [-]
FAR = 0.1
NAMED = (
    EquilibriumState.STABLE,
    EquilibriumState.SLIDES,
    EquilibriumState.TIPS,
    EquilibriumState.OVER_EDGE,
)


def _request(body: Body, surface: SurfaceGeometry, turns: list[float], count: int) -> LoadRequest:
    scenarios = corner_scenarios(Bed(), surface, body)[:count]
    postures = tuple(LEVEL.with_turn(turn) for turn in turns)
    return LoadRequest(body, Bed(), surface, postures, scenarios)


def laid(room: Room) -> tuple[Lying, Pose]:
    """The person laid down, level, not settled yet."""
    lying = lay_down(room, LEVEL, np.zeros(1), np.zeros(1, dtype=np.intp))
    pose = first_pose(lying)
    joint, _ = joint_places(pose, room.figure.link)
    return anchored(lying, pose, joint, release=True), pose


@measures("start")
def speed() -> Iterator[Figure]:
    """One balance, where every path starts, level loads, and all a plan asks of one person."""
    level = _request(PERSON, SPLIT, [0.0], 1)
    room = make_room(level.body, level.bed, level.surface, level.scenarios)
    one = median_seconds(partial(settle_together, *laid(room), FAR), 25)
    yield Figure("equilibrium_numpy_ms", 1e3 * one, "ms")
    settling = median_seconds(partial(settle_level, room, LEVEL), 15)
    yield Figure("level_start_ms", 1e3 * settling, "ms")
    yield Figure("level_loads_ms", 1e3 * median_seconds(partial(posture_loads, level), 15), "ms")
    turns = [radians_from_deg(deg) for deg in np.linspace(-40.0, 40.0, 17)]
    for surface in (SPLIT, WHOLE):
        person = partial(posture_loads, _request(PERSON, surface, turns, 17))
        yield Figure(f"person_{surface.kind.value}_s", median_seconds(person, 3), "s")


@measures("start")
def balance_of_weight() -> Iterator[Figure]:
    """Force left over at rest, level and turned, in share of the body's weight."""
    worst = 0.0
    for surface in (SPLIT, WHOLE):
        request = _request(PERSON, surface, [], 17)
        room = make_room(PERSON, Bed(), surface, request.scenarios)
        level = settle_level(room, LEVEL)
        turns = np.array([radians_from_deg(deg) for deg in (0.0, 10.0, 20.0, 30.0)])
        for stand in follow_turns(room, LEVEL, level, turns):
            worst = max(worst, _left_over(room, stand))
    yield Figure("weight_error_pct", 100.0 * worst, "%")


def _left_over(room: Room, stand: Stand) -> float:
    stable = np.flatnonzero(stand.state == EquilibriumState.STABLE)
    if not stable.size:
        return 0.0
    part = stand.take(stable)
    lying = with_anchors(lay_down(room, LEVEL, part.turn, part.which), part.anchors)
    force = find_balance(lying, part.pose).force[:, :3]
    weight = float(room.figure.mass.sum()) * STANDARD_GRAVITY
    return float(np.linalg.norm(force, axis=1).max()) / weight


def adults() -> list[Body]:
    """Measured adults of a public survey: stature, mass, sex, age."""
    with BODIES.open(newline="") as lines:
        return [
            Body(
                stature=float(row["stature_cm"]) / 100.0,
                mass=float(row["mass_kg"]),
                sex=Sex(row["sex"]),
                age=float(row["age_year"]),
            )
            for row in csv.DictReader(lines)
        ]


@measures("start")
def adults_flat() -> Iterator[Figure]:
    """Measured adults lying flat and level."""
    bodies = adults()
    stable = sum(_states(body, SPLIT, [0.0])[0, 0] == EquilibriumState.STABLE for body in bodies)
    yield Figure("nhanes_flat_tried", len(bodies), "bodies")
    yield Figure("nhanes_flat_stable", int(stable), "bodies")


@measures("start")
def contractures_turned() -> Iterator[Figure]:
    """Fixed bends at random: how many postures are stable, or end with their cause named."""
    generator = np.random.default_rng(SEED)
    ends: list[int] = []
    for _ in range(TRIED):
        surface = SPLIT if generator.random() < 0.5 else WHOLE
        turn = float(generator.uniform(-1.0, 1.0)) * STEEPEST[surface]
        body = replace(PERSON, rest_angles=_contractures(generator))
        ends.append(int(_states(body, surface, [turn])[0, 0]))
    yield Figure("contracted_tried", TRIED, "postures")
    yield Figure("contracted_stable", ends.count(EquilibriumState.STABLE), "postures")
    yield Figure("contracted_stable_or_named", sum(end in NAMED for end in ends), "postures")


def _contractures(generator: np.random.Generator) -> RestAngles:
    bent = [radians_from_deg(deg) for deg in generator.uniform(0.0, 90.0, 4)]
    windswept, trunk, side = (radians_from_deg(deg) for deg in generator.uniform(-30.0, 30.0, 3))
    return RestAngles(*bent, windswept=windswept, trunk_flexion=abs(trunk), trunk_side_bend=side)


def _states(body: Body, surface: SurfaceGeometry, turns: list[float]) -> NDArray[np.int8]:
    table: LoadTable = posture_loads(_request(body, surface, turns, 1))
    return table.state
