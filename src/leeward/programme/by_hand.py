"""What turns by hand on the carers' rounds would add to a programme that does not reach."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise, product

import numpy as np
from numpy.typing import NDArray

from leeward.programme.assessment import Judged
from leeward.programme.choices import CREDIBLE_SHARE
from leeward.programme.hand_day import HandJudged, HandStay, judged_by_hand, with_hand_stays
from leeward.programme.hand_turns import HandTurns, turned_by_hand_in
from leeward.programme.loads import protected_ceilings
from leeward.programme.offloading import TURN_WORK_MIN
from leeward.programme.problem import Problem
from leeward.programme.programme import ManualTask
from leeward.programme.quantities import listed, minutes, minutes_in_words, plain
from leeward.programme.search import LARGEST_INDEX
from leeward.programme.turn_limits import is_barred
from leeward.programme.windows import DayWindow, WindowKind
from leeward.terms.case import Case
from leeward.terms.clock import clock_text
from leeward.terms.site import RESPONSIVE_SITES, Side, Site
from leeward.terms.sourced import Sourced
from leeward.terms.units import SECONDS_PER_DAY, seconds_from_min
from leeward.terms.verdict import Reason
from leeward.tissue import constants

Array = NDArray[np.float64]

_CONVENTION = "convention of this project"

#: How long one turn by hand may relieve, tried from the shortest. [min]
RELIEF_MIN = tuple(
    Sourced(value, "min", _CONVENTION, "not applicable") for value in (30.0, 60.0, 120.0)
)
#: Rounds looked at beside those the carers make. [-]
MOST_MORE_ROUNDS = 4
#: Further rounds are put on the quarter of an hour. [min]
_ROUND_STEP_MIN = Sourced(15.0, "min", _CONVENTION, "not applicable")

#: Largest index from which sides chosen anew, or another programme, may still reach 1. [-]
#: Convention of this project: what lies beyond is not tried.
NEAR_ENOUGH = 1.1
#: Of those that come nearest, for how many the sides are chosen anew. [-] Convention.
_DESCENTS = 3

#: What a hand is passed under when the person has been turned by hand.
_HAND_REACHES = ("scapula", "sacrum", "coccyx", "buttock")


@dataclass(frozen=True, slots=True, eq=False)
class ByHand:
    """Turns by hand added to a programme.

    Parameters
    ----------
    task : ManualTask
        What is done and when; nobody is named yet.
    makes_it_qualify : bool
        Whether, with them, no index passes 1 and no load lasts too long, on central values.
    worst : ndarray, shape (d,)
        Largest index in each draw. [-]
    share_of_draws : float
        Share of the draws in which they make it qualify. [-]
    more_rounds : tuple of float
        Rounds that the carers do not make yet. [s]
    reason : Reason
        What they change, with numbers.
    """

    task: ManualTask
    makes_it_qualify: bool
    worst: Array
    share_of_draws: float
    more_rounds: tuple[float, ...]
    reason: Reason


@dataclass(frozen=True, slots=True, eq=False)
class _Plan:
    """Turns by hand to be tried."""

    stays: list[HandStay]
    relief: float
    counts_on_hand: bool
    ratio: Array
    spares: NDArray[np.bool_]


def turns_by_hand(
    given: Problem, one: Judged, short: tuple[Site, ...], hands: HandTurns
) -> ByHand | None:
    """Find the turns by hand on the rounds that make a programme reach the regime compared.

    Parameters
    ----------
    given : Problem
        The search.
    one : Judged
        A programme that does not qualify.
    short : tuple of Site
        Sites used or loaded too much.
    hands : HandTurns
        Loads of turns by hand.

    Returns
    -------
    ByHand or None
        The least that suffices on central values, or what comes nearest on the carers' own
        rounds; None without rounds, without such a site, or where no side may be turned to.

    Notes
    -----
    Tried in this order: on the carers' own rounds, then on up to four more in the middle of the
    longest gaps; the loads of the turn as computed, then with the class of a hand that passes
    under the sacrum and the raised side; left for 30, 60 and 120 min. On the carers' own rounds
    one that half of the draws agree on goes before one that fewer do. Of what suffices, rounds
    are then left out one by one, those during sleep first, while it still does. Sides follow one
    another; a barred side, one that a line does not reach, and one that would load a protected
    site beyond its ceiling are left out.
    """
    if not given.case.day.rounds or not short:
        return None
    trial = _Trial(given, one, short, hands)
    found = _found(trial)
    if found is None:
        return None
    plan, likeliest = found
    if bool(likeliest.agrees[0]):
        plan = _fewest(trial, plan)
    return _told(given, plan, short, trial.judge(plan))


def _found(trial: "_Trial") -> tuple[_Plan, HandJudged] | None:
    """The first that suffices; else what comes nearest, its sides chosen anew one by one."""
    on_own, tried = _on_own_rounds(trial)
    if on_own is not None:
        return on_own
    with_more = ((plan, trial.judge(plan, slice(1))) for plan in _plans(trial, is_own=False))
    for plan, found in with_more:
        if bool(found.agrees[0]):
            return plan, found
    return _nearest(trial, tried) if tried else None


def _on_own_rounds(
    trial: "_Trial",
) -> tuple[tuple[_Plan, HandJudged] | None, list[tuple[_Plan, HandJudged]]]:
    """What suffices on the carers' own rounds, if anything does, and all that was tried."""
    tried = [(plan, trial.judge(plan, slice(1))) for plan in _plans(trial, is_own=True)]
    enough = [one for one in tried if bool(one[1].agrees[0])]
    for plan, found in enough:
        if trial.judge(plan).agrees.mean() >= CREDIBLE_SHARE:
            return (plan, found), tried
    return (enough[0] if enough else None), tried


