"""Small round bones on a finer grid: heel, back of the head, outer ankle.

The grid of the whole body is too coarse for them. Around each, skin is taken at the patch's
own closely spaced points and foam on a fine grid whose rim is held where the coarse one has
it. The bone sinks until the skin there bears the force the joint balance gave it: force is
kept, and with it the balance.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.coupled_balance import JointBalance
from leeward.contact.coupled_bed import CoupledBed, rectangles
from leeward.contact.coupled_foam import FoamGrid
from leeward.contact.coupled_sites import cell_peak, counted, patch_middle, skin_loads
from leeward.contact.coupled_skin import FoamState, PressedSkin
from leeward.contact.landmarks import SitePatch
from leeward.contact.pressure_map import Peak
from leeward.contact.setting import Room, under_patch
from leeward.terms.posture import Posture

Array = NDArray[np.float64]
Index = NDArray[np.intp]

#: Side of a square of the fine grid, and half the side of what it covers. [m]
LOCAL_STEP: Final = 0.010
_HALF_WIDTH: Final = 0.080

_MOST_STEPS: Final = 40
#: Left over of the site's force. [-]
_TOLERANCE: Final = 1e-6
#: A site that bears less than this has no peak worth a name. [N]
_LEAST_FORCE: Final = 0.1
_LONGEST_STEP: Final = 0.010
_SHORTEST: Final = 1.0 / 64.0


@dataclass(frozen=True, slots=True, eq=False)
class LocalSkin:
    """Skin around one site, finely spaced where the site's patch is.

    Parameters
    ----------
    place, size : ndarray, shape (2, n)
        Middles and sides of rectangles on the surface. [m]
    facing : ndarray, shape (n,)
        Area projected on the surface, as far as it counts here. [m^2]
    depth : ndarray, shape (n,)
        Depth below the unloaded surface, pillow included. [m]
    row : ndarray of int, shape (n,)
        Tissue table of each. [-]
    sinks : ndarray, shape (n,)
        1 for the site's own segment, 0 for others. [-]
    """

    place: Array
    size: Array
    facing: Array
    depth: Array
    row: Index
    sinks: Array


@dataclass(frozen=True, slots=True, eq=False)
class LocalBalance:
    """A site on its fine grid.

    Parameters
    ----------
    skin : LocalSkin
        Its skin.
    middle : ndarray, shape (2,)
        Its place on the surface. [m]
    pressure : ndarray, shape (n,)
        Pressure on it. [Pa]
    sunk : float
        How much deeper the bone lies than the coarse grid had it. [m]
    is_solved : bool
        Whether it came into balance.
    """

    skin: LocalSkin
    middle: Array
    pressure: Array
    sunk: float
    is_solved: bool

    def peak(self, cell: float) -> Peak:
        """Highest mean pressure over a square cell near the site.

        Parameters
        ----------
        cell : float
            Side of the cell. [m]

        Returns
        -------
        Peak
            Of the site's own skin, within 20 mm of its middle across and along.
        """
        return Peak(
            cell_peak(
                self.skin.place,
                self.skin.size,
                self.skin.facing * self.skin.sinks,
                self.pressure,
                self.middle,
                cell,
            ),
            cell,
        )


def _fine_skin(
    room: Room, posture: Posture, bed: CoupledBed, joint: JointBalance, patch: SitePatch
) -> LocalSkin:
    """Skin at the patch's own points."""
    mattress, balance = bed.lying.bearings[0], joint.touch.balance
    only = np.zeros(1, dtype=np.intp)
    lift, row = under_patch(room, posture, patch, only)
    rotation = joint.pose.rotation[0, patch.segment]
    point = rotation @ patch.point.T + balance.joint[0, patch.segment][:, None]
    area = rotation @ patch.area.T
    value = mattress.field.at(point, np.zeros(point.shape[1], dtype=np.intp))
    facing = np.maximum(np.sum(area * value.gradient, axis=0), 0.0)
    return LocalSkin(
        place=value.place,
        size=rectangles(area, value),
        facing=facing,
        depth=value.depth + lift,
        row=row[0] - room.first_table[0],
        sinks=np.ones(len(facing)),
    )


def _coarse_skin(
    bed: CoupledBed, joint: JointBalance, patch: SitePatch, middle: Array
) -> tuple[LocalSkin, float, float]:
    """Skin beside the patch as the coarse balance has it, the force to be kept, the patch's."""
    mattress, met = bed.lying.bearings[0], joint.touch.met
    loads = skin_loads(bed, joint)
    near = np.flatnonzero(np.all(np.abs(met.value.place - middle[:, None]) < _HALF_WIDTH, axis=0))
    own = (met.segment[near] == patch.segment).astype(float)
    each = own * met.facing[near] * met.pressure[near]
    counts = counted(np.linalg.norm(loads.own[near] - patch_middle(patch), axis=1))
    skin = LocalSkin(
        place=met.value.place[:, near],
        size=loads.size[:, near],
        facing=met.facing[near] * (1.0 - own * counts),
        depth=met.value.depth[near] + mattress.lift[met.point[near]],
        row=mattress.row[0, met.point[near]],
        sinks=own,
    )
    return skin, float(each.sum()), float(each @ counts)


def _together(first: LocalSkin, second: LocalSkin) -> LocalSkin:
    return LocalSkin(
        *(
            np.concatenate([getattr(first, name), getattr(second, name)], axis=-1)
            for name in ("place", "size", "facing", "depth", "row", "sinks")
        )
    )


