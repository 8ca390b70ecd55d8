"""What the day asks of every site, counted once more: index, guards, stays."""

import math
from collections.abc import Iterator, Sequence

from leeward.programme.programme import Window
from leeward.programme.recheck_allowance import LAG, peak_allowance
from leeward.programme.recheck_day import (
    Examined,
    RegimeLoads,
    is_exempt,
    is_known,
    load_of,
    present,
    regime_day,
)
from leeward.programme.recheck_finding import SLACK, finding, minutes_of, number_of
from leeward.programme.recheck_standing import (
    failed_sites,
    is_seen_clear_at,
    not_clear_sites,
)
from leeward.programme.recheck_travel import travel_time, travelled
from leeward.terms.case import Case
from leeward.terms.posture import Posture, turn_in_words
from leeward.terms.regime import Regime, TurnMeans
from leeward.terms.site import MANUALLY_OFFLOADED_SITES, RESPONSIVE_SITES, Side, Site
from leeward.terms.sourced import Sourced
from leeward.terms.units import SECONDS_PER_DAY
from leeward.terms.verdict import Reason

_OURS = "convention of this project"
_NOBODY = "not applicable"

RELIEVED_AT = Sourced(0.9, "-", _OURS, _NOBODY)
RELIEF_TIME = Sourced(1200.0, "s", _OURS, _NOBODY)
TRIED_FROM = Sourced(0.8, "-", _OURS, _NOBODY)
FAILED_SHARE = Sourced(0.8, "-", _OURS, _NOBODY)

#: Sums of stays are compared to a millisecond. [s]
_MOMENT = 1e-3


def load_unknown(seen: Examined) -> Iterator[Reason]:
    """Find responsive sites whose load in a turning window nobody knows.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Yields
    ------
    Reason
        One for each site and posture.
    """
    for stay in seen.turning:
        for site in present(RESPONSIVE_SITES, seen.case.person.body):
            if not is_known(seen.ratios, stay.posture, site):
                yield finding(
                    "load-unknown",
                    f"{stay.window.name.capitalize()}: how much the {site} is loaded "
                    f"{turn_in_words(stay.posture.turn)} is not known.",
                )


def index_above_one(seen: Examined) -> Iterator[Reason]:
    """Find sites used more than under the regime compared, or that cannot be compared.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Yields
    ------
    Reason
        One for each such site.
    """
    if seen.compared is None:
        return
    for site in _turnable(seen):
        peak = _least_peak(seen, site)
        reference = regime_peak(seen.compared, seen.given, site)
        if math.isnan(reference) and site in RESPONSIVE_SITES:
            yield finding(
                "site-not-comparable",
                f"How much the regime compared used the {site} is not known.",
            )
        tried = reference >= TRIED_FROM.value and is_seen_clear_at(seen, site)
        if tried and peak > reference * (1.0 + SLACK):
            yield finding(
                "index-above-one",
                f"The programme uses the {site} more than the regime compared did.",
                number_of("index", peak / reference),
                number_of("peak allowance", peak),
                number_of("under the regime", reference),
            )


def failed_regime_repeated(seen: Examined) -> Iterator[Reason]:
    """Find sites used nearly as much as under a regime their skin did not bear.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Yields
    ------
    Reason
        One for each site and failed regime.
    """
    regimes = [(loads, failed_sites(seen, loads.regime)) for loads in seen.failed]
    if seen.compared is not None:
        regimes.append((seen.compared, not_clear_sites(seen)))
    for loads, sites in regimes:
        for site in (site for site in _turnable(seen) if site in sites):
            ceiling = FAILED_SHARE.value * regime_peak(loads, seen.given, site)
            peak = _least_peak(seen, site)
            if not peak <= ceiling * (1.0 + SLACK):
                yield finding(
                    "failed-regime-repeated",
                    f"The skin over the {site} is or was not clear under {loads.regime.name}, "
                    "and the programme is not known to use it clearly less.",
                    number_of("peak allowance", peak),
                    number_of("ceiling", ceiling),
                )


def relief_too_short(seen: Examined) -> Iterator[Reason]:
    """Find guarded sites that a cycle or a window does not relieve for long enough.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Yields
    ------
    Reason
        One for each site and window.
    """
    interval = stay_limit(seen)
    needed = RELIEF_TIME.value + LAG.value
    for window in seen.programme.windows:
        if is_exempt(window, seen.case) or window.span.duration <= interval + _MOMENT:
            continue
        for site in guarded(seen):
            found = _relief_in_window(seen, window, site)
            if found < needed - _MOMENT:
                yield finding(
                    "relief-too-short",
                    f"{window.name.capitalize()}: the {site} is never relieved for long enough "
                    "in one piece.",
                    minutes_of("longest relief", found),
                    minutes_of("relief needed", needed),
                )


