"""Limits of the person and the bed, stay by stay: the strictest holds, and none is waived."""

import math
from collections.abc import Iterator

from leeward.programme.recheck_day import Examined, UnrolledStay, largest_load_of, load_of, pauses
from leeward.programme.recheck_finding import (
    SLACK,
    degrees_of,
    finding,
    is_same,
    is_within,
    number_of,
)
from leeward.terms.case import Case
from leeward.terms.clock import clock_text
from leeward.terms.equipment import SurfaceKind
from leeward.terms.limits import Limit
from leeward.terms.person import ProtectedSite
from leeward.terms.posture import Place, Support, turn_in_words
from leeward.terms.site import Side, Site
from leeward.terms.skin import HandCheck, HandPassage
from leeward.terms.sourced import Sourced
from leeward.terms.units import radians_from_deg
from leeward.terms.verdict import Reason

_OURS = "convention of this project"

PROTECTED_CEILING = Sourced(0.2, "-", _OURS, "not applicable")
#: Least load ratio that a hand's passage leaves room for; a hand that passes proves none.
FELT = {
    HandPassage.PASSES: Sourced(0.0, "-", _OURS, "not applicable"),
    HandPassage.TIGHT: Sourced(0.6, "-", _OURS, "not applicable"),
    HandPassage.DOES_NOT_PASS: Sourced(0.85, "-", _OURS, "not applicable"),
}

#: Turns closer than this are one setting. [rad]
SAME_TURN = radians_from_deg(0.5)
UNSUPPORTED_TURN = Sourced(
    radians_from_deg(15.0),
    "rad",
    _OURS + ": a body on a surface that tilts as one slides or tips from here on",
    "body model of this project",
)


def turns_beyond_limits(seen: Examined) -> Iterator[Reason]:
    """Find turns beyond what the person, their lines or the bed allow.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Yields
    ------
    Reason
        One for each limit broken.
    """
    for stay in seen.stays:
        side = Side.RIGHT if stay.posture.turn < 0.0 else Side.LEFT
        size = abs(stay.posture.turn)
        for edge in _turn_edges(seen.case, side):
            if not is_within(size, edge.value, inclusive=edge.inclusive) and size != 0.0:
                yield finding(
                    "turn-beyond-limit",
                    f"{_named(stay)}: {turn_in_words(stay.posture.turn)} is more than "
                    f"{edge.source} allows.",
                    degrees_of("turn", size),
                    degrees_of("largest turn", edge.value),
                )


def _turn_edges(case: Case, side: Side) -> list[Limit]:
    left = side is Side.LEFT
    edges = [
        Limit(one.largest, "rad", f"the person's limit ({one.reason})")
        for one in case.person.turn_limits
        if one.towards is side
    ]
    for line in case.person.lines:
        slack = line.largest_turn_left if left else line.largest_turn_right
        if slack is not None:
            edges.append(Limit(slack, "rad", f"the slack of the {line.what}"))
    return edges + list(case.posture_limits.turn_left if left else case.posture_limits.turn_right)


def whole_surface_without_support(seen: Examined) -> Iterator[Reason]:
    """Find larger turns of a whole surface with neither friction measured nor a side support.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Yields
    ------
    Reason
        One for each such turn.
    """
    unit, friction = seen.case.equipment, seen.case.bed.friction
    if unit is None or unit.geometry.kind is not SurfaceKind.WHOLE:
        return
    for stay in seen.stays:
        turn = stay.posture.turn
        support = Support.BOLSTER_LEFT if turn > 0.0 else Support.BOLSTER_RIGHT
        if is_within(abs(turn), UNSUPPORTED_TURN.value) or support in stay.posture.supports:
            continue
        if friction is None or not friction > 0.0:
            yield finding(
                "whole-surface-without-support",
                f"{_named(stay)}: {turn_in_words(turn)} on a surface that tilts as one needs a "
                "measured friction or a bolster on the side turned to.",
                degrees_of("turn", abs(turn)),
                degrees_of("largest turn without", UNSUPPORTED_TURN.value),
            )


def level_where_forbidden(seen: Examined) -> Iterator[Reason]:
    """Find level stays where the person must not lie level.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Yields
    ------
    Reason
        One for each window with such a stay.
    """
    forbidden = seen.case.person.no_level_stays
    if forbidden is None:
        return
    for stay in seen.turning:
        if is_same(stay.posture.turn, 0.0):
            yield finding(
                "level-stay-forbidden",
                f"{_named(stay)} keeps the person level, which {forbidden.by} ruled out: "
                f"{forbidden.reason}.",
            )


def backrest_out_of_range(seen: Examined) -> Iterator[Reason]:
    """Find backrests and knee sections outside what person, bed and unit allow.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Yields
    ------
    Reason
        One for each edge broken.
    """
    largest_knee = seen.case.bed.platform.largest_knee_raise
    for stay in seen.stays:
        if stay.posture.place is not Place.BED:
            continue
        yield from _backrest_out_of_range(seen, stay)
        if not is_within(stay.posture.knee_raise, largest_knee):
            yield finding(
                "knee-raise-out-of-range",
                f"{_named(stay)}: the knee section does not rise that far.",
                degrees_of("knee raise", stay.posture.knee_raise),
                degrees_of("largest knee raise", largest_knee),
            )
        if stay.posture.turn != 0.0 and pauses(stay.posture, seen.case):
            yield finding(
                "unit-pauses",
                f"{_named(stay)}: the unit pauses at this backrest and will not turn.",
                degrees_of("backrest", stay.posture.backrest),
            )


