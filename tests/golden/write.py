"""Writes the kept plans anew: ``python -m tests.golden.write``, from the project's top folder."""

import json
from pathlib import Path

from leeward import flow
from leeward.exchange.case_file import read_case
from tests.golden.extract import extract
from tests.unit.cli.front_door import NOW, example

NAMES = ("ordinary", "half-known", "large", "reach-too-small", "small-bent-hips")


def write() -> None:
    """Plan every kept example and keep its extract."""
    for name in NAMES:
        found = extract(flow.plan(read_case(example(name)).case, now=NOW))
        text = json.dumps(found, ensure_ascii=False, indent=1)
        (Path(__file__).parent / f"{name}.json").write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    write()
