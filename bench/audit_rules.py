"""The safety rules once more, from their words alone: what a decision must never contain.

Shares nothing with the search or the recheck: it knows the terms, the decision and the load ratios
it was made from, and counts through every day by its own loop. It judges what is put to a
practitioner; it relaxes nothing.
"""

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from leeward.programme.decision import Choice, ChoiceName, Decision, Outcome
from leeward.terms.case import Case
from leeward.terms.equipment import Ability, Order, SurfaceKind
from leeward.terms.posture import Place, Posture, Support
from leeward.terms.regime import Regime
from leeward.terms.site import MANUALLY_OFFLOADED_SITES, RESPONSIVE_SITES, Side, Site

Array = NDArray[np.float64]
#: A part of the day: posture, length [s], window, and whether the unit makes it.
Piece = tuple[Posture, float, int, bool]

DAY = 86400.0
MINUTE = 60.0
#: Rounding in times [s], angles [rad] and indices [-].
NEAR_TIME, NEAR_ANGLE, NEAR = 1e-3, 1e-6, 1e-6
#: A movement in a few pieces gives the peak of one in many to less than a hundredth. [-]
NEAR_INDEX = 0.01
#: Pieces in which the audit counts a movement. [-]
MOVEMENT_PIECES = 15

# The model's numbers, written down again: docs/explanation/tissue.md.
TIME_CONSTANT, LOADED_RECOVERY, LAG = 7200.0, 0.25, 300.0
RELIEF_RECOVERY = math.log(10.0) / 0.75
RELIEVED, RELIEF_NEEDED = 0.9, 25 * MINUTE
TRIED_FROM, FAILED_SHARE = 0.8, 0.8
PROTECTED = 0.2
WHOLE_SURFACE = math.radians(15.0)
STEP_UP_AFTER_H = 72.0

_PROMISE = re.compile(
    r"probab|likelihood|chance of|risk of (?:injury|ulcer)|safe (?:for|hours)", re.I
)
_TURN = re.compile(r"turned to the (left|right)")
_TURN_AND_SIDE = re.compile(r"turned to the (left|right) [\d.]+°, (left|right) side raised")
_OPPOSITE = {"left": "right", "right": "left"}


@dataclass(frozen=True)
class Loads:
    """Load ratios (draws, postures, sites) and stability (draws, postures) a decision used."""

    postures: tuple[Posture, ...]
    sites: tuple[Site, ...]
    ratio: Array
    is_stable: NDArray[np.bool_]

    def at(self, posture: Posture) -> Array:
        """Ratios (draws, sites); unknown where the posture is not listed."""
        if posture.place is not Place.BED or posture not in self.postures:
            return np.full((self.ratio.shape[0], len(self.sites)), np.nan)
        return self.ratio[:, self.postures.index(posture)]

    def rests(self, posture: Posture) -> bool:
        """Whether the person lies still in it in every draw."""
        return posture in self.postures and bool(
            self.is_stable[:, self.postures.index(posture)].all()
        )


@dataclass(frozen=True)
class Audited:
    """A decision, the case and the loads it was made from, and the regime it compares with."""

    case: Case
    decision: Decision
    loads: Loads
    regime: Regime
    regime_loads: Loads


def broken_rules(audited: Audited) -> list[str]:
    """Every rule found broken, one line each; empty when nothing was found."""
    decision = audited.decision
    found = [*_words(decision), *_outcome(audited), *_hands(audited)]
    for choice in decision.choices:
        rules = CHOICE_RULES if choice.name is not ChoiceName.CLOSEST else LIMIT_RULES
        found.extend(f"{choice.name}: {line}" for rule in rules for line in rule(audited, choice))
    return found


# What is said -------------------------------------------------------------------------------------


def _sentences(decision: Decision) -> Iterator[str]:
    listed = (decision.reasons, decision.cautions, decision.cannot_accept)
    yield from (reason.sentence for reasons in listed for reason in reasons)
    yield from (one.example.sentence for one in decision.ruled_out)
    for choice in decision.choices:
        yield from choice.settings
        yield from (task.what for task in choice.programme.tasks)
        yield from (step.look for step in choice.programme.build_up)
        reasons = (*choice.reasons, *choice.assessment.reasons, *choice.recheck)
        yield from (reason.sentence for reason in reasons)


