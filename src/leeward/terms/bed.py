"""The bed: hinged platform sections, mattress, what lies between, rails."""

from dataclasses import dataclass
from enum import StrEnum

from leeward.terms.supports import Block


class MattressKind(StrEnum):
    """What a mattress is made of, as far as its mechanics differ."""

    FOAM = "foam"
    AIR = "air"
    ALTERNATING_AIR = "alternating air"
    GEL = "gel"
    UNDESCRIBED = "not described"


@dataclass(frozen=True, slots=True)
class Foam:
    """One foam of a mattress made of several, as its data sheet has it.

    Parameters
    ----------
    thickness : float
        Thickness unloaded. [m]
    cv40 : float or None
        Compression stress at 40 % (ISO 3386-1). [Pa]
    indentation40, indentation25 : float or None
        Force that presses a round plate of 203 mm in by 40 % or 25 % of the thickness
        (ISO 2439), where the data sheet gives that instead. [N]
    density : float or None
        Density. [kg/m^3]
    """

    thickness: float
    cv40: float | None = None
    indentation40: float | None = None
    indentation25: float | None = None
    density: float | None = None


@dataclass(frozen=True, slots=True)
class Mattress:
    """A mattress; None where nobody looked.

    Parameters
    ----------
    kind : MattressKind
        Material; anything but foam needs a measured curve before loads are computed.
    thickness : float or None
        Thickness unloaded. [m]
    cv40 : float or None
        Compression stress at 40 % (ISO 3386-1). [Pa]
    density : float or None
        Foam density. [kg/m^3]
    curve : tuple of (float, float)
        Measured points of (indentation [m], pressure [Pa]), rising from the origin.
    indentation40, indentation25 : float or None
        Hardness by indentation, as in `Foam`, where nobody knows the compression stress. [N]
    foams : tuple of Foam
        Its foams from the top down, where it has several; they say thickness and hardness.
    years_in_use : float or None
        How long it has been lain on. [year]
    """

    kind: MattressKind = MattressKind.UNDESCRIBED
    thickness: float | None = None
    cv40: float | None = None
    density: float | None = None
    curve: tuple[tuple[float, float], ...] = ()
    indentation40: float | None = None
    indentation25: float | None = None
    foams: tuple[Foam, ...] = ()
    years_in_use: float | None = None


class LayerKind(StrEnum):
    """A thing left between the body and the mattress."""

    PAD = "absorbent pad"
    SLING = "hoist sling left in place"
    SHEEPSKIN = "sheepskin"
    HEEL_DEVICE = "heel device"
    SLIDE_SHEET = "slide sheet left in place"
    OVERLAY = "overlay"
    OTHER = "other layer"


@dataclass(frozen=True, slots=True)
class Layer:
    """A layer between body and mattress.

    Parameters
    ----------
    kind : LayerKind
        What it is.
    thickness : float or None
        Thickness. [m]
    cv40 : float or None
        Compression stress at 40 % of an overlay of foam; None: as hard as the mattress. [Pa]
    """

    kind: LayerKind
    thickness: float | None = None
    cv40: float | None = None


@dataclass(frozen=True, slots=True)
class Pillows:
    """How thick this person's pillows are; None where nobody measured.

    Parameters
    ----------
    head, calves, knees : float or None
        Under the head (0: none), under the calves, between the knees, as the pillow lies
        with nobody on it. [m]
    """

    head: float | None = None
    calves: float | None = None
    knees: float | None = None


class RailKind(StrEnum):
    """Side rails, and whether they move with the surface."""

    NONE = "no rails"
    FULL = "full length"
    SPLIT = "split"
    UNDESCRIBED = "not described"


@dataclass(frozen=True, slots=True)
class Platform:
    """The hinged sections under the mattress.

    Parameters
    ----------
    back, seat, thigh, calf : float
        Section lengths from the head end. [m]
    width : float
        Platform width. [m]
    largest_backrest, largest_knee_raise : float
        End of each section's range. [rad]
    """

    back: float = 0.78
    seat: float = 0.20
    thigh: float = 0.35
    calf: float = 0.67
    width: float = 0.90
    largest_backrest: float = 1.22
    largest_knee_raise: float = 0.61

    @property
    def length(self) -> float:
        """From the head end to the foot end, flat. [m]"""
        return self.back + self.seat + self.thigh + self.calf


@dataclass(frozen=True, slots=True)
class Bed:
    """A bed as it stands; None where nobody looked.

    Parameters
    ----------
    platform : Platform
        Sections; the defaults are typical, see `evidence` in the reference pages.
    mattress : Mattress
        What lies on the platform or surface.
    layers : tuple of Layer or None
        Things between body and mattress; an empty tuple says someone looked and there
        is nothing, None says nobody looked.
    friction : float or None
        Measured friction coefficient between the person's clothes and the sheet. [-]
    rails : RailKind
        Side rails.
    rails_travel_with_surface : bool or None
        Whether the rails tilt with the surface.
    safe_working_load : float or None
        Mass the bed may carry. [kg]
    pillows : Pillows
        Thickness of pillows; which are used in a posture is the posture's to say.
    blocks : tuple of Block
        Night posture supports there are, and what holds each.
    """

    platform: Platform = Platform()
    mattress: Mattress = Mattress()
    layers: tuple[Layer, ...] | None = None
    friction: float | None = None
    rails: RailKind = RailKind.UNDESCRIBED
    rails_travel_with_surface: bool | None = None
    safe_working_load: float | None = None
    pillows: Pillows = Pillows()
    blocks: tuple[Block, ...] = ()
