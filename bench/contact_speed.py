"""How fast bodies are solved, by compiled code where numba is installed and by NumPy.

Run as `python -m bench.contact_speed`; part of `make figures ONLY=contact`. Times are processor
time of one core, so that other programs matter less; those of two processes are wall time.
"""

import statistics
import time
from collections.abc import Callable, Iterator, Sequence
from functools import partial

import numpy as np
from numpy.typing import NDArray

from bench.registry import Figure, measures
from bench.start_contact import FAR, PERSON, SPLIT, laid
from leeward.contact.balance import find_balance
from leeward.contact.bands import bearing
from leeward.contact.compiled import IS_COMPILED
from leeward.contact.compiled_balance import balance_of, room_for_balance
from leeward.contact.continuation import follow_turns, raise_sections, settle_level
from leeward.contact.drawn_loads import draw_requests, drawn_loads
from leeward.contact.draws import Draw, draw_quantiles, draws, positions
from leeward.contact.edges import edge_distances
from leeward.contact.equilibrium import settle, settle_together
from leeward.contact.lain_out import lay_out
from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest, posture_loads
from leeward.contact.path_step import turn_to
from leeward.contact.pose import joint_places
from leeward.contact.readings import Bodies, patch_loads, rotation_in_room
from leeward.contact.response import FIRST_SOLVED, fit_response
from leeward.contact.scenarios import corner_scenarios
from leeward.contact.setting import Room, lay_down, make_room
from leeward.terms.bed import Bed
from leeward.terms.posture import Posture
from leeward.terms.units import radians_from_deg
from leeward.tissue.reference_load import load_ratios
from leeward.workers.side_by_side import SideBySide

Array = NDArray[np.float64]

LEVEL = Posture()
TURNS = tuple(radians_from_deg(float(degrees)) for degrees in range(-40, 45, 5))
BACKRESTS = tuple(radians_from_deg(degrees) for degrees in (0.0, 15.0, 30.0))
SURFACE = tuple(Posture(turn=turn, backrest=back) for back in BACKRESTS for turn in TURNS)
DRAWS, HELD_BACK, SEED = 200, 16, 20261125
#: Additions and multiplications on a plane, counted by hand in the loops of `compiled_field` and
#: `compiled_contact`: for every point of skin, and for every point in contact.
FLOPS_SKIN, FLOPS_TOUCHING = 27, 400
#: Numbers read and written likewise: a skin point's own, a contact point's rows.
NUMBERS_SKIN, NUMBERS_TOUCHING = 8, 120


def cpu_ms(action: Callable[[], object], runs: int) -> float:
    """Median processor time of several runs after one that warms up. [ms]"""
    action()
    taken = []
    for _ in range(runs):
        begun = time.process_time()
        action()
        taken.append(time.process_time() - begun)
    return 1e3 * statistics.median(taken)


def room_of(count: int) -> Room:
    """The person on the split surface in the first few scenarios."""
    return make_room(PERSON, Bed(), SPLIT, corner_scenarios(Bed(), SPLIT, PERSON)[:count])


@measures("contact")
def equilibrium() -> Iterator[Figure]:
    """One level balance from the layout; and twice settled and judged, where every path starts."""
    room = room_of(1)
    lying, pose = laid(room)
    numpy_ms = cpu_ms(partial(settle_together, lying, pose, FAR), 25)
    yield Figure("equilibrium_numpy_ms", numpy_ms, "ms")
    if IS_COMPILED:
        yield Figure("equilibrium_numba_ms", cpu_ms(partial(settle, lying, pose, FAR), 25), "ms")
    kind = "numba" if IS_COMPILED else "numpy"
    yield Figure(f"level_start_{kind}_ms", cpu_ms(partial(settle_level, room, LEVEL), 25), "ms")


@measures("contact")
def evaluation() -> Iterator[Figure]:
    """What one evaluation of forces and stiffness takes, beside what the machine can do."""
    room = room_of(1)
    lying, pose = laid(room)
    pose = settle(lying, pose, FAR).pose
    touching = np.count_nonzero(find_balance(lying, pose).touches[0].facing)
    skin = len(room.figure.point)
    flops = FLOPS_SKIN * skin + FLOPS_TOUCHING * touching
    numbers = NUMBERS_SKIN * skin + NUMBERS_TOUCHING * touching
    yield Figure("evaluation_skin", skin, "points")
    yield Figure("evaluation_touching", touching, "points")
    yield Figure("evaluation_kflop", 1e-3 * flops, "kflop")
    yield Figure("evaluation_kbyte", 8e-3 * numbers, "kB")
    yield Figure("evaluation_numpy_ms", cpu_ms(partial(find_balance, lying, pose), 50), "ms")
    if IS_COMPILED:
        spread = lay_out(lying)
        found = room_for_balance(spread)
        once = partial(balance_of, spread, 0, pose.place[0], pose.rotation[0], found)
        taken = cpu_ms(once, 200)
        yield Figure("evaluation_numba_ms", taken, "ms")
        yield Figure("evaluation_gflop_per_s", 1e-6 * flops / taken, "Gflop/s")
        yield Figure("evaluation_gbyte_per_s", 8e-6 * numbers / taken, "GB/s")
    matrix = np.ones((600, 600))
    product = cpu_ms(partial(np.matmul, matrix, matrix), 10)
    yield Figure("machine_gflop_per_s", 1e-6 * 2.0 * 600.0**3 / product, "Gflop/s")
    long = np.ones(8_000_000)
    copying = cpu_ms(partial(np.copyto, np.empty_like(long), long), 10)
    yield Figure("machine_gbyte_per_s", 1e-6 * 2.0 * long.nbytes / copying, "GB/s")