def _words(decision: Decision) -> Iterator[str]:
    for sentence in _sentences(decision):
        if _PROMISE.search(sentence):
            yield f"a promise or a probability: {sentence}"
        pairs = _TURN_AND_SIDE.findall(sentence)
        if len(pairs) != len(_TURN.findall(sentence)) or any(
            _OPPOSITE[to] != raised for to, raised in pairs
        ):
            yield f"a turn without the side raised, or with the wrong one: {sentence}"


def _outcome(audited: Audited) -> Iterator[str]:
    decision, person = audited.decision, audited.case.person
    offers = [one for one in decision.choices if one.name is not ChoiceName.CLOSEST]
    if (decision.outcome is Outcome.OFFERED) != bool(offers):
        yield f"outcome {decision.outcome} with {len(offers)} programmes offered"
    if decision.outcome in (Outcome.STOPPED, Outcome.CANNOT_TELL) and decision.choices:
        yield f"outcome {decision.outcome} with choices"
    said = " ".join(reason.sentence for reason in decision.cautions)
    for one in person.contraindications:
        signed = one.continues
        if signed is None or not (signed.by.strip() and signed.reason.strip()):
            if decision.outcome is not Outcome.STOPPED:
                yield f"{one.kind} and nobody signed, yet planning went on"
        elif signed.reason not in said or signed.by not in said:
            yield f"{one.kind}: the reason to go on is not repeated"
    for choice in decision.choices:
        is_offer = choice.name is not ChoiceName.CLOSEST
        if choice.assessment.qualifies is not is_offer:
            yield f"{choice.name} said to qualify: {choice.assessment.qualifies}"


def _hands(audited: Audited) -> Iterator[str]:
    """Heels and head need an owner and a method before anything is accepted."""
    if not audited.decision.choices:
        return
    owned = {
        one.site for one in audited.case.offloading if one.owner.strip() and one.method.strip()
    }
    said = " ".join(reason.sentence for reason in audited.decision.cannot_accept)
    for site in (Site.LEFT_HEEL, Site.RIGHT_HEEL, Site.OCCIPUT):
        if site not in owned and site.value not in said:
            yield f"nobody owns the {site.value}, yet it may be accepted"
        for choice in audited.decision.choices:
            if not any(site in task.sites for task in choice.programme.tasks):
                yield f"{choice.name}: no task for the {site.value}"


# The day ------------------------------------------------------------------------------------------


def _pieces(audited: Audited, choice: Choice) -> list[Piece]:
    """The day stay by stay; what is prescribed is read from the case, not from the programme."""
    pieces: list[Piece] = []
    for number, window in enumerate(choice.programme.windows):
        left, place = window.span.duration, 0
        turns = not _is_prescribed(audited, window.span.start)
        while left > NEAR_TIME:
            stay = window.cycle[place % len(window.cycle)]
            length = min(stay.duration, left)
            pieces.append((stay.posture, length, number, turns))
            left, place = left - length, place + 1
    return pieces


def _is_prescribed(audited: Audited, time: float) -> bool:
    """Whether the unit may not turn then: it was forbidden, or the backrest makes it pause."""
    case = audited.case
    edge = _ability(audited).pauses_above_backrest
    for one in case.day.prescribed:
        if one.span.contains(time):
            paused = edge is not None and one.posture.backrest > edge
            return one.posture.place is not Place.BED or not one.may_turn or paused
    return edge is not None and _usual_backrest(case) > edge


def _usual_backrest(case: Case) -> float:
    most = min(
        [case.bed.platform.largest_backrest]
        + [limit.value for limit in case.posture_limits.backrest]
        + ([] if case.person.greatest_backrest is None else [case.person.greatest_backrest])
    )
    return min(max(case.day.usual_backrest, case.person.least_backrest or 0.0), most)


def _ability(audited: Audited) -> Ability:
    assert audited.case.equipment is not None
    return audited.case.equipment.ability


def _turned(audited: Audited, choice: Choice) -> dict[Posture, None]:
    return dict.fromkeys(p for p, _, _, turns in _pieces(audited, choice) if turns)


# Limits -------------------------------------------------------------------------------------------


