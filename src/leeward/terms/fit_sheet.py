"""What was found at the bed with a tape measure; None where nobody looked."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from leeward.terms.bed_sheet import BedSheet, Carrier


@dataclass(frozen=True, slots=True)
class FixedPoint:
    """A point with what it moves with.

    Parameters
    ----------
    carrier : Carrier
        What it is fixed to.
    across : float
        Towards the person's left from the bed's mid-line. [m]
    along : float
        From the platform's foot end towards the head, the bed flat. [m]
    height : float
        Above the platform, the bed flat and lowest; below it negative. [m]
    is_on_surface : bool
        Whether it lies on the unit, and tilts with it.
    """

    carrier: Carrier
    across: float
    along: float
    height: float
    is_on_surface: bool = False


class RunKind(StrEnum):
    """What runs from one point to another."""

    STRAP = "strap"
    HOSE = "hose"
    LEAD = "lead"
    TUBE = "tube of the person"


@dataclass(frozen=True, slots=True)
class Run:
    """A strap, hose, lead or tube, from point to point.

    Parameters
    ----------
    name : str
        Its name.
    kind : RunKind
        What it is.
    points : tuple of FixedPoint
        From its beginning through every clip to its end; fewer than two: nobody measured.
    length : float or None
        Free length between the ends. [m]
    stretch : float
        How far it may be drawn out, as a share of its length; 0 for a hose or lead. [-]
    seen_free_by : str
        Who saw it run free over the whole movement, where nobody measured it.
    """

    name: str
    kind: RunKind
    points: tuple[FixedPoint, ...] = ()
    length: float | None = None
    stretch: float = 0.0
    seen_free_by: str = ""


class AroundTheBed(StrEnum):
    """What is asked round the bed."""

    CALL_BELL = "the call bell is within reach at each turn"
    DRINK = "the drink is within reach at each turn"
    PHONE = "the phone is within reach at each turn"
    GLASSES = "the glasses are within reach at each turn"
    OWN_SOCKET = "the unit has a wall socket of its own"
    QUIET = "the noise can be borne at night"
    PARTNER_AND_PETS = "partner and pets keep clear of what moves"
    NO_FLAME = "nobody smokes in bed and no paraffin-based skin product is used"
    LEVEL_FOR_CARE = "all know: level and stopped before hoist, transfer and personal care"
    POWER_LOSS = "all know who turns by hand, how often and whom to call when power fails"


@dataclass(frozen=True, slots=True)
class Answer:
    """An answer to one of these.

    Parameters
    ----------
    about : AroundTheBed
        Which.
    is_so : bool
        Whether it is so.
    by : str
        Who looked.
    """

    about: AroundTheBed
    is_so: bool
    by: str


@dataclass(frozen=True, slots=True)
class FitSheet:
    """Measured at this bed, under this person.

    Parameters
    ----------
    bed : BedSheet
        The bed.
    measured_by : str
        Who measured.
    mattress_width, mattress_mass : float or None
        The mattress as it lies: width [m] and mass [kg].
    unit_foot_end : float or None
        The unit's foot end, from the platform's foot end. [m]
    hip_from_hinge : float or None
        The hip joint towards the head from the hinge of back and seat. [m]
    shoulder_tip_from_hip : float or None
        From hip joint to shoulder tip, measured along the back. [m]
    sensing_width : float or None
        Width that the unit's own table asks for. [m]
    accessory_mass : float or None
        Rails, pole, table and all else that hangs on the bed. [kg]
    hoist_leg_height : float or None
        Height of the hoist's legs. [m]
    is_unit_permitted_on_bed : bool or None
        Whether the bed's instructions permit a unit under the mattress.
    is_unit_permitted_by_mattress : bool or None
        Whether the mattress's instructions permit it on a unit.
    runs : tuple of Run
        Straps, hoses, leads and tubes.
    answers : tuple of Answer
        What was seen round the bed.
    handling_assessed_on : date or None
        Date of the local moving-and-handling assessment.
    """

    bed: BedSheet
    measured_by: str
    mattress_width: float | None = None
    mattress_mass: float | None = None
    unit_foot_end: float | None = None
    hip_from_hinge: float | None = None
    shoulder_tip_from_hip: float | None = None
    sensing_width: float | None = None
    accessory_mass: float | None = None
    hoist_leg_height: float | None = None
    is_unit_permitted_on_bed: bool | None = None
    is_unit_permitted_by_mattress: bool | None = None
    runs: tuple[Run, ...] = ()
    answers: tuple[Answer, ...] = ()
    handling_assessed_on: date | None = None
