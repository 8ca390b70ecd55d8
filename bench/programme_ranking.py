"""Whether the order of a plan's choices stands while the conventions of the allowance vary."""

from collections.abc import Iterator
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from bench.audit_cases import Planned, planned_pair
from bench.registry import Figure, measures
from leeward.programme.decision import Choice, Outcome
from leeward.programme.peaks import peaks_over_draws
from leeward.programme.programmes import day_segments
from leeward.terms.sourced import Sourced
from leeward.tissue import constants
from leeward.tissue.allowance import steady_peak
from leeward.tissue.law import STANDARD_LAW, AllowanceLaw
from leeward.tissue.regime_day import regime_series

Array = NDArray[np.float64]

SEED = 20261126
CASES, LAWS = 30, 12


@measures("programme")
def ranking_of_choices() -> Iterator[Figure]:
    """Pairs of choices in invented cases, under laws drawn from the stated ranges."""
    laws = _laws(np.random.default_rng(SEED))
    pairs = alike = 0
    kept: list[float] = []
    for one in _cases():
        worst = _worst(one, laws)
        for first, second in combinations(range(len(worst)), 2):
            pairs += 1
            if _is_said_to_be_alike(one.findings.choices[first], one.findings.choices[second]):
                alike += 1
                continue
            order = np.sign(worst[first] - worst[second])
            kept.append(float((order[1:] == order[0]).mean()))
    yield Figure("rank_cases", CASES, "cases")
    yield Figure("rank_pairs", pairs, "pairs of choices")
    yield Figure("rank_stable_pct", 100.0 * float(np.mean(kept)), "% of pairs and laws")
    yield Figure("rank_not_told_apart_pct", 100.0 * alike / pairs, "% of pairs")


def _cases() -> Iterator[Planned]:
    """The first cases with two choices or more, and every posture computed."""
    found = number = 0
    while found < CASES:
        one = planned_pair(np.random.default_rng([SEED, number]))
        number += 1
        if one is None or one.findings.outcome is not Outcome.OFFERED:
            continue
        still = {w.cycle[0].posture for c in one.findings.choices for w in c.programme.windows}
        if len(one.findings.choices) > 1 and still <= set(one.problem.table.ratios.postures):
            found += 1
            yield one


def _is_said_to_be_alike(first: Choice, second: Choice) -> bool:
    return any(
        reason.code == "cannot-be-told-apart" and second.name.value in reason.sentence
        for reason in first.reasons
    )


def _laws(rng: np.random.Generator) -> list[AllowanceLaw]:
    """The standard law first, then draws over the ranges of its numbers."""
    drawn = [
        AllowanceLaw(
            time_constant=_within(rng, constants.TIME_CONSTANT),
            loaded_recovery=_within(rng, constants.LOADED_RECOVERY),
            relief_recovery=_within(rng, constants.RELIEF_RECOVERY),
            lag=_within(rng, constants.LAG),
        )
        for _ in range(LAWS)
    ]
    return [STANDARD_LAW, *drawn]


def _within(rng: np.random.Generator, constant: Sourced) -> float:
    low = constant.value if constant.low is None else constant.low
    high = constant.value if constant.high is None else constant.high
    return float(np.exp(rng.uniform(np.log(low), np.log(high))))


def _worst(one: Planned, laws: list[AllowanceLaw]) -> Array:
    """Largest index of each choice under each law, the regime under the same law.

    Where a prescribed load is unknown the rest of the day counts, as it does in a plan.
    """
    table, columns = one.problem.table, one.problem.indexed
    days = [day_segments(choice.programme, table) for choice in one.findings.choices]
    series = regime_series(one.regime)
    lain = table.ratio[0][[table.row(posture) for posture in series.postures]][:, columns]
    central = slice(1)
    worst = [
        (
            peaks_over_draws(days, table, law=law, draws=central)[:, 0, columns]
            / steady_peak(series.durations, lain, law)
        ).max(axis=-1)
        for law in laws
    ]
    return np.stack(worst, axis=1)
