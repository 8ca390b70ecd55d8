"""Where the sites lie on the segments, and the 60 mm patch of skin around each."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.ellipsoid import project_to_skin
from leeward.contact.layout import SHAPES, Layout
from leeward.contact.segments import INDEX, SEGMENTS, kind_of
from leeward.contact.tissue_layer import TISSUE_INDEX
from leeward.terms.site import Side, Site

Array = NDArray[np.float64]

#: The patch counts skin fully to the inner radius and not at all beyond the outer: its
#: area is close to that of a 60 mm disc, and nothing jumps as it rolls over an edge.
#: Source: convention of this project.
_INNER_RADIUS: Final = 0.020
_OUTER_RADIUS: Final = 0.040
_RINGS: Final = 5


@dataclass(frozen=True, slots=True)
class Landmark:
    """A site's place on a segment.

    Parameters
    ----------
    segment : str
        Segment without its side.
    outward : float
        Place across, over the half-breadth; 1 is the outermost skin. [-]
    along : float
        Place along, over the half-length, positive towards the head. [-]
    region : str
        Region of `TISSUE_LAYERS`.
    """

    segment: str
    outward: float
    along: float
    region: str


#: Sites by their name without the side. Sites that are not here (ears, toes, inner knees
#: and ankles) have no load in this model, which is unknown and not zero.
#: Source: levels after ANSUR II landmark heights and general anatomy (from memory);
#: distances across are a convention of this project.
LANDMARKS: Final = {
    "occiput": Landmark("head", 0.0, 0.0, "head"),
    "shoulder tip": Landmark("upper arm", 0.85, 0.62, "upper arm"),
    "scapula": Landmark("thorax", 0.50, 0.25, "thorax"),
    "elbow": Landmark("upper arm", 0.0, -0.80, "shin"),
    "spine": Landmark("thorax", 0.0, -0.25, "thorax"),
    "sacrum": Landmark("pelvis", 0.0, 0.25, "sacrum"),
    "coccyx": Landmark("pelvis", 0.0, -0.35, "sacrum"),
    "buttock": Landmark("pelvis", 0.42, -0.15, "buttock"),
    "trochanter": Landmark("pelvis", 0.97, -0.10, "trochanter"),
    "outer knee": Landmark("shank", 0.90, 0.75, "shin"),
    "calf": Landmark("shank", 0.0, 0.30, "calf"),
    "outer ankle": Landmark("shank", 0.90, -0.80, "shin"),
    "heel": Landmark("foot", 0.0, 0.0, "heel"),
}


@dataclass(frozen=True, slots=True, eq=False)
class SitePatch:
    """Skin of one site as quadrature points from its segment's joint.

    Parameters
    ----------
    site : Site
        The site.
    segment : int
        Segment it lies on. [-]
    tissue : int
        Position in `TISSUE_LAYERS`. [-]
    point : ndarray, shape (m, 3)
        Points. [m]
    area : ndarray, shape (m, 3)
        Outward vector areas, weighted by the patch's kernel. [m^2]
    extent : float
        Area of the patch, which the force on it is divided by. [m^2]
    """

    site: Site
    segment: int
    tissue: int
    point: Array
    area: Array
    extent: float


@lru_cache(maxsize=1)
def _disc() -> tuple[Array, Array]:
    """Points of a disc (m, 2) and their kernel-weighted areas (m,)."""
    width = _OUTER_RADIUS / _RINGS
    points, areas = [], []
    for ring in range(_RINGS):
        radius = (ring + 0.5) * width
        count = 6 * (2 * ring + 1) // 2 * 2
        turn = 2.0 * np.pi * (np.arange(count) + 0.5) / count
        points.append(radius * np.stack([np.cos(turn), np.sin(turn)], axis=-1))
        taper = np.clip((radius - _INNER_RADIUS) / (_OUTER_RADIUS - _INNER_RADIUS), 0.0, 1.0)
        kernel = 0.5 * (1.0 + np.cos(np.pi * taper))
        areas.append(np.full(count, kernel * 2.0 * np.pi * radius * width / count))
    return np.concatenate(points), np.concatenate(areas)


def _patch(site: Site, segment: int, landmark: Landmark, layout: Layout) -> SitePatch:
    half = layout.half[segment]
    exponent = SHAPES[kind_of(SEGMENTS[segment])].exponent
    out = -1.0 if site.side is Side.RIGHT else 1.0
    inside = np.clip(1.0 - landmark.outward**exponent - abs(landmark.along) ** exponent, 0.0, 1.0)
    start = np.array([out * landmark.outward, landmark.along, -(inside ** (1.0 / exponent))])
    centre, normal = project_to_skin((start * half)[None], half, exponent)
    along = np.array([0.0, 1.0, 0.0]) - normal[0, 1] * normal[0]
    along /= np.linalg.norm(along)
    across = np.cross(along, normal[0])
    disc, area = _disc()
    flat = centre + out * disc[:, :1] * across + disc[:, 1:] * along
    point, outward = project_to_skin(flat, half, exponent)
    facing = outward @ normal[0]
    # beyond 70 degrees round a thin limb the disc no longer lies on the skin
    on_skin = np.clip((facing - 0.34) / 0.2, 0.0, 1.0)
    stretched = area * on_skin / np.maximum(facing, 0.34)
    return SitePatch(
        site=site,
        segment=segment,
        tissue=TISSUE_INDEX[landmark.region],
        point=point + layout.centre[segment] - layout.joint[segment],
        area=outward * stretched[:, None],
        extent=float(area.sum()),
    )


def site_patches(layout: Layout, present: NDArray[np.bool_]) -> tuple[SitePatch, ...]:
    """Lay a patch of skin at every site the model has.

    Parameters
    ----------
    layout : Layout
        Sizes and places of the straight body. [m]
    present : ndarray of bool, shape (14,)
        Segments that are not missing. [-]

    Returns
    -------
    tuple of SitePatch
        Patches in the order of `Site`; sites on missing segments, and sites the model does
        not have, are left out.
    """
    patches = []
    for site in Site:
        side = site.side
        name = site.value if side is None else site.value.removeprefix(f"{side.value} ")
        landmark = LANDMARKS.get(name)
        if landmark is None:
            continue
        is_paired = landmark.segment not in ("pelvis", "abdomen", "thorax", "head")
        segment = INDEX[f"{side} {landmark.segment}" if is_paired else landmark.segment]
        if present[segment]:
            patches.append(_patch(site, segment, landmark, layout))
    return tuple(patches)
