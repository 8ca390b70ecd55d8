"""Plan, check and review how a person who cannot turn themselves is turned in bed."""

__version__ = "0.1.0"