def _turn_limit(audited: Audited, side: Side, posture: Posture) -> float:
    case, ability = audited.case, _ability(audited)
    left = side is Side.LEFT
    edges = [ability.largest_turn_left if left else ability.largest_turn_right]
    edges += [one.largest for one in case.person.turn_limits if one.towards is side]
    slack = [one.largest_turn_left if left else one.largest_turn_right for one in case.person.lines]
    edges += [one for one in slack if one is not None]
    found = case.posture_limits.turn_left if left else case.posture_limits.turn_right
    edges += [limit.value for limit in found]
    assert case.equipment is not None
    bolster = Support.BOLSTER_LEFT if left else Support.BOLSTER_RIGHT
    whole = case.equipment.geometry.kind is SurfaceKind.WHOLE
    if whole and case.bed.friction is None and bolster not in posture.supports:
        edges.append(WHOLE_SURFACE)
    return min(edges)


def _turns(audited: Audited, choice: Choice) -> Iterator[str]:
    ability = _ability(audited)
    for posture in _turned(audited, choice):
        side, turn = posture.turned_to, abs(posture.turn)
        if side is None:
            continue
        if turn > _turn_limit(audited, side, posture) + NEAR_ANGLE:
            yield f"turned further to the {side} than allowed: {math.degrees(turn):.1f} degrees"
        if not _on_grid(turn, ability.smallest_turn, ability.turn_step):
            yield f"a turn that cannot be set: {math.degrees(turn):.2f} degrees"


def _on_grid(value: float, least: float, step: float) -> bool:
    if value < least - NEAR_ANGLE:
        return False
    steps = (value - least) / step if step > 0.0 else (value - least)
    return abs(steps - round(steps)) < 1e-4


def _settings(audited: Audited, choice: Choice) -> Iterator[str]:
    ability = _ability(audited)
    cycles = [
        window.cycle
        for window in choice.programme.windows
        if not _is_prescribed(audited, window.span.start)
    ]
    shown = {
        tuple((round(stay.posture.turn, 6), round(stay.duration, 3)) for stay in cycle)
        for cycle in cycles
    }
    if len(shown) > ability.programmes_per_day:
        yield f"{len(shown)} cycles on a unit that runs {ability.programmes_per_day}"
    for cycle in cycles:
        sides = "".join("-LR"[int(np.sign(stay.posture.turn))] for stay in cycle)
        if sides not in {_ORDER[order] for order in ability.orders}:
            yield f"an order that cannot be run: {sides}"
        if "-" in sides and audited.case.person.no_level_stays is not None:
            yield "a level stay, which somebody forbade"
        yield from _apart(ability, cycle)
        for stay in cycle:
            if not (
                ability.shortest_stay - NEAR_TIME
                <= stay.duration
                <= ability.longest_stay + NEAR_TIME
            ) or not _on_grid(stay.duration, ability.shortest_stay, ability.stay_step):
                yield f"a stay that cannot be set: {stay.duration / MINUTE:.1f} min"


_ORDER = {
    Order.LEFT_LEVEL_RIGHT_LEVEL: "L-R-",
    Order.LEFT_RIGHT: "LR",
    Order.LEFT_LEVEL: "L-",
    Order.RIGHT_LEVEL: "R-",
}


def _apart(ability: Ability, cycle: tuple) -> Iterator[str]:
    turned = [stay for stay in cycle if stay.posture.turn]
    level = {round(stay.duration, 3) for stay in cycle if not stay.posture.turn}
    turns = {round(abs(stay.posture.turn), 6) for stay in turned}
    stays = {round(stay.duration, 3) for stay in turned}
    if len(turns) > 1 and not ability.turns_may_differ:
        yield "turns that differ on a unit that has one"
    if len(stays) > 1 and not ability.stays_may_differ:
        yield "side stays that differ on a unit that has one"
    is_free = ability.level_stay_may_differ or ability.stays_may_differ
    if level and level != stays and not is_free:
        yield "a level stay of its own on a unit that has none"


