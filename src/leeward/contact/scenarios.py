"""What nobody knows for certain, at its likeliest and at sixteen fixed corners."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import product
from typing import Final

from leeward.contact.joints import RELAXED_HIP, relaxed_segments
from leeward.contact.layered import compression_stress, mattress_hardness
from leeward.terms.bed import Bed, Layer, LayerKind, Mattress
from leeward.terms.body import Body, Limb
from leeward.terms.equipment import SurfaceGeometry
from leeward.terms.sourced import Sourced
from leeward.terms.units import mm_from_metres

FRICTION: Final = Sourced(
    0.45,
    "-",
    "convention of this project inside published ranges: Temel, Johnson and Lloyd 2022 "
    "(0.31 forearm, 0.90 chest against cotton), ergonomics reports (from memory)",
    "adults; cloth on cloth in bed is hardly measured",
    from_memory=True,
    low=0.2,
    high=0.8,
)
SLIDE_SHEET_FRICTION: Final = Sourced(
    0.15, "-", "ergonomics reports", "sliding fabric pairs", from_memory=True, low=0.1, high=0.2
)
#: Where a split surface's line lies when nobody measured it.
LINE_OFFSET: Final = Sourced(
    0.0, "m", "convention of this project", "not applicable", low=-0.05, high=0.05
)

#: How far a measured value may still be off.
#: Source: convention of this project.
_MEASURED_FRICTION_SPREAD: Final = 0.15
_MEASURED_LINE_SPREAD: Final = 0.015
_UNSEEN_LAYER_SPREAD: Final = 0.15


class Arms(StrEnum):
    """How the arms lie."""

    ON_TRUNK = "on the trunk"
    FORWARD = "out on the mattress, clear of the trunk"


@dataclass(frozen=True, slots=True)
class Scenario:
    """One way the unknowns may be.

    Parameters
    ----------
    name : str
        ``central`` or what the corner sets.
    friction : float
        Friction coefficient between the person and the bed. [-]
    line_offset : float
        Line of a split surface, towards the person's left from the body's mid-line. [m]
    foam_scale : float
        Mattress hardness over the reference foam's. [-]
    arms : Arms
        How the arms lie.
    tissue_thickness, tissue_stiffness : float
        Soft tissue over that of `tissue_layer`, all layers together. [-]
    pillow : float
        Hardness of the head pillow over the usual one's. [-]
    hips : float
        Bend at which relaxed hips and knees come to rest, over the usual. [-]
    """

    name: str
    friction: float
    line_offset: float
    foam_scale: float
    arms: Arms
    tissue_thickness: float = 1.0
    tissue_stiffness: float = 1.0
    pillow: float = 1.0
    hips: float = 1.0

    @property
    def person_part(self) -> tuple[float | Arms, ...]:
        """What goes with the person wherever they lie: all but the line. [-]"""
        return (self.friction, self.foam_scale, self.arms, self.hips, *self.softness)

    @property
    def softness(self) -> tuple[float, float, float]:
        """Tissue thickness, tissue stiffness and pillow, over the usual. [-]"""
        return (self.tissue_thickness, self.tissue_stiffness, self.pillow)


@dataclass(frozen=True, slots=True)
class Range:
    """A value with its two ends.

    Parameters
    ----------
    low, middle, high : float
        In the value's own unit. [-]
    """

    low: float
    middle: float
    high: float


def friction_range(bed: Bed) -> Range:
    """Friction between person and bed.

    Parameters
    ----------
    bed : Bed
        Measured friction, layers. [-]

    Returns
    -------
    Range
        Coefficient and its ends. [-]
    """
    if bed.friction is not None:
        spread = _MEASURED_FRICTION_SPREAD * bed.friction
        return Range(bed.friction - spread, bed.friction, bed.friction + spread)
    if any(layer.kind is LayerKind.SLIDE_SHEET for layer in bed.layers or ()):
        return _ends(SLIDE_SHEET_FRICTION)
    return _ends(FRICTION)


def _ends(value: Sourced) -> Range:
    low = value.value if value.low is None else value.low
    high = value.value if value.high is None else value.high
    return Range(low, value.value, high)


def foam_range(bed: Bed) -> Range:
    """Hardness of the mattress over the reference foam's, or a layered one's over its own.

    Parameters
    ----------
    bed : Bed
        Mattress and layers. [-]

    Returns
    -------
    Range
        Scale and its ends; wider where nobody described the mattress or the layers. [-]

    Raises
    ------
    CannotCompute
        For a mattress that is not foam and has no measured curve.
    """
    own = mattress_hardness(bed.mattress)
    low, middle, high = own.low, own.middle, own.high
    if bed.layers is None or any(_is_unknown(layer) for layer in bed.layers):
        low, high = low * (1 - _UNSEEN_LAYER_SPREAD), high * (1 + _UNSEEN_LAYER_SPREAD)
    return Range(low, middle, high)


def _is_unknown(layer: Layer) -> bool:
    """Whether nobody can tell how a layer gives way."""
    return layer.thickness is None or (layer.kind is LayerKind.OTHER and layer.cv40 is None)


def is_hardness_known(mattress: Mattress) -> bool:
    """Whether somebody described how hard a mattress is, through all of its thickness.

    Parameters
    ----------
    mattress : Mattress
        The mattress.

    Returns
    -------
    bool
        True with a measured curve, or a hardness of every foam. [-]
    """
    if mattress.curve:
        return True
    return all(compression_stress(foam) is not None for foam in mattress.foams or (mattress,))


def is_wear_known(mattress: Mattress) -> bool:
    """Whether somebody said how long a mattress has been lain on, where that matters.

    Parameters
    ----------
    mattress : Mattress
        The mattress.

    Returns
    -------
    bool
        True with years in use, and with a measured curve, which is that of the mattress as it
        is. [-]
    """
    return bool(mattress.curve) or mattress.years_in_use is not None


def line_range(surface: SurfaceGeometry | None, measured: float | None) -> Range:
    """Where the line of a split surface lies, towards the person's left of the mid-line.

    Parameters
    ----------
    surface : SurfaceGeometry or None
        Tilting surface; None when people turn the person by hand. [-]
    measured : float or None
        Where it was measured. [m]

    Returns
    -------
    Range
        Place and its ends. [m]
    """
    if surface is not None and measured is not None:
        return Range(measured - _MEASURED_LINE_SPREAD, measured, measured + _MEASURED_LINE_SPREAD)
    return _ends(LINE_OFFSET)


def hips_range(body: Body) -> Range:
    """How far bent relaxed hips and knees come to rest, over the usual.

    Parameters
    ----------
    body : Body
        Its fixed bends: where no hip or knee is relaxed, nothing is drawn. [-]

    Returns
    -------
    Range
        Scale and its ends. [-]
    """
    hip = _ends(RELAXED_HIP)
    if not relaxed_segments(body):
        return Range(1.0, 1.0, 1.0)
    return Range(hip.low / hip.middle, 1.0, hip.high / hip.middle)


def corner_scenarios(
    bed: Bed, surface: SurfaceGeometry | None, body: Body, line_offset: float | None = None
) -> tuple[Scenario, ...]:
    """Make the central scenario and the sixteen corners of what is not known.

    Parameters
    ----------
    bed : Bed
        Mattress, layers, friction. [-]
    surface : SurfaceGeometry or None
        Tilting surface; None when people turn the person by hand. [-]
    body : Body
        The body. [-]
    line_offset : float or None
        Where the surface's line was measured, towards the person's left. [m]

    Returns
    -------
    tuple of Scenario, length 17
        The central one first. A measured friction, hardness or line narrows its corners.

    Raises
    ------
    CannotCompute
        For a mattress that is not foam and has no measured curve.

    Notes
    -----
    Friction, line, foam and arms stand at all their corners. Hips pull hard where an even
    number of friction, foam and arms stands at its second end, else little: a half fraction
    of the five, whose main effects can be told from one another and from what two of them do
    together, and in which every corner has the one with the line on the other side.

    References
    ----------
    .. [1] Half fractions of a 2^5 factorial design: G. E. P. Box, J. S. Hunter and W. G.
       Hunter, Statistics for Experimenters, Wiley 2005, ch. 6 (from memory).
    """
    friction, foam, hips = friction_range(bed), foam_range(bed), hips_range(body)
    line = line_range(surface, line_offset)
    no_arms = {Limb.LEFT_ARM, Limb.RIGHT_ARM} <= body.missing
    postures = (Arms.ON_TRUNK,) * 2 if no_arms else (Arms.ON_TRUNK, Arms.FORWARD)
    central = Scenario("central", friction.middle, line.middle, foam.middle, Arms.ON_TRUNK)
    corners = []
    for ends in product((0, 1), repeat=4):
        mu = (friction.low, friction.high)[ends[0]]
        offset = (line.low, line.high)[ends[1]]
        scale = (foam.low, foam.high)[ends[2]]
        arms = postures[ends[3]]
        pull = (hips.high, hips.low)[(ends[0] + ends[2] + ends[3]) % 2]
        name = (
            f"friction {mu:.2f}, line {1e3 * offset:+.0f} mm, foam {scale:.2f}, "
            f"arms {arms.value}, hips {pull:.2f}"
        )
        corners.append(Scenario(name, mu, offset, scale, arms, hips=pull))
    return (central, *corners)


#: Draws made from one, such as other frictions.
Vary = Callable[[Scenario], tuple[Scenario, ...]]


def with_frictions(draw: Scenario, frictions: tuple[float, ...]) -> tuple[Scenario, ...]:
    """Give a draw other frictions, all else kept.

    Parameters
    ----------
    draw : Scenario
        The draw.
    frictions : tuple of float
        Friction coefficients. [-]

    Returns
    -------
    tuple of Scenario
        One draw for each friction.
    """
    return tuple(replace(draw, name=f"friction {value:.2f}", friction=value) for value in frictions)


def with_line_moved(draw: Scenario, shifts: tuple[float, ...]) -> tuple[Scenario, ...]:
    """Move the line of a split surface under the body, all else kept.

    Parameters
    ----------
    draw : Scenario
        The draw.
    shifts : tuple of float
        How far, towards the person's left. [m]

    Returns
    -------
    tuple of Scenario
        One draw for each shift.

    Notes
    -----
    A whole surface has no line: there every draw answers alike.
    """
    return tuple(
        replace(
            draw,
            name=f"line moved {mm_from_metres(shift):+.0f} mm",
            line_offset=draw.line_offset + shift,
        )
        for shift in shifts
    )
