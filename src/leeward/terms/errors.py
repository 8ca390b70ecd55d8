"""Errors for callers' mistakes; expected trouble (a silent sensor, a gap) is data instead.

Every message is one sentence with four parts: what is wrong, where, what was expected,
what to do about it.
"""


class LeewardError(Exception):
    """Root of every error that leeward raises on purpose.

    Parameters
    ----------
    what : str
        What is wrong, naming the value received.
    where : str
        File, line and field, or the argument's name.
    expected : str
        What was expected, with unit and range.
    remedy : str
        What the reader can do now.
    """

    def __init__(self, what: str, *, where: str, expected: str, remedy: str) -> None:
        self.what = what
        self.where = where
        self.expected = expected
        self.remedy = remedy
        super().__init__(self.sentence)

    def __reduce__(self) -> tuple[object, ...]:
        # Without this an error that crosses to another process cannot be put together again.
        return _again, (type(self), self.what, self.where, self.expected, self.remedy)

    @property
    def sentence(self) -> str:
        """The whole message on one line."""
        return f"{self.where}: {self.what}; expected {self.expected}; {self.remedy}."


def _again(
    kind: type[LeewardError], what: str, where: str, expected: str, remedy: str
) -> LeewardError:
    return kind(what, where=where, expected=expected, remedy=remedy)


class InvalidInput(LeewardError, ValueError):
    """A value outside its range, of the wrong kind, or contradicting another."""


class UnreadableFile(LeewardError, ValueError):
    """A case, map or plan file that cannot be read as what it claims to be."""


class UnreadableLog(LeewardError, ValueError):
    """A log that no column map could turn into a posture series."""


class SchemaTooNew(LeewardError, ValueError):
    """A file written by a newer leeward than this one."""


class CannotCompute(LeewardError):
    """The inputs are well formed but do not describe enough to compute anything honest."""
