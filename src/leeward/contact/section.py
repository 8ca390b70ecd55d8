"""A cut across body and bed, in the room's frame, for drawing."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.bed_surface import room_from_bed
from leeward.contact.ellipsoid import implicit_value
from leeward.contact.foam import pressure_at_depth
from leeward.contact.layout import SHAPES
from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest
from leeward.contact.pose import Pose, joint_places
from leeward.contact.readings import roll_of
from leeward.contact.segments import INDEX, SEGMENTS, kind_of
from leeward.contact.setting import Room, lay_down, make_room
from leeward.contact.skin_contact import Bearing
from leeward.contact.tissue_layer import tissue_of_skin
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Posture

Array = NDArray[np.float64]

_RAYS: Final = 96
_SPACING: Final = 0.010
_REACH: Final = 0.6
_SURFACE_STEP: Final = 0.005


@dataclass(frozen=True, slots=True, eq=False)
class SectionOutline:
    """One cut; points are (towards the person's left, up) in the room.

    Parameters
    ----------
    part : str
        Segment through whose middle the cut goes.
    outlines : tuple of ndarray, shape (k, 2)
        Closed outline of every segment the cut meets, counter-clockwise, about 10 mm from
        point to point; a segment wholly inside another is left out. [m]
    segments : tuple of str
        Which segment each outline belongs to.
    surface : ndarray, shape (k, 2)
        What the body lies on, pressed in where it lies, from the person's right to their
        left. [m]
    bar_at : ndarray, shape (m, 2)
        Loaded skin. [m]
    bar_outward : ndarray, shape (m, 2)
        Unit vectors out of the body there. [-]
    bar_pressure : ndarray, shape (m,)
        Pressure there, at single points of skin. [Pa]
    surface_turn, body_roll : float
        Turn of the surface, and roll of the part in the room; positive to the person's
        left. [rad]
    state : EquilibriumState
        Only a stable body has outlines.
    """

    part: str
    outlines: tuple[Array, ...]
    segments: tuple[str, ...]
    surface: Array
    bar_at: Array
    bar_outward: Array
    bar_pressure: Array
    surface_turn: float
    body_roll: float
    state: EquilibriumState


def _ring(room: Room, segment: int, centre: Array, rotation: Array, level: float) -> Array | None:
    """Outline of one segment in the plane Y = level, (k, 3) in the bed's frame."""
    half = room.figure.layout.half[segment]
    exponent = SHAPES[kind_of(SEGMENTS[segment])].exponent
    normal = rotation[1]
    stretch = half**2 * normal
    # deepest point of the plane inside the shape: exact for an ellipsoid, near for others
    start = stretch * (level - centre[1]) / float(normal @ stretch)
    if implicit_value(start, half, exponent) >= 1.0:
        return None
    turn = 2.0 * np.pi * np.arange(_RAYS) / _RAYS
    in_plane = np.stack([np.cos(turn), np.zeros(_RAYS), np.sin(turn)], axis=-1)
    ray = in_plane @ rotation
    low, high = np.zeros(_RAYS), np.full(_RAYS, 2.0 * float(np.max(half)))
    for _ in range(40):
        middle = 0.5 * (low + high)
        inside = implicit_value(start + middle[:, None] * ray, half, exponent) < 1.0
        low, high = np.where(inside, middle, low), np.where(inside, high, middle)
    return _evenly_spaced(centre + (start + low[:, None] * ray) @ rotation.T)


def _evenly_spaced(ring: Array) -> Array:
    """The same closed outline with points about 10 mm apart, so that bars are too."""
    closed = np.concatenate([ring, ring[:1]])
    arc = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(closed, axis=0), axis=-1))])
    count = max(12, round(float(arc[-1]) / _SPACING))
    wanted = arc[-1] * np.arange(count) / count
    return np.stack([np.interp(wanted, arc, closed[:, axis]) for axis in range(3)], axis=-1)


def _inside_others(
    room: Room, own: int, ring: Array, centre: Array, rotation: Array
) -> NDArray[np.bool_]:
    """Which points of one segment's outline lie inside another segment."""
    inside = np.zeros(len(ring), dtype=bool)
    for other in np.flatnonzero(room.figure.present):
        if other != own:
            local = (ring - centre[other]) @ rotation[other]
            exponent = SHAPES[kind_of(SEGMENTS[other])].exponent
            inside |= implicit_value(local, room.figure.layout.half[other], exponent) < 1.0
    return inside


def _surface_height(bearing: Bearing, across: Array, level: float) -> Array:
    """Height of the unloaded surface at places across the bed."""
    low, high = np.full(across.size, -0.5), np.full(across.size, 1.5)
    for _ in range(50):
        middle = 0.5 * (low + high)
        point = np.stack([across, np.full(across.size, level), middle])
        inside = bearing.field.depth(point[None])[0] > 0.0
        low, high = np.where(inside, middle, low), np.where(inside, high, middle)
    return np.asarray(0.5 * (low + high))


def _pressed_in(across: Array, height: Array, rings: list[Array]) -> Array:
    """Surface pushed down to the lowest skin over each place."""
    pressed = height.copy()
    for ring in rings:
        turned = np.roll(ring, -int(np.argmin(ring[:, 0])), axis=0)
        far = int(np.argmax(turned[:, 0]))
        chains = (turned[: far + 1], np.concatenate([turned[far:], turned[:1]])[::-1])
        under = min(chains, key=lambda chain: float(chain[:, 2].mean()))
        skin = np.interp(across, under[:, 0], under[:, 2], left=np.inf, right=np.inf)
        pressed = np.minimum(pressed, skin)
    return pressed