def _kept_as_prescribed(audited: Audited, choice: Choice) -> Iterator[str]:
    windows = choice.programme.windows
    if abs(sum(window.span.duration for window in windows) - DAY) > NEAR_TIME:
        yield "windows that do not cover the day"
    edge = _ability(audited).pauses_above_backrest
    start = windows[0].span.start
    for posture, length, _, turns in _pieces(audited, choice):
        for one in audited.case.day.prescribed:
            if one.span.contains(start % DAY):
                asked = one.posture if not turns else one.posture.with_turn(posture.turn)
                if posture != asked:
                    yield f"{one.name} is not kept as prescribed"
        if posture.turn and edge is not None and posture.backrest > edge and turns:
            yield "a turn at a backrest at which the unit pauses"
        start += length


def _rests(audited: Audited, choice: Choice) -> Iterator[str]:
    for posture in _turned(audited, choice):
        if not audited.loads.rests(posture):
            yield f"not stable, or never computed: turn {math.degrees(posture.turn):.0f}"


def _protected(audited: Audited, choice: Choice) -> Iterator[str]:
    for one in audited.case.person.protected_sites:
        by = one.ceiling_by
        signed = by is not None and by.by.strip() and by.reason.strip()
        ceiling = PROTECTED if one.ceiling is None else one.ceiling
        ceiling = ceiling if signed else min(ceiling, PROTECTED)
        column = audited.loads.sites.index(one.site)
        for posture in _turned(audited, choice):
            load = audited.loads.at(posture)[:, column]
            if not bool((load <= ceiling + NEAR).all()):
                yield f"the protected {one.site} bears {load.max():.2f} of {ceiling:.2f}"


def _known(audited: Audited, choice: Choice) -> Iterator[str]:
    """What is not known is never offered: no missing load may look like none."""
    for posture in _turned(audited, choice):
        load = audited.loads.at(posture)
        for column, site in enumerate(audited.loads.sites):
            if site in RESPONSIVE_SITES and not bool(np.isfinite(load[:, column]).all()):
                yield f"the load of the {site} is not known"


def _build_up(_: Audited, choice: Choice) -> Iterator[str]:
    steps = choice.programme.build_up
    if not steps or steps[-1].share_of_turn != 1.0:
        yield "no build-up to the full turn"
    for before, after in pairwise(steps):
        if after.from_hour - before.from_hour < STEP_UP_AFTER_H - 1e-9:
            yield "a step up before 72 h"
        if after.share_of_turn < before.share_of_turn:
            yield "a step down in the build-up"
    if any(not step.look.strip() for step in steps):
        yield "a step without a look"


# Guards and index ---------------------------------------------------------------------------------


def _guarded(audited: Audited) -> list[int]:
    """Columns of responsive sites; a barred side leaves the scapula and buttock it would raise."""
    barred = [
        side
        for side in Side
        if any(
            one.towards is side and one.largest <= 0.0 for one in audited.case.person.turn_limits
        )
        or any(
            (one.largest_turn_left if side is Side.LEFT else one.largest_turn_right) == 0.0
            for one in audited.case.person.lines
        )
    ]
    lost = {
        Site(f"{side.other.value} {part}") for side in barred for part in ("scapula", "buttock")
    }
    return [
        column
        for column, site in enumerate(audited.loads.sites)
        if site in RESPONSIVE_SITES and site not in lost
    ]


def _central(loads: Loads, pieces: list[Piece]) -> Array:
    return np.array([loads.at(posture)[0] for posture, _, _, _ in pieces])


def _stay_limit(audited: Audited) -> float:
    cycle, longest = audited.regime.cycle, 0.0
    for start in range(len(cycle)):
        run = 0.0
        for stay in (*cycle[start:], *cycle[:start]):
            if stay.posture != cycle[start].posture:
                break
            run += stay.duration
        longest = max(longest, run)
    policy = audited.case.policy
    return longest if policy is None else min(longest, policy.interval)


def _stays(audited: Audited, choice: Choice) -> Iterator[str]:
    limit, run, last = _stay_limit(audited), 0.0, None
    for posture, length, _, turns in _pieces(audited, choice) * 2:
        run = (run + length if posture == last else length) if turns else 0.0
        last = posture if turns else None
        if turns and run > limit + NEAR_TIME:
            yield f"a stay of {run / MINUTE:.0f} min where {limit / MINUTE:.0f} are allowed"
            return


