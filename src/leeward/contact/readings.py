"""What is read off a body in balance: site loads, shares, rolls."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.balance import Balance, Lying
from leeward.contact.bed_surface import room_from_bed
from leeward.contact.foam import pressure_at_depth
from leeward.contact.landmarks import SitePatch
from leeward.contact.pose import Pose
from leeward.contact.segments import COUNT
from leeward.contact.setting import Room, under_patch
from leeward.contact.skin_contact import Bearing, turned_with_segments
from leeward.terms.bed import LayerKind
from leeward.terms.posture import Posture
from leeward.terms.site import Site

Array = NDArray[np.float64]
Index = NDArray[np.intp]

SITES: Final = tuple(Site)


@dataclass(frozen=True, slots=True, eq=False)
class Bodies:
    """A batch of bodies in balance, as readings need them.

    Parameters
    ----------
    room : Room
        Body, bed and scenarios.
    posture : Posture
        Everything but the turn.
    lying : Lying
        Bodies and beds.
    which : ndarray of int, shape (b,)
        Scenario of each. [-]
    turn : ndarray, shape (b,)
        Turn of each. [rad]
    pose : Pose
        Poses in balance.
    joint : ndarray, shape (b, 14, 3)
        Places of their joints. [m]
    """

    room: Room
    posture: Posture
    lying: Lying
    which: Index
    turn: Array
    pose: Pose
    joint: Array


@dataclass(frozen=True, slots=True, eq=False)
class _PatchSkin:
    """Points of all patches that can meet one surface, ordered by segment."""

    patches: tuple[SitePatch, ...]
    owner: Index
    point: Array
    area: Array
    lift: Array
    tissue: Index
    belongs: Array


@lru_cache(maxsize=16)
def _patch_skin(room: Room, level: Posture, segments: frozenset[int]) -> _PatchSkin:
    """Gather the points of patches once for all turns of a posture."""
    patches = tuple(patch for patch in room.figure.patches if patch.segment in segments)
    owner = np.concatenate([np.full(len(patch.point), patch.segment) for patch in patches])
    of_patch = np.repeat(np.arange(len(patches)), [len(patch.point) for patch in patches])
    first = np.zeros(1, dtype=np.intp)
    pillows = [under_patch(room, level, patch, first) for patch in patches]
    row = np.concatenate([tables[0] for _, tables in pillows])
    order = np.argsort(owner, kind="stable")
    return _PatchSkin(
        patches,
        owner[order],
        np.concatenate([patch.point for patch in patches])[order],
        np.concatenate([patch.area for patch in patches])[order],
        np.concatenate([pillow for pillow, _ in pillows])[order],
        (row - room.first_table[0])[order],
        # as numbers: a product with truth values takes a hundred times as long
        (of_patch[order, None] == np.arange(len(patches))).astype(float),
    )


def _patch_forces(bodies: Bodies, bearing: Bearing, skin: _PatchSkin) -> Array:
    """Normal force of one surface on patches in every bed, (b, p)."""
    place = turned_with_segments(skin.owner, skin.point, bodies.pose)
    place += bodies.joint.transpose(0, 2, 1).take(skin.owner, axis=2)
    near = np.flatnonzero(np.any(bearing.field.reaches(place, skin.lift), axis=0))
    below, gradient = bearing.field.pressing(place.take(near, axis=2))
    turned = turned_with_segments(skin.owner[near], skin.area[near], bodies.pose)
    toward = turned[:, 0] * gradient[0] + turned[:, 1] * gradient[1] + turned[:, 2] * gradient[2]
    facing = np.maximum(toward, 0.0)
    depth = np.maximum(below + skin.lift[near], 0.0)
    row = bodies.room.first_table[bodies.which][:, None] + skin.tissue[near]
    pressure, _ = pressure_at_depth(bearing.table, row.reshape(-1), depth.reshape(-1))
    return np.asarray((pressure.reshape(depth.shape) * facing) @ skin.belongs[near])


def _add_patch_loads(bodies: Bodies, bearing: Bearing, loads: Array) -> None:
    """Add what one surface bears to the patch loads of the sites that can meet it, (b, 30)."""
    if not any(patch.segment in bearing.segments for patch in bodies.room.figure.patches):
        return
    skin = _patch_skin(bodies.room, bodies.posture.with_turn(0.0), bearing.segments)
    extent = np.array([patch.extent for patch in skin.patches])
    sites = [SITES.index(patch.site) for patch in skin.patches]
    loads[:, sites] += _patch_forces(bodies, bearing, skin) / extent


def patch_loads(bodies: Bodies) -> Array:
    """Patch load of every site: normal force over the patch's fixed area.

    Parameters
    ----------
    bodies : Bodies
        In balance.

    Returns
    -------
    ndarray, shape (b, 30)
        Patch loads in the order of `Site`; NaN for sites the model does not have. [Pa]

    Notes
    -----
    The patch's edge is tapered over 20 mm, so that nothing jumps when it meets the bed.
    """
    loads = np.full((len(bodies.turn), len(SITES)), np.nan)
    figure = bodies.room.figure
    for patch in figure.patches:
        loads[:, SITES.index(patch.site)] = 0.0
    for bearing in bodies.lying.bearings:
        _add_patch_loads(bodies, bearing, loads)
    if any(layer.kind is LayerKind.HEEL_DEVICE for layer in bodies.room.bed.layers or ()):
        # what a device leaves on the heel is not known here
        for site in (Site.LEFT_HEEL, Site.RIGHT_HEEL):
            loads[:, SITES.index(site)] = np.nan
    return loads


def segment_shares(balance: Balance, batch: int) -> Array:
    """Share of the normal force that each segment bears.

    Parameters
    ----------
    balance : Balance
        In balance. [-]
    batch : int
        Number of beds. [-]

    Returns
    -------
    ndarray, shape (b, 14)
        Shares; they add up to 1. [-]
    """
    share = np.zeros((batch, COUNT))
    for touch in balance.touches:
        force = touch.pressure * touch.facing
        group = touch.bed * COUNT + touch.segment
        share += np.bincount(group, force, batch * COUNT).reshape(batch, COUNT)
    return np.asarray(share / np.maximum(share.sum(axis=1, keepdims=True), 1e-9))


def roll_of(rotation: Array) -> Array:
    """Roll of a segment about the long axis, positive towards the person's left.

    Parameters
    ----------
    rotation : ndarray, shape (..., 3, 3)
        Segment's rotation. [-]

    Returns
    -------
    ndarray, shape (...)
        Roll. [rad]
    """
    return np.asarray(np.arctan2(rotation[..., 0, 2], rotation[..., 2, 2]))


def rotation_in_room(bodies: Bodies) -> Array:
    """Rotation of segments in the room instead of the bed.

    Parameters
    ----------
    bodies : Bodies
        In balance.

    Returns
    -------
    ndarray, shape (b, 14, 3, 3)
        Rotations in the room's frame. [-]
    """
    whole = bodies.turn if bodies.room.is_whole() else np.zeros_like(bodies.turn)
    frame = room_from_bed(whole, bodies.posture.head_up)
    return np.asarray(frame[:, None] @ bodies.pose.rotation)
