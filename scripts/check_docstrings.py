"""Fails when a public docstring of the core is malformed or leaves out a unit."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from bench.docstrings import form_errors, unit_errors


def main() -> int:
    """Print every fault found; the exit code is the verdict."""
    faults = form_errors() + unit_errors()
    for fault in faults:
        print(fault)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
