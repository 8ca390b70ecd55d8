"""Posture series: what a plan and a log both become before anything is computed."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Posture


class Validity(StrEnum):
    """How much a segment of a posture series is worth."""

    KNOWN = "known"
    MOVING = "moving"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, eq=False)
class PostureSeries:
    """Postures kept one after another.

    Parameters
    ----------
    edges : ndarray, shape (n + 1,)
        Start of each segment and the end of the last, increasing, from a stated
        origin. [s]
    postures : tuple of Posture, length n
        Posture of each segment; for an unknown segment the last posture known, which
        no one may count as kept.
    validity : tuple of Validity, length n
        Whether each segment is known, moving or unknown.
    origin : str
        What second zero is, ISO 8601 with offset, or "midnight" for a planned day.

    Raises
    ------
    InvalidInput
        If the lengths disagree or the edges do not increase.
    """

    edges: NDArray[np.float64]
    postures: tuple[Posture, ...]
    validity: tuple[Validity, ...]
    origin: str

    def __post_init__(self) -> None:
        count = len(self.postures)
        if len(self.validity) != count or self.edges.shape != (count + 1,):
            raise InvalidInput(
                f"{self.edges.shape[0]} edges for {count} postures and "
                f"{len(self.validity)} validities",
                where="posture series",
                expected="one edge more than segments",
                remedy="build the series segment by segment",
            )
        if not bool(np.all(np.diff(self.edges) > 0.0)):
            raise InvalidInput(
                "times that stand still or run backwards",
                where="posture series",
                expected="strictly increasing edges [s]",
                remedy="drop empty segments and sort out the clock first",
            )

    @property
    def durations(self) -> NDArray[np.float64]:
        """Length of each segment. [s]"""
        return np.diff(self.edges)

    @property
    def known_fraction(self) -> float:
        """Share of the time that is not unknown. [-]"""
        known = np.array([v is not Validity.UNKNOWN for v in self.validity])
        total = float(self.edges[-1] - self.edges[0])
        return float(self.durations[known].sum()) / total if total > 0.0 else 0.0
