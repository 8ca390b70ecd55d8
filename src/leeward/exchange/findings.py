"""What the check of a case finds: nothing here stops reading, everything is said."""

from dataclasses import dataclass
from enum import StrEnum


class CaseFindingKind(StrEnum):
    """What kind of trouble a finding names."""

    MISSING = "missing"
    CONTRADICTORY = "contradictory"
    IMPLAUSIBLE = "implausible"


@dataclass(frozen=True, slots=True)
class CaseFinding:
    """One thing to look at again before planning.

    Parameters
    ----------
    kind : CaseFindingKind
        What kind of trouble.
    field : str
        Path of the field.
    line : int or None
        Its line in the file, counted from 1; None where the field is not written.
    sentence : str
        What was found and what follows from it or what to do.
    """

    kind: CaseFindingKind
    field: str
    line: int | None
    sentence: str