def _nearest(trial: "_Trial", tried: list[tuple[_Plan, HandJudged]]) -> tuple[_Plan, HandJudged]:
    nearest = sorted(tried, key=lambda one: _distance(one[1]))[:_DESCENTS]
    better = [
        _other_sides(trial, plan, found) if found.worst[0] <= NEAR_ENOUGH else (plan, found)
        for plan, found in nearest
    ]
    return min(better, key=lambda one: (_distance(one[1]), len(one[0].stays)))


def _distance(found: HandJudged) -> tuple[int, float]:
    """Guards broken, then the largest index, on the likeliest loads."""
    return int(found.breaks_guard[0].sum()), max(1.0, float(found.worst[0]))


def _other_sides(trial: "_Trial", plan: _Plan, found: HandJudged) -> tuple[_Plan, HandJudged]:
    """Turn to the other side on one round after the other, where that comes nearer."""
    for number, stay in enumerate(plan.stays):
        if bool(found.agrees[0]):
            break
        other = replace(stay, side=stay.side.other)
        if not trial.is_open(other.start, other.side, plan):
            continue
        changed = replace(plan, stays=[*plan.stays[:number], other, *plan.stays[number + 1 :]])
        reached = trial.judge(changed, slice(1))
        if _distance(reached) < _distance(found):
            plan, found = changed, reached
    return plan, found


@dataclass(frozen=True, slots=True, eq=False)
class _Trial:
    """A programme that falls short, and what people's hands could do about it."""

    given: Problem
    one: Judged
    short: tuple[Site, ...]
    hands: HandTurns

    def judge(self, plan: _Plan, draws: slice | None = None) -> HandJudged:
        draws = slice(len(self.hands.ratios.ratio)) if draws is None else draws
        day = with_hand_stays(self.given, self.hands, self.one.programme, plan.stays)
        return judged_by_hand(self.given, day, plan.ratio, draws=draws)

    def window_at(self, time: float) -> DayWindow | None:
        may = turned_by_hand_in(self.given.windows, self.given.compared.stay_limit.value)
        return next((window for window in may if window.span.contains(time)), None)

    def is_open(self, time: float, side: Side, plan: _Plan) -> bool:
        """Whether anybody may turn the person to a side at a time."""
        window = self.window_at(time)
        place = None if window is None else self.hands.place(window.posture, side)
        return place is not None and bool(plan.spares[place])


