"""The command line: parse, call flow and exchange, show. It computes nothing itself."""

import os
import sys

# Products this small are slower on two threads than on one, and the threads wait for each other
# where several processes compute. Read by NumPy when it is imported; other processes inherit it.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

try:
    from leeward.cli.program import app, main
except KeyboardInterrupt:  # while it is still being read, which takes a second
    sys.stderr.write("leeward was stopped by hand before it began.\n")
    raise SystemExit(130) from None

__all__ = ["app", "main"]
