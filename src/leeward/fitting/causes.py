"""What would explain the readings of a test: a small table, ranked by how well each explains all.

Each line says what a cause makes of each reading; what it does not name it leaves in order. The
numbers behind the ranking are a convention of this project: a reading is what a cause makes of it
in nine of ten tests, and anything else as often as any other. To extend the table, add a line.
"""

import math
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations
from typing import Final

from leeward.fitting.leak import FAST_DROP, drop_rate
from leeward.fitting.proof_readings import AngleReading, ProofReadings
from leeward.terms.equipment import Ability
from leeward.terms.skin import HandPassage
from leeward.terms.sourced import Sourced


class Sign(StrEnum):
    """What a reading shows."""

    FINE = "fine"
    SHORT = "short"
    BEYOND = "beyond"
    OTHER_SIDE = "other side"
    LEANS_LEFT = "leans left"
    LEANS_RIGHT = "leans right"
    SLOW = "slow"
    DROPS = "drops"
    BLOCKED = "blocked"
    DIFFERS = "differs"


#: Readings and what each may show.
FEATURES: Final = {
    "empty left": (Sign.FINE, Sign.SHORT, Sign.BEYOND, Sign.OTHER_SIDE),
    "empty right": (Sign.FINE, Sign.SHORT, Sign.BEYOND, Sign.OTHER_SIDE),
    "loaded left": (Sign.FINE, Sign.SHORT, Sign.BEYOND, Sign.OTHER_SIDE),
    "loaded right": (Sign.FINE, Sign.SHORT, Sign.BEYOND, Sign.OTHER_SIDE),
    "level": (Sign.FINE, Sign.LEANS_LEFT, Sign.LEANS_RIGHT),
    "time left": (Sign.FINE, Sign.SLOW),
    "time right": (Sign.FINE, Sign.SLOW),
    "keeping left": (Sign.FINE, Sign.DROPS),
    "keeping right": (Sign.FINE, Sign.DROPS),
    "hand left": (Sign.FINE, Sign.BLOCKED),
    "hand right": (Sign.FINE, Sign.BLOCKED),
    "shown": (Sign.FINE, Sign.DIFFERS),
}

_SIDES = ("empty left", "empty right", "loaded left", "loaded right")

#: Causes, and what each makes of the readings. Source: worked out from how such surfaces are
#: built, convention of this project.
CAUSES: Final[dict[str, dict[str, Sign]]] = {
    "the sides are exchanged: hoses, or the unit lies head to foot or upside down": dict.fromkeys(
        _SIDES, Sign.OTHER_SIDE
    ),
    "the part that raises the right side leaks": {"keeping left": Sign.DROPS},
    "the part that raises the left side leaks": {"keeping right": Sign.DROPS},
    "the way to the part that raises the right side is narrowed (hose kinked, part caught)": {
        "empty left": Sign.SHORT, "loaded left": Sign.SHORT, "time left": Sign.SLOW,
    },
    "the way to the part that raises the left side is narrowed (hose kinked, part caught)": {
        "empty right": Sign.SHORT, "loaded right": Sign.SHORT, "time right": Sign.SLOW,
    },
    "the drive is too weak for this load": {
        "loaded left": Sign.SHORT, "loaded right": Sign.SHORT,
        "time left": Sign.SLOW, "time right": Sign.SLOW,
    },
    "the drive is slow": {"time left": Sign.SLOW, "time right": Sign.SLOW},
    "bed or instrument stand askew, leaning to the person's left": {
        "level": Sign.LEANS_LEFT, "empty left": Sign.BEYOND, "loaded left": Sign.BEYOND,
        "empty right": Sign.SHORT, "loaded right": Sign.SHORT,
    },
    "bed or instrument stand askew, leaning to the person's right": {
        "level": Sign.LEANS_RIGHT, "empty right": Sign.BEYOND, "loaded right": Sign.BEYOND,
        "empty left": Sign.SHORT, "loaded left": Sign.SHORT,
    },
    "the unit's own sensor is out of place": {"shown": Sign.DIFFERS},
    "the line lies too far to the person's left": {"hand left": Sign.BLOCKED},
    "the line lies too far to the person's right": {"hand right": Sign.BLOCKED},
}  # fmt: skip

#: How often a reading is what its cause makes of it.
KEPT: Final = Sourced(0.9, "-", "convention of this project", "not applicable")
#: A cause is named while it explains the readings at least this well beside the best.
NAMED: Final = Sourced(0.05, "-", "convention of this project", "not applicable")
#: Two causes at once are that much rarer than one.
RARER: Final = Sourced(0.02, "-", "convention of this project", "not applicable")

#: So many readings left open by the best cause say that none of the table may be the one.
#: Convention of this project. [-]
LEFT_OPEN: Final = 2

NONE_KNOWN: Final = "none of the known causes"
#: Off by more than this a reading is not fine; short of it by as much it is level. [rad]
_OFF: Final = 0.052
_LEAN: Final = 0.035


