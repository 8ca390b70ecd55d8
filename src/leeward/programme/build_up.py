"""From the first day to the full programme: small turns first, and when the skin is looked at."""

from collections.abc import Callable

from leeward.programme.programme import BuildUpStep
from leeward.programme.settable import grid
from leeward.terms.equipment import Ability
from leeward.terms.posture import Posture, turn_in_words
from leeward.terms.regime import Stay
from leeward.terms.sourced import Sourced
from leeward.terms.units import SECONDS_PER_HOUR

_CONVENTION = "convention of this project"
_DEEP = f"{_CONVENTION}: deep injury can show two to three days late (common practice, no source)"

#: Earliest time of a step up after the one before it. [h]
STEP_UP_AFTER = Sourced(72.0, "h", _DEEP, "adults at risk")
#: Shares of the full turn given one after another. [-]
SHARES = (
    Sourced(0.5, "-", _CONVENTION, "not applicable"),
    Sourced(0.75, "-", _CONVENTION, "not applicable"),
    Sourced(1.0, "-", "the programme itself", "not applicable"),
)

_STOP = (
    "Redness that stays, pain, fear or a line that pulls: go back to the step before and ask who "
    "signed the programme."
)

_LEFT_OUT = (
    "No smaller turns first, since they would load what is to be protected or are no place to lie: "
)


def build_up(
    cycles: tuple[tuple[Stay, ...], ...], ability: Ability, may_lie: Callable[[Posture], bool]
) -> tuple[BuildUpStep, ...]:
    """Lay the steps to a programme.

    Parameters
    ----------
    cycles : tuple of tuple of Stay
        The cycles the unit runs, one for each turning window.
    ability : Ability
        What the unit can be set to: a step no smaller turn can be set for is left out.
    may_lie : callable of Posture to bool
        Whether a posture may be offered: a smaller turn may load a site the full one spares, and
        a step with such a turn is left out.

    Returns
    -------
    tuple of BuildUpStep
        From the first turn; steps up lie at least 72 h apart. The last one gives the full
        turns.
    """
    full = _turns(cycles)
    steps: list[BuildUpStep] = []
    given: tuple[float, ...] = ()
    left_out = False
    for share in SHARES:
        turns = tuple(_settable_part(turn, share.value, ability) for turn in full)
        is_full = turns == full
        if turns == given:
            continue
        if not is_full and not _may_lie_at(dict(zip(full, turns, strict=True)), cycles, may_lie):
            left_out = True
            continue
        hours = STEP_UP_AFTER.value * len(steps)
        steps.append(
            BuildUpStep(
                hours,
                1.0 if is_full else share.value,
                _LEFT_OUT * (left_out and not steps) + _look(turns, hours, cycles, is_full),
            )
        )
        given = turns
        if is_full:
            break
    return tuple(steps)


def _may_lie_at(
    part_of: dict[float, float],
    cycles: tuple[tuple[Stay, ...], ...],
    may_lie: Callable[[Posture], bool],
) -> bool:
    return all(
        may_lie(stay.posture.with_turn(part_of[stay.posture.turn]))
        for cycle in cycles
        for stay in cycle
        if stay.posture.turn != 0.0
    )


def _turns(cycles: tuple[tuple[Stay, ...], ...]) -> tuple[float, ...]:
    signed = {stay.posture.turn for cycle in cycles for stay in cycle if stay.posture.turn != 0.0}
    return tuple(sorted(signed, reverse=True))


def _settable_part(turn: float, share: float, ability: Ability) -> float:
    """The largest settable turn not above a share of the full one, or the smallest there is."""
    values = grid(ability.smallest_turn, abs(turn), ability.turn_step)
    inside = [value for value in values if value <= share * abs(turn) * (1.0 + 1e-6)]
    part = inside[-1] if inside else min((*values, abs(turn)))
    return turn if share >= 1.0 else (part if turn > 0.0 else -part)


def _look(
    turns: tuple[float, ...], hours: float, cycles: tuple[tuple[Stay, ...], ...], is_full: bool
) -> str:
    said = "; ".join(dict.fromkeys(turn_in_words(turn) for turn in turns))
    longest = max(sum(stay.duration for stay in cycle) for cycle in cycles) / SECONDS_PER_HOUR
    looks = (
        f"Look at the skin after the first full cycle ({longest:.1f} h), after the first night, at "
        "48 h and at 72 h"
    )
    looks += ", then at 7 days." if is_full else "."
    before = "" if hours == 0.0 else f"Not before {hours:.0f} h, and only if every look was clear. "
    until = "" if is_full else "Until the full turn is reached, turning as done before goes on. "
    return f"{said}. {before}{looks} {until}{_STOP}"
