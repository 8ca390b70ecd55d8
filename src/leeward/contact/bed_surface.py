"""The surface a posture makes: platform sections, a tilting surface, a bolster."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.bed_field import Field, joined, plane
from leeward.contact.rotation import rotation_about
from leeward.terms.bed import Platform
from leeward.terms.sourced import Sourced
from leeward.terms.units import STANDARD_GRAVITY

Array = NDArray[np.float64]

#: The logarithmic rounding spreads an edge over four of its scale lengths.
_SPREAD: Final = 4.0

#: How far the mattress rounds a bend between platform sections. [m]
SECTION_ROUNDING: Final = Sourced(
    0.15, "m", "convention of this project: about one mattress thickness", "not applicable"
)

#: Level of the hinge under the lower back, from the hips towards the head. [m]
HINGE_ABOVE_HIPS: Final = Sourced(
    0.06, "m", "convention of this project: hips on the seat section", "not applicable"
)

#: Slope of a bolster's face. [rad]
BOLSTER_SLOPE: Final = Sourced(
    0.785, "rad", "convention of this project: a firm 45 degree wedge", "not applicable"
)


@dataclass(frozen=True, slots=True, eq=False)
class SurfacePosture:
    """How the surfaces of a batch of beds are set.

    Parameters
    ----------
    split_turn : ndarray, shape (b,)
        Angle of the raised half about the line; 0 for a whole surface. [rad]
    line_offset : ndarray, shape (b,)
        The line, towards the person's left from the body's mid-line. [m]
    line_rounding : float
        Width over which the mattress rounds the valley. [m]
    backrest, knee_raise : float
        Angles of the back and thigh sections. [rad]
    bolster : float or None
        Foot of a bolster, towards the person's left of the mid-line: a positive one
        slopes up to the left, a negative one to the right; None without one. [m]
    """

    split_turn: Array
    line_offset: Array
    line_rounding: float
    backrest: float = 0.0
    knee_raise: float = 0.0
    bolster: float | None = None


def gravity_in_bed(whole_turn: Array, head_up: float) -> Array:
    """Acceleration of gravity in the frame of a bed that is tilted as a whole.

    Parameters
    ----------
    whole_turn : ndarray, shape (b,)
        Turn of the whole surface, positive towards the person's left. [rad]
    head_up : float
        Tilt of the whole bed, head end up positive. [rad]

    Returns
    -------
    ndarray, shape (b, 3)
        Gravity. [m/s^2]
    """
    down = np.array([0.0, 0.0, -STANDARD_GRAVITY])
    return np.asarray(np.einsum("bji,j->bi", room_from_bed(whole_turn, head_up), down))


def room_from_bed(whole_turn: Array, head_up: float) -> Array:
    """Rotation from the bed's frame to the room's.

    Parameters
    ----------
    whole_turn : ndarray, shape (b,)
        Turn of the whole surface, positive towards the person's left. [rad]
    head_up : float
        Tilt of the whole bed, head end up positive. [rad]

    Returns
    -------
    ndarray, shape (b, 3, 3)
        Rotation matrices. [-]
    """
    return np.asarray(rotation_about(0, head_up) @ rotation_about(1, whole_turn))


def _plane(frame: Array, origin: Array, start: Array, batch: int) -> Field:
    """A half-space from rows (across, along, out), the same in every bed of the batch."""
    return plane(
        np.broadcast_to(origin, (batch, 3)),
        np.broadcast_to(frame, (batch, 3, 3)),
        np.broadcast_to(start, (batch, 2)),
    )


def _tilted(angle: float) -> Array:
    """Rows across, along, out of a section raised about a cross hinge towards the head."""
    return np.asarray(rotation_about(0, angle).T)


def _sections(posture: SurfacePosture, platform: Platform, batch: int) -> Field:
    """Back, seat, thigh and calf sections of an unturned bed."""
    origin = np.zeros(3)
    surface = _plane(np.eye(3), origin, np.zeros(2), batch)
    if posture.knee_raise > 0.0:
        surface = _knee_break(surface, posture.knee_raise, platform, batch)
    if posture.backrest > 0.0:
        hinge = HINGE_ABOVE_HIPS.value
        back = _plane(
            _tilted(posture.backrest),
            np.array([0.0, hinge, 0.0]),
            np.array([0.0, hinge]),
            batch,
        )
        surface = joined(surface, back, _rounding(posture.backrest, batch))
    return surface


def _rounding(angle: float | Array, batch: int) -> Array:
    scale = SECTION_ROUNDING.value / _SPREAD * np.sin(np.abs(angle))
    return np.broadcast_to(np.asarray(scale, dtype=float), (batch,))


def _knee_break(seat: Field, angle: float, platform: Platform, batch: int) -> Field:
    """Raise the thigh section; the calf section slopes back down to the frame."""
    hinge = HINGE_ABOVE_HIPS.value - platform.seat
    rise = platform.thigh * np.sin(angle)
    slope = float(np.arcsin(min(rise / platform.calf, 0.95)))
    thigh = _plane(_tilted(-angle), np.array([0.0, hinge, 0.0]), np.array([0.0, hinge]), batch)
    knee = np.array([0.0, hinge - platform.thigh * np.cos(angle), rise])
    calf = _plane(_tilted(slope), knee, np.array([0.0, hinge - platform.thigh]), batch)
    raised = joined(thigh, calf, _rounding(angle + slope, batch), is_valley=False)
    return joined(seat, raised, _rounding(angle, batch))


def bed_surface(posture: SurfacePosture, platform: Platform) -> Field:
    """Build the upper surface of a batch of beds in one posture.

    Parameters
    ----------
    posture : SurfacePosture
        Turn, line, backrest, knee raise. [-]
    platform : Platform
        Lengths of the sections. [m]

    Returns
    -------
    Field
        The surface in the bed's frame: X to the person's left from the body's mid-line,
        Y to the head from the hips, Z up from the unloaded mattress top.

    Notes
    -----
    A split surface keeps one half down and lifts the other about the line; the mattress
    bridges the valley over `line_rounding`. Everything bends about sharp hinges rounded in
    the same way. The raised half takes backrest and knee raise with it.
    """
    batch = len(posture.split_turn)
    surface = _sections(posture, platform, batch)
    if np.any(posture.split_turn != 0.0):
        pivot = np.zeros((batch, 3))
        pivot[:, 0] = posture.line_offset
        raised = surface.turned(rotation_about(1, posture.split_turn), pivot)
        scale = posture.line_rounding / _SPREAD * np.sin(np.abs(posture.split_turn))
        surface = joined(surface, raised, scale)
    return surface


def bolster_surface(foot: float, batch: int) -> Field:
    """A bolster's face, which only trunk and thighs meet.

    Parameters
    ----------
    foot : float
        Where it meets the mattress, towards the person's left; its sign says to which
        side it slopes up. [m]
    batch : int
        Number of beds. [-]

    Returns
    -------
    Field
        The face in every bed.
    """
    slope = -np.sign(foot) * BOLSTER_SLOPE.value
    frame = rotation_about(1, float(slope)).T
    return _plane(frame, np.array([foot, 0.0, 0.0]), np.array([foot, 0.0]), batch)
