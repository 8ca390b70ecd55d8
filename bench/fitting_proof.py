"""Tests before leaving, simulated from how a surface moves, not from the table of causes.

A surface is a gain, a rate, a leak and a lean on each side, hoses that may be exchanged, a sensor
that may be off, and a line under a body. Severities are stated with each fault. An instrument reads
it within 0.3 degrees (19 of 20), a watch within 8 s.
"""

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from itertools import combinations
from math import asin, radians
from pathlib import Path

import numpy as np
from scipy.stats import beta

from bench.registry import Figure, measures
from leeward.exchange.case_file import read_case
from leeward.exchange.fit_file import read_fit_sheet
from leeward.fitting.causes import NONE_KNOWN
from leeward.fitting.fit import fit
from leeward.fitting.proof import ProofOutcome, prove
from leeward.fitting.proof_readings import AngleReading, ProofReadings
from leeward.terms.skin import HandPassage
from leeward.terms.units import SECONDS_PER_HOUR

EXAMPLES = Path(__file__).parent.parent / "examples"
TURN = radians(20.0)
ERROR = radians(0.3)
RUNS = 200
MINUTES = (20.0, 40.0, 60.0)


@dataclass(frozen=True)
class Surface:
    """How one surface moves; a pair is for turns to the left and to the right."""

    empty_gain: tuple[float, float] = (1.0, 1.0)
    loaded_gain: tuple[float, float] = (0.98, 0.98)
    pace: tuple[float, float] = (1.0, 1.0)
    leak: tuple[float, float] = (0.0, 0.0)
    exchanged: bool = False
    lean: float = 0.0
    sensor_off: float = 0.0
    line: float = 0.0
    rises: float = 0.0


def between(rng: np.random.Generator, low: float, high: float) -> float:
    return float(rng.uniform(low, high))


Fault = Callable[[np.random.Generator, Surface], Surface]

#: Each fault with its severity, by the cause that the report should name.
FAULTS: dict[str, tuple[str, Fault]] = {
    "sides exchanged": ("the sides are exchanged", lambda _, s: replace(s, exchanged=True)),
    "upside down": ("the sides are exchanged", lambda _, s: replace(s, exchanged=not s.exchanged)),
    "leak, right side raised, 5 to 15 degrees/h": (
        "the part that raises the right side leaks",
        lambda r, s: replace(s, leak=(radians(between(r, 5, 15)), s.leak[1])),
    ),
    "leak, left side raised, 5 to 15 degrees/h": (
        "the part that raises the left side leaks",
        lambda r, s: replace(s, leak=(s.leak[0], radians(between(r, 5, 15)))),
    ),
    "hose to the right side narrowed, 50 to 75 % reached": (
        "the way to the part that raises the right side",
        lambda r, s: _narrowed(s, 0, between(r, 0.5, 0.75), between(r, 1.6, 3.0)),
    ),
    "hose to the left side narrowed, 50 to 75 % reached": (
        "the way to the part that raises the left side",
        lambda r, s: _narrowed(s, 1, between(r, 0.5, 0.75), between(r, 1.6, 3.0)),
    ),
    "drive too weak, 50 to 75 % reached under load": (
        "the drive is too weak",
        lambda r, s: replace(
            s, loaded_gain=(between(r, 0.5, 0.75),) * 2, pace=(between(r, 1.6, 3.0),) * 2
        ),
    ),
    "drive slow, 1.6 to 3 times as long": (
        "the drive is slow",
        lambda r, s: replace(s, pace=(between(r, 1.6, 3.0),) * 2),
    ),
    "leaning to the left, 5 to 8 degrees": (
        "bed or instrument stand askew, leaning to the person's left",
        lambda r, s: replace(s, lean=radians(between(r, 5, 8))),
    ),
    "leaning to the right, 5 to 8 degrees": (
        "bed or instrument stand askew, leaning to the person's right",
        lambda r, s: replace(s, lean=-radians(between(r, 5, 8))),
    ),
    "sensor of the unit off, 5 to 10 degrees": (
        "the unit's own sensor is out of place",
        lambda r, s: replace(s, sensor_off=radians(between(r, 5, 10))),
    ),
    "line off the middle, 8 to 14 cm to the left": (
        "the line lies too far to the person's left",
        lambda r, s: replace(s, line=between(r, 0.08, 0.14)),
    ),
}

#: What the table of causes does not know.
UNKNOWN: dict[str, Fault] = {
    "one side exchanged and the angle rises while held": lambda r, s: replace(
        s, loaded_gain=(-0.9, 1.3), rises=radians(between(r, 6, 12))
    ),
    "empty it falls short, loaded it overshoots, slow to one side": lambda r, s: replace(
        s, empty_gain=(0.6, 0.7), loaded_gain=(1.4, between(r, 1.25, 1.4)), pace=(2.0, 1.0)
    ),
    "empty exchanged, loaded not, and the sensor wanders": lambda r, s: replace(
        s, empty_gain=(-1.0, -1.0), sensor_off=radians(between(r, 5, 9)), lean=radians(4.0)
    ),
}


def _narrowed(surface: Surface, side: int, gain: float, pace: float) -> Surface:
    def put(pair: tuple[float, float], value: float) -> tuple[float, float]:
        return (value, pair[1]) if side == 0 else (pair[0], value)

    return replace(
        surface,
        empty_gain=put(surface.empty_gain, gain),
        loaded_gain=put(surface.loaded_gain, gain),
        pace=put(surface.pace, pace),
    )