@measures("contact")
def slider_step() -> Iterator[Figure]:
    """One more degree from a solved neighbour in all seventeen scenarios, and all read off it."""
    room = room_of(17)
    start = raise_sections(room, LEVEL, settle_level(room, LEVEL))
    stand = follow_turns(room, LEVEL, start, np.array([radians_from_deg(20.0)]))[0]
    turn = np.full(len(stand.which), radians_from_deg(21.0))

    def step() -> None:
        moved = turn_to(room, LEVEL, stand, turn)
        lying = lay_down(room, LEVEL, moved.turn, moved.which)
        joint, _ = joint_places(moved.pose, room.figure.link)
        bodies = Bodies(room, LEVEL, lying, moved.which, moved.turn, moved.pose, joint)
        patch_loads(bodies)
        rotation_in_room(bodies)
        edge_distances(room.figure, moved.pose, joint, room.bed.platform.width)

    kind = "numba" if IS_COMPILED else "numpy"
    yield Figure(f"slider_step_{kind}_ms", cpu_ms(step, 9), "ms")


def surface_requests(drawn: Sequence[Draw]) -> tuple[LoadRequest, ...]:
    """Draws of a person at all turns, both sides, and three backrests."""
    return draw_requests(drawn, Bed(), SPLIT, SURFACE)


def surface_ratios(tables: Sequence[LoadTable]) -> Array:
    """Load ratios of draws at those postures, each by itself lying flat and level."""
    found = drawn_loads(tables)
    return load_ratios(found.patch_load, found.patch_load[:, SURFACE.index(LEVEL)], found.sites)


@measures("contact")
def person_surface() -> Iterator[Figure]:
    """Two hundred draws at fifty-one postures on two processes, started and compiled before.

    The first draws are solved and the others answered for. How far off the answers are is measured
    against direct solves of some of them, after the clock has stopped. Bands go by the same answers
    only where draws left out say that they are good enough, and solve every draw elsewhere.
    """
    spread = draw_quantiles(DRAWS, np.random.default_rng(SEED))
    drawn = draws(Bed(), SPLIT, PERSON, spread)
    few = [cpu_ms(partial(posture_loads, request), 1) for request in surface_requests(drawn[:6])]
    yield Figure("person_surface_draw_s", 1e-3 * statistics.median(few), "s")
    kind, first = "" if IS_COMPILED else "_numpy", int(FIRST_SOLVED.value)
    place = positions(drawn)
    with SideBySide(2) as solve:
        solve(surface_requests(drawn[-2:]))
        begun, own = time.perf_counter(), time.process_time()
        solved = surface_ratios(solve(surface_requests(drawn[:first])))
        response = fit_response(place[:first], solved)
        answered = response.predict(place[first:])
        taken, own = time.perf_counter() - begun, time.process_time() - own
        direct = surface_ratios(solve(surface_requests(drawn[first : first + HELD_BACK])))
    yield Figure(f"person_surface{kind}_s", taken, "s")
    yield Figure(f"person_surface{kind}_processor_of_one_s", own, "s")
    yield Figure("person_surface_solved", first, f"of {DRAWS} draws")
    told = np.isfinite(solved).all(axis=0).any(axis=-1)
    yield Figure("person_surface_answered", int(told.sum()), f"of {len(SURFACE)} postures")
    counted = bearing(solved)
    yield Figure("person_surface_error_left_out_95", response.error(counted), "of load ratio")
    off = np.abs(answered[:HELD_BACK] - direct)[:, counted]
    for share in (50, 95, 100):
        error = float(np.nanpercentile(off, share))
        yield Figure(f"person_surface_error_{share}", error, "of load ratio")


def main() -> None:
    """Print the figures."""
    for measurement in (equilibrium, evaluation, slider_step, person_surface):
        for figure in measurement():
            print(figure.line, flush=True)


if __name__ == "__main__":
    main()