def _plans(trial: _Trial, *, is_own: bool) -> Iterator[_Plan]:
    given, hands = trial.given, trial.hands
    ratios = (hands.ratios.ratio, _with_hand_passed(given, trial.short, hands))
    kinds = [
        _Plan([], 0.0, bool(number), ratio, _spares(given, hands, ratio))
        for number, ratio in enumerate(ratios)
    ]
    reliefs = [seconds_from_min(one.value) for one in RELIEF_MIN]
    tried = list(_rounds_tried(given))
    for rounds in tried[:1] if is_own else tried[1:]:
        for kind in kinds:
            for relief, chosen in product(reliefs, _paired(rounds)):
                if relief <= given.compared.stay_limit.value + 1e-6:
                    plan = replace(kind, relief=relief)
                    laid = _on_rounds(trial, plan, chosen), _against(trial, plan, chosen)
                    yield from (one for one in laid if one.stays)


def _paired(rounds: tuple[float, ...]) -> tuple[tuple[float, ...], ...]:
    """All rounds; of an odd number, by which one side would come twice running, one fewer too."""
    if len(rounds) % 2 == 0 or len(rounds) < 3:
        return (rounds,)
    before, after = (*rounds[-1:], *rounds[:-1]), (*rounds[1:], *rounds[:1])
    gaps = [(late - early) % SECONDS_PER_DAY for early, late in zip(before, after, strict=True)]
    crowded = int(np.argmin(gaps))
    return (rounds[:crowded] + rounds[crowded + 1 :], rounds)


def _rounds_tried(given: Problem) -> Iterator[tuple[float, ...]]:
    """The carers' rounds, then up to four more, each in the middle of the longest gap."""
    rounds = tuple(sorted(given.case.day.rounds))
    yield rounds
    step = seconds_from_min(_ROUND_STEP_MIN.value)
    for _ in range(MOST_MORE_ROUNDS):
        following = (*rounds[1:], rounds[0] + SECONDS_PER_DAY)
        gaps = [after - before for before, after in zip(rounds, following, strict=True)]
        longest = int(np.argmax(gaps))
        middle = round((rounds[longest] + 0.5 * gaps[longest]) / step) * step % SECONDS_PER_DAY
        rounds = tuple(sorted({*rounds, middle}))
        yield rounds


def _on_rounds(trial: _Trial, plan: _Plan, rounds: tuple[float, ...]) -> _Plan:
    """Turns from side to side; where one side is not to be had, the other once more."""
    stays: list[HandStay] = []
    turned = Side.RIGHT
    for time in rounds:
        sides = [side for side in (turned.other, turned) if trial.is_open(time, side, plan)]
        if sides:
            turned = sides[0]
            stays.append(HandStay(time, plan.relief, turned))
    return replace(plan, stays=stays)


def _against(trial: _Trial, plan: _Plan, rounds: tuple[float, ...]) -> _Plan:
    """Turns to the side the unit has just come from, so that no side is lain on twice running."""
    stays: list[HandStay] = []
    for time in rounds:
        lain_on = _side_before(trial, plan, stays, time)
        side = Side.LEFT if lain_on is None else lain_on.other
        sides = [one for one in (side, side.other) if trial.is_open(time, one, plan)]
        if sides:
            stays.append(HandStay(time, plan.relief, sides[0]))
    return replace(plan, stays=stays)


def _side_before(trial: _Trial, plan: _Plan, stays: list[HandStay], time: float) -> Side | None:
    """Side the person lies on just before a time, as far as known by then."""
    window = next(one for one in trial.one.programme.windows if one.span.contains(time))
    since = (time - window.span.start) % SECONDS_PER_DAY
    if stays:
        since_hand = (time - stays[-1].start) % SECONDS_PER_DAY
        if since_hand <= plan.relief + 1e-6:
            return stays[-1].side
        since = min(since, since_hand - plan.relief)
    left = since % sum(stay.duration for stay in window.cycle)
    # at the edge of two stays the one that ends is the one lain on
    for stay in window.cycle:
        if left <= stay.duration + 1e-6 and not (left <= 1e-6 < since):
            return stay.posture.turned_to
        left -= stay.duration
    return window.cycle[-1].posture.turned_to


def _spares(given: Problem, hands: HandTurns, ratio: Array) -> NDArray[np.bool_]:
    """Turns by hand that load no protected site beyond its ceiling in any draw."""
    spares = np.ones(len(hands.ratios.postures), dtype=bool)
    for site, ceiling in protected_ceilings(given.case).items():
        if site in RESPONSIVE_SITES:
            column = hands.ratios.sites.index(site)
            spares &= (ratio[:, :, column] <= ceiling).all(axis=0)
    return spares