def _reading(
    surface: Surface, rng: np.random.Generator, sign: float, *, loaded: bool, rise: float
) -> AngleReading:
    """One setting, from level up: an edge lifted about the line, seen by a leaning instrument."""
    side = 0 if sign > 0.0 else 1
    gain = (surface.loaded_gain if loaded else surface.empty_gain)[side] if sign else 0.0
    # The edge of the half is lifted by its part; what it reaches is a height, seen as an angle.
    height = 0.45 * np.sin(TURN) * gain
    turn = sign * asin(min(0.95, abs(height) / 0.45)) * (1.0 if gain >= 0.0 else -1.0)
    turn = -turn if surface.exchanged else turn

    def read(angle: float) -> float:
        return float(angle + surface.lean + rng.normal(0.0, ERROR / 1.96))

    later = ()
    hand = None
    if loaded and sign:
        rate = surface.leak[side] / SECONDS_PER_HOUR
        drift = surface.rises / SECONDS_PER_HOUR
        later = tuple(
            (60.0 * m, read(turn - np.sign(turn) * (rate - drift) * 60.0 * m)) for m in MINUTES
        )
        hand = _hand(surface, sign)
    found = read(turn)
    pace = surface.pace[side] * abs(TURN) * rise
    taken = max(1.0, pace + float(rng.normal(0.0, 4.0))) if sign else None
    shown = turn + surface.lean + surface.sensor_off + float(rng.normal(0.0, radians(0.3)))
    return AngleReading(loaded, sign * TURN, found, shown, taken, later, hand)


def _hand(surface: Surface, sign: float) -> HandPassage:
    """The sacrum is lifted off where the line lies under it or towards the lowered side."""
    aside = surface.line * sign
    return HandPassage.DOES_NOT_PASS if aside > 0.07 else HandPassage.PASSES


def simulated(surface: Surface, rng: np.random.Generator, rise: float) -> ProofReadings:
    """Readings of a whole test."""
    angles = tuple(
        _reading(surface, rng, sign, loaded=loaded, rise=rise)
        for loaded in (False, True)
        for sign in (0.0, 1.0, -1.0)
    )
    return ProofReadings(
        done_by="simulated", done_on=date(2026, 11, 25), second_person="simulated",
        unit_serial="simulated", software_version="1", instrument="simulated",
        instrument_error=ERROR, angles=angles, pause_backrest=radians(31.0),
        surface_level_after=10.0, mattress_firm_after=10.0, longest_release=20.0,
        released_by="simulated", mains_alarm=True, sensor_alarm=True,
    )  # fmt: skip


@measures("fitting")
def proofs() -> Iterator[Figure]:
    """Simulated tests: is the cause named, does anything faulty pass, is anything sound refused."""
    case = read_case(EXAMPLES / "cases" / "large.yaml").case
    assert case.equipment is not None
    ability = case.equipment.ability
    rise = ability.rise_time / ability.largest_turn_left
    rng = np.random.default_rng(20261125)

    def judged(surface: Surface) -> tuple[ProofOutcome, tuple[str, ...]]:
        proof = prove(case, simulated(surface, rng, rise))
        return proof.outcome, proof.causes

    found, passed, total = 0, 0, 0
    for cause, fault in FAULTS.values():
        for _ in range(RUNS):
            outcome, named = judged(fault(rng, Surface()))
            found += any(name.startswith(cause) for name in named)
            passed += outcome is ProofOutcome.NO_PROBLEM_FOUND
            total += 1
    both, pairs = 0, 0
    for (first, one), (second, other) in combinations(list(FAULTS.values())[1:], 2):
        for _ in range(RUNS // 20):
            outcome, named = judged(other(rng, one(rng, Surface())))
            both += any(first in name or second in name for name in named)
            passed += outcome is ProofOutcome.NO_PROBLEM_FOUND
            pairs += 1
    strange = [
        NONE_KNOWN in judged(fault(rng, Surface()))[1]
        for fault in UNKNOWN.values()
        for _ in range(RUNS)
    ]
    sound = [judged(Surface())[0] for _ in range(5 * RUNS)]
    refused = [
        one not in (ProofOutcome.NO_PROBLEM_FOUND, ProofOutcome.NOT_FINISHED) for one in sound
    ]
    unfinished = [one is ProofOutcome.NOT_FINISHED for one in sound]
    upper = float(beta.ppf(0.95, passed + 1, total + pairs - passed))
    yield Figure("cause_found_pct", 100.0 * found / total, "%")
    yield Figure("one_of_two_causes_found_pct", 100.0 * both / pairs, "%")
    yield Figure("faulty_passed_upper95_pct", 100.0 * upper, "%")
    yield Figure("sound_refused_pct", 100.0 * float(np.mean(refused)), "%")
    yield Figure("sound_not_finished_pct", 100.0 * float(np.mean(unfinished)), "%")
    yield Figure("unknown_called_unknown_pct", 100.0 * float(np.mean(strange)), "%")


@measures("fitting")
def posture_grid() -> Iterator[Figure]:
    """Processor time of the whole table for the heavy example's bed and unit."""
    case = read_case(EXAMPLES / "cases" / "large.yaml").case
    sheet = read_fit_sheet(EXAMPLES / "fitting" / "large.yaml")
    start = time.process_time()
    found = fit(replace(case, fit_sheet=sheet))
    taken = time.process_time() - start
    yield Figure("posture_grid_s", taken * 648 / len(found.rows), "s for 648 settings")
    yield Figure("posture_grid_settings", float(len(found.rows)), "settings")
