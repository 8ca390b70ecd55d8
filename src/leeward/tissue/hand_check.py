"""A hand passed under the sacrum says more than the model: its class replaces the ratio."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from leeward.terms.case import Case
from leeward.terms.posture import Place, Posture
from leeward.terms.regime import EventKind
from leeward.terms.site import Side, Site
from leeward.terms.skin import HandCheck, HandPassage
from leeward.terms.units import radians_from_deg
from leeward.tissue import constants
from leeward.tissue.load_ratios import LoadRatios

#: Angles closer than this are one setting. [rad]
_SAME_ANGLE = radians_from_deg(0.5)

_CLASS = {
    HandPassage.PASSES: constants.HAND_PASSES.value,
    HandPassage.TIGHT: constants.HAND_TIGHT.value,
    HandPassage.DOES_NOT_PASS: constants.HAND_DOES_NOT_PASS.value,
}


def with_hand_checks(
    ratios: LoadRatios, checks: Sequence[HandCheck], usual_backrest: float
) -> LoadRatios:
    """Put what a hand found in place of what the model says.

    Parameters
    ----------
    ratios : LoadRatios
        Modelled load ratios on the present bed and surface.
    checks : sequence of HandCheck
        Hands passed under sites at turns of the present surface.
    usual_backrest : float
        Backrest at which hands are passed: a check says nothing lighter of another. [rad]

    Returns
    -------
    LoadRatios
        The same with the found classes, in every draw.

    Notes
    -----
    Under the sacrum a check rules from its turn on, towards the same side, up to the next
    larger turn checked. At smaller turns, and at any other backrest or site, the model stays
    but is never lighter than the class found at the next larger turn checked towards that
    side. A check at level changes nothing, since level is what ratios are measured against.
    Of two checks at one turn the later holds. A ratio the model does not know stays unknown,
    except under the sacrum where a check rules.
    """
    ratio = ratios.ratio.copy()
    for column, site in enumerate(ratios.sites):
        found = _by_turn([check for check in checks if check.site is site])
        for row, posture in enumerate(ratios.postures):
            side = posture.turned_to
            if posture.place is not Place.BED or side is None or not found[side]:
                continue
            rules, least = _classes(found[side], abs(posture.turn))
            is_usual = abs(posture.backrest - usual_backrest) < _SAME_ANGLE
            is_ruled = is_usual and site is Site.SACRUM
            ratio[:, row, column] = _as_found(ratio[:, row, column], rules, least, is_ruled)
    return replace(ratios, ratio=ratio)


def standing_hand_checks(case: Case, now: datetime) -> tuple[HandCheck, ...]:
    """Pick the hand checks that still speak for the present bed.

    Parameters
    ----------
    case : Case
        The case.
    now : datetime
        Aware time; a check dated later is no evidence.

    Returns
    -------
    tuple of HandCheck
        A finding that lightens a site is dropped once the mattress, the layers or the
        person's mass have changed since; one that does not pass stays.
    """
    changed = max((one.when for one in case.events if one.kind in _CHANGES), default=None)
    return tuple(
        check
        for check in case.hand_checks
        if check.when <= now
        and (
            check.passage is HandPassage.DOES_NOT_PASS
            or changed is None
            or check.when.date() > changed
        )
    )


#: Events after which a hand that passed says nothing of the present bed.
_CHANGES = (EventKind.NEW_MATTRESS, EventKind.NEW_LAYERS, EventKind.MASS_CHANGE)


def _by_turn(checks: Sequence[HandCheck]) -> dict[Side, list[tuple[float, float]]]:
    """Per side the turn [rad] and class of each check, by rising turn, the latest of each."""
    found: dict[Side, list[tuple[float, float]]] = {Side.LEFT: [], Side.RIGHT: []}
    for check in sorted(checks, key=lambda one: one.when):
        side, turn = Posture(turn=check.turn).turned_to, abs(check.turn)
        if side is not None and turn >= _SAME_ANGLE:
            others = [(t, q) for t, q in found[side] if abs(t - turn) >= _SAME_ANGLE]
            found[side] = sorted([*others, (turn, _CLASS[check.passage])])
    return found


def _as_found(
    ratio: NDArray[np.float64], rules: float | None, least: float | None, is_ruled: bool
) -> NDArray[np.float64]:
    """Ratios of one site and posture, once a hand has been there."""
    if rules is not None and is_ruled:
        return np.full_like(ratio, rules)
    return np.maximum(ratio, max(value for value in (rules, least) if value is not None))


def _classes(found: list[tuple[float, float]], turn: float) -> tuple[float | None, float | None]:
    """Class of the check that rules at a turn, and of the next larger turn checked."""
    reached = [value for at, value in found if at <= turn + _SAME_ANGLE]
    beyond = [value for at, value in found if at > turn + _SAME_ANGLE]
    return (reached[-1] if reached else None, beyond[0] if beyond else None)
