"""A body on a bed whose foam is followed as a surface of its own under the skin."""

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.balance import Balance, Lying, find_balance
from leeward.contact.coupled_foam import Couplings, FoamGrid, Spread, lay_grid
from leeward.contact.coupled_skin import PressedSkin
from leeward.contact.figure import Figure
from leeward.contact.foam import pressure_at_depth, series_table
from leeward.contact.layered import calf_pillow, head_pillow, mattress_cushions
from leeward.contact.pose import Pose, joint_places
from leeward.contact.setting import Room
from leeward.contact.skin_contact import Touch, skin_places
from leeward.contact.skin_tiles import rectangles, tile_edges
from leeward.contact.tissue_layer import TISSUE_LAYERS
from leeward.terms.bed import Bed

Array = NDArray[np.float64]
Index = NDArray[np.intp]

#: Skin this far above the bed in the uncoupled balance may still come to lie on it. [m]
_MAY_TOUCH: Final = -0.020
#: Foam is followed as far as this beyond skin that touches, and beyond skin that may; at a light
#: touch load spreads over the root of lateral over column stiffness, about 16 mm. [m]
_MARGIN: Final = 0.040
_MARGIN_NEAR: Final = 0.020
_FOAM_STEPS: Final = 6
#: Out of everyone's reach. [m]
_OFF: Final = -1.0
#: Regions that may lie on a calf pillow, in the order of the room's tables.
_ON_CALF_PILLOW: Final = ("calf", "shin")


@lru_cache(maxsize=16)
def mattress_table(bed: Bed, scale: float) -> Array:
    """Pressure of the mattress alone against its compression.

    Parameters
    ----------
    bed : Bed
        The bed. [-]
    scale : float
        Hardness over the reference foam's. [-]

    Returns
    -------
    ndarray, shape (1, cells, 4)
        A table for `pressure_at_depth`. [Pa]
    """
    return series_table(mattress_cushions(bed, scale), 0.0, 1.0)[None]


@lru_cache(maxsize=16)
def tissue_tables(bed: Bed, softness: tuple[float, float, float]) -> Array:
    """Pressure of every tissue, on its pillow where it has one, without the mattress.

    Parameters
    ----------
    bed : Bed
        Its pillows. [-]
    softness : tuple of float, length 3
        Tissue thickness, tissue stiffness and head pillow, over the usual. [-]

    Returns
    -------
    ndarray, shape (t, cells, 4)
        Tables in the order of a room's for one scenario. [Pa]
    """
    thick, stiff, pillow = softness
    usual = head_pillow(bed)
    head = (replace(usual, scale=pillow * usual.scale),)
    layers = [(layer, head if layer.region == "head" else ()) for layer in TISSUE_LAYERS]
    layers += [
        (layer, (calf_pillow(bed),))
        for name in _ON_CALF_PILLOW
        for layer in TISSUE_LAYERS
        if layer.region == name
    ]
    return np.stack(
        [
            series_table(under, thick * layer.thickness.value, stiff * layer.modulus.value)
            for layer, under in layers
        ]
    )


