"""Where every point of bed, surface and unit is while bed and surface move."""

import math
from dataclasses import dataclass

from leeward.terms.bed_sheet import BedSheet, CalfMotion, Carrier
from leeward.terms.equipment import SurfaceKind
from leeward.terms.errors import InvalidInput
from leeward.terms.fit_sheet import FixedPoint
from leeward.terms.unit_layout import Pivot

#: Towards the person's left, towards the head, up. [m]
Place = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class BedSetting:
    """One setting of bed and surface.

    Parameters
    ----------
    turn : float
        Signed tilt of the surface. [rad]
    backrest : float
        Back section above level. [rad]
    knee_raise : float
        Thigh section above level, before what the backrest brings with it. [rad]
    lift : float
        Rise of the frame above its lowest. [m]
    """

    turn: float = 0.0
    backrest: float = 0.0
    knee_raise: float = 0.0
    lift: float = 0.0


@dataclass(frozen=True, slots=True)
class Mechanism:
    """A bed with a tilting surface on it, every length known.

    Parameters
    ----------
    bed : BedSheet
        The bed; its back travel, coupling and calf motion are known.
    kind : SurfaceKind
        How the surface lifts.
    pivot : Pivot
        About what a whole surface turns.
    line : float
        The unit's mid-line, towards the person's left from the bed's mid-line. [m]
    half_width : float
        Half the width of what is lifted. [m]
    foot_end, head_end : float
        The unit's ends, from the platform's foot end. [m]
    """

    bed: BedSheet
    kind: SurfaceKind
    pivot: Pivot
    line: float
    half_width: float
    foot_end: float
    head_end: float

    def place(self, point: FixedPoint, setting: BedSetting) -> Place:
        """Find a point at a setting.

        Parameters
        ----------
        point : FixedPoint
            The point, where it is with the bed flat, level and lowest. [-]
        setting : BedSetting
            How bed and surface are set. [-]

        Returns
        -------
        tuple of float, length 3
            Towards the person's left, towards the head, up, in the room. [m]

        Notes
        -----
        A point on the unit is first lifted in the frame of its own section, then carried by
        the section, then by the frame. Sections turn about the upper face of the platform.
        Tilting the whole bed head up or down moves no point against another but those in the
        room, and is left out.
        """
        across, up = point.across, point.height
        if point.is_on_surface:
            across, up = self.lifted(across, up, setting.turn)
        along, up = self._carried(point.carrier, point.along, up, setting)
        rise = 0.0 if point.carrier is Carrier.ROOM else setting.lift
        return across, along, up + rise

    def lifted(self, across: float, height: float, turn: float) -> tuple[float, float]:
        r"""Lift a point of the surface, in the frame of its section.

        Parameters
        ----------
        across : float
            Towards the person's left from the bed's mid-line. [m]
        height : float
            Above the platform. [m]
        turn : float
            Signed tilt of the surface. [rad]

        Returns
        -------
        tuple of float, length 2
            The same two of the lifted point. [m]

        Notes
        -----
        A point at a distance :math:`w` from the line rises by :math:`w\sin\theta` and moves
        inwards by :math:`w(1-\cos\theta)`. What lies on the surface keeps its thickness
        upright, so its top rises as far as its base: rather too high than too low. On a split
        surface only the raised half moves; a whole one turns about its middle, where the
        other side sinks, or about its lowered edge.
        """
        if turn == 0.0:
            return across, height
        towards_raised = -1.0 if turn > 0.0 else 1.0
        axis = self.line
        if self.kind is SurfaceKind.WHOLE and self.pivot is Pivot.LOWERED_EDGE:
            axis -= towards_raised * self.half_width
        out = (across - axis) * towards_raised
        if out < 0.0 and self.kind is SurfaceKind.SPLIT:
            return across, height
        size = abs(turn)
        return axis + towards_raised * out * math.cos(size), height + out * math.sin(size)

    def sections(self) -> list[tuple[Carrier, float, float]]:
        """List the sections that the unit lies on.

        Returns
        -------
        list of (Carrier, float, float)
            Each with the ends of what lies on it, from the platform's foot end. [m]
        """
        platform = self.bed.platform
        names = (Carrier.CALF, Carrier.THIGH, Carrier.SEAT, Carrier.BACK)
        lengths = (platform.calf, platform.thigh, platform.seat, platform.back)
        found, start = [], 0.0
        for name, length in zip(names, lengths, strict=True):
            low, high = max(start, self.foot_end), min(start + length, self.head_end)
            if high > low:
                found.append((name, low, high))
            start += length
        return found

    def _carried(
        self, carrier: Carrier, along: float, up: float, setting: BedSetting
    ) -> tuple[float, float]:
        if carrier is Carrier.BACK:
            return self._on_back(along, up, setting.backrest)
        if carrier is Carrier.THIGH:
            knee = self.knee_raise(setting)
            hinge = self.bed.platform.calf + self.bed.platform.thigh
            return _turned(along - hinge, up, -knee, hinge, 0.0)
        if carrier is Carrier.CALF:
            return self._on_calf(along, up, self.knee_raise(setting))
        return along, up

    def knee_raise(self, setting: BedSetting) -> float:
        """Find the knee raise with what the backrest brings along.

        Parameters
        ----------
        setting : BedSetting
            How the bed is set. [-]

        Returns
        -------
        float
            Thigh section above level. [rad]
        """
        brought = (self.bed.knee_with_backrest or 0.0) * setting.backrest
        return max(setting.knee_raise, min(brought, self.bed.platform.largest_knee_raise))

    def _on_back(self, along: float, up: float, backrest: float) -> tuple[float, float]:
        hinge = seat_hinge(self.bed)
        share = backrest / max(self.bed.platform.largest_backrest, 1e-9)
        slid = (self.bed.back_travel or 0.0) * min(share, 1.0)
        return _turned(along - hinge, up, backrest, hinge + slid, 0.0)

    def _on_calf(self, along: float, up: float, knee: float) -> tuple[float, float]:
        platform = self.bed.platform
        rise = platform.thigh * math.sin(knee)
        knee_along = platform.calf + platform.thigh * (1.0 - math.cos(knee))
        slope = 0.0
        if self.bed.calf is not CalfMotion.LEVEL:
            slope = math.asin(min(1.0, rise / platform.calf))
        return _turned(along - platform.calf, up, slope, knee_along, rise)


