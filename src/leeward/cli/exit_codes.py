"""What the exit code of a command means; the same for every command."""

from enum import IntEnum


class Exit(IntEnum):
    """Exit codes."""

    OFFERED = 0
    NOTHING_OFFERED = 1
    BAD_INPUT = 2
    CANNOT_TELL = 3
    STOPPED_BY_HAND = 130
    NOBODY_READS = 141
