"""The command line: parse, call flow and exchange, show. It computes nothing itself."""

import sys

try:
    from leeward.cli.program import app, main
except KeyboardInterrupt:  # while it is still being read, which takes a second
    sys.stderr.write("leeward was stopped by hand before it began.\n")
    raise SystemExit(130) from None

__all__ = ["app", "main"]
