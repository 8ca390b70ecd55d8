"""The command line: parse, call flow and exchange, show. It computes nothing itself."""

from leeward.cli.program import app, main

__all__ = ["app", "main"]
