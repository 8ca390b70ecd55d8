"""The model beside real people: bands along the body, changes on turning, shifts across."""

from collections.abc import Iterator
from functools import cache
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from bench.accuracy_maps import (
    BACKREST,
    CUTS,
    NAMES,
    OTHER_CUTS,
    OTHER_PITCH,
    PITCH,
    SUPINE,
    TO_THE_LEFT,
    TURNED,
    Print,
    people,
    print_of,
)
from bench.accuracy_model import Laying, print_raised, print_turned
from leeward.contact.scenarios import Arms

Array = NDArray[np.float64]
Cuts = tuple[float, ...]

MAPS: Final = "pmd 1.0.0, PhysioNet, mean maps"
LAID: Final = Laying()
#: The wedge pushed less or further under, and arms out on the mattress.
OTHERWISE: Final = {
    "under_30_mm": Laying(under=0.03),
    "under_90_mm": Laying(under=0.09),
    "arms_out": Laying(arms=Arms.FORWARD),
}
TRUNK, PELVIS = NAMES.index("upper trunk"), NAMES.index("pelvis")


class Check(NamedTuple):
    """One figure beside what was published or measured elsewhere; None where nothing was."""

    name: str
    ours: float
    theirs: float | None
    error: float | None
    unit: str
    source: str


def beside(name: str, ours: float, theirs: float, unit: str, source: str) -> Check:
    """Ours beside one value."""
    return Check(name, ours, theirs, ours - theirs, unit, source)


def between(name: str, ours: float, ends: tuple[float, float], unit: str, source: str) -> Check:
    """Beside the nearest value of a published range."""
    nearest = float(np.clip(ours, *ends))
    return beside(name, ours, nearest, unit, f"{source}: {ends[0]:g} to {ends[1]:g}")


def _over_people(prints: list[Print | None], cuts: Cuts) -> Array:
    """Bands (7, 6) in % of load; a person without rest has none."""
    return np.array([np.full(len(NAMES), np.nan) if p is None else p.bands(cuts) for p in prints])


def model_bands(posture: str, cuts: Cuts = CUTS, laying: Laying = LAID) -> Array:
    """Bands of the model lying like each person, (7, 6). [%]"""
    return _over_people([model_print(person, posture, laying) for person in people()], cuts)


@cache
def model_print(person: str, posture: str, laying: Laying = LAID) -> Print | None:
    """The model's print in a posture: `supine`, `turned 30`, `backrest 45` and so on."""
    body = people()[person]
    kind, _, angle = posture.partition(" ")
    if kind == "turned":
        return print_turned(body, float(angle), laying)
    return print_raised(body, float(angle or 0.0))


def records(posture: str) -> tuple[str, ...]:
    """Records of a posture."""
    kind, _, angle = posture.partition(" ")
    if kind == "turned":
        return TURNED[int(angle)]
    return (BACKREST[int(angle)],) if kind == "backrest" else SUPINE


def people_bands(posture: str, cuts: Cuts = CUTS, pitch: float = PITCH) -> Array:
    """Bands of each person, mean of the posture's records, (7, 6). [%]"""
    return np.array(
        [
            np.mean([print_of(p, record, pitch).bands(cuts) for record in records(posture)], axis=0)
            for p in people()
        ]
    )


def people_shifts(posture: str) -> Array:
    """How far each person's load moved to the low side from supine, by band, (7, 6). [m]"""
    shifts = []
    for person in people():
        level = np.mean([print_of(person, record).middles() for record in SUPINE], axis=0)
        moved = [
            (print_of(person, record).middles() - level) * (1 if record in TO_THE_LEFT else -1)
            for record in records(posture)
        ]
        shifts.append(np.mean(moved, axis=0))
    return np.array(shifts)


def model_shifts(posture: str, laying: Laying = LAID) -> Array:
    """How far the model's load moves to the low side from supine, by band, (7, 6). [m]"""
    shifts = []
    for person in people():
        level, turned = model_print(person, "supine"), model_print(person, posture, laying)
        if level is None or turned is None:
            shifts.append(np.full(len(NAMES), np.nan))
        else:
            shifts.append(turned.middles() - level.middles())
    return np.array(shifts)


def of_means(ours: Array, theirs: Array) -> float:
    """Mean difference of the two groups' means."""
    return float(np.mean(np.abs(ours.mean(axis=0) - theirs.mean(axis=0))))


def of_persons(ours: Array, theirs: Array) -> float:
    """Mean difference person by person."""
    return float(np.mean(np.abs(ours - theirs)))


def skill(ours: Array, theirs: Array) -> tuple[float, float, float, float]:
    """Mean errors of ours, of no change, of the mean of the others; ours against the better."""
    others = (theirs.sum(axis=0) - theirs) / (len(theirs) - 1)
    errors = [of_persons(guess, theirs) for guess in (ours, np.zeros_like(theirs), others)]
    return errors[0], errors[1], errors[2], 1.0 - errors[0] / min(errors[1:])