@dataclass(frozen=True, slots=True, eq=False)
class CoupledBed:
    """One body on one bed, with a grid of foam under the mattress side of its skin.

    Parameters
    ----------
    lying : Lying
        The body with tissue and pillows only: the mattress is the grid.
    grid : FoamGrid
        The foam.
    skin : ndarray of int, shape (n,)
        Points of the mattress bearing that may touch. [-]
    spread : Spread
        How they are spread over the grid. It stays as the uncoupled pose has it: skin takes
        the cover under it along, so foam and skin do not slide over one another here.
    couplings : Couplings
        How that skin couples the foam's nodes.
    """

    lying: Lying
    grid: FoamGrid
    skin: Index
    spread: Spread
    couplings: Couplings

    def pressed(self, pose: Pose) -> PressedSkin:
        """The skin that may touch, held still.

        Parameters
        ----------
        pose : Pose
            One pose.

        Returns
        -------
        PressedSkin
            For the foam alone to give way under.
        """
        mattress, figure = self.lying.bearings[0], self.lying.figure
        chosen = mattress.skin[self.skin]
        joint, _ = joint_places(pose, figure.link)
        place = skin_places(figure, pose, joint, chosen)[0]
        value = mattress.field.at(place, np.zeros(len(chosen), dtype=np.intp))
        area = _areas(figure, pose, chosen)
        return PressedSkin(
            grid=self.grid,
            spread=self.spread,
            couplings=self.couplings,
            tables=mattress.table,
            facing=np.maximum(np.sum(area * value.gradient, axis=0), 0.0),
            depth=value.depth + mattress.lift[self.skin],
            row=mattress.row[0, self.skin],
            pull=np.zeros(self.grid.count),
        )

    def touch(self, pose: Pose, deflection: Array) -> "CoupledTouch":
        """Find what acts on body and foam.

        Parameters
        ----------
        pose : Pose
            One pose.
        deflection : ndarray, shape (m,)
            Compression of the foam at the grid's nodes. [m]

        Returns
        -------
        CoupledTouch
            Forces and stiffness of the body at this deflection, and what is out of balance
            in the foam.
        """
        mattress = self.lying.bearings[0]
        lift = np.full(len(mattress.lift), _OFF)
        lift[self.skin] = mattress.lift[self.skin] - self.spread.at_points(deflection)
        lying = replace(
            self.lying, bearings=(replace(mattress, lift=lift), *self.lying.bearings[1:])
        )
        balance = find_balance(lying, pose)
        met = balance.touches[0]
        which = np.searchsorted(self.skin, met.point)
        under = self.spread.take(which)
        resistance, slope = self.grid.resistance(deflection)
        pressing = under.to_nodes(met.facing * met.pressure, self.grid.count)
        firmness = np.zeros(len(self.skin))
        firmness[which] = met.facing * met.stiffness
        return CoupledTouch(balance, met, under, firmness, slope, pressing - resistance)


@dataclass(frozen=True, slots=True, eq=False)
class CoupledTouch:
    """What acts on body and foam at one pose and deflection.

    Parameters
    ----------
    balance : Balance
        The body's; its stiffness is at fixed deflection.
    met : Touch
        Skin in contact with the mattress.
    under : Spread
        How that skin is spread over the grid.
    firmness : ndarray, shape (n,)
        Stiffness of the tissue times its area, of all skin that may touch. [N/m]
    slope : ndarray, shape (m,)
        Slope of every column's force. [N/m]
    unbalanced : ndarray, shape (m,)
        Force of the skin less that of the foam on every square. [N]
    """

    balance: Balance
    met: Touch
    under: Spread
    firmness: Array
    slope: Array
    unbalanced: Array


def _stations(lying: Lying, pose: Pose, skin: Index) -> tuple[Array, Array]:
    """Arc coordinates of skin, and the sides of the rectangles it stands for, both (2, n)."""
    figure, mattress = lying.figure, lying.bearings[0]
    joint, _ = joint_places(pose, figure.link)
    chosen = mattress.skin[skin]
    place = skin_places(figure, pose, joint, chosen)[0]
    value = mattress.field.at(place, np.zeros(len(skin), dtype=np.intp))
    facing = np.sum(_areas(figure, pose, chosen) * value.gradient, axis=0)
    return value.place, rectangles(turned_edges(figure, pose, chosen), facing, value)


def turned_edges(figure: Figure, pose: Pose, chosen: Index) -> Array:
    """Half edges of the skin some points stand for, in the bed's frame.

    Parameters
    ----------
    figure : Figure
        The body. [-]
    pose : Pose
        One pose.
    chosen : ndarray of int, shape (n,)
        The points. [-]

    Returns
    -------
    ndarray, shape (n, 2, 3)
        From the middle to the sides. [m]
    """
    rotation = pose.rotation[0, figure.owner[chosen]]
    return np.asarray(np.einsum("nij,nej->nei", rotation, tile_edges(figure)[chosen]))


