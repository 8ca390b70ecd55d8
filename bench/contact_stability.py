"""Bodies that cannot straighten, at every turn: does what is called stable stay when let go?

Each drawn body is followed to every settable turn to both sides; at one drawn turn the state is
compared with a damped dynamic run (`leeward.contact.damped_run`), pushed both ways along its
softest motion. A state short of stable that still has a balance was given for want of reserve:
there the body is let go with the reserve taken away, a tenth of its friction or one degree.

`python -m bench.contact_stability` prints every case; `... 12` only the first twelve.
"""

import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
from numpy.typing import NDArray

from bench.registry import Figure, measures
from leeward.contact.balance import find_balance
from leeward.contact.continuation import follow_turns, raise_sections, settle_level
from leeward.contact.damped_run import (
    MOVED_SLIDE,
    MOVED_TURN,
    DampedRun,
    Outcome,
    damped_run,
    softest_push,
)
from leeward.contact.path_step import must_slide, settle_at, turn_to
from leeward.contact.scenarios import corner_scenarios
from leeward.contact.segments import SEGMENTS
from leeward.contact.setting import Room, lay_down, make_room, with_anchors
from leeward.contact.stability import LARGEST_DEMAND, judge
from leeward.contact.stand import Stand
from leeward.terms.bed import Bed
from leeward.terms.body import Body, RestAngles, Sex
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.equipment import SurfaceGeometry, SurfaceKind
from leeward.terms.posture import Posture
from leeward.terms.units import deg_from_radians, radians_from_deg

Array = NDArray[np.float64]

SPLIT = SurfaceGeometry(SurfaceKind.SPLIT, 1.9, 0.85, 0.06, 0.15, 12.0)
WHOLE = replace(SPLIT, kind=SurfaceKind.WHOLE)
#: Largest turn asked of each kind of surface. [deg]
STEEPEST = {SPLIT: 40, WHOLE: 30}
RAISED = Posture(backrest=radians_from_deg(30.0), knee_raise=radians_from_deg(15.0))
SEED, TRIED = 20261125, 220
#: Where a balance was refused for want of reserve: friction left, or further turn. [-], [deg]
LESS_FRICTION, FURTHER = LARGEST_DEMAND.value, 1.0
LEVELS = np.linspace(0.0, 1.0, 31)[1:]


@dataclass(frozen=True)
class Ground:
    """One body, bed and posture, and the turn drawn for it. [deg]"""

    room: Room
    posture: Posture
    turn: float


@dataclass(frozen=True)
class Watched:
    """What was said of one body at one turn, and what it did."""

    state: EquilibriumState
    end: str
    at: float
    demand: float
    margin: float
    run: DampedRun

    @property
    def rests(self) -> bool:
        """Whether it rested where it lay, however it was pushed."""
        return bool(np.all(self.run.outcome == Outcome.RESTS))

    @property
    def agrees(self) -> bool:
        """Whether stable is the same as resting."""
        told = not np.any(self.run.outcome == Outcome.CANNOT_TELL)
        return told and (self.state == EquilibriumState.STABLE) == self.rests

    @property
    def slid_more(self) -> bool:
        """Whether it slid by more of the stated amount than it turned by."""
        slid = self.run.slid.max() / MOVED_SLIDE.value
        return bool(slid > self.run.rolled.max() / MOVED_TURN.value)


@dataclass(frozen=True)
class Case:
    """One body: its states at every turn, its longest solve, and the turn looked at."""

    ground: Ground
    states: NDArray[np.int8]
    is_finite: bool
    longest: float
    watched: Watched


def hard_body(generator: np.random.Generator) -> Body:
    """A body of 35 to 160 kg that cannot straighten hips, knees, legs or back."""
    while True:
        stature, mass = generator.uniform(1.46, 1.98), generator.uniform(35.0, 160.0)
        if 15.0 <= mass / stature**2 <= 55.0:
            break
    bent = [radians_from_deg(deg) for deg in generator.uniform(0.0, 90.0, 4)]
    swept, trunk, side = (radians_from_deg(deg) for deg in generator.uniform(-30.0, 30.0, 3))
    angles = RestAngles(*bent, windswept=swept, trunk_flexion=abs(trunk), trunk_side_bend=side)
    sex = Sex.MALE if generator.random() < 0.5 else Sex.FEMALE
    return Body(float(stature), float(mass), sex, rest_angles=angles)