def _fine_grid(
    bed: CoupledBed, middle: Array, step: float
) -> tuple[FoamGrid, Array, NDArray[np.bool_]]:
    """Fine grid, the coarse deflection on its nodes' places, and which nodes are the rim."""
    count = 2 * round(_HALF_WIDTH / step) + 1
    low = np.round(middle / step).astype(np.intp) - count // 2
    inner = np.zeros((count, count), dtype=bool)
    inner[1:-1, 1:-1] = True
    active = np.flatnonzero(inner)
    position = np.full(count * count, -1, dtype=np.intp)
    position[active] = np.arange(len(active))
    nodes = position.reshape(count, count)
    body = nodes[1:-1, 1:-1]
    links = (
        np.concatenate([body[1:].ravel(), body[:, 1:].ravel()]),
        np.concatenate([body[:-1].ravel(), body[:, :-1].ravel()]),
    )
    grid = FoamGrid(
        step, low, (count, count), active, position, links, bed.grid.lateral, bed.grid.table
    )
    row, column = np.divmod(np.arange(count * count), count)
    place: Array = step * (np.stack([column, row]) + low[:, None]).astype(float)
    return grid, place, inner.ravel()


def _rim_pull(deflection: Array, inner: NDArray[np.bool_], grid: FoamGrid) -> Array:
    """Force of the held rim on the nodes beside it. [N]"""
    rim = np.where(inner, 0.0, deflection).reshape(grid.shape)
    beside = np.zeros(grid.shape)
    beside[1:] += rim[:-1]
    beside[:-1] += rim[1:]
    beside[:, 1:] += rim[:, :-1]
    beside[:, :-1] += rim[:, 1:]
    return np.asarray(grid.lateral * beside.ravel()[grid.active])


@dataclass(frozen=True, slots=True, eq=False)
class _Local:
    """The fine problem: skin pressed into a grid with a held rim, and a force to be borne."""

    skin: PressedSkin
    sinks: Array
    force: float

    def lacking(self, state: FoamState) -> float:
        """Force still to be borne by the site's own segment."""
        return self.force - float(np.sum(self.sinks * self.skin.facing * state.pressure))

    def step(self, state: FoamState) -> tuple[Array, float]:
        """Newton step of foam and bone together."""
        drag = self.skin.spread.to_nodes(state.firmness * self.sinks, self.skin.grid.count)
        solved = self.skin.factor(state).solve(np.stack([state.unbalanced, drag], axis=-1))
        alone, following = solved.T
        own = float(np.sum(state.firmness * self.sinks))
        give = max(own - float(drag @ following), 1e-6 * own + 1e-9)
        deeper = (self.lacking(state) + float(drag @ alone)) / give
        deeper = float(np.clip(deeper, -_LONGEST_STEP, _LONGEST_STEP))
        return alone + deeper * following, deeper

    def merit(self, state: FoamState) -> float:
        """Size of everything out of balance, squared."""
        return float(np.sum(state.unbalanced**2)) + self.lacking(state) ** 2

    def settled(self, deflection: Array) -> tuple[FoamState, float, bool]:
        """Where foam and bone come to rest, how deep the bone sank, whether they did."""
        sunk, state = 0.0, self.skin.at(deflection)
        for _ in range(_MOST_STEPS):
            if state.left() + abs(self.lacking(state)) < _TOLERANCE * self.force:
                return state, sunk, True
            change, deeper = self.step(state)
            part, merit = 1.0, self.merit(state)
            while True:
                trial = np.maximum(deflection + part * change, 0.0)
                found = self.skin.at(trial, (sunk + part * deeper) * self.sinks)
                if self.merit(found) < merit or part < _SHORTEST:
                    break
                part *= 0.5
            deflection, sunk, state = trial, sunk + part * deeper, found
        return state, sunk, False


def settle_locally(
    room: Room,
    posture: Posture,
    bed: CoupledBed,
    joint: JointBalance,
    patch: SitePatch,
    step: float = LOCAL_STEP,
) -> LocalBalance | None:
    """Bring one site into balance on a fine grid.

    Parameters
    ----------
    room : Room
        Body, bed and one scenario. [-]
    posture : Posture
        Its supports count. [-]
    bed : CoupledBed
        Body and bed.
    joint : JointBalance
        Their balance.
    patch : SitePatch
        The site's patch. [-]
    step : float
        Side of a square of the fine grid. [m]

    Returns
    -------
    LocalBalance or None
        None where the site bears nothing.

    Notes
    -----
    One-way: the body's pose is not moved by what is found here, only the site's bone, by
    `sunk`.
    """
    mattress = bed.lying.bearings[0]
    rotation = joint.pose.rotation[0, patch.segment]
    point = rotation @ patch_middle(patch) + joint.touch.balance.joint[0, patch.segment]
    middle = mattress.field.at(point[:, None], np.zeros(1, dtype=np.intp)).place[:, 0]
    coarse, force, on_patch = _coarse_skin(bed, joint, patch, middle)
    if on_patch < _LEAST_FORCE:
        return None
    skin = _together(_fine_skin(room, posture, bed, joint, patch), coarse)
    grid, place, inner = _fine_grid(bed, middle, step)
    coarse_spread = bed.grid.spread(place, np.full(place.shape, 1e-4))
    deflection = coarse_spread.at_points(joint.deflection)
    spread = grid.spread(skin.place, skin.size)
    pressed = PressedSkin(
        grid=grid,
        spread=spread,
        couplings=grid.couplings(spread),
        tables=mattress.table,
        facing=skin.facing,
        depth=skin.depth,
        row=skin.row,
        pull=_rim_pull(deflection, inner, grid),
    )
    local = _Local(pressed, skin.sinks, force)
    state, sunk, is_solved = local.settled(deflection[grid.active])
    return LocalBalance(skin, middle, state.pressure, sunk, is_solved)
