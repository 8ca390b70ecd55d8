"""What is read off a body in balance: site loads, shares, rolls, distance to the edge."""

from dataclasses import dataclass
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
from leeward.contact.skin_contact import Bearing, skin_places
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


def _patch_force(bodies: Bodies, bearing: Bearing, patch: SitePatch) -> Array:
    """Normal force on one patch in every bed, (b,)."""
    rotation = bodies.pose.rotation[:, patch.segment]
    place = np.matmul(rotation, patch.point.T) + bodies.joint[:, patch.segment, :, None]
    area = np.matmul(rotation, patch.area.T)
    lift, row = under_patch(bodies.room, bodies.posture, patch, bodies.which)
    bed, point = np.nonzero(bearing.field.depth(place) + lift > 0.0)
    value = bearing.field.at(place[bed, :, point].T, bed)
    facing = np.maximum(np.sum(area[bed, :, point].T * value.gradient, axis=0), 0.0)
    pressure, _ = pressure_at_depth(bearing.table, row[bed, point], value.depth + lift[point])
    return np.asarray(np.bincount(bed, pressure * facing, len(bodies.turn)), dtype=float)


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
    for patch in bodies.room.figure.patches:
        met = [b for b in bodies.lying.bearings if patch.segment in b.segments]
        force = np.sum([_patch_force(bodies, bearing, patch) for bearing in met], axis=0)
        loads[:, SITES.index(patch.site)] = force / patch.extent
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


def edge_distance(bodies: Bodies) -> Array:
    """Distance from the body's outermost skin to the platform's nearer edge.

    Parameters
    ----------
    bodies : Bodies
        In balance; level, the body's mid-line lies on the platform's.

    Returns
    -------
    ndarray, shape (b,)
        Distance across, negative beyond the edge. [m]
    """
    figure = bodies.room.figure
    places = skin_places(figure, bodies.pose, bodies.joint, np.arange(len(figure.point)))
    outermost = np.max(np.abs(places[:, 0]), axis=1)
    return np.asarray(0.5 * bodies.room.bed.platform.width - outermost)