def loaded_too_long(seen: Examined) -> Iterator[Reason]:
    """Find guarded sites loaded longer in one piece than under the regime compared.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Yields
    ------
    Reason
        One for each site.
    """
    if seen.compared is None:
        return
    for site in guarded(seen):
        allowed, found = _longest_seen_loaded(seen.compared, site), _longest_loaded(seen, site)
        if found > allowed + _MOMENT:
            yield finding(
                "loaded-too-long",
                f"The {site} is loaded longer in one piece than the regime compared ever did.",
                minutes_of("longest load", found),
                minutes_of("under the regime", allowed),
            )


def _longest_seen_loaded(loads: RegimeLoads, site: Site) -> float:
    """Under the regime an unknown load proves nothing."""
    day = regime_day(loads.regime)
    loaded = [load_of(loads.ratios, posture, site) > RELIEVED_AT.value for _, posture in day]
    return _longest_piece([duration for duration, _ in day], loaded, [not one for one in loaded])


def _longest_loaded(seen: Examined, site: Site) -> float:
    """Under the programme an unknown load counts; a prescription neither counts nor relieves."""
    loads = [load_of(seen.ratios, stay.posture, site) for stay in seen.stays]
    relieved = [load <= RELIEVED_AT.value for load in loads]
    pairs = zip(relieved, seen.stays, strict=True)
    counts = [not free and not stay.is_exempt for free, stay in pairs]
    return _longest_piece([stay.duration for stay in seen.stays], counts, relieved)


def stay_too_long(seen: Examined) -> Iterator[Reason]:
    """Find stays in one posture longer than any seen clear or than the policy allows.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Yields
    ------
    Reason
        One for each posture kept too long.
    """
    limit = stay_limit(seen)
    kept: float = 0.0
    before: Posture | None = None
    for stay in (*seen.stays, *seen.stays):
        if stay.is_exempt:
            before = None
            continue
        kept = kept + stay.duration if stay.posture == before else stay.duration
        before = stay.posture
        if kept > limit + _MOMENT:
            yield finding(
                "stay-too-long",
                f"{stay.window.name.capitalize()}: {turn_in_words(stay.posture.turn)} is kept "
                "longer than the policy allows or than was ever seen clear.",
                minutes_of("longest allowed", limit),
            )


def stay_limit(seen: Examined) -> float:
    """Longest stay allowed.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Returns
    -------
    float
        The policy's interval or the longest stay of the regime compared, whichever is
        shorter; 0 where neither is known. [s]
    """
    limits = [] if seen.case.policy is None else [seen.case.policy.interval]
    if seen.compared is not None:
        limits.append(_longest_stay(seen.compared.regime))
    return min(limits, default=0.0)


def guarded(seen: Examined) -> tuple[Site, ...]:
    """Sites that every guard applies to.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Returns
    -------
    tuple of Site
        Every responsive site but those that only a turn to a barred side would raise.
    """
    raised = [side.other for side in Side if _is_barred(seen, side)]
    lost = {f"{side} {part}" for side in raised for part in ("scapula", "buttock")}
    responsive = present(RESPONSIVE_SITES, seen.case.person.body)
    return tuple(site for site in responsive if site.value not in lost)


def regime_peak(loads: RegimeLoads, case: Case, site: Site) -> float:
    """Peak allowance of a site under a regime.

    Parameters
    ----------
    loads : RegimeLoads
        The regime and its load ratios.
    case : Case
        Its unit is what a regime on a surface was run on.
    site : Site
        The site.

    Returns
    -------
    float
        NaN where a load is unknown. [-]
    """
    day = regime_day(loads.regime)
    durations: list[float] = []
    ratios: list[float] = []
    before = day[-1][1] if day else Posture()
    for duration, posture in day:
        by_surface = loads.regime.means is not TurnMeans.BY_HAND
        travel = (
            travelled(loads.ratios, case, site, (before, posture), duration) if by_surface else []
        )
        durations += [step for step, _ in travel]
        ratios += [load for _, load in travel]
        durations.append(max(0.0, duration - sum(step for step, _ in travel)))
        ratios.append(load_of(loads.ratios, posture, site))
        before = posture
    return peak_allowance(durations, ratios)


