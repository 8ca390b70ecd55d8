"""Measures what the project promises and writes it down; it judges nothing.

One line a figure: name, value, unit. Timings are medians of several runs on the machine at hand,
which the page names. Run through `make figures`, or `make figures ONLY=contact` for one room.
"""

import argparse
import os
import platform
import re
import sys
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path

from bench import (
    contact_bands,
    contact_coupled,
    contact_mujoco,
    contact_speed,
    contact_stability,
    fitting_proof,
    programme_audit,
    programme_days,
    programme_plans,
    programme_ranking,
    start_contact,
    start_hostile,
    start_setup,
    start_tissue,
)
from bench.registry import MEASUREMENTS, Figure

#: Modules that sign measurements on.
SIGNED_ON = (
    start_setup,
    start_contact,
    contact_bands,
    contact_coupled,
    contact_mujoco,
    contact_speed,
    contact_stability,
    fitting_proof,
    programme_days,
    programme_ranking,
    programme_plans,
    programme_audit,
    start_tissue,
    start_hostile,
)
PAGE = Path(__file__).parent.parent / "docs" / "explanation" / "figures.md"
HEAD = """# What was measured

Written by `make figures`; do not edit. The figures are medians on the machine named with them, and
are not judged here. What they cannot show stands on the page of [limits](limits.md).
"""


def machine() -> str:
    """The machine and the versions that the figures hold for."""
    parts = [
        f"{os.cpu_count()} cores",
        f"Python {platform.python_version()}",
        f"NumPy {version('numpy')}",
        f"SciPy {version('scipy')}",
        f"leeward {version('leeward')}",
        f"{datetime.now(UTC):%Y-%m-%d}",
    ]
    return ", ".join(parts)


def section(room: str, figures: list[Figure]) -> str:
    """One room's part of the page."""
    rows = [f"| `{f.name}` | {f.value:.6g} | {f.unit} |" for f in figures]
    return "\n".join(
        [f"## {room}", "", machine(), "", "| figure | value | unit |", "|---|--:|---|", *rows]
    )


def sections_on_page() -> dict[str, str]:
    """Parts of the page that earlier runs wrote."""
    text = PAGE.read_text() if PAGE.exists() else ""
    parts = re.split(r"^(?=## )", text, flags=re.M)[1:]
    return {part.split("\n", 1)[0].removeprefix("## "): part.strip() for part in parts}


def measure(room: str) -> list[Figure]:
    """Measure one room, printing each figure as soon as it is known."""
    figures = []
    for measurement in MEASUREMENTS[room]:
        for figure in measurement():
            print(figure.line, flush=True)
            figures.append(figure)
    return figures


def main() -> int:
    """Measure every room, or the one asked for, and write the page."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", choices=sorted(MEASUREMENTS), help="one room")
    wanted = parser.parse_args().only
    parts = sections_on_page()
    for room in [wanted] if wanted else list(MEASUREMENTS):
        parts[room] = section(room, measure(room))
        PAGE.write_text(
            "\n\n".join([HEAD.strip(), *(parts[name] for name in sorted(parts))]) + "\n"
        )
    return 0


if __name__ == "__main__":
    sys.exit(main())
