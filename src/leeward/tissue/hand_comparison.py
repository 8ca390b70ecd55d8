"""A hand passed under the sacrum, held against what the model says there."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from leeward.contact.load_table import LoadTable
from leeward.terms.case import Case
from leeward.terms.posture import Posture, turn_in_words
from leeward.terms.site import Site
from leeward.terms.skin import HandCheck, HandPassage
from leeward.terms.verdict import Quantity, Reason, Verdict
from leeward.tissue import constants
from leeward.tissue.reference_load import load_ratios

LEVEL = Posture()

#: Classes of a hand check from light to heavy, with the load ratio each stands for.
_CLASSES = (
    (HandPassage.PASSES, constants.HAND_PASSES.value),
    (HandPassage.TIGHT, constants.HAND_TIGHT.value),
    (HandPassage.DOES_NOT_PASS, constants.HAND_DOES_NOT_PASS.value),
)


@dataclass(frozen=True, slots=True)
class HandComparison:
    """What one hand check says about the prediction at the same turn.

    Parameters
    ----------
    check : HandCheck
        The check.
    verdict : Verdict
        AS_PLANNED where the model's whole band lies in the hand's class, DIFFERS where it lies
        outside, CANNOT_TELL where it reaches into another class or is unknown.
    reason : Reason
        In words and numbers.
    """

    check: HandCheck
    verdict: Verdict
    reason: Reason


def class_ends(passage: HandPassage) -> tuple[float, float]:
    """Find the load ratios a class of hand checks stands for.

    Parameters
    ----------
    passage : HandPassage
        How the hand passed.

    Returns
    -------
    low, high : float
        Half way to the neighbouring classes' ratios; open at both outer ends. [-]

    Examples
    --------
    >>> [round(end, 3) for end in class_ends(HandPassage.TIGHT)]
    [0.4, 0.725]
    """
    middles = [ratio for _, ratio in _CLASSES]
    number = [one for one, _ in _CLASSES].index(passage)
    between = [0.5 * (a + b) for a, b in pairwise(middles)]
    ends = (0.0, *between, np.inf)
    return float(ends[number]), float(ends[number + 1])


def compare_hand(check: HandCheck, ratio: NDArray[np.float64]) -> HandComparison:
    """Hold one hand check against the modelled load ratio of its site at its turn.

    Parameters
    ----------
    check : HandCheck
        The check.
    ratio : ndarray, shape (d,)
        Load ratio in every draw, the central one first; NaN where unknown. [-]

    Returns
    -------
    HandComparison
        Three-valued; the check itself is not put in doubt.

    Notes
    -----
    Ratios of classes are a convention of this project, so their ends are. A check corrects no
    body: in a plan it replaces the sacral load (`leeward.tissue.hand_check`). Over 200 joint
    draws of the examples up to 36 degrees, all or nearly all draws of a body with straight legs
    fall into one class, so that one class tells nothing of what was drawn, or lies outside all
    of it (docs/explanation/bands.md).
    """
    where = f"{check.site.value}, {turn_in_words(check.turn)}"
    low, high = class_ends(check.passage)
    said = f"a hand {check.passage.value} under the {where}"
    if check.site is not Site.SACRUM or not np.isfinite(ratio).all():
        reason = Reason(
            "hand-not-comparable",
            f"No load ratio is known in every draw to hold against it: {said}.",
        )
        return HandComparison(check, Verdict.CANNOT_TELL, reason)
    least, most = float(ratio.min()), float(ratio.max())
    if low <= least and most <= high:
        verdict, word = Verdict.AS_PLANNED, "agrees"
    elif most < low or least > high:
        verdict, word = Verdict.DIFFERS, "differs"
    else:
        verdict, word = Verdict.CANNOT_TELL, "cannot tell"
    upper = "more" if np.isinf(high) else f"{high:.2f}"
    return HandComparison(
        check,
        verdict,
        Reason(
            f"hand-{word.replace(' ', '-')}",
            f"{word[0].upper()}{word[1:]}: {said} (q of {low:.2f} to {upper} by convention); the "
            f"model says q {ratio[0]:.2f}, band {least:.2f} to {most:.2f}.",
            (
                Quantity("modelled load ratio", float(ratio[0]), "-"),
                Quantity("least", least, "-"),
                Quantity("most", most, "-"),
            ),
        ),
    )


def checked_postures(case: Case, checks: Sequence[HandCheck]) -> tuple[Posture, ...]:
    """Postures hand checks were made in, and lying flat and level.

    Parameters
    ----------
    case : Case
        The case: hands are passed at its usual backrest.
    checks : sequence of HandCheck
        The checks.

    Returns
    -------
    tuple of Posture
        Each once.
    """
    return tuple(dict.fromkeys((LEVEL, *(_posture(case, check) for check in checks))))


def compare_hands(
    case: Case, checks: Sequence[HandCheck], table: LoadTable
) -> tuple[HandComparison, ...]:
    """Hold hand checks against modelled load ratios.

    Parameters
    ----------
    case : Case
        The case.
    checks : sequence of HandCheck
        The checks.
    table : LoadTable
        Loads at least at their postures and level, over all scenarios.

    Returns
    -------
    tuple of HandComparison
        One for each check.
    """
    level = table.patch_load[:, table.position(LEVEL)]
    ratio = load_ratios(table.patch_load, level, table.sites)
    return tuple(
        compare_hand(
            check, ratio[:, table.position(_posture(case, check)), table.sites.index(check.site)]
        )
        for check in checks
    )


def _posture(case: Case, check: HandCheck) -> Posture:
    return Posture(turn=check.turn, backrest=case.day.usual_backrest)
