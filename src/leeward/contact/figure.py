"""The body as the solver sees it: linked masses with points of skin and patches at sites."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.ellipsoid import implicit_value, skin_points, stretch
from leeward.contact.landmarks import SitePatch, site_patches
from leeward.contact.layout import REFERENCE_BODY, SHAPES, Layout, lay_out, segment_fluid
from leeward.contact.segments import (
    COUNT,
    INDEX,
    PARENT,
    SEGMENTS,
    kind_of,
    mass_fractions,
    subtree,
)
from leeward.contact.tissue_layer import TISSUE_LAYERS, tissue_of_skin
from leeward.terms.body import Body, Limb

Array = NDArray[np.float64]

#: Distance between skin points: some 2100 that can meet a bed. At 0.030 a row of them meets it at
#: once at 27 degrees of turn, which bends the roll and costs interpolation twice as much.
_SPACING: Final = 0.028

_LOST: Final = {
    Limb.LEFT_LEG_ABOVE_KNEE: "left shank",
    Limb.RIGHT_LEG_ABOVE_KNEE: "right shank",
    Limb.LEFT_LEG_BELOW_KNEE: "left foot",
    Limb.RIGHT_LEG_BELOW_KNEE: "right foot",
    Limb.LEFT_ARM: "left upper arm",
    Limb.RIGHT_ARM: "right upper arm",
}

#: Share of a part that is left when the rest was lost.
#: Source: convention of this project (mid-length amputation).
_STUMP: Final = {
    Limb.LEFT_LEG_ABOVE_KNEE: "left thigh",
    Limb.RIGHT_LEG_ABOVE_KNEE: "right thigh",
    Limb.LEFT_LEG_BELOW_KNEE: "left shank",
    Limb.RIGHT_LEG_BELOW_KNEE: "right shank",
}
_STUMP_SHARE: Final = 0.55


@dataclass(frozen=True, slots=True, eq=False)
class Figure:
    """A body ready to be laid on a bed; vectors in each segment's own frame.

    Parameters
    ----------
    mass : ndarray, shape (14,)
        Segment masses; their sum is the body's mass. [kg]
    mass_centre : ndarray, shape (14, 3)
        Centre of mass from the segment's joint. [m]
    link : ndarray, shape (14, 3)
        Segment's joint from its parent's joint, in the parent's frame. [m]
    point : ndarray, shape (n, 3)
        Skin points from their segment's joint, ordered by segment. [m]
    area : ndarray, shape (n, 3)
        Outward vector areas. [m^2]
    owner : ndarray of int, shape (n,)
        Segment of each point. [-]
    tissue : ndarray of int, shape (n,)
        Position in `TISSUE_LAYERS`. [-]
    patches : tuple of SitePatch
        The sites the model has.
    layout : Layout
        Sizes and places of the straight body.
    present : ndarray of bool, shape (14,)
        Segments that are not missing. [-]
    """

    mass: Array
    mass_centre: Array
    link: Array
    point: Array
    area: Array
    owner: NDArray[np.intp]
    tissue: NDArray[np.intp]
    patches: tuple[SitePatch, ...]
    layout: Layout
    present: NDArray[np.bool_]


def _segment_shares(body: Body) -> tuple[Array, NDArray[np.bool_]]:
    """Mass of every segment, and which are there; the mass weighed is what is there."""
    share = mass_fractions(body.sex)
    present = np.ones(COUNT, dtype=bool)
    for limb in body.missing:
        lost = list(subtree(_LOST[limb]))
        present[lost] = False
        if limb in _STUMP:
            share[INDEX[_STUMP[limb]]] *= _STUMP_SHARE
    share = np.where(present, share, 0.0)
    fluid = np.where(present, segment_fluid(body), 0.0)
    return (body.mass - fluid.sum()) * share / share.sum() + fluid, present


def _can_meet_bed(kind: str, point: Array, area: Array) -> NDArray[np.bool_]:
    """Leave out skin that faces away from the bed in every posture short of prone."""
    upward = area[:, 2] / np.linalg.norm(area, axis=-1)
    limit = 0.45 if kind in ("pelvis", "abdomen", "thorax", "head") else 0.9
    return np.asarray((upward < limit) & np.isfinite(point[:, 0]))


def _hidden(segment: int, point: Array, layout: Layout) -> NDArray[np.bool_]:
    """Points (straight body's frame) that lie inside another segment."""
    inside = np.zeros(len(point), dtype=bool)
    for other in range(COUNT):
        # arms lie beside or on the trunk: their overlap there is not a joint
        if other == segment or "arm" in SEGMENTS[other] or "arm" in SEGMENTS[segment]:
            continue
        value = implicit_value(
            point - layout.centre[other],
            layout.half[other],
            SHAPES[kind_of(SEGMENTS[other])].exponent,
        )
        inside |= value < 1.0
    return inside


@lru_cache(maxsize=32)
def build_figure(body: Body) -> Figure:
    """Build the figure of a body.

    Parameters
    ----------
    body : Body
        The body. [-]

    Returns
    -------
    Figure
        Masses, links, skin points and site patches.

    Notes
    -----
    Shapes are fourteen superellipsoids stretched from those drawn for the reference body
    (1.756 m, 80 kg); points are stretched with them, so that neighbouring bodies have
    neighbouring points. Single bony ridges are not modelled.

    References
    ----------
    .. [1] de Leva 1996 for masses and centres; ANSUR II for breadths and depths.
    """
    layout = lay_out(body)
    drawn = lay_out(REFERENCE_BODY)
    mass, present = _segment_shares(body)
    points, areas, owners, tissues = [], [], [], []
    for number, segment in enumerate(SEGMENTS):
        if not present[number]:
            continue
        kind = kind_of(segment)
        across, along, through = (float(size) for size in drawn.half[number])
        spacing = min(_SPACING, 0.55 * min(across, along, through))
        point, area = skin_points((across, along, through), SHAPES[kind].exponent, spacing)
        point, area = stretch(point, area, layout.half[number] / drawn.half[number])
        keep = _can_meet_bed(kind, point, area) & ~_hidden(
            number, point + layout.centre[number], layout
        )
        side = -1.0 if segment.startswith("right") else 1.0
        tissues.append(tissue_of_skin(kind, point[keep] / layout.half[number] * (side, 1, 1)))
        points.append(point[keep] + layout.centre[number] - layout.joint[number])
        areas.append(area[keep])
        owners.append(np.full(int(keep.sum()), number))
    link = layout.joint.copy()
    link[1:] -= layout.joint[list(PARENT[1:])]
    link[0] = 0.0
    assert max(map(max, tissues)) < len(TISSUE_LAYERS)
    return Figure(
        mass=mass,
        mass_centre=layout.mass_centre - layout.joint,
        link=link,
        point=np.concatenate(points),
        area=np.concatenate(areas),
        owner=np.concatenate(owners),
        tissue=np.concatenate(tissues),
        patches=site_patches(layout, present),
        layout=layout,
        present=present,
    )
