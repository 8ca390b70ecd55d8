"""Figures of the audit: rules broken by what is offered, and answers known to exist that are.

Run as `python -m bench.programme_audit 100000 --counts FILE` to audit that many random cases. What
has been counted is written to the file batch by batch; run again, it goes on where it ended.
"""

import argparse
import json
import time
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np

from bench.audit_cases import audited, known_answer
from bench.audit_rules import broken_rules
from bench.registry import Figure, measures
from leeward.programme.decision import Outcome

SEED = 20261125
PAIRS, KNOWN, TRIED = 500, 40, 3000

#: Pairs after which what was counted is written down.
BATCH = 50


@dataclass(frozen=True)
class Counted:
    """What a run of random pairs came to."""

    pairs: int = 0
    offered: int = 0
    programmes: int = 0
    broken: tuple[str, ...] = ()

    def __add__(self, other: "Counted") -> "Counted":
        return Counted(
            self.pairs + other.pairs,
            self.offered + other.offered,
            self.programmes + other.programmes,
            (*self.broken, *other.broken),
        )

    def figures(self) -> Iterator[Figure]:
        """The same as figures."""
        yield Figure("audit_pairs", self.pairs, "pairs")
        yield Figure("audit_pairs_offered", self.offered, "pairs")
        yield Figure("audit_programmes", self.programmes, "programmes")
        yield Figure("audit_broken_rules", len(self.broken), "rules")


def audit(numbers: range, seed: int = SEED) -> Counted:
    """Audit random cases on random units; each has the number it is made from."""
    found = Counted()
    for number in numbers:
        one = audited(np.random.default_rng([seed, number]))
        broken = (f"case {number}: {line}" for line in broken_rules(one))
        is_offered = one.decision.outcome is Outcome.OFFERED
        found += Counted(1, int(is_offered), len(one.decision.choices), tuple(broken))
    return found


@measures("programme")
def audit_broken_rules() -> Iterator[Figure]:
    """What the search shows, audited before any recheck withholds it."""
    found = audit(range(PAIRS))
    for line in found.broken[:20]:
        print(line)
    yield from found.figures()


@measures("programme")
def known_answers() -> Iterator[Figure]:
    """Cases built round a programme that breaks no rule."""
    built = offered = number = 0
    while built < KNOWN and number < TRIED:
        one = known_answer(np.random.default_rng([SEED, 1, number]))
        number += 1
        if one is not None:
            built += 1
            offered += one.decision.outcome is Outcome.OFFERED
    yield Figure("known_answer_cases", built, "cases")
    yield Figure("known_answer_offered_pct", 100.0 * offered / max(built, 1), "% of cases")


def already(counts: Path | None, seed: int) -> Counted:
    """What earlier runs have written down."""
    found = Counted()
    if counts is not None and counts.exists():
        for line in counts.read_text(encoding="utf-8").splitlines():
            entry = json.loads(line)
            if entry.pop("seed") == seed:
                found += Counted(**{**entry, "broken": tuple(entry["broken"])})
    return found


def main() -> None:
    """Audit as many pairs as asked for, or as fit into the time."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("count", type=int, help="random pairs of case and unit")
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--counts", type=Path, help="file of what has been counted")
    parser.add_argument("--minutes", type=float, default=float("inf"), help="stop after so many")
    wanted = parser.parse_args()
    ends = time.monotonic() + 60.0 * wanted.minutes
    found = already(wanted.counts, wanted.seed)
    while found.pairs < wanted.count and time.monotonic() < ends:
        batch = audit(range(found.pairs, min(found.pairs + BATCH, wanted.count)), wanted.seed)
        for line in batch.broken:
            print(line, flush=True)
        if wanted.counts is not None:
            with wanted.counts.open("a", encoding="utf-8") as file:
                file.write(json.dumps({"seed": wanted.seed, **asdict(batch)}) + "\n")
        found += batch
    for figure in found.figures():
        print(figure.line, flush=True)


if __name__ == "__main__":
    main()