def _is_barred(seen: Examined, side: Side) -> bool:
    left = side is Side.LEFT
    personal = [one.largest for one in seen.case.person.turn_limits if one.towards is side]
    slack = [
        line.largest_turn_left if left else line.largest_turn_right
        for line in seen.case.person.lines
    ]
    return any(edge is not None and edge <= 0.0 for edge in (*personal, *slack))


def _turnable(seen: Examined) -> tuple[Site, ...]:
    """Sites that have an index: the responsive ones and every other the loads are known of."""
    known = dict.fromkeys((*RESPONSIVE_SITES, *seen.ratios.sites))
    sites = tuple(site for site in known if site not in MANUALLY_OFFLOADED_SITES)
    return present(sites, seen.case.person.body)


def _least_peak(seen: Examined, site: Site) -> float:
    """Peak allowance if whatever a prescribed posture loads by an unknown amount were free.

    A bound from below: a programme that goes beyond the regime even so is found; what stays
    within it is no more than not found.
    """
    durations: list[float] = []
    loads: list[float] = []
    before = seen.stays[-1].posture
    # A day goes the same few ways again and again.
    ways: dict[tuple[Posture, Posture, float], list[tuple[float, float]]] = {}
    for stay in seen.stays:
        way = before, stay.posture, stay.duration
        if way not in ways:
            ways[way] = travelled(seen.ratios, seen.case, site, way[:2], stay.duration)
        travel = ways[way]
        load = load_of(seen.ratios, stay.posture, site)
        durations += [step for step, _ in travel]
        loads += [load for _, load in travel]
        durations.append(max(0.0, stay.duration - sum(step for step, _ in travel)))
        loads.append(0.0 if stay.is_exempt and math.isnan(load) else load)
        before = stay.posture
    return peak_allowance(durations, loads)


def _relief_in_window(seen: Examined, window: Window, site: Site) -> float:
    """Longest relief that both the window and, where it fits in, every cycle gives."""
    first = next(n for n, stay in enumerate(seen.stays) if stay.window == window)
    stays = [stay for stay in seen.stays if stay.window == window]
    durations, free = _with_travel(
        seen, site, seen.stays[first - 1].posture, [(s.posture, s.duration) for s in stays]
    )
    longest = _longest_once(durations, free)
    if sum(stay.duration for stay in window.cycle) > window.span.duration + _MOMENT:
        return longest
    cycle = [(stay.posture, stay.duration) for stay in window.cycle]
    durations, free = _with_travel(seen, site, cycle[-1][0], cycle)
    return min(longest, _longest_piece(durations, free, [not one for one in free]))


def _with_travel(
    seen: Examined, site: Site, before: Posture, stays: Sequence[tuple[Posture, float]]
) -> tuple[list[float], list[bool]]:
    """Travel and rest of each stay, and whether all of each relieves the site."""
    durations, relieved = [], []
    for posture, duration in stays:
        travel = min(travel_time(before, posture, seen.case), duration)
        passed = [before, posture]
        if before.turn * posture.turn < 0.0:
            passed.append(posture.with_turn(0.0))
        frees = [load_of(seen.ratios, one, site) <= RELIEVED_AT.value for one in passed]
        durations += [travel, duration - travel]
        relieved += [all(frees), frees[1]]
        before = posture
    return durations, relieved


def _longest_once(durations: Sequence[float], counts: Sequence[bool]) -> float:
    longest = piece = 0.0
    for duration, counted in zip(durations, counts, strict=True):
        piece = piece + duration if counted else 0.0
        longest = max(longest, piece)
    return longest


def _longest_piece(
    durations: Sequence[float], counts: Sequence[bool], breaks: Sequence[bool]
) -> float:
    """Longest sum of counted stays between two that break, going round and round."""
    total = sum(d for d, counted in zip(durations, counts, strict=True) if counted)
    if not any(breaks):
        rounds = max(1.0, SECONDS_PER_DAY / max(sum(durations), 1.0))
        return total * rounds
    first = list(breaks).index(True)
    longest = piece = 0.0
    for step in range(1, len(durations) + 1):
        number = (first + step) % len(durations)
        if breaks[number]:
            piece = 0.0
        elif counts[number]:
            piece += durations[number]
            longest = max(longest, piece)
    return longest


def _longest_stay(regime: Regime) -> float:
    day = regime_day(regime)
    if len({posture for _, posture in day}) == 1:
        return SECONDS_PER_DAY
    longest = kept = 0.0
    before: Posture | None = None
    for duration, posture in (*day, *day):
        kept = kept + duration if posture == before else duration
        longest, before = max(longest, kept), posture
    return longest
