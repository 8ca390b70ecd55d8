"""A bed as a mechanism, from its own instructions and a tape measure; None where nobody looked."""

from dataclasses import dataclass
from enum import StrEnum

from leeward.terms.bed import Platform, RailKind


class Carrier(StrEnum):
    """What a point is fixed to, and so what it moves with."""

    ROOM = "the room"
    FRAME = "the bed's frame"
    BACK = "the back section"
    SEAT = "the seat section"
    THIGH = "the thigh section"
    CALF = "the calf section"


class CalfMotion(StrEnum):
    """What the calf section does while the thigh section rises."""

    SLOPES = "its foot end stays on the frame"
    LEVEL = "it stays level at the height of the knee"


@dataclass(frozen=True, slots=True)
class RailPart:
    """A rail, or one part of a split one; the same on both sides of the bed.

    Parameters
    ----------
    name : str
        Its name.
    moves_with : Carrier
        What it is fixed to.
    foot_end, head_end : float or None
        Where it begins and ends, from the platform's foot end with the bed flat. [m]
    top, bottom : float or None
        Its upper and lower edge above the platform. [m]
    opening : float or None
        Widest opening inside it. [m]
    gap_beside : float or None
        From its inner face to the mattress, flat and level. [m]
    """

    name: str
    moves_with: Carrier
    foot_end: float | None = None
    head_end: float | None = None
    top: float | None = None
    bottom: float | None = None
    opening: float | None = None
    gap_beside: float | None = None


#: Sections of a typical length, where nobody measured.
_TYPICAL = Platform()


@dataclass(frozen=True, slots=True)
class BedSheet:
    """A profiling bed.

    Parameters
    ----------
    name : str
        Name of the bed.
    instructions : str
        Where the figures come from.
    platform : Platform
        Sections, width and ranges.
    back_travel : float or None
        How far the back section slides towards the head over its whole range; 0 for a plain
        hinge. [m]
    knee_with_backrest : float or None
        Knee raise that each radian of backrest brings with it; 0 where they move apart. [-]
    calf : CalfMotion or None
        What the calf section does.
    lowest, highest : float or None
        Height of the platform above the floor. [m]
    largest_head_up : float or None
        Tilt of the whole bed, either way. [rad]
    clearance : float or None
        Free height under the frame with the bed lowest. [m]
    rails : RailKind
        Side rails.
    rails_tilt : bool or None
        Whether they tilt with the surface.
    rail_parts : tuple of RailPart
        Parts from the head end.
    gap_to_head_board, gap_to_foot_board, gap_between_parts : float or None
        From rail end to board, and between the parts of a split rail. [m]
    safe_working_load : float or None
        Mass that the bed may carry, person, mattress, unit and all. [kg]
    """

    name: str
    instructions: str
    platform: Platform = _TYPICAL
    back_travel: float | None = None
    knee_with_backrest: float | None = None
    calf: CalfMotion | None = None
    lowest: float | None = None
    highest: float | None = None
    largest_head_up: float | None = None
    clearance: float | None = None
    rails: RailKind = RailKind.UNDESCRIBED
    rails_tilt: bool | None = None
    rail_parts: tuple[RailPart, ...] = ()
    gap_to_head_board: float | None = None
    gap_to_foot_board: float | None = None
    gap_between_parts: float | None = None
    safe_working_load: float | None = None
