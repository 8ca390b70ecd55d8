"""Figures of the audit: rules broken by what is offered, and answers known to exist that are.

Run as `python -m bench.programme_audit COUNT` to audit that many random cases, 100000 say.
"""

import argparse
from collections.abc import Iterator

import numpy as np

from bench.audit_cases import audited, known_answer
from bench.audit_rules import broken_rules
from bench.registry import Figure, measures
from leeward.programme.decision import Outcome

SEED = 20261125
PAIRS, KNOWN = 500, 20


def audit(count: int, seed: int = SEED) -> Iterator[Figure]:
    """Audit random cases on random units."""
    offered = shown = 0
    broken: list[str] = []
    for number in range(count):
        one = audited(np.random.default_rng([seed, number]))
        offered += one.decision.outcome is Outcome.OFFERED
        shown += len(one.decision.choices)
        broken.extend(f"case {number}: {line}" for line in broken_rules(one))
    for line in broken[:20]:
        print(line)
    yield Figure("audit_pairs", count, "pairs")
    yield Figure("audit_pairs_offered", offered, "pairs")
    yield Figure("audit_programmes", shown, "programmes")
    yield Figure("audit_broken_rules", len(broken), "rules")


@measures("programme")
def audit_broken_rules() -> Iterator[Figure]:
    """What the search shows, audited before any recheck withholds it."""
    yield from audit(PAIRS)


@measures("programme")
def known_answers() -> Iterator[Figure]:
    """Cases for which the audit's own trials found a programme that breaks no rule."""
    built = offered = number = 0
    while built < KNOWN and number < 20 * KNOWN:
        one = known_answer(np.random.default_rng([SEED, 1, number]))
        number += 1
        if one is not None:
            built += 1
            offered += one.decision.outcome is Outcome.OFFERED
    yield Figure("known_answer_cases", built, "cases")
    yield Figure("known_answer_offered_pct", 100.0 * offered / max(built, 1), "% of cases")


def main() -> None:
    """Audit as many pairs as asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("count", type=int, help="random pairs of case and unit")
    parser.add_argument("--seed", type=int, default=SEED)
    wanted = parser.parse_args()
    for figure in audit(wanted.count, wanted.seed):
        print(figure.line, flush=True)


if __name__ == "__main__":
    main()
