"""A tilting unit as data: what it can be set to, and what it is made of."""

from dataclasses import dataclass
from enum import StrEnum

from leeward.terms.unit_layout import UnitLayout


class Order(StrEnum):
    """An order of stays a unit can run."""

    LEFT_LEVEL_RIGHT_LEVEL = "left, level, right, level"
    LEFT_RIGHT = "left, right"
    LEFT_LEVEL = "left, level"
    RIGHT_LEVEL = "right, level"


class AfterPowerLoss(StrEnum):
    """What the unit does when power returns."""

    RESUMES = "resumes its programme"
    STAYS_STOPPED = "stays stopped until someone starts it"
    GOES_LEVEL = "goes level and stays there"
    UNKNOWN = "not known"


@dataclass(frozen=True, slots=True)
class Ability:
    """What a unit can be set to, entered from its own instructions.

    Parameters
    ----------
    largest_turn_left, largest_turn_right : float
        Largest turn each way. [rad]
    smallest_turn : float
        Smallest turn other than level. [rad]
    turn_step : float
        Step of the turn setting. [rad]
    shortest_stay, longest_stay, stay_step : float
        Stays that can be set. [s]
    orders : tuple of Order
        Orders it can run.
    turns_may_differ : bool
        Whether left and right turns can be set apart.
    stays_may_differ : bool
        Whether the stays of one cycle can be set apart.
    level_stay_may_differ : bool
        Whether the level stay can be set apart from the side stays.
    programmes_per_day : int
        How many different cycles it runs by the clock (1: the same day and night). [-]
    pauses_above_backrest : float or None
        Backrest angle above which it pauses; None when it never does. [rad]
    rise_time : float
        Time from level to the largest turn. [s]
    least_mass, greatest_mass : float
        Mass of person it is made for. [kg]
    least_width, greatest_width : float
        Mattress width it fits. [m]
    after_power_loss : AfterPowerLoss
        What it does then.
    """

    largest_turn_left: float
    largest_turn_right: float
    smallest_turn: float
    turn_step: float
    shortest_stay: float
    longest_stay: float
    stay_step: float
    orders: tuple[Order, ...]
    turns_may_differ: bool
    stays_may_differ: bool
    level_stay_may_differ: bool
    programmes_per_day: int
    pauses_above_backrest: float | None
    rise_time: float
    least_mass: float
    greatest_mass: float
    least_width: float
    greatest_width: float
    after_power_loss: AfterPowerLoss


class SurfaceKind(StrEnum):
    """How a tilting surface lifts."""

    WHOLE = "whole"
    SPLIT = "split"


@dataclass(frozen=True, slots=True)
class AnchorPoint:
    """A point at which the unit is fastened.

    Parameters
    ----------
    name : str
        Its name in the unit's instructions.
    across : float
        Towards the person's left from the unit's mid-line. [m]
    along : float
        From the unit's foot end towards the head. [m]
    """

    name: str
    across: float
    along: float


@dataclass(frozen=True, slots=True)
class SensingElement:
    """A part that senses angle, pressure or presence.

    Parameters
    ----------
    name : str
        Its name in the unit's instructions.
    across, along : float
        Position as for an anchor point. [m]
    """

    name: str
    across: float
    along: float


@dataclass(frozen=True, slots=True)
class SurfaceGeometry:
    """Sizes of a tilting unit.

    Parameters
    ----------
    kind : SurfaceKind
        Whole platform tilts as one, or each half lifts about a line near the middle.
    length, width, thickness : float
        Overall, unlifted. [m]
    line_rounding : float
        Width over which a split surface's valley is rounded by the mattress. [m]
    mass : float
        Unit's own mass, counted in the bed's load. [kg]
    anchor_points : tuple of AnchorPoint
        Any number, or none.
    sensing_elements : tuple of SensingElement
        Any number, or none.
    tubes : tuple of str
        Tubes and leads, named.
    extensions : tuple of str
        Optional parts fitted, named.
    """

    kind: SurfaceKind
    length: float
    width: float
    thickness: float
    line_rounding: float
    mass: float
    anchor_points: tuple[AnchorPoint, ...] = ()
    sensing_elements: tuple[SensingElement, ...] = ()
    tubes: tuple[str, ...] = ()
    extensions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class DefaultCycle:
    """What a unit runs when nobody sets anything, as entered from its instructions.

    Parameters
    ----------
    order : Order
        Order of its stays.
    turn_left, turn_right : float
        Turn towards each side, positive. [rad]
    side_stay : float
        Stay on a side. [s]
    level_stay : float
        Stay level; 0 where the order has none. [s]
    """

    order: Order
    turn_left: float
    turn_right: float
    side_stay: float
    level_stay: float = 0.0


#: Nothing was entered of how it is placed.
_NOTHING_SAID = UnitLayout()


@dataclass(frozen=True, slots=True)
class Equipment:
    """One tilting unit: its ability and its geometry, with where they were read.

    Parameters
    ----------
    name : str
        Name of the unit.
    instructions : str
        Which instructions the figures were entered from.
    ability : Ability
        What it can be set to.
    geometry : SurfaceGeometry
        Sizes and parts.
    layout : UnitLayout
        How its instructions place it.
    default : DefaultCycle or None
        What it runs when nobody sets anything; None where nobody entered it.
    """

    name: str
    instructions: str
    ability: Ability
    geometry: SurfaceGeometry
    layout: UnitLayout = _NOTHING_SAID
    default: DefaultCycle | None = None
