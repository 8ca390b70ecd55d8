"""What a unit's instructions say of placing it: parts that lift, distances, permitted company."""

from dataclasses import dataclass
from enum import StrEnum

from leeward.terms.bed import LayerKind, MattressKind


class Pivot(StrEnum):
    """The line about which a unit that tilts as a whole turns."""

    MIDDLE = "its middle"
    LOWERED_EDGE = "its lowered edge"


@dataclass(frozen=True, slots=True)
class LiftingPart:
    """A part that lifts.

    Parameters
    ----------
    name : str
        Its name in the instructions.
    inner, outer : float
        Its edges across, positive towards the person's left from the unit's mid-line. [m]
    foot_end, head_end : float
        Its ends, from the unit's foot end. [m]
    """

    name: str
    inner: float
    outer: float
    foot_end: float
    head_end: float


@dataclass(frozen=True, slots=True)
class SensingRow:
    """A line of the table that says where a sensing element goes.

    Parameters
    ----------
    element : str
        Its name.
    width : float
        Width that was measured. [m]
    across : float
        Its distance from the unit's mid-line at that width. [m]
    """

    element: str
    width: float
    across: float


@dataclass(frozen=True, slots=True)
class UnitLayout:
    """Placing a unit; None and empty where its instructions do not say.

    Parameters
    ----------
    pivot : Pivot or None
        About what a whole unit turns; a split one turns about its mid-line.
    lifting_parts : tuple of LiftingPart
        Parts that lift.
    shoulder_least, shoulder_greatest : float or None
        From the shoulder tip down to the unit's head end; negative where it ends above. [m]
    hip_least, hip_greatest : float or None
        From the hip joint down to the unit's foot end. [m]
    sensing_table : tuple of SensingRow
        Where sensing elements go.
    mattresses : tuple of MattressKind
        Mattresses the instructions permit on it.
    thickest_mattress : float or None
        Thickest they permit. [m]
    layers : tuple of LayerKind
        Layers they permit between.
    """

    pivot: Pivot | None = None
    lifting_parts: tuple[LiftingPart, ...] = ()
    shoulder_least: float | None = None
    shoulder_greatest: float | None = None
    hip_least: float | None = None
    hip_greatest: float | None = None
    sensing_table: tuple[SensingRow, ...] = ()
    mattresses: tuple[MattressKind, ...] = ()
    thickest_mattress: float | None = None
    layers: tuple[LayerKind, ...] = ()
