"""How much of one person's change on turning can be told, from what, and what repeats leave."""

from collections.abc import Callable, Iterator
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from bench.accuracy_maps import CUTS, OTHER_CUTS, PITCH, SUPINE, TURNED, people, print_of
from bench.accuracy_people import MAPS, Check, model_bands, of_persons, people_bands, records, skill

Array = NDArray[np.float64]
Cuts = tuple[float, ...]

POSTURES: Final = tuple(f"turned {angle}" for angle in TURNED)
#: Other records of people lying level, arms or legs elsewhere.
LEVEL_TOO: Final = ("p08", "p11", "p12")
#: Parts of the way that are tried. [-]
_PARTS: Final = np.linspace(0.0, 1.0, 41)
#: Mean size of a normal error over its standard deviation. [-]
_MEAN_SIZE: Final = float(np.sqrt(2.0 / np.pi))


class Told(NamedTuple):
    """Bands of each person, postures side by side, (7, 12). [% of load]

    `known` is the level map a guess may use: the one the change is counted from, whose error both
    then share, or another record of the same person.
    """

    level: Array
    known: Array
    turned: Array
    model_level: Array
    model_turned: Array

    @property
    def change(self) -> Array:
        """What is to be told."""
        return self.turned - self.level


def told(cuts: Cuts = CUTS) -> Told:
    """Everybody's bands, level and turned, measured and by the model."""
    level = np.tile(people_bands("supine", cuts), len(POSTURES))
    return Told(
        level,
        level,
        np.hstack([people_bands(posture, cuts) for posture in POSTURES]),
        np.tile(model_bands("supine", cuts), len(POSTURES)),
        np.hstack([model_bands(posture, cuts) for posture in POSTURES]),
    )


def with_another_level(seen: Told, counted_from: str, known: str) -> Told:
    """The same with one record as the level map counted from, and another as the one known."""
    of, by = (
        np.tile([print_of(p, name, PITCH).bands() for p in people()], len(POSTURES))
        for name in (counted_from, known)
    )
    return seen._replace(level=of, known=by)


def mean_of_others(value: Array) -> Array:
    """Mean of everybody but the person themself."""
    return np.asarray((value.sum(axis=0) - value) / (len(value) - 1))


def part_of_the_way(way: Array, change: Array) -> tuple[Array, float]:
    """One part of a guess, fitted to the others; the parts' mean is given too."""
    guess, parts = np.empty_like(change), []
    for person in range(len(change)):
        others = np.arange(len(change)) != person
        part = min(_PARTS, key=lambda c: of_persons(c * way[others], change[others]))
        guess[person] = part * way[person]
        parts.append(part)
    return guess, float(np.mean(parts))


def _toward_others(seen: Told) -> Array:
    return mean_of_others(seen.turned) - seen.known


def _toward_model(seen: Told) -> Array:
    return seen.model_turned - seen.known


def _model(seen: Told) -> Array:
    return seen.model_turned - seen.model_level


#: Guesses of which one part is fitted: by the model alone; from the person's own level map towards
#: how others lie turned, and towards how the model does.
WAYS: Final[dict[str, Callable[[Told], Array]]] = {
    "part_of_model": _model,
    "own_level_to_others": _toward_others,
    "own_level_to_model": _toward_model,
}


def _other_turn(seen: Told) -> tuple[Array, float]:
    """From the others' mean by a part of what the person's own map at the other angle adds."""
    half = seen.change.shape[1] // 2
    usual = mean_of_others(seen.change)
    found = seen.turned - seen.known
    own = np.roll(found - mean_of_others(found), half, axis=1)
    added, part = part_of_the_way(own, seen.change - usual)
    return usual + added, part


def strays(names: tuple[str, ...], is_group_left_out: bool) -> Array:
    """Variance of the mean of a posture's records by band, from how they differ, (6,)."""
    bands = np.array([[print_of(p, name, PITCH).bands() for name in names] for p in people()])
    apart = bands - bands.mean(axis=1, keepdims=True)
    freedom = bands.shape[0] * (bands.shape[1] - 1)
    if is_group_left_out:
        apart = apart - apart.mean(axis=0)
        freedom = (bands.shape[0] - 1) * (bands.shape[1] - 1)
    return np.asarray((apart**2).sum(axis=(0, 1)) / freedom / bands.shape[1])


def floor(level: tuple[str, ...], is_group_left_out: bool, is_level_known: bool) -> float:
    """Error of somebody who knows each person's true change. [points]

    Who knows the level map as well knows its error too; only the turned maps' is left.
    """
    turned = [strays(records(posture), is_group_left_out) for posture in POSTURES]
    at_level = 0.0 if is_level_known else strays(level, is_group_left_out)
    return _MEAN_SIZE * float(np.mean(np.sqrt(np.hstack([at_level + one for one in turned]))))


def _guesses(seen: Told) -> Iterator[tuple[str, Array, float]]:
    """Every guess by its name, with the part of the way it goes."""
    for name, way in WAYS.items():
        yield name, *part_of_the_way(way(seen), seen.change)
    yield "own_other_turn", *_other_turn(seen)


def another_record_checks() -> Iterator[Check]:
    """The same guesses where they do not share the error of the map they are counted from."""
    seen, gained = told(), dict[str, list[float]]()
    for names in (SUPINE, SUPINE[::-1]):
        one = with_another_level(seen, *names)
        for name, guess, _ in _guesses(one):
            gained.setdefault(name, []).append(skill(guess, one.change)[3])
    for name, values in gained.items():
        yield _skill(f"change_skill_{name}_another_record", float(np.mean(values)))


def change_told_checks() -> Iterator[Check]:
    """Best guesses with one person left out, and what repeats leave."""
    for ending, cuts in (("", CUTS), ("_cuts_b", OTHER_CUTS[0]), ("_cuts_c", OTHER_CUTS[1])):
        seen = told(cuts)
        for name, guess, part in _guesses(seen):
            yield _skill(f"change_skill_{name}{ending}", skill(guess, seen.change)[3])
            if not ending:
                yield Check(f"change_{name}_part", part, None, None, "-", MAPS)
    yield from another_record_checks()
    change = told().change
    base = min(
        of_persons(np.zeros_like(change), change), of_persons(mean_of_others(change), change)
    )
    for name, arguments in {
        "change_skill_floor": (SUPINE, False, False),
        "change_skill_floor_no_left_right": (SUPINE, True, False),
        "change_skill_floor_five_level_records": ((*SUPINE, *LEVEL_TOO), False, False),
        "change_skill_floor_own_level_known": (SUPINE, False, True),
    }.items():
        yield _skill(name, 1.0 - floor(*arguments) / base)


def _skill(name: str, value: float) -> Check:
    return Check(name, value, None, None, "-", MAPS)


def main() -> None:
    """Print every figure."""
    for check in change_told_checks():
        print(f"{check.name} {check.ours:.3f} {check.unit}")


if __name__ == "__main__":
    main()
