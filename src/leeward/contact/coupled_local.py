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
from leeward.contact.coupled_bed import CoupledBed
from leeward.contact.coupled_foam import FoamGrid, Spread
from leeward.contact.coupled_sites import SkinLoads, cell_peak, counted, patch_middle, skin_loads
from leeward.contact.coupled_skin import FoamState, PressedSkin
from leeward.contact.landmarks import SitePatch
from leeward.contact.pressure_map import Peak
from leeward.contact.setting import Room, under_patch
from leeward.contact.skin_tiles import rectangles, square_edges
from leeward.terms.posture import Posture

Array = NDArray[np.float64]
Index = NDArray[np.intp]

#: Side of a square of the fine grid, and half the side of what it covers. [m]
LOCAL_STEP: Final = 0.010
_HALF_WIDTH: Final = 0.080

_MOST_STEPS: Final = 40
#: Left over of the site's force. [-]
_TOLERANCE: Final = 1e-4
#: A site that bears less than this has no peak worth a name. [N]
_LEAST_FORCE: Final = 0.1
_LONGEST_STEP: Final = 0.010
#: Skin higher above the unloaded surface stays clear of it however the bone sinks. [m]
_MAY_TOUCH: Final = -0.015
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
    edges = np.einsum("ij,nej->nei", rotation, square_edges(patch.area))
    return LocalSkin(
        place=value.place,
        size=rectangles(edges, facing, value),
        facing=facing,
        depth=value.depth + lift,
        row=row[0] - room.first_table[0],
        sinks=np.ones(len(facing)),
    )


def _coarse_skin(
    bed: CoupledBed, joint: JointBalance, loads: SkinLoads, patch: SitePatch, middle: Array
) -> tuple[LocalSkin, float, float]:
    """Skin beside the patch as the coarse balance has it, the force to be kept, the patch's."""
    mattress, met = bed.lying.bearings[0], joint.touch.met
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
    """Skin of both that faces the bed within its bone's reach."""
    every = {
        name: np.concatenate([getattr(first, name), getattr(second, name)], axis=-1)
        for name in ("place", "size", "facing", "depth", "row", "sinks")
    }
    kept = (every["facing"] > 0.0) & (every["depth"] > _MAY_TOUCH)
    return LocalSkin(**{name: values[..., kept] for name, values in every.items()})


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
class _Site:
    """One site's fine problem before it is solved."""

    middle: Array
    skin: LocalSkin
    grid: FoamGrid
    spread: Spread
    pull: Array
    deflection: Array
    force: float


def _site(
    place: tuple[Room, Posture],
    bed: CoupledBed,
    joint: JointBalance,
    loads: SkinLoads,
    patch: SitePatch,
    step: float,
) -> _Site | None:
    """Lay skin and foam of one site; None where it bears nothing."""
    mattress = bed.lying.bearings[0]
    rotation = joint.pose.rotation[0, patch.segment]
    point = rotation @ patch_middle(patch) + joint.touch.balance.joint[0, patch.segment]
    middle = mattress.field.at(point[:, None], np.zeros(1, dtype=np.intp)).place[:, 0]
    coarse, force, on_patch = _coarse_skin(bed, joint, loads, patch, middle)
    if on_patch < _LEAST_FORCE:
        return None
    skin = _together(_fine_skin(*place, bed, joint, patch), coarse)
    grid, nodes, inner = _fine_grid(bed, middle, step)
    coarse_spread = bed.grid.spread(nodes, np.full(nodes.shape, 1e-4))
    deflection = coarse_spread.at_points(joint.deflection)
    spread = grid.spread(skin.place, skin.size)
    pull = _rim_pull(deflection, inner, grid)
    return _Site(middle, skin, grid, spread, pull, deflection[grid.active], force)


def _apart(sites: list[_Site]) -> tuple[FoamGrid, Spread]:
    """The sites' grids as one whose parts do not touch, and all their skin spread over it."""
    starts = np.cumsum([0, *(site.grid.count for site in sites)])
    every = np.arange(starts[-1])
    links = tuple(
        np.concatenate(
            [site.grid.links[end] + start for site, start in zip(sites, starts, strict=False)]
        )
        for end in (0, 1)
    )
    first = sites[0].grid
    whole = FoamGrid(
        first.step, np.zeros(2, dtype=np.intp), (len(every), 1), every, every,
        (links[0], links[1]), first.lateral, first.table,
    )  # fmt: skip
    widest = max(site.spread.node.shape[1] for site in sites)
    nodes, shares = [], []
    for site, start in zip(sites, starts, strict=False):
        lacks = ((0, 0), (0, widest - site.spread.node.shape[1]))
        nodes.append(np.pad(site.spread.node, lacks) + start)
        shares.append(np.pad(site.spread.share, lacks))
    return whole, Spread(np.concatenate(nodes), np.concatenate(shares))


