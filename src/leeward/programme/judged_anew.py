"""Programmes that were asked for, judged by the rules and the recheck of those that were found."""

from dataclasses import dataclass, replace

import numpy as np

from leeward.programme.assessment import Judged, judged
from leeward.programme.choices import as_choice
from leeward.programme.decision import Assessment, ChoiceName
from leeward.programme.ground import Ground, no_findings
from leeward.programme.programme import Programme
from leeward.programme.quantities import listed
from leeward.programme.rechecked import rechecked
from leeward.terms.verdict import Reason

#: What the recheck says in words of its own where the assessment has said it.
_SAID_TWICE = frozenset(
    {
        "failed-regime-repeated",
        "index-above-one",
        "load-unknown",
        "loaded-too-long",
        "not-a-place-to-lie",
        "protected-site-loaded",
        "relief-too-short",
        "stay-too-long",
    }
)


@dataclass(frozen=True, slots=True, eq=False)
class JudgedAnew:
    """A programme with everything that speaks for or against it.

    Parameters
    ----------
    numbers : Judged
        In every draw.
    assessment : Assessment
        By the rules of the search.
    against : tuple of Reason
        What stops it: limits and settings first, as the recheck finds them, then sites and
        guards. Empty where it would qualify.
    """

    numbers: Judged
    assessment: Assessment
    against: tuple[Reason, ...]

    @property
    def qualifies(self) -> bool:
        """Whether both the rules and the recheck find nothing against it."""
        return not self.against

    @property
    def band(self) -> tuple[float, float, float]:
        """Index of the limiting site: central, lowest, highest over the draws; NaN unknown. [-]"""
        site = self.assessment.limiting_site
        worst = self.numbers.worst
        for one in self.assessment.sites:
            if one.site is site and one.index is not None:
                low, high = one.index_low, one.index_high
                if low is not None and high is not None:
                    return one.index, low, high
                return one.index, float("nan"), float("nan")
        # Judged on the rest of the day, or limited by a failed regime: no index of its own.
        if not bool(np.isfinite(worst).all()):
            return float(worst[0]), float("nan"), float("nan")
        return float(worst[0]), float(worst.min()), float(worst.max())


def judge_anew(stands: Ground, programmes: list[Programme]) -> list[JudgedAnew]:
    """Judge programmes as planning would have.

    Parameters
    ----------
    stands : Ground
        What the plan stands on, with the loads of every posture of the programmes.
    programmes : list of Programme
        At least one.

    Returns
    -------
    list of JudgedAnew
        In the same order.
    """
    found = judged(stands.problem, programmes)
    # A choice called closest is never withheld: whatever the recheck finds is kept beside it.
    choices = tuple(as_choice(stands.problem, ChoiceName.CLOSEST, one) for one in found)
    looked_at = rechecked(
        stands.case,
        replace(no_findings(stands), choices=choices),
        stands.demand,
        stands.standing,
        stands.now,
    )
    return [
        JudgedAnew(one, choice.assessment, _against(choice.assessment, choice.recheck))
        for one, choice in zip(found, looked_at.choices, strict=True)
    ]


def _against(found: Assessment, recheck: tuple[Reason, ...]) -> tuple[Reason, ...]:
    if found.qualifies:
        return recheck
    limits = tuple(one for one in recheck if one.code not in _SAID_TWICE)
    return (*_windows_together(limits), *found.reasons)


def _windows_together(found: tuple[Reason, ...]) -> tuple[Reason, ...]:
    """What is found alike in several windows is said once, with all their names."""
    together: dict[tuple[str, str], list[Reason]] = {}
    for one in found:
        together.setdefault((one.code, one.sentence.partition(": ")[2]), []).append(one)
    return tuple(
        alike[0]
        if len(alike) == 1 or not said
        else replace(alike[0], sentence=f"{_names(alike)}: {said}")
        for (_, said), alike in together.items()
    )


def _names(alike: list[Reason]) -> str:
    first, *others = (one.sentence.partition(": ")[0] for one in alike)
    return listed([first, *(name[:1].lower() + name[1:] for name in others)])