def _with_hand_passed(given: Problem, short: tuple[Site, ...], hands: HandTurns) -> Array:
    """What falls short or is protected bears no more than the class of a hand that passes."""
    ratio = hands.ratios.ratio.copy()
    for site in {*short, *protected_ceilings(given.case)}:
        if not any(part in site.value for part in _HAND_REACHES):
            continue
        column = hands.ratios.sites.index(site)
        freed = [frees(posture.turned_to, site) for posture in hands.ratios.postures]
        ratio[:, freed, column] = np.fmin(ratio[:, freed, column], constants.HAND_PASSES.value)
    return ratio


def _fewest(trial: _Trial, plan: _Plan) -> _Plan:
    """Leave rounds out one by one while what is left suffices; those during sleep first."""
    own, sleep = set(trial.given.case.day.rounds), trial.given.case.day.sleep
    order = sorted(
        (stay.start for stay in plan.stays),
        key=lambda time: (time in own, not sleep.contains(time), time),
    )
    singles = [{time} for time in order]
    starts = [stay.start for stay in plan.stays]
    pairs = sorted(pairwise(starts), key=lambda two: not sleep.contains(two[0]))
    share = float(trial.judge(plan).agrees.mean())
    for left_out in (*singles, *(set(pair) for pair in pairs), *singles):
        plan, share = _without(trial, plan, share, left_out)
    return plan


def _without(trial: _Trial, plan: _Plan, share: float, left_out: set[float]) -> tuple[_Plan, float]:
    """The plan without some of its rounds, where what is left suffices; the draws that agree."""
    kept = [stay for stay in plan.stays if stay.start not in left_out]
    if len(kept) == len(plan.stays):
        return plan, share
    anew = _on_rounds(trial, plan, tuple(stay.start for stay in kept))
    for fewer in (replace(plan, stays=kept), anew):
        if not fewer.stays or not bool(trial.judge(fewer, slice(1)).agrees[0]):
            continue
        agreeing = float(trial.judge(fewer).agrees.mean())
        if agreeing >= min(CREDIBLE_SHARE, share):
            return fewer, agreeing
    return plan, share


def sites_that_fall_short(given: Problem, one: Judged) -> tuple[Site, ...]:
    """Name the sites that turns by hand would have to relieve.

    Parameters
    ----------
    given : Problem
        The search.
    one : Judged
        A programme that does not qualify.

    Returns
    -------
    tuple of Site
        Sites with an index above 1, loaded without a break for too long, or never relieved for
        long enough in some long window.
    """
    nobody = HandTurns(given.table.ratios.part(()), {})
    day = with_hand_stays(given, nobody, one.programme, [])
    found = judged_by_hand(given, day, nobody.ratios.ratio, draws=slice(1))
    columns = set(given.guarded[found.breaks_guard[0]].tolist())
    columns |= set(np.flatnonzero(one.index[0] > LARGEST_INDEX).tolist())
    return tuple(
        site
        for number, site in enumerate(given.table.sites)
        if number in columns and site in RESPONSIVE_SITES
    )


def sides_that_free(case: Case, sites: tuple[Site, ...], count: int) -> list[Side]:
    """Choose the side turned to by hand on each round.

    Parameters
    ----------
    case : Case
        The case.
    sites : tuple of Site
        Sites no turn may lie on.
    count : int
        Rounds. [-]

    Returns
    -------
    list of Side
        In turn; never one that is barred or that one of the sites lies on. Empty where none is.
    """
    allowed = [
        side
        for side in Side
        if not is_barred(case, side) and all(frees(side, site) for site in sites)
    ]
    return [allowed[number % len(allowed)] for number in range(count)] if allowed else []


def frees(turned_to: Side | None, site: Site) -> bool:
    """Whether a turn frees a site: the mid-line and the side it raises.

    Parameters
    ----------
    turned_to : Side or None
        Side the person is turned to.
    site : Site
        The site.

    Returns
    -------
    bool
        False for the side lain on.
    """
    return site.side is not turned_to