def _longest(lengths: list[float], counts: Array, breaks: Array, *, rounds: int) -> Array:
    """Longest sum, per site, of pieces that count between two that break."""
    run = np.zeros(counts.shape[1])
    longest = np.zeros(counts.shape[1])
    for number in [*range(len(lengths))] * rounds:
        run = np.where(breaks[number], 0.0, run + lengths[number] * counts[number])
        longest = np.maximum(longest, run)
    never = ~breaks.any(axis=0)
    return np.where(never & (longest > 0.0), np.inf, longest)


def _regime_pieces(audited: Audited) -> list[Piece]:
    return [(stay.posture, stay.duration, 0, True) for stay in audited.regime.cycle]


def _loaded(audited: Audited, choice: Choice) -> Iterator[str]:
    columns = _guarded(audited)
    pieces, regime = _pieces(audited, choice), _regime_pieces(audited)
    ratio = _central(audited.loads, pieces)[:, columns]
    lain = _central(audited.regime_loads, regime)[:, columns]
    relieved = ratio <= RELIEVED
    turns = np.array([[one[3]] for one in pieces])
    run = _longest([one[1] for one in pieces], ~relieved & turns, relieved, rounds=2)
    seen = _longest([one[1] for one in regime], lain > RELIEVED, ~(lain > RELIEVED), rounds=2)
    for place, column in enumerate(columns):
        if run[place] > seen[place] + NEAR_TIME:
            yield f"the {audited.loads.sites[column]} is loaded for {run[place] / MINUTE:.0f} min"


def _relief(audited: Audited, choice: Choice) -> Iterator[str]:
    """Each site at or below the load that relieves, together, movements at what they load."""
    columns, limit = _guarded(audited), _stay_limit(audited)
    pieces = _pieces(audited, choice)
    for number, window in enumerate(choice.programme.windows):
        if _is_prescribed(audited, window.span.start):
            continue
        cycle: list[Piece] = [(s.posture, s.duration, number, True) for s in window.cycle]
        owed = [(cycle, cycle[-1][0], 2)]
        if window.span.duration > limit:
            first = next(n for n, one in enumerate(pieces) if one[2] == number)
            whole = [one for one in pieces if one[2] == number]
            owed.append((whole, pieces[first - 1][0], 1))
        for part, before, rounds in owed:
            lengths, ratio, _ = _with_movements(audited, part, before)
            relieved = ratio[:, columns] <= RELIEVED
            found = _longest(lengths.tolist(), relieved, ~relieved, rounds=rounds)
            for place, column in enumerate(columns):
                if found[place] < RELIEF_NEEDED - NEAR_TIME:
                    site = audited.loads.sites[column]
                    yield f"the {site} is relieved for {found[place] / MINUTE:.0f} min in a cycle"


def allowance_peak(lengths: list[float], ratio: Array) -> Array:
    """Largest allowance of each site on a day that repeats, counted through again and again."""
    ends = np.cumsum(lengths)
    total = float(ends[-1])
    cuts = np.unique(np.concatenate(([0.0, total], ends, (ends + LAG) % total)))
    cuts = cuts[np.concatenate(([True], np.diff(cuts) > 1e-9))]
    middles = 0.5 * (cuts[:-1] + cuts[1:])
    now = np.searchsorted(ends, middles, side="right")
    use, recovery = _rates(ratio[now], _heaviest(ends, ratio, middles))
    kept = np.exp(-recovery * np.diff(cuts)[:, np.newaxis] / TIME_CONSTANT)
    steps = list(zip(use / recovery, kept, strict=True))
    allowance = np.zeros(ratio.shape[1])
    for _ in range(max(12, math.ceil(12 * DAY / total))):
        before = allowance
        for towards, left in steps:
            allowance = towards + (allowance - towards) * left
        if bool(np.allclose(before, allowance, rtol=0.0, atol=1e-10, equal_nan=True)):
            break
    peak = allowance
    for towards, left in steps:
        allowance = towards + (allowance - towards) * left
        peak = np.fmax(peak, allowance)
    return peak


def _heaviest(ends: Array, ratio: Array, times: Array) -> Array:
    """Heaviest load of the minutes up to each time, over the edge of the day too."""
    total, count = float(ends[-1]), len(ends)
    last = np.searchsorted(ends, times, side="right")
    rounds, earliest = np.divmod(times - LAG, total)
    first = np.searchsorted(ends, earliest, side="right") + rounds.astype(np.intp) * count
    found = ratio[last]
    for before in range(1, int((last - first).max()) + 1):
        place = np.maximum(last - before, first) % count
        found = np.maximum(found, ratio[place])
    return np.asarray(found)