def seat_hinge(bed: BedSheet) -> float:
    """Find the hinge of back and seat.

    Parameters
    ----------
    bed : BedSheet
        The bed. [-]

    Returns
    -------
    float
        From the platform's foot end. [m]
    """
    return bed.platform.calf + bed.platform.thigh + bed.platform.seat


def distance(first: Place, second: Place) -> float:
    """Measure straight from place to place.

    Parameters
    ----------
    first, second : tuple of float, length 3
        Two places. [m]

    Returns
    -------
    float
        How far apart they are. [m]
    """
    return math.dist(first, second)


def check_setting(setting: BedSetting) -> None:
    """Refuse a setting that no bed makes.

    Parameters
    ----------
    setting : BedSetting
        The setting.

    Raises
    ------
    InvalidInput
        If an angle or the lift is no number, or beyond what beds do.
    """
    given = (abs(setting.turn), setting.backrest, setting.knee_raise, setting.lift)
    if not all(
        0.0 <= value <= most for value, most in zip(given, (1.05, 1.6, 1.1, 1.5), strict=True)
    ):
        raise InvalidInput(
            f"turn, backrest, knee raise and lift of {given}",
            where="bed setting",
            expected="at most 1.05, 1.6 and 1.1 rad and 1.5 m; only a turn may be negative",
            remedy="give a setting that the bed can make",
        )


def _turned(
    along: float, up: float, angle: float, hinge_along: float, hinge_up: float
) -> tuple[float, float]:
    """Turn about a hinge, the head end of the arm up where the angle is positive."""
    cosine, sine = math.cos(angle), math.sin(angle)
    return hinge_along + along * cosine - up * sine, hinge_up + along * sine + up * cosine