@dataclass(frozen=True, slots=True, eq=False)
class _Bones:
    """Bones that each sink until their skin bears a given force, on grids of their own.

    Parameters
    ----------
    skin : PressedSkin
        Skin of all sites over all their grids.
    sinks : ndarray, shape (n,)
        1 for skin that sinks with its site's bone.
    of_point, of_node : ndarray of int, shape (n,) and (m,)
        Which site.
    force : ndarray, shape (k,)
        What each has to bear. [N]
    """

    skin: PressedSkin
    sinks: Array
    of_point: Index
    of_node: Index
    force: Array

    def lacking(self, state: FoamState) -> Array:
        """Force still to be borne by each."""
        borne = self.sinks * self.skin.facing * state.pressure
        return np.asarray(self.force - self._by_point(borne))

    def left(self, state: FoamState) -> Array:
        """What is out of balance at each site, over its force."""
        foam = self._by_node(np.abs(state.unbalanced))
        return np.asarray((foam + np.abs(self.lacking(state))) / self.force)

    def step(self, state: FoamState) -> tuple[Array, Array]:
        """Newton step of foam and bones together."""
        drag = self.skin.spread.to_nodes(state.firmness * self.sinks, self.skin.grid.count)
        solved = self.skin.factor(state).solve(np.stack([state.unbalanced, drag], axis=-1))
        alone, following = solved.T
        own = self._by_point(state.firmness * self.sinks)
        give = np.maximum(own - self._by_node(drag * following), 1e-6 * own + 1e-9)
        deeper = (self.lacking(state) + self._by_node(drag * alone)) / give
        deeper = np.clip(deeper, -_LONGEST_STEP, _LONGEST_STEP)
        return alone + deeper[self.of_node] * following, deeper

    def merit(self, state: FoamState) -> float:
        """Size of everything out of balance, squared."""
        return float(np.sum(state.unbalanced**2)) + float(np.sum(self.lacking(state) ** 2))

    def settled(self, deflection: Array) -> tuple[FoamState, Array]:
        """Where foam and bones come to rest, and how deep each bone sank."""
        sunk, state = np.zeros(len(self.force)), self.skin.at(deflection)
        for _ in range(_MOST_STEPS):
            if np.all(self.left(state) < _TOLERANCE):
                break
            change, deeper = self.step(state)
            part, merit = 1.0, self.merit(state)
            while True:
                trial = np.maximum(deflection + part * change, 0.0)
                found = self.skin.at(trial, (sunk + part * deeper)[self.of_point] * self.sinks)
                if self.merit(found) < merit or part < _SHORTEST:
                    break
                part *= 0.5
            deflection, sunk, state = trial, sunk + part * deeper, found
        return state, sunk

    def _by_point(self, quantity: Array) -> Array:
        return np.asarray(np.bincount(self.of_point, quantity, len(self.force)), dtype=float)

    def _by_node(self, quantity: Array) -> Array:
        return np.asarray(np.bincount(self.of_node, quantity, len(self.force)), dtype=float)


def _bones(sites: list[_Site], tables: Array) -> _Bones:
    grid, spread = _apart(sites)
    points = [len(site.skin.facing) for site in sites]
    pressed = PressedSkin(
        grid=grid,
        spread=spread,
        couplings=grid.couplings(spread),
        tables=tables,
        facing=np.concatenate([site.skin.facing for site in sites]),
        depth=np.concatenate([site.skin.depth for site in sites]),
        row=np.concatenate([site.skin.row for site in sites]),
        pull=np.concatenate([site.pull for site in sites]),
    )
    return _Bones(
        pressed,
        np.concatenate([site.skin.sinks for site in sites]),
        np.repeat(np.arange(len(sites)), points),
        np.repeat(np.arange(len(sites)), [site.grid.count for site in sites]),
        np.array([site.force for site in sites]),
    )


def settle_locally(
    place: tuple[Room, Posture],
    bed: CoupledBed,
    joint: JointBalance,
    patches: tuple[SitePatch, ...],
    step: float = LOCAL_STEP,
) -> tuple[LocalBalance | None, ...]:
    """Bring small sites into balance, each on a fine grid of its own.

    Parameters
    ----------
    place : (Room, Posture)
        Body, bed and one scenario; the posture, whose supports count. [-]
    bed : CoupledBed
        Body and bed.
    joint : JointBalance
        Their balance.
    patches : tuple of SitePatch
        The sites' patches. [-]
    step : float
        Side of a square of the fine grids. [m]

    Returns
    -------
    tuple of LocalBalance or None
        In the order of the patches; None for a site that bears nothing.

    Notes
    -----
    One-way: the body's pose is not moved by what is found here, only each site's bone, by
    `sunk`.
    """
    loads = skin_loads(bed, joint)
    laid = [_site(place, bed, joint, loads, patch, step) for patch in patches]
    sites = [site for site in laid if site is not None]
    if not sites:
        return (None,) * len(laid)
    bones = _bones(sites, bed.lying.bearings[0].table)
    state, sunk = bones.settled(np.concatenate([site.deflection for site in sites]))
    solved = bones.left(state) < _TOLERANCE
    found: list[LocalBalance | None] = []
    number = 0
    for site in laid:
        if site is None:
            found.append(None)
            continue
        pressure = state.pressure[bones.of_point == number]
        found.append(
            LocalBalance(
                site.skin, site.middle, pressure, float(sunk[number]), bool(solved[number])
            )
        )
        number += 1
    return tuple(found)