def _rates(now: Array, governs: Array) -> tuple[Array, Array]:
    use = np.where(now < 0.05, math.sqrt(0.05) * now / 0.05, np.sqrt(now))
    use = np.where(now > 1.0, np.maximum(now, 1.0) ** 1.1, use)
    return use, LOADED_RECOVERY + RELIEF_RECOVERY * np.maximum(0.0, 1.0 - governs)


def _with_movements(
    audited: Audited, pieces: list[Piece], before: Posture
) -> tuple[Array, Array, NDArray[np.bool_]]:
    """Lengths, loads and whether the unit makes them, with every movement at one speed."""
    ability = _ability(audited)
    rate = max(ability.largest_turn_left, ability.largest_turn_right) / ability.rise_time
    lengths, ratio, turns = [], [], []
    for posture, length, _, is_turning in pieces:
        moving = 0.0
        if posture.place is Place.BED:
            moving = min(abs(posture.turn - before.turn) / rate, length)
        if moving > 0.0:
            stays = posture.turn != 0.0 or before.place is not Place.BED
            setting = (posture if stays else before).with_turn(0.0)
            share = (np.arange(MOVEMENT_PIECES) + 0.5) / MOVEMENT_PIECES
            way = before.turn + share * (posture.turn - before.turn)
            lengths.extend([moving / MOVEMENT_PIECES] * MOVEMENT_PIECES)
            ratio.extend(_between(audited.loads, setting, way))
            turns.extend([True] * MOVEMENT_PIECES)
        if length > moving:
            lengths.append(length - moving)
            ratio.append(audited.loads.at(posture)[0])
            turns.append(is_turning)
        before = posture
    return np.array(lengths), np.array(ratio), np.array(turns)


def _between(loads: Loads, setting: Posture, way: Array) -> Array:
    """Central loads on the way, straight between the turns that were computed."""
    known = sorted(
        (posture.turn, n)
        for n, posture in enumerate(loads.postures)
        if posture.place is Place.BED and posture.with_turn(0.0) == setting
    )
    at, rows = [turn for turn, _ in known], [n for _, n in known]
    return np.stack(
        [np.interp(way, at, loads.ratio[0, rows, column]) for column in range(len(loads.sites))],
        axis=1,
    )


def _index(audited: Audited, choice: Choice) -> Iterator[str]:
    for site, index in indices(audited, choice):
        if not index <= 1.0 + NEAR_INDEX:
            yield f"the {site} is used {index:.4f} times as much"


def indices(audited: Audited, choice: Choice) -> Iterator[tuple[Site, float]]:
    """How much each compared site is used beside the regime; on the rest of the day where a
    prescribed load is unknown."""
    regime = _regime_pieces(audited)
    lain = _central(audited.regime_loads, regime)
    reference = allowance_peak([one[1] for one in regime], lain)
    pieces = _pieces(audited, choice)
    lengths, ratio, turns = _with_movements(audited, pieces, pieces[-1][0])
    unknown = ~turns[:, np.newaxis] & np.isnan(ratio)
    for pattern in np.unique(unknown, axis=1).T:
        columns = np.flatnonzero((unknown == pattern[:, np.newaxis]).all(axis=0))
        peak = allowance_peak(lengths[~pattern].tolist(), ratio[~pattern][:, columns])
        for place, column in enumerate(columns.tolist()):
            site = audited.loads.sites[column]
            if site not in MANUALLY_OFFLOADED_SITES and reference[column] >= TRIED_FROM:
                yield site, float(peak[place] / reference[column])


Rule = Callable[[Audited, Choice], Iterator[str]]

#: What holds in whatever is shown, the closest programmes too.
LIMIT_RULES: tuple[Rule, ...] = (
    _turns, _settings, _kept_as_prescribed, _rests, _build_up, _protected,
)  # fmt: skip
#: What holds in whatever is offered.
CHOICE_RULES: tuple[Rule, ...] = (
    *LIMIT_RULES, _known, _stays, _loaded, _relief, _index,
)  # fmt: skip