def _areas(figure: Figure, pose: Pose, chosen: Index) -> Array:
    """Vector areas of points of skin in the bed's frame, (3, n)."""
    rotation = pose.rotation[0, figure.owner[chosen]]
    return np.asarray(np.einsum("nij,nj->in", rotation, figure.area[chosen]))


def couple(room: Room, lying: Lying, pose: Pose, lateral: float, step: float) -> CoupledBed:
    """Take the mattress out from under the skin's own columns and lay a grid instead.

    Parameters
    ----------
    room : Room
        The body, bed and one scenario. [-]
    lying : Lying
        One body with its anchors.
    pose : Pose
        Its uncoupled balance.
    lateral : float
        Lateral stiffness of the foam. [N/m]
    step : float
        Side of a square of the grid. [m]

    Returns
    -------
    CoupledBed
        The same body on the same bed.
    """
    mattress = lying.bearings[0]
    joint, _ = joint_places(pose, room.figure.link)
    depth = mattress.field.depth(skin_places(room.figure, pose, joint, mattress.skin))[0]
    skin = np.flatnonzero(depth + mattress.lift > _MAY_TOUCH)
    place, size = _stations(lying, pose, skin)
    touching = (depth + mattress.lift)[skin] > 0.0
    reach = 0.5 * size + np.where(touching, _MARGIN, _MARGIN_NEAR)
    scale = room.scenarios[0].foam_scale
    table = mattress_table(room.bed, scale)
    grid = lay_grid(place, reach, table, lateral, step)
    bare = replace(
        mattress,
        table=tissue_tables(room.bed, room.scenarios[0].softness),
        row=mattress.row - room.first_table[0],
    )
    tissue_only = replace(lying, bearings=(bare, *lying.bearings[1:]))
    spread = grid.spread(place, size)
    return CoupledBed(tissue_only, grid, skin, spread, grid.couplings(spread))


def first_deflection(bed: CoupledBed, room: Room, pose: Pose, near: float) -> Array:
    """Deflection of the foam under a body that keeps the pose of its uncoupled balance.

    Parameters
    ----------
    bed : CoupledBed
        The grid.
    room : Room
        The body, bed and one scenario. [-]
    pose : Pose
        The pose.
    near : float
        Sum of forces left on the squares that is near enough to balance. [N]

    Returns
    -------
    ndarray, shape (m,)
        Deflection to start from. [m]
    """
    pressed, grid = bed.pressed(pose), bed.grid
    row = pressed.row + room.first_table[0]
    uncoupled, _ = pressure_at_depth(room.tables, row, np.maximum(pressed.depth, 0.0))
    compressed = np.linspace(0.0, 0.93 * _thickness(room), 1500)
    pressure, _ = pressure_at_depth(grid.table, np.zeros(1500, dtype=np.intp), compressed)
    own = np.interp(uncoupled, pressure, compressed)
    touching = pressed.facing * (pressed.depth > 0.0)
    covered = pressed.spread.to_nodes(touching, grid.count)
    sunk = pressed.spread.to_nodes(touching * own, grid.count)
    return pressed.settled(sunk / np.maximum(covered, 0.5 * grid.step**2), near, _FOAM_STEPS)


def _thickness(room: Room) -> float:
    cushions = mattress_cushions(room.bed, room.scenarios[0].foam_scale)
    return sum(cushion.thickness for cushion in cushions)


def has_outgrown(bed: CoupledBed, pose: Pose) -> bool:
    """Whether skin that was thought out of reach of the mattress lies in it.

    Parameters
    ----------
    bed : CoupledBed
        Body and bed.
    pose : Pose
        Pose found on it.

    Returns
    -------
    bool
        True where a grid has to be laid anew from this pose. [-]
    """
    mattress, figure = bed.lying.bearings[0], bed.lying.figure
    joint, _ = joint_places(pose, figure.link)
    depth = mattress.field.depth(skin_places(figure, pose, joint, mattress.skin))[0]
    inside = depth + mattress.lift > 0.0
    inside[bed.skin] = False
    return bool(inside.any())