@dataclass(frozen=True, slots=True)
class Ranked:
    """Causes that explain the readings, best first.

    Parameters
    ----------
    named : tuple of str
        In words; two causes at once are joined by "and".
    read : int
        How many readings there were. [-]
    """

    named: tuple[str, ...]
    read: int


def rank(signs: dict[str, Sign]) -> Ranked:
    """Rank causes by how well each explains all readings.

    Parameters
    ----------
    signs : dict of str to Sign
        What was read; readings nobody took are left out.

    Returns
    -------
    Ranked
        None where nothing was read, or all that was read is fine.
    """
    if all(sign is Sign.FINE for sign in signs.values()):
        return Ranked((), len(signs))
    makes = CAUSES | _two_at_once()
    weights = {
        name: _explains(signs, made) * (1.0 if name in CAUSES else RARER.value)
        for name, made in makes.items()
    }
    order = sorted(weights, key=lambda name: -weights[name])
    named = [name for name in order if weights[name] >= NAMED.value * weights[order[0]]]
    # What even the best leaves open may be a cause that nobody has written into the table.
    is_strange = _left_open(signs, makes[order[0]]) >= LEFT_OPEN
    return Ranked((NONE_KNOWN, *named) if is_strange else tuple(named), len(signs))


def _two_at_once() -> dict[str, dict[str, Sign]]:
    """Pairs of causes that do not contradict each other, and what both make of the readings."""
    return {
        f"{first} and {second}": CAUSES[first] | CAUSES[second]
        for first, second in combinations(CAUSES, 2)
        if all(CAUSES[first].get(name, sign) is sign for name, sign in CAUSES[second].items())
    }


def _left_open(signs: dict[str, Sign], makes: dict[str, Sign]) -> int:
    """How many readings are not what a cause makes of them."""
    return sum(makes.get(name, Sign.FINE) is not sign for name, sign in signs.items())


def _explains(signs: dict[str, Sign], makes: dict[str, Sign]) -> float:
    """How well a cause explains the readings, over how well it could."""
    return math.prod(
        KEPT.value
        if makes.get(name, Sign.FINE) is sign
        else (1.0 - KEPT.value) / (len(FEATURES[name]) - 1)
        for name, sign in signs.items()
    )


def signs_of(readings: ProofReadings, ability: Ability) -> dict[str, Sign]:
    """Sort readings into what each shows.

    Parameters
    ----------
    readings : ProofReadings
        What was read.
    ability : Ability
        The unit's.

    Returns
    -------
    dict of str to Sign
        Only of what was read.
    """
    signs: dict[str, Sign] = {}
    for one in readings.angles:
        if one.wanted == 0.0:
            _note(signs, "level", _lean(one))
            continue
        side = "left" if one.wanted > 0.0 else "right"
        _note(signs, f"{'loaded' if one.is_loaded else 'empty'} {side}", _reach(one))
        _note(signs, f"time {side}", _pace(one, ability))
        if one.is_loaded:
            _note(signs, f"keeping {side}", _keeping(one, readings.instrument_error))
            _note(signs, f"hand {side}", _hand(one))
        _note(signs, "shown", _shown(one))
    return signs


def _note(signs: dict[str, Sign], name: str, sign: Sign | None) -> None:
    """Of several readings of one kind the one that is not fine is kept."""
    if sign is not None and signs.get(name, Sign.FINE) is Sign.FINE:
        signs[name] = sign


def _reach(one: AngleReading) -> Sign | None:
    if one.found is None:
        return None
    if one.found * one.wanted < 0.0 and abs(one.found) > _OFF:
        return Sign.OTHER_SIDE
    short = abs(one.wanted) - abs(one.found)
    if abs(short) <= _OFF:
        return Sign.FINE
    return Sign.SHORT if short > 0.0 else Sign.BEYOND


def _lean(one: AngleReading) -> Sign | None:
    if one.found is None:
        return None
    if abs(one.found) <= _LEAN:
        return Sign.FINE
    return Sign.LEANS_LEFT if one.found > 0.0 else Sign.LEANS_RIGHT


def _pace(one: AngleReading, ability: Ability) -> Sign | None:
    if one.time_to_angle is None:
        return None
    largest = ability.largest_turn_left if one.wanted > 0.0 else ability.largest_turn_right
    usual = ability.rise_time * abs(one.wanted) / max(largest, 1e-9)
    return Sign.SLOW if one.time_to_angle > 1.25 * usual else Sign.FINE


def _keeping(one: AngleReading, error: float | None) -> Sign | None:
    if not one.later or one.found is None or not error:
        return None
    times = (0.0, *(after for after, _ in one.later))
    turns = (abs(one.found), *(abs(turn) for _, turn in one.later))
    drop = drop_rate(times, turns, error)
    return Sign.DROPS if drop.low > 0.0 and drop.rate > FAST_DROP.value else Sign.FINE


def _hand(one: AngleReading) -> Sign | None:
    if one.hand is None:
        return None
    return Sign.FINE if one.hand is HandPassage.PASSES else Sign.BLOCKED


def _shown(one: AngleReading) -> Sign | None:
    if one.shown is None or one.found is None:
        return None
    return Sign.DIFFERS if abs(one.shown - one.found) > _OFF else Sign.FINE
