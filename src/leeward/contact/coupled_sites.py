"""What each site bears in a coupled balance: patch load, peak over a cell, friction."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.coupled_balance import JointBalance
from leeward.contact.coupled_bed import CoupledBed, turned_edges
from leeward.contact.landmarks import SitePatch
from leeward.contact.pressure_map import PEAK_CELL, Highest, Peak
from leeward.contact.segments import SEGMENTS
from leeward.contact.skin_tiles import rectangles

Array = NDArray[np.float64]
Index = NDArray[np.intp]

#: The patch counts skin fully to the inner radius and not at all beyond the outer, as the
#: patches of `leeward.contact.landmarks` do. [m]
_INNER_RADIUS: Final = 0.020
PATCH_REACH: Final = 0.040
#: The cell with the peak has its middle within this distance of the site's, each way. [m]
_SEARCH: Final = 0.020
_SEARCH_STEP: Final = 0.005


@dataclass(frozen=True, slots=True, eq=False)
class SkinLoads:
    """Skin in contact with the mattress, each point with the rectangle it stands for.

    Parameters
    ----------
    place : ndarray, shape (2, n)
        Middles on the surface, across and along. [m]
    size : ndarray, shape (2, n)
        Sides of the rectangles. [m]
    facing : ndarray, shape (n,)
        Area projected on the surface. [m^2]
    pressure : ndarray, shape (n,)
        Normal pressure. [Pa]
    shear : ndarray, shape (2, n)
        Friction of the bed on the skin, across and along. [Pa]
    segment : ndarray of int, shape (n,)
        Segment of each. [-]
    own : ndarray, shape (n, 3)
        Place on the segment, from its joint. [m]
    own_area : ndarray, shape (n,)
        Area of the skin. [m^2]
    """

    place: Array
    size: Array
    facing: Array
    pressure: Array
    shear: Array
    segment: Index
    own: Array
    own_area: Array

    def take(self, points: Index) -> "SkinLoads":
        """Pick some points.

        Parameters
        ----------
        points : ndarray of int, shape (k,)
            Their positions. [-]

        Returns
        -------
        SkinLoads
            The loads on those points.
        """
        return SkinLoads(
            self.place[:, points],
            self.size[:, points],
            self.facing[points],
            self.pressure[points],
            self.shear[:, points],
            self.segment[points],
            self.own[points],
            self.own_area[points],
        )


def skin_loads(bed: CoupledBed, joint: JointBalance) -> SkinLoads:
    """Read the loads off the skin of a coupled balance.

    Parameters
    ----------
    bed : CoupledBed
        Body and bed.
    joint : JointBalance
        In balance.

    Returns
    -------
    SkinLoads
        Skin in contact with the mattress.
    """
    met = joint.touch.met
    chosen = bed.lying.bearings[0].skin[met.point]
    figure = bed.lying.figure
    return SkinLoads(
        place=met.value.place,
        size=rectangles(turned_edges(figure, joint.pose, chosen), met.facing, met.value),
        facing=met.facing,
        pressure=met.pressure,
        shear=met.shear,
        segment=met.segment,
        own=figure.point[chosen],
        own_area=np.linalg.norm(figure.area[chosen], axis=1),
    )


def counted(distance: Array) -> Array:
    """How far skin at a distance from a site's middle counts to its patch.

    Parameters
    ----------
    distance : ndarray, shape (n,)
        Distances. [m]

    Returns
    -------
    ndarray, shape (n,)
        1 near the middle, 0 outside. [-]
    """
    taper = np.clip((distance - _INNER_RADIUS) / (PATCH_REACH - _INNER_RADIUS), 0.0, 1.0)
    return np.asarray(0.5 * (1.0 + np.cos(np.pi * taper)))


def patch_middle(patch: SitePatch) -> Array:
    """Middle of a site's patch on its segment.

    Parameters
    ----------
    patch : SitePatch
        The patch. [-]

    Returns
    -------
    ndarray, shape (3,)
        Place from the segment's joint. [m]
    """
    return np.asarray(patch.point[:6].mean(axis=0))


@dataclass(frozen=True, slots=True)
class PatchLoad:
    """Load and friction of one patch.

    Parameters
    ----------
    load : float
        Normal force over the patch's area. [Pa]
    shear_across, shear_along : float
        Friction over the patch's area. [Pa]
    """

    load: float
    shear_across: float
    shear_along: float


def patch_load(skin: SkinLoads, counts: Array, patch: SitePatch, whole: float) -> PatchLoad:
    """Add up what a patch's skin bears.

    Parameters
    ----------
    skin : SkinLoads
        Skin in contact.
    counts : ndarray, shape (n,)
        How far each point of it counts to the patch. [-]
    patch : SitePatch
        The patch. [-]
    whole : float
        Area of all skin, in contact or not, that counts to the patch. [m^2]

    Returns
    -------
    PatchLoad
        Mean over the patch. Points of skin are too far apart to measure its area by:
        pressures are weighted with them, and the area is the patch's own.
    """
    if whole <= 0.0:
        return PatchLoad(0.0, 0.0, 0.0)
    area = float(np.linalg.norm(patch.area, axis=1).sum())
    weight = counts * skin.facing
    scale = area / (whole * patch.extent)
    across, along = (float(np.sum(weight * part)) * scale for part in skin.shear)
    return PatchLoad(float(np.sum(weight * skin.pressure)) * scale, across, along)


def _overlap(middle: Array, size: Array, cells: Array, cell: float) -> Array:
    """Part of every interval that lies in every cell, (cells, n)."""
    low = np.maximum(middle - 0.5 * size, cells[:, None] - 0.5 * cell)
    high = np.minimum(middle + 0.5 * size, cells[:, None] + 0.5 * cell)
    return np.asarray(np.maximum(high - low, 0.0) / size)


def cell_peak(
    place: Array, size: Array, facing: Array, pressure: Array, middle: Array, cell: float
) -> float:
    """Highest mean pressure over a square cell near a place.

    Parameters
    ----------
    place : ndarray, shape (2, n)
        Middles of rectangles of skin. [m]
    size : ndarray, shape (2, n)
        Their sides. [m]
    facing : ndarray, shape (n,)
        Their areas projected on the surface. [m^2]
    pressure : ndarray, shape (n,)
        Normal pressure on each. [Pa]
    middle : ndarray, shape (2,)
        The place. [m]
    cell : float
        Side of the cell. [m]

    Returns
    -------
    float
        Highest mean over cells with their middle within 20 mm across and along. Where
        rectangles overlap, the mean is over the skin they stand for. [Pa]

    Examples
    --------
    >>> place, size = np.zeros((2, 1)), np.full((2, 1), 0.02)
    >>> area, pressure = np.array([4e-4]), np.array([4000.0])
    >>> round(cell_peak(place, size, area, pressure, np.zeros(2), 0.02))
    4000
    """
    near = np.all(np.abs(place - middle[:, None]) < _SEARCH + 0.5 * (cell + size), axis=0)
    if not near.any():
        return 0.0
    steps = np.arange(-_SEARCH, _SEARCH + 0.5 * _SEARCH_STEP, _SEARCH_STEP)
    across, along = (
        _overlap(place[axis, near], np.maximum(size[axis, near], 1e-4), middle[axis] + steps, cell)
        for axis in (0, 1)
    )
    covered = (along * facing[near]) @ across.T
    force = (along * (facing[near] * pressure[near])) @ across.T
    return float((force / np.maximum(covered, cell**2)).max())


def highest_cell(bed: CoupledBed, joint: JointBalance) -> Highest:
    """Find the highest pressure of the mattress anywhere on the body.

    Parameters
    ----------
    bed : CoupledBed
        Body and bed.
    joint : JointBalance
        In balance.

    Returns
    -------
    Highest
        Over the common cell, next to the square with the highest pressure.
    """
    skin, grid = skin_loads(bed, joint), bed.grid
    force = skin.facing * skin.pressure
    node = int(grid.active[np.argmax(joint.touch.under.to_nodes(force, grid.count))])
    row, column = divmod(node, grid.shape[1])
    middle = grid.step * np.array([column + grid.low[0], row + grid.low[1]], dtype=float)
    near = np.max(np.abs(skin.place - middle[:, None]), axis=0) < PEAK_CELL.value
    by_segment = np.bincount(skin.segment[near], force[near])
    cell = PEAK_CELL.value
    pressure = cell_peak(skin.place, skin.size, skin.facing, skin.pressure, middle, cell)
    return Highest(
        SEGMENTS[int(np.argmax(by_segment))],
        float(middle[0]),
        float(middle[1]),
        Peak(pressure, cell),
    )
