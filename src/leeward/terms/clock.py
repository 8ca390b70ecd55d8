"""Times of day and spans that may cross midnight."""

from dataclasses import dataclass

from leeward.terms.units import SECONDS_PER_DAY


@dataclass(frozen=True, slots=True)
class DaySpan:
    """A part of the day by wall clock; may cross midnight.

    Parameters
    ----------
    start, end : float
        Seconds after midnight, 0 <= value < 86400; ``end`` before ``start`` crosses
        midnight; equal means the whole day. [s]
    """

    start: float
    end: float

    @property
    def duration(self) -> float:
        """Length of the span. [s]"""
        length = (self.end - self.start) % SECONDS_PER_DAY
        return SECONDS_PER_DAY if length == 0.0 else length

    def contains(self, time: float) -> bool:
        """Whether a time of day lies in the span; the end itself does not.

        Parameters
        ----------
        time : float
            Seconds after midnight. [s]

        Returns
        -------
        bool
            True inside.
        """
        return (time - self.start) % SECONDS_PER_DAY < self.duration

    def overlap(self, other: "DaySpan") -> float:
        """Time two spans share.

        Parameters
        ----------
        other : DaySpan
            The other span.

        Returns
        -------
        float
            Shared time. [s]
        """
        shared = 0.0
        for shift in (-SECONDS_PER_DAY, 0.0, SECONDS_PER_DAY):
            start = other.start + shift
            low = max(self.start, start)
            high = min(self.start + self.duration, start + other.duration)
            shared += max(0.0, high - low)
        return shared


def clock_text(time: float) -> str:
    """Write a time of day as hours and minutes.

    Parameters
    ----------
    time : float
        Seconds after midnight; wraps. [s]

    Returns
    -------
    str
        For example ``"22:00"``.

    Examples
    --------
    >>> clock_text(79200.0)
    '22:00'
    """
    minutes = round(time / 60.0) % 1440
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