def ground(number: int, generator: np.random.Generator) -> Ground:
    """A drawn body on a drawn friction: surfaces by turns, every other pair raised."""
    body = hard_body(generator)
    surface = (SPLIT, WHOLE)[number % 2]
    central = corner_scenarios(Bed(), surface, body)[0]
    scenario = replace(central, friction=float(generator.uniform(0.2, 0.8)))
    turn = 5.0 * generator.integers(1, STEEPEST[surface] // 5 + 1) * generator.choice([-1.0, 1.0])
    posture = Posture() if number % 4 < 2 else RAISED
    return Ground(make_room(body, Bed(), surface, (scenario,)), posture, float(turn))


def pushed(place: Ground, stand: Stand, turn: Array, friction: float = 1.0) -> DampedRun:
    """Let a body go from its last balance, pushed both ways."""
    lying = with_anchors(lay_down(place.room, place.posture, turn, stand.which), stand.anchors)
    push = softest_push(find_balance(lying, stand.pose))
    both = np.zeros(2, dtype=np.intp)
    weaker = replace(lying, friction=friction * lying.friction).take(both)
    return damped_run(weaker, stand.pose.take(both), np.concatenate([push, -push]))


def let_go_at_end(place: Ground, stand: Stand, turn: float, found: int) -> Watched:
    """Find where the path ends, degree by degree from the last stable turn, and look there."""
    room, posture, side = place.room, place.posture, float(np.sign(place.turn))
    before = stand
    while stand.state[0] == EquilibriumState.STABLE and abs(turn) < abs(place.turn) - 0.5:
        before, turn = stand, turn + side
        stand = turn_to(room, posture, before, np.array([radians_from_deg(turn)]))
    here, further = (np.array([radians_from_deg(t)]) for t in (turn, turn + FURTHER * side))
    refused = judge(stand.demand, stand.margin)[0]
    if stand.state[0] == EquilibriumState.STABLE:
        end, run = "step missed", pushed(place, stand, here)
    elif must_slide(room, posture, before, here)[0]:
        end, run = "slope", pushed(place, stand, here)
    elif refused == EquilibriumState.STABLE:
        end, run = "no balance", pushed(place, stand, here)
    elif refused == EquilibriumState.SLIDES:
        end, run = "friction reserve", pushed(place, stand, here, LESS_FRICTION)
    else:
        end, run = "turn reserve", pushed(place, stand, further)
    # where smaller steps find a balance that the path's own steps miss, the path is judged
    state = EquilibriumState(int(found if end == "step missed" else stand.state[0]))
    return Watched(state, end, turn, float(stand.demand[0]), float(stand.margin[0]), run)


def let_go_raised(place: Ground, flat: Stand) -> Watched:
    """Find where raising the sections ends, part by part, and look there."""
    room, stand, level = place.room, flat, place.posture
    for part in LEVELS:
        level = replace(
            place.posture,
            backrest=part * place.posture.backrest,
            knee_raise=part * place.posture.knee_raise,
        )
        before, stand = stand, settle_at(room, level, stand, stand.turn)
        if stand.state[0] != EquilibriumState.STABLE:
            break
    end = "raised, reserve"
    if stand.state[0] == EquilibriumState.NOT_SOLVED:
        end, stand = "raised, no balance", before
    run = pushed(replace(place, posture=level), stand, stand.turn, LESS_FRICTION)
    state = EquilibriumState(int(stand.state[0]))
    return Watched(state, end, 0.0, float(stand.demand[0]), float(stand.margin[0]), run)


def followed(place: Ground) -> Case:
    """Follow a body to every turn to both sides, timing each step, and look at one."""
    room, posture = place.room, place.posture
    begun = time.process_time()
    flat = settle_level(room, posture)
    stand = level = raise_sections(room, posture, flat)
    longest = time.process_time() - begun
    steps = int(STEEPEST[SPLIT if not room.is_whole() else WHOLE] // 5)
    stands = {0.0: level}
    for side in (-1.0, 1.0):
        stand = level
        for step in range(1, steps + 1):
            turn = 5.0 * step * side
            begun = time.process_time()
            if stand.state[0] == EquilibriumState.STABLE:
                stand = follow_from(place, stand, turn)
            longest = max(longest, time.process_time() - begun)
            stands[turn] = stand
    stable = [turn for turn, s in stands.items() if s.state[0] == EquilibriumState.STABLE]
    if level.state[0] != EquilibriumState.STABLE:
        watched = let_go_raised(place, flat)
    elif place.turn in stable:
        found = stands[place.turn]
        run = pushed(place, found, found.turn)
        figures = float(found.demand[0]), float(found.margin[0])
        watched = Watched(EquilibriumState.STABLE, "stable", place.turn, *figures, run)
    else:
        nearest = max((t for t in stable if t * place.turn >= 0.0), key=abs)
        watched = let_go_at_end(place, stands[nearest], nearest, stands[place.turn].state[0])
    finite = all(np.isfinite([s.demand[0], s.margin[0]]).all() for s in stands.values())
    states = np.array([s.state[0] for s in stands.values()])
    return Case(place, states, finite, longest, watched)


def follow_from(place: Ground, stand: Stand, turn: float) -> Stand:
    """One step of the path, as `follow_turns` makes it."""
    goal = np.array([radians_from_deg(turn)])
    if stand.turn[0] == 0.0:
        return follow_turns(place.room, place.posture, stand, goal)[0]
    return turn_to(place.room, place.posture, stand, goal)


@cache
def cases(count: int = TRIED) -> list[Case]:
    """All drawn bodies, followed."""
    generator = np.random.default_rng(SEED)
    return [followed(ground(number, generator)) for number in range(count)]


@measures("contact")
def hard_bodies() -> Iterator[Figure]:
    """Agreement of states with damped dynamic runs, and what stood in the way of it."""
    every = cases()
    seen = [case.watched for case in every]
    share = 100.0 / len(every)
    falls = [w for w in seen if w.state != EquilibriumState.STABLE]
    named = [w for w in falls if w.slid_more == (w.state == EquilibriumState.SLIDES)]
    wrong = [w for w in seen if w.state == EquilibriumState.STABLE and not w.rests]
    ends = [w for w in seen if w.end == "no balance"]
    missed = sum(w.end == "step missed" for w in seen)
    yield Figure("hard_bodies_tried", len(every), "bodies")
    yield Figure("hard_bodies_turns", sum(case.states.size for case in every), "postures")
    yield Figure("hard_bodies_agree_pct", share * sum(w.agrees for w in seen), "%")
    yield Figure("hard_bodies_stable", len(seen) - len(falls), "bodies")
    yield Figure("hard_bodies_stable_but_moved", len(wrong), "bodies")
    yield Figure("hard_bodies_cause_agrees_pct", 100.0 * len(named) / len(falls), "%")
    yield Figure("hard_bodies_not_finite", sum(not case.is_finite for case in every), "bodies")
    unsolved = sum(np.sum(case.states == EquilibriumState.NOT_SOLVED) for case in every)
    yield Figure("hard_bodies_not_solved", int(unsolved), "postures")
    yield Figure("hard_bodies_longest_solve_s", max(case.longest for case in every), "s")
    yield Figure("hard_bodies_step_missed", missed, "bodies")
    yield Figure("path_end_margin", max([w.margin for w in ends] or [0.0]), "-")
    yield Figure("path_ends_near_both", sum(w.demand > 0.8 for w in ends), "bodies")
    runs = [w.run.steps.max() for w in seen]
    yield Figure("damped_run_steps", float(np.median(runs)), "steps")


def main() -> None:
    """Print every case."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else TRIED
    generator = np.random.default_rng(SEED)
    for number in range(count):
        case = followed(ground(number, generator))
        w, place = case.watched, case.ground
        kind = "whole" if place.room.is_whole() else "split"
        outcomes = "/".join(Outcome(o).name for o in w.run.outcome)
        print(
            f"{number} {kind} {place.posture.backrest > 0:d} {place.turn:+.0f} "
            f"mu {place.room.scenarios[0].friction:.2f} {place.room.body.mass:.0f} kg | "
            f"{w.state.name} {w.end} at {w.at:+.0f} demand {w.demand:.3f} margin {w.margin:.4f} | "
            f"{outcomes} after {w.run.time.max():.1f} s, turned "
            f"{deg_from_radians(w.run.rolled.max()):.1f} {SEGMENTS[w.run.segment[0]]}, trunk "
            f"{deg_from_radians(w.run.trunk.max()):.1f}, slid {1e3 * w.run.slid.max():.0f} mm | "
            f"longest {case.longest:.2f} s | {'' if w.agrees else 'DISAGREES'} "
            f"{'' if w.state == 0 or w.slid_more == (w.state == 1) else 'cause'}",
            flush=True,
        )


if __name__ == "__main__":
    main()
