"""A number that carries where it came from and in whom it was measured."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Sourced:
    """A constant or default with its provenance.

    Parameters
    ----------
    value : float
        The number, in `unit`.
    unit : str
        Unit as text, ``"-"`` for none.
    source : str
        Publication with table or equation, or "convention of this project".
    population : str
        In whom or what it was measured; "not applicable" for conventions.
    from_memory : bool
        True while nobody has checked the number against the source itself.
    low, high : float, optional
        Range within which the value is uncertain, in `unit`.
    """

    value: float
    unit: str
    source: str
    population: str
    from_memory: bool = False
    low: float | None = None
    high: float | None = None

    def __post_init__(self) -> None:
        low = self.value if self.low is None else self.low
        high = self.value if self.high is None else self.high
        if not low <= self.value <= high:
            raise ValueError(f"{self.value} {self.unit} lies outside its own range {low} to {high}")