def turns_in_words(rounds: tuple[float, ...], sides: list[Side]) -> str:
    """Say when people turn the person, and to which side.

    Parameters
    ----------
    rounds : tuple of float
        Times of day. [s]
    sides : list of Side
        Side turned to at each.

    Returns
    -------
    str
        With the side raised.
    """
    at = list(zip(rounds, sides, strict=True))
    return "; ".join(
        f"to the {side.value}, {side.other.value} side raised, at "
        + listed([clock_text(time) for time, turned in at if turned is side])
        for side in dict.fromkeys(sides)
    )


def _told(given: Problem, plan: _Plan, short: tuple[Site, ...], found: HandJudged) -> ByHand:
    rounds = tuple(stay.start for stay in plan.stays)
    more = tuple(time for time in rounds if time not in given.case.day.rounds)
    said = turns_in_words(rounds, [stay.side for stay in plan.stays])
    return ByHand(
        task=ManualTask(
            sites=short,
            what=f"Turn by hand: {said}. Let the unit down and stop it first, {_how(plan)}; after "
            f"{minutes_in_words(plan.relief)} take the pillow out, start the unit again and see "
            "it move.",
            times=rounds,
            duration=plan.relief,
            work_min=TURN_WORK_MIN.value,
            people=2,
        ),
        makes_it_qualify=bool(found.agrees[0]),
        worst=found.worst,
        share_of_draws=float(found.agrees.mean()),
        more_rounds=more,
        reason=_reason(given, plan, said, more, found),
    )


def _how(plan: _Plan) -> str:
    if plan.counts_on_hand:
        return (
            "then a pillow behind the back until a hand passes under the sacrum and the raised side"
        )
    return "then a pillow behind the back, and a hand passed under the sacrum"


def _reason(
    given: Problem, plan: _Plan, said: str, more: tuple[float, ...], found: HandJudged
) -> Reason:
    worst, suffices = float(found.worst[0]), bool(found.agrees[0])
    site = given.table.sites[int(np.nanargmax(found.index[0]))].value
    ending = "it would reach the regime compared" if suffices else "it would still not reach it"
    band, draws = _band(found)
    parts = [
        f"With turns by hand, {said}, each left for {minutes_in_words(plan.relief)}, {ending}: "
        f"largest index {worst:.2f}{band}, at the {site}{draws}."
    ]
    if not suffices:
        parts.append(f"Nor would it with up to {MOST_MORE_ROUNDS} more rounds.")
    if not suffices and worst <= LARGEST_INDEX:
        parts.append(_too_long(given, found))
    if more:
        parts.append(
            f"Nobody comes at {listed([clock_text(time) for time in more])} yet: that is "
            f"{len(more)} more round{'s' if len(more) > 1 else ''}."
        )
    if plan.counts_on_hand:
        parts.append(
            "It counts on a hand found to pass under the sacrum and the raised side each time."
        )
    allowing = _prescribers(given, plan)
    if allowing:
        parts.append(f"Whether to turn during {listed(allowing)} is for its prescriber to say.")
    return Reason(
        "turns-by-hand",
        " ".join(parts),
        (
            plain("largest index with turns by hand", worst),
            plain("lowest over the draws", float(np.nanmin(found.worst))),
            plain("highest over the draws", float(np.nanmax(found.worst))),
            plain("turns by hand a day", float(len(plan.stays))),
            plain("rounds more than now", float(len(more))),
            minutes("relief each time", plan.relief),
        ),
    )


def _band(found: HandJudged) -> tuple[str, str]:
    """Band, and share of the draws that agree; neither on the likeliest loads alone."""
    worst = found.worst
    if len(worst) == 1:
        return "", ", on the likeliest loads"
    return (
        f" ({np.nanmin(worst):.2f} to {np.nanmax(worst):.2f})",
        f"; {found.agrees.mean():.0%} of the draws agree",
    )


def _too_long(given: Problem, found: HandJudged) -> str:
    sites = [given.table.sites[n] for n in given.guarded[found.breaks_guard[0]]]
    return (
        f"What forbids it is time: {listed([f'the {site.value}' for site in sites])} would be "
        "loaded in one piece for longer than was seen clear, or relieved too briefly."
    )


def _prescribers(given: Problem, plan: _Plan) -> list[str]:
    """Prescribed windows in which the person is turned by hand."""
    prescribed = [one for one in given.windows if one.kind is WindowKind.PRESCRIBED]
    return [
        f"the {one.name}"
        for one in prescribed
        if any(one.span.contains(stay.start) for stay in plan.stays)
    ]