def _bars(
    room: Room, bearing: Bearing, segment: int, ring: Array, local: Array
) -> tuple[Array, Array]:
    """Pressure (k,) and outward direction (k, 2) round one outline."""
    bed = np.zeros(len(ring), dtype=np.intp)
    value = bearing.field.at(ring.T, bed)
    side = -1.0 if SEGMENTS[segment].startswith("right") else 1.0
    half = room.figure.layout.half[segment]
    tissue = tissue_of_skin(kind_of(SEGMENTS[segment]), local / half * (side, 1.0, 1.0))
    lift = bearing.lift[np.searchsorted(room.figure.owner[bearing.skin], segment)]
    depth = value.depth + lift
    pressure, _ = pressure_at_depth(bearing.table, tissue, np.maximum(depth, 0.0))
    along = np.roll(ring, -1, axis=0) - np.roll(ring, 1, axis=0)
    outward = np.stack([along[:, 2], -along[:, 0]], axis=-1)
    outward /= np.linalg.norm(outward, axis=-1, keepdims=True)
    facing = outward[:, 0] * value.gradient[0] + outward[:, 1] * value.gradient[2]
    return np.where((depth > 0.0) & (facing > 0.0), pressure, 0.0), outward


def section_outline(
    request: LoadRequest, table: LoadTable, scenario: int, posture: Posture, part: str
) -> SectionOutline:
    """Cut body and bed across at the middle of a segment.

    Parameters
    ----------
    request : LoadRequest
        What the table was made from. [-]
    table : LoadTable
        Its loads. [-]
    scenario : int
        Position of the scenario to show. [-]
    posture : Posture
        One of the table's postures. [-]
    part : str
        Segment to cut through: ``pelvis``, ``abdomen``, ``thorax`` or ``head``. [-]

    Returns
    -------
    SectionOutline
        Outlines, surface and pressures; empty unless the body is stable.

    Raises
    ------
    InvalidInput
        For a segment or posture that is not there.

    Notes
    -----
    Skin is drawn where it would be undeformed; the surface follows it. Pressures are those
    of single points of skin, not patch loads, and a pillow is not drawn.
    """
    if part not in INDEX:
        raise InvalidInput(
            f"no segment is called {part}",
            where="section",
            expected="one of " + ", ".join(SEGMENTS),
            remedy="name a segment",
        )
    number = table.position(posture)
    state = EquilibriumState(int(table.state[scenario, number]))
    if state is not EquilibriumState.STABLE:
        nothing = np.zeros((0, 2))
        return SectionOutline(
            part, (), (), nothing, nothing, nothing, np.zeros(0), posture.turn, np.nan, state
        )
    room = make_room(request.body, request.bed, request.surface, (request.scenarios[scenario],))
    pose = Pose(
        table.pose.place[scenario, number][None], table.pose.rotation[scenario, number][None]
    )
    return _cut(room, posture, pose, part)


def _cut(room: Room, posture: Posture, pose: Pose, part: str) -> SectionOutline:
    turn, only = np.array([posture.turn]), np.zeros(1, dtype=np.intp)
    bearing = lay_down(room, posture, turn, only).bearings[0]
    layout = room.figure.layout
    joint, _ = joint_places(pose, room.figure.link)
    rotation = pose.rotation[0]
    centre = joint[0] + np.einsum("sij,sj->si", rotation, layout.centre - layout.joint)
    level = float(centre[INDEX[part], 1])
    whole = turn if room.is_whole() else np.zeros(1)
    to_room = room_from_bed(whole, posture.head_up)[0]
    rings, names, at, outward, pressure = [], [], [], [], []
    for segment in np.flatnonzero(room.figure.present):
        ring = _ring(room, int(segment), centre[segment], rotation[segment], level)
        if ring is None:
            continue
        hidden = _inside_others(room, int(segment), ring, centre, rotation)
        if hidden.all():
            continue
        local = (ring - centre[segment]) @ rotation[segment]
        bar, out = _bars(room, bearing, int(segment), ring, local)
        loaded = (bar > 0.0) & ~hidden
        rings.append(ring)
        names.append(SEGMENTS[segment])
        at.append(ring[loaded])
        flat = np.stack([out[loaded, 0], np.zeros(loaded.sum()), out[loaded, 1]], axis=-1)
        outward.append(flat)
        pressure.append(bar[loaded])
    across = np.arange(-_REACH, _REACH + _SURFACE_STEP / 2, _SURFACE_STEP)
    height = _pressed_in(across, _surface_height(bearing, across, level), rings)
    surface = np.stack([across, np.full(across.size, level), height], axis=-1)
    return SectionOutline(
        part=part,
        outlines=tuple(_in_room(ring, to_room) for ring in rings),
        segments=tuple(names),
        surface=_in_room(surface, to_room),
        bar_at=_in_room(np.concatenate(at), to_room),
        bar_outward=_in_room(np.concatenate(outward), to_room),
        bar_pressure=np.concatenate(pressure),
        surface_turn=posture.turn,
        body_roll=float(roll_of(to_room @ rotation[INDEX[part]])),
        state=EquilibriumState.STABLE,
    )


def _in_room(point: Array, to_room: Array) -> Array:
    """Points of the bed's frame as (towards the left, up) in the room."""
    return np.asarray((point @ to_room.T)[:, [0, 2]])
