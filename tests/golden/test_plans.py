"""Plans of the examples are what they were: a change that moves one is seen and said.

Not a truth about people: only that today's leeward decides as yesterday's did. To accept a
change, run ``python -m tests.golden.write`` and add a line to the changelog that says by how
much the numbers moved.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from leeward import flow
from leeward.exchange.case_file import read_case
from tests.golden.extract import extract
from tests.unit.cli.front_door import NOW, example

HERE = Path(__file__).parent
KEPT = tuple(sorted(path.stem for path in HERE.glob("*.json")))

#: Indices [-] may differ by the bound on the loads' numerical noise, which also covers other
#: processors and builds of NumPy; a share of the draws by none of the 17 draws.
NOISE = 0.005

DUE = (
    "the plan of {name} has changed at {where}: was {was}, is {now}. If that is meant, run "
    "`python -m tests.golden.write` and add a changelog line with the numerical effect"
)


def differences(was: Any, now: Any, where: str = "") -> list[tuple[str, Any, Any]]:
    """Every place in which two extracts differ."""
    if isinstance(was, dict) and isinstance(now, dict) and was.keys() == now.keys():
        return [d for key in was for d in differences(was[key], now[key], f"{where}/{key}")]
    if isinstance(was, list) and isinstance(now, list) and len(was) == len(now):
        pairs = enumerate(zip(was, now, strict=True))
        return [d for n, (old, new) in pairs for d in differences(old, new, f"{where}/{n}")]
    numbers = isinstance(was, float) and isinstance(now, float)
    is_same = abs(was - now) <= NOISE if numbers else was == now
    return [] if is_same else [(where, was, now)]


def test_several_plans_are_kept():
    assert {"ordinary", "half-known", "large"} <= set(KEPT)


@pytest.mark.parametrize("name", KEPT)
def test_the_plan_is_what_it_was(name: str):
    kept = json.loads((HERE / f"{name}.json").read_text(encoding="utf-8"))
    found = extract(flow.plan(read_case(example(name)).case, now=NOW))
    told = [DUE.format(name=name, where=w, was=o, now=n) for w, o, n in differences(kept, found)]
    assert not told, "\n".join(told)


def test_a_moved_index_and_a_changed_cycle_are_both_noticed():
    was = {"index": [0.9, 0.95], "cycle": ["left", "right"]}
    assert differences(was, {"index": [0.9, 0.954], "cycle": ["left", "right"]}) == []
    moved = {"index": [0.9, 0.96], "cycle": ["left", "level"]}
    assert [where for where, _, _ in differences(was, moved)] == ["/index/1", "/cycle/1"]
    assert differences(was, {"index": [0.9, 0.95]}) == [("", was, {"index": [0.9, 0.95]})]
