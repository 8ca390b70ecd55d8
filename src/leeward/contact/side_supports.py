"""Blocks along legs and trunk: faces that a body leans on, turning with what they are fixed to."""

from collections.abc import Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.bed_field import Field, joined, plane
from leeward.contact.layout import Layout
from leeward.contact.rotation import rotation_about
from leeward.contact.segments import INDEX
from leeward.terms.bed import Bed
from leeward.terms.errors import CannotCompute
from leeward.terms.posture import Posture, Support
from leeward.terms.site import Side
from leeward.terms.sourced import Sourced
from leeward.terms.supports import Block, FixedTo

Array = NDArray[np.float64]

#: Slope of a block's face.
BLOCK_SLOPE: Final = Sourced(
    1.4, "rad", "convention of this project: an upright face of firm foam", "not applicable"
)
BLOCK_HEIGHT: Final = Sourced(
    0.15, "m", "convention of this project", "not applicable", low=0.10, high=0.25
)
#: Scale of the rounding of a block's upper edge. [m]
_EDGE_ROUNDING: Final = 0.010
#: Room for fingers between a body lying straight and a block along it.
FINGERS: Final = Sourced(
    0.02, "m", "common practice, no source", "night posture supports", from_memory=True
)
#: A pillow between the knees, with nobody on it.
KNEE_PILLOW: Final = Sourced(
    0.12, "m", "convention of this project", "not applicable", from_memory=True
)

_MET: Final = {
    "trunk": ("thorax", "abdomen", "pelvis"),
    "left leg": ("left thigh", "left shank", "left foot"),
    "right leg": ("right thigh", "right shank", "right foot"),
}


def blocks_used(bed: Bed, posture: Posture) -> tuple[Block, ...]:
    """Find the blocks of a posture among those of the bed.

    Parameters
    ----------
    bed : Bed
        Its blocks. [-]
    posture : Posture
        Its supports. [-]

    Returns
    -------
    tuple of Block
        In a fixed order.

    Raises
    ------
    CannotCompute
        Where nobody wrote what a block is fixed to, or it is fixed to nothing: how far it
        holds cannot be told then.
    """
    described = {block.support: block for block in bed.blocks}
    found = []
    for support in sorted(support for support in posture.supports if support.is_block):
        block = described.get(support)
        if block is None or block.fixed_to is FixedTo.NOTHING:
            held = "nobody wrote what holds it" if block is None else "it is laid loosely"
            raise CannotCompute(
                f"a posture with a {support.value}, and {held}",
                where="bed.blocks",
                expected="what the block is fixed to: mattress, surface or platform",
                remedy="fix it and write so under bed.blocks, or leave it out of the supports",
            )
        found.append(block)
    return tuple(found)


def segments_met(support: Support) -> tuple[str, ...]:
    """Which parts of the body lean on a block.

    Parameters
    ----------
    support : Support
        The block. [-]

    Returns
    -------
    tuple of str
        Names of segments. [-]
    """
    if support in (Support.TRUNK_BLOCK_LEFT, Support.TRUNK_BLOCK_RIGHT):
        return _MET["trunk"]
    return _MET["left leg" if support is Support.LEG_BLOCK_LEFT else "right leg"]


def block_faces(
    blocks: tuple[Block, ...], layout: Layout, turn: Array, line_offset: Array
) -> Iterator[tuple[Block, Field]]:
    """Put up the faces of blocks on a batch of beds.

    Parameters
    ----------
    blocks : tuple of Block
        From `blocks_used`. [-]
    layout : Layout
        The straight body, for blocks along it. [m]
    turn : ndarray, shape (b,)
        Angle of the raised half of a split surface; 0 where the whole bed tilts or people
        turn by hand. [rad]
    line_offset : ndarray, shape (b,)
        The line that half turns about. [m]

    Yields
    ------
    block, field : Block, Field
        A block and its face, sloping up away from the body.

    Notes
    -----
    A block on mattress or surface turns with the half it stands on; one on the platform
    stays. It ends at its height, over which a body may roll; it is as hard as the mattress
    under it and does not give way.
    """
    batch = len(turn)
    for block in blocks:
        side = 1.0 if block.support.side is Side.LEFT else -1.0
        foot = side * (_along_the_body(block, layout) if block.distance is None else block.distance)
        frame = rotation_about(1, -side * BLOCK_SLOPE.value).T
        height = BLOCK_HEIGHT.value if block.height is None else block.height
        face = joined(
            _everywhere(frame, (foot, 0.0, 0.0), batch),
            _everywhere(np.eye(3), (foot, 0.0, height), batch),
            np.full(batch, _EDGE_ROUNDING),
            is_valley=False,
        )
        # the half on the left rises when the person is turned to the right
        rises = block.fixed_to is not FixedTo.PLATFORM
        raised = np.where((side * turn < 0.0) & rises, turn, 0.0)
        if np.any(raised != 0.0):
            pivot = np.zeros((batch, 3))
            pivot[:, 0] = line_offset
            face = face.turned(rotation_about(1, raised), pivot)
        yield block, face


def _everywhere(frame: Array, origin: tuple[float, float, float], batch: int) -> Field:
    return plane(
        np.broadcast_to(np.array(origin), (batch, 3)),
        np.broadcast_to(frame, (batch, 3, 3)),
        np.broadcast_to(np.array(origin[:2]), (batch, 2)),
    )


def _along_the_body(block: Block, layout: Layout) -> float:
    """Outermost skin of the parts that meet it, lying straight, and fingers."""
    met = [INDEX[name] for name in segments_met(block.support)]
    return float(np.max(np.abs(layout.centre[met, 0]) + layout.half[met, 0])) + FINGERS.value


def knees_apart(bed: Bed, posture: Posture, layout: Layout) -> float:
    """How far a pillow between the knees holds each thigh out.

    Parameters
    ----------
    bed : Bed
        Its pillows. [-]
    posture : Posture
        Its supports. [-]
    layout : Layout
        The straight body. [m]

    Returns
    -------
    float
        Angle of each thigh at the hip, 0 without such a pillow. [rad]
    """
    if Support.PILLOW_BETWEEN_KNEES not in posture.supports:
        return 0.0
    pillow = KNEE_PILLOW.value if bed.pillows.knees is None else bed.pillows.knees
    thigh, shank = INDEX["left thigh"], INDEX["left shank"]
    length = float(layout.joint[thigh, 1] - layout.joint[shank, 1])
    between = 2.0 * float(layout.centre[shank, 0] - layout.half[shank, 0])
    return float(np.arcsin(np.clip(0.5 * (pillow - between) / length, 0.0, 0.7)))