def band_checks() -> Iterator[Check]:
    """Bands of the groups' means, with other cuts and the other pitch beside them."""
    groups = {
        "supine": ("supine",),
        "roll": ("turned 30", "turned 60"),
        "backrest": ("backrest 30", "backrest 45", "backrest 60"),
    }
    for group, postures in groups.items():
        name = "backrest_bands" if group == "backrest" else f"bands_{group}"
        for ending, cuts, pitch in (
            ("", CUTS, PITCH),
            ("_cuts_b", OTHER_CUTS[0], PITCH),
            ("_cuts_c", OTHER_CUTS[1], PITCH),
            ("_pitch_inch", CUTS, OTHER_PITCH),
        ):
            pairs = [(model_bands(p, cuts), people_bands(p, cuts, pitch)) for p in postures]
            error = float(np.mean([of_means(*pair) for pair in pairs]))
            yield Check(f"{name}{ending}_pts", error, None, error, "points", MAPS)
        error = float(np.mean([of_persons(model_bands(p), people_bands(p)) for p in postures]))
        yield Check(f"{name}_person_pts", error, None, error, "points", MAPS)
        for posture in postures:
            ours, theirs = model_bands(posture).mean(axis=0), people_bands(posture).mean(axis=0)
            for band, mine, seen in zip(NAMES, ours, theirs, strict=True):
                label = f"{posture} {band}".replace(" ", "_")
                yield Check(label, mine, seen, mine - seen, "% of load", MAPS)


def shift_checks() -> Iterator[Check]:
    """Where the load goes across on turning."""
    for name, band in (("pelvis", PELVIS), ("trunk", TRUNK)):
        of_group, of_each = [], []
        for posture in ("turned 30", "turned 60"):
            ours, theirs = (
                100.0 * shifts[:, [band]]
                for shifts in (model_shifts(posture), people_shifts(posture))
            )
            label = f"{name}_shift_{posture}".replace(" ", "_")
            difference = float(ours.mean() - theirs.mean())
            yield Check(label, float(ours.mean()), float(theirs.mean()), difference, "cm", MAPS)
            of_group.append(of_means(ours, theirs))
            of_each.append(of_persons(ours, theirs))
        for ending, errors in (("", of_group), ("_person", of_each)):
            error = float(np.mean(errors))
            yield Check(f"{name}_shift{ending}_cm", error, None, error, "cm", MAPS)


def laying_checks() -> Iterator[Check]:
    """How much of the turned figures hangs on how people are taken to have lain."""
    postures = ("turned 30", "turned 60")
    for ending, laying in OTHERWISE.items():
        pairs = [(model_bands(p, laying=laying), people_bands(p)) for p in postures]
        error = float(np.mean([of_means(*pair) for pair in pairs]))
        yield Check(f"bands_roll_{ending}_pts", error, None, error, "points", MAPS)
        for name, band in (("pelvis", PELVIS), ("trunk", TRUNK)):
            errors = [
                100.0 * of_means(model_shifts(p, laying)[:, [band]], people_shifts(p)[:, [band]])
                for p in postures
            ]
            error = float(np.mean(errors))
            yield Check(f"{name}_shift_{ending}_cm", error, None, error, "cm", MAPS)


def repeat_checks() -> Iterator[Check]:
    """How far two records of one person differ, which no model can undercut."""
    level = _two_records(SUPINE)
    turned = np.concatenate([_two_records(TURNED[angle]) for angle in TURNED])
    for name, apart in (("supine", level), ("turned", turned)):
        found = float(np.mean(apart))
        yield Check(f"repeat_{name}_pts", found, None, None, "points", MAPS)
    # one record strays by the difference of two over root 2, the mean of two by half of it
    stray = 0.5 * float(np.hypot(np.mean(level), np.mean(turned)))
    yield Check("change_error_of_a_perfect_model", stray, None, stray, "points", MAPS)


def _two_records(names: tuple[str, ...]) -> Array:
    first, second = (np.array([print_of(p, name).bands() for p in people()]) for name in names)
    return np.asarray(np.abs(first - second))


def change_checks() -> Iterator[Check]:
    """Each person's change on turning against no change and the mean of the other people."""
    postures = ("turned 30", "turned 60")
    ours = np.hstack([model_bands(p) - model_bands("supine") for p in postures])
    theirs = np.hstack([people_bands(p) - people_bands("supine") for p in postures])
    yield from _skills("change", ours, theirs, "points")
    kept = [TRUNK, PELVIS]
    ours = np.hstack([100.0 * model_shifts(p)[:, kept] for p in postures])
    theirs = np.hstack([100.0 * people_shifts(p)[:, kept] for p in postures])
    yield from _skills("shift", ours, theirs, "cm")


def _skills(name: str, ours: Array, theirs: Array, unit: str) -> Iterator[Check]:
    error, nothing, others, gained = skill(ours, theirs)
    yield Check(f"{name}_error_model", error, None, error, unit, MAPS)
    yield Check(f"{name}_error_no_change", nothing, None, nothing, unit, MAPS)
    yield Check(f"{name}_error_mean_of_others", others, None, others, unit, MAPS)
    yield Check(f"{name}_skill", gained, None, None, "-", MAPS)


def people_checks() -> Iterator[Check]:
    """Every figure that the maps allow."""
    yield from band_checks()
    yield from shift_checks()
    yield from laying_checks()
    yield from change_checks()
    yield from repeat_checks()