def _backrest_out_of_range(seen: Examined, stay: UnrolledStay) -> Iterator[Reason]:
    """The person's own range is for the unit's windows; a prescription answers for itself."""
    person, backrest = seen.case.person, stay.posture.backrest
    edges = [
        Limit(seen.case.bed.platform.largest_backrest, "rad", "the bed"),
        *seen.case.posture_limits.backrest,
    ]
    if person.greatest_backrest is not None and not stay.is_exempt:
        edges.append(Limit(person.greatest_backrest, "rad", "the person's limit"))
    for edge in edges:
        if not is_within(backrest, edge.value, inclusive=edge.inclusive):
            yield _backrest(stay, "above", edge.source, edge.value)
    least = None if stay.is_exempt else person.least_backrest
    if least is not None and not is_within(least, backrest):
        yield _backrest(stay, "below", "the person's limit", least)


def _backrest(stay: UnrolledStay, where: str, source: str, edge: float) -> Reason:
    return finding(
        "backrest-out-of-range",
        f"{_named(stay)}: the backrest lies {where} what {source} allows.",
        degrees_of("backrest", stay.posture.backrest),
        degrees_of("edge", edge),
    )


def unstable_or_unknown(seen: Examined) -> Iterator[Reason]:
    """Find postures that are not a place to lie, or whose loads nobody computed.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Yields
    ------
    Reason
        One for each such posture the equipment would give.
    """
    for stay in seen.turning:
        if stay.posture not in seen.ratios.postures or len(seen.ratios.ratio) == 0:
            yield finding(
                "load-not-computed",
                f"{_named(stay)}: no load was computed for {turn_in_words(stay.posture.turn)}.",
                degrees_of("turn", stay.posture.turn),
            )
            continue
        row = seen.ratios.postures.index(stay.posture)
        unstable = int((~seen.ratios.is_stable[:, row]).sum())
        if unstable:
            yield finding(
                "not-a-place-to-lie",
                f"{_named(stay)}: {turn_in_words(stay.posture.turn)} is not stable in every "
                "combination of friction, placement and foam that must be allowed for.",
                number_of("combinations not stable", unstable),
                number_of("combinations", len(seen.ratios.is_stable)),
            )


def protected_site_loaded(seen: Examined) -> Iterator[Reason]:
    """Find stays that load a protected site beyond its ceiling, or by nobody knows how much.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Yields
    ------
    Reason
        One for each site and posture.
    """
    for one in seen.case.person.protected_sites:
        ceiling = ceiling_of(one)
        for stay in seen.turning:
            load = largest_load_of(seen.ratios, stay.posture, one.site)
            if not is_within(load, ceiling):
                yield finding(
                    "protected-site-loaded",
                    f"{_named(stay)}: {turn_in_words(stay.posture.turn)} loads the {one.site}, "
                    f"which is to be protected ({one.reason})"
                    + (", by nobody knows how much." if math.isnan(load) else "."),
                    number_of("load ratio", load),
                    number_of("ceiling", ceiling),
                )


def lighter_than_felt(seen: Examined) -> Iterator[Reason]:
    """Find sites planned as less loaded than a hand found them at that turn.

    Parameters
    ----------
    seen : Examined
        What is looked at.

    Yields
    ------
    Reason
        One for each hand check that the loads do not heed.
    """
    latest: dict[tuple[Site, float], HandCheck] = {}
    for check in sorted(seen.case.hand_checks, key=lambda one: one.when):
        if check.turn != 0.0 and check.when <= seen.now:
            latest[check.site, round(check.turn, 6)] = check
    for check in latest.values():
        felt = FELT[check.passage].value
        for stay in seen.turning:
            same = abs(stay.posture.turn - check.turn) <= SAME_TURN
            load = load_of(seen.ratios, stay.posture, check.site)
            if same and load < felt - SLACK:
                yield finding(
                    "lighter-than-felt",
                    f"{_named(stay)}: a hand under the {check.site} found {check.passage}, "
                    f"{turn_in_words(check.turn)}, and the programme counts it as lighter.",
                    number_of("load ratio", load),
                    number_of("as felt", felt),
                )


def ceiling_of(one: ProtectedSite) -> float:
    """Look up what a protected site may bear.

    Parameters
    ----------
    one : ProtectedSite
        The site.

    Returns
    -------
    float
        Largest load ratio; a higher one than the convention's counts only with a name and a
        reason behind it. [-]
    """
    signed = one.ceiling_by
    if one.ceiling is None or signed is None or not (signed.by.strip() and signed.reason.strip()):
        return min(PROTECTED_CEILING.value, one.ceiling or PROTECTED_CEILING.value)
    return one.ceiling


def _named(stay: UnrolledStay) -> str:
    name, start = stay.window.name.capitalize(), clock_text(stay.window.span.start)
    return name if name.endswith(f"from {start}") else f"{name} from {start}"
