"""Lays a body down: puts body, bed, scenarios and postures together for the solver."""

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.balance import Lying
from leeward.contact.bed_field import Field
from leeward.contact.bed_surface import (
    SurfacePosture,
    bed_surface,
    bolster_surface,
    gravity_in_bed,
)
from leeward.contact.figure import Figure, build_figure
from leeward.contact.foam import series_table
from leeward.contact.joints import Joints, joints_at_rest, laid_straight, relaxed_segments
from leeward.contact.landmarks import SitePatch
from leeward.contact.layered import calf_pillow, head_pillow, mattress_cushions
from leeward.contact.pose import Pose
from leeward.contact.rotation import rotation_about
from leeward.contact.scenarios import Arms, Scenario
from leeward.contact.segments import COUNT, INDEX, PARENT
from leeward.contact.side_supports import block_faces, blocks_used, knees_apart, segments_met
from leeward.contact.skin_contact import Bearing, skin_places
from leeward.contact.tissue_layer import TISSUE_INDEX, TISSUE_LAYERS
from leeward.terms.bed import Bed
from leeward.terms.body import Body
from leeward.terms.equipment import SurfaceGeometry, SurfaceKind
from leeward.terms.posture import Posture, Support

Array = NDArray[np.float64]
Index = NDArray[np.intp]

#: A person turned by hand rolls by the turn written down; a wedge that does this rises
#: more steeply, as a body rolls less than what lifts it.
#: Source: convention of this project, set so that the pelvis rolls by about the turn.
HAND_WEDGE_FACTOR: Final = 1.45
HAND_WEDGE_ROUNDING: Final = 0.15

#: Extra pillow under a head that a bent upper back holds up. [m]
_PILLOW_PER_BEND: Final = 0.25

#: Pillow tables come after the plain ones.
_ON_PILLOW: Final = {"calf": len(TISSUE_LAYERS), "shin": len(TISSUE_LAYERS) + 1}
#: Legs are laid along the bed, however the pelvis leans.
_THIGHS: Final = (INDEX["left thigh"], INDEX["right thigh"])


@dataclass(frozen=True, slots=True, eq=False)
class Room:
    """Everything about one person and bed that no posture changes.

    Parameters
    ----------
    body : Body
        As measured.
    figure : Figure
        As built.
    bed : Bed
        The bed.
    surface : SurfaceGeometry or None
        Tilting surface.
    scenarios : tuple of Scenario
        The batch.
    tables : ndarray, shape (t, cells, 4)
        Pressure tables of every hardness, tissue and pillow. [Pa]
    first_table : ndarray of int, shape (s,)
        Where each scenario's tables begin. [-]
    """

    body: Body
    figure: Figure
    bed: Bed
    surface: SurfaceGeometry | None
    scenarios: tuple[Scenario, ...]
    tables: Array
    first_table: Index

    def is_whole(self) -> bool:
        """Whether the platform tilts as one.

        Returns
        -------
        bool
            True for a whole surface. [-]
        """
        return self.surface is not None and self.surface.kind is SurfaceKind.WHOLE


@lru_cache(maxsize=64)
def _tables(bed: Bed, scale: float, softness: tuple[float, float, float]) -> Array:
    """Tables of every tissue on the mattress, then of calf and shin on a pillow."""
    thickness, stiffness, pillow = softness
    mattress, usual = mattress_cushions(bed, scale), head_pillow(bed)
    under_head = replace(usual, scale=pillow * usual.scale)
    under = [
        (layer, (*mattress, under_head) if layer.region == "head" else mattress)
        for layer in TISSUE_LAYERS
    ]
    under += [
        (TISSUE_LAYERS[TISSUE_INDEX[region]], (*mattress, calf_pillow(bed)))
        for region in _ON_PILLOW
    ]
    return np.stack(
        [
            series_table(
                cushions, thickness * layer.thickness.value, stiffness * layer.modulus.value
            )
            for layer, cushions in under
        ]
    )


def make_room(
    body: Body, bed: Bed, surface: SurfaceGeometry | None, scenarios: tuple[Scenario, ...]
) -> Room:
    """Build the figure and the pressure tables once for all postures.

    Parameters
    ----------
    body : Body
        The body. [-]
    bed : Bed
        The bed. [-]
    surface : SurfaceGeometry or None
        Tilting surface. [-]
    scenarios : tuple of Scenario
        The batch. [-]

    Returns
    -------
    Room
        Ready for postures.
    """
    hardness = [(scenario.foam_scale, scenario.softness) for scenario in scenarios]
    distinct = sorted(set(hardness))
    tables = np.stack([_tables(bed, *one) for one in distinct])
    first = np.array([tables.shape[1] * distinct.index(one) for one in hardness])
    return Room(
        body,
        build_figure(body),
        bed,
        surface,
        scenarios,
        tables.reshape(-1, *tables.shape[2:]),
        first,
    )


@dataclass(frozen=True, slots=True, eq=False)
class Pillows:
    """Pillow heights and table choice of skin points.

    Parameters
    ----------
    lift : ndarray, shape (n,)
        Height of a pillow under each point. [m]
    tissue : ndarray of int, shape (n,)
        Which table. [-]
    """

    lift: Array
    tissue: Index


def place_pillows(
    room: Room, posture: Posture, segment: Index, tissue: Index, along: Array
) -> Pillows:
    """Pillows under the head, and under the calves where the posture has one.

    Parameters
    ----------
    room : Room
        Body, whose bent back needs a higher pillow, and the bed's pillows. [-]
    posture : Posture
        Its supports. [-]
    segment, tissue : ndarray of int, shape (n,)
        Segment and tissue layer of every point. [-]
    along : ndarray, shape (n,)
        Place along the segment over its half-length, from -1 at the foot end. [-]

    Returns
    -------
    Pillows
        Heights and tables.
    """
    lift = np.zeros(len(segment))
    bend = max(room.body.rest_angles.trunk_flexion, 0.0)
    under_head = head_pillow(room.bed).thickness
    if under_head > 0.0:
        lift[segment == INDEX["head"]] = under_head + _PILLOW_PER_BEND * np.sin(bend)
    table = tissue.copy()
    if Support.PILLOW_UNDER_CALVES in posture.supports:
        shank = (segment == INDEX["left shank"]) | (segment == INDEX["right shank"])
        on_pillow = shank & (along > -0.85) & (along < 0.6)
        lift[on_pillow] = calf_pillow(room.bed).thickness
        for region, row in _ON_PILLOW.items():
            table[on_pillow & (tissue == TISSUE_INDEX[region])] = row
    return Pillows(lift, table)


def _along(figure: Figure, point: Array, segment: Index) -> Array:
    middle = (figure.layout.centre - figure.layout.joint)[segment, 1]
    return np.asarray((point[:, 1] - middle) / figure.layout.half[segment, 1])


def surface_setting(room: Room, posture: Posture, turn: Array, which: Index) -> SurfacePosture:
    """How the bed's surface is set for a batch of turns.

    Parameters
    ----------
    room : Room
        The bed and its scenarios. [-]
    posture : Posture
        Backrest, knee raise and supports; its own turn is not used. [-]
    turn : ndarray, shape (b,)
        Turns. [rad]
    which : ndarray of int, shape (b,)
        Scenario of each bed. [-]

    Returns
    -------
    SurfacePosture
        Angles and lines.
    """
    line = np.array([scenario.line_offset for scenario in room.scenarios])[which]
    split = np.zeros_like(turn) if room.is_whole() else turn
    rounding = HAND_WEDGE_ROUNDING
    if room.surface is None:
        split = HAND_WEDGE_FACTOR * turn
    else:
        rounding = room.surface.line_rounding
    foot = None
    reach = room.figure.layout.half[INDEX["pelvis"], 0] + 0.02
    if Support.BOLSTER_LEFT in posture.supports:
        foot = reach
    elif Support.BOLSTER_RIGHT in posture.supports:
        foot = -reach
    return SurfacePosture(split, line, rounding, posture.backrest, posture.knee_raise, foot)


def _bearing(field: Field, room: Room, posture: Posture, which: Index, skin: Index) -> Bearing:
    figure = room.figure
    segment, tissue = figure.owner[skin], figure.tissue[skin]
    along = _along(figure, figure.point[skin], segment)
    support = place_pillows(room, posture, segment, tissue, along)
    return Bearing(
        field=field,
        skin=skin,
        lift=support.lift,
        table=room.tables,
        row=room.first_table[which][:, None] + support.tissue[None, :],
        anchor=np.zeros((len(which), 2, len(skin))),
        segments=frozenset(segment.tolist()),
    )


def lay_down(room: Room, posture: Posture, turn: Array, which: Index) -> Lying:
    """Put the body on a batch of beds in one posture at several turns.

    Parameters
    ----------
    room : Room
        Body, bed and scenarios. [-]
    posture : Posture
        Backrest, knee raise, head-up and supports; its own turn is not used. [-]
    turn : ndarray, shape (b,)
        Turn of each bed. [rad]
    which : ndarray of int, shape (b,)
        Scenario of each bed. [-]

    Returns
    -------
    Lying
        Ready to be settled; all anchors are still zero.
    """
    figure, batch = room.figure, len(turn)
    setting = surface_setting(room, posture, turn, which)
    everywhere = np.arange(len(figure.point))
    field = bed_surface(setting, room.bed.platform)
    bearings = [_bearing(field, room, posture, which, everywhere)]
    if setting.bolster is not None:
        met = ("pelvis", "abdomen", "thorax", "left thigh", "right thigh")
        skin = np.flatnonzero(np.isin(figure.owner, [INDEX[name] for name in met]))
        face = bolster_surface(setting.bolster, batch)
        bearings.append(_bearing(face, room, posture, which, skin))
    bearings += _on_blocks(room, posture, setting, which)
    drawn = [room.scenarios[number] for number in which]
    chosen = [joints_at_rest(room.body, one.arms is Arms.ON_TRUNK, one.hips) for one in drawn]
    whole = turn if room.is_whole() else np.zeros_like(turn)
    return Lying(
        figure=figure,
        joints=Joints(
            _with_knees_apart(np.stack([c[0] for c in chosen]), room, posture),
            np.stack([c[1] for c in chosen]),
            relaxed_segments(room.body),
        ),
        gravity=gravity_in_bed(whole, posture.head_up),
        friction=np.array([scenario.friction for scenario in room.scenarios])[which],
        bearings=tuple(bearings),
    )


def _on_blocks(
    room: Room, posture: Posture, setting: SurfacePosture, which: Index
) -> list[Bearing]:
    """Faces of the posture's blocks, each met by its own part of the body."""
    figure = room.figure
    # a wedge put behind the back by hand lifts the body, not the mattress it lies on
    turn = np.zeros_like(setting.split_turn) if room.surface is None else setting.split_turn
    faces = block_faces(blocks_used(room.bed, posture), figure.layout, turn, setting.line_offset)
    bearings = []
    for block, face in faces:
        met = [INDEX[name] for name in segments_met(block.support)]
        skin = np.flatnonzero(np.isin(figure.owner, met))
        if skin.size:
            bearings.append(_bearing(face, room, posture, which, skin))
    return bearings


def _with_knees_apart(rest: Array, room: Room, posture: Posture) -> Array:
    """Hips turned out by a pillow between the knees; a leg that is swept aside goes along."""
    apart = knees_apart(room.bed, posture, room.figure.layout)
    if apart > 0.0:
        for thigh, out in (("left thigh", apart), ("right thigh", -apart)):
            rest[:, INDEX[thigh]] = rotation_about(2, out) @ rest[:, INDEX[thigh]]
    return rest


def under_patch(
    room: Room, posture: Posture, patch: SitePatch, which: Index
) -> tuple[Array, Index]:
    """Pillow height and pressure table under a site patch's points.

    Parameters
    ----------
    room : Room
        Body, bed and scenarios. [-]
    posture : Posture
        Its supports. [-]
    patch : SitePatch
        The patch. [-]
    which : ndarray of int, shape (b,)
        Scenario of each bed. [-]

    Returns
    -------
    lift : ndarray, shape (m,)
        Pillow under each point. [m]
    row : ndarray of int, shape (b, m)
        Table of each point in each bed. [-]
    """
    count = len(patch.point)
    segment = np.full(count, patch.segment)
    along = _along(room.figure, patch.point, segment)
    tissue = np.full(count, patch.tissue)
    support = place_pillows(room, posture, segment, tissue, along)
    return support.lift, room.first_table[which][:, None] + support.tissue[None, :]


def first_pose(lying: Lying) -> Pose:
    """Pose to start from: joints at rest, relaxed legs straight, the back 30 mm into the mattress.

    Parameters
    ----------
    lying : Lying
        Bodies and beds. [-]

    Returns
    -------
    Pose
        Poses above the settled ones.
    """
    rest = laid_straight(lying.joints)
    rotation = np.empty((len(rest), COUNT, 3, 3))
    rotation[:, 0] = _leant_back(rest)
    for segment in range(1, COUNT):
        lain = np.eye(3) if segment in _THIGHS else rotation[:, PARENT[segment]]
        rotation[:, segment] = lain @ rest[:, segment]
    place = np.zeros((len(rest), 3))
    place[:, 2] = lying.figure.layout.joint[0, 2] - 0.03
    return Pose(place, rotation)


def _leant_back(rest: Array) -> Array:
    """Rotation of the pelvis that lays a rounded back on the bed by its middle, (b, 3, 3).

    With the pelvis flat the chest of such a back hangs in the air, from where a body may be
    found sitting up instead of lying.
    """
    chest = rest[:, INDEX["abdomen"]] @ rest[:, INDEX["thorax"]]
    half = 0.5 * np.arctan2(chest[:, 2, 1], chest[:, 2, 2])
    return np.stack([rotation_about(0, -float(angle)) for angle in half])


def anchored(lying: Lying, pose: Pose, joint: Array, release: bool) -> Lying:
    """Set the places at which the skin's shear is zero.

    Parameters
    ----------
    lying : Lying
        Bodies and beds. [-]
    pose : Pose
        Their poses.
    joint : ndarray, shape (b, 14, 3)
        Places of their joints. [m]
    release : bool
        True: let go of all shear, as when clothes and sheet are straightened. False: only
        of skin that is not in contact, which grips where it next touches. [-]

    Returns
    -------
    Lying
        The same with new anchors.
    """
    bearings = []
    for bearing in lying.bearings:
        places = skin_places(lying.figure, pose, joint, bearing.skin)
        place, depth = bearing.field.places(places)
        free = np.ones_like(depth, dtype=bool) if release else depth + bearing.lift <= 0.0
        anchor = np.where(free[:, None, :], place.transpose(1, 0, 2), bearing.anchor)
        bearings.append(replace(bearing, anchor=anchor))
    return replace(lying, bearings=tuple(bearings))


def with_anchors(lying: Lying, anchors: tuple[Array, ...]) -> Lying:
    """Take over anchors found in a neighbouring posture.

    Parameters
    ----------
    lying : Lying
        Bodies and beds. [-]
    anchors : tuple of ndarray, shape (b, 2, n)
        Arc coordinates, one array per bearing. [m]

    Returns
    -------
    Lying
        The same with these anchors.
    """
    bearings = tuple(
        replace(bearing, anchor=anchor)
        for bearing, anchor in zip(lying.bearings, anchors, strict=True)
    )
    return replace(lying, bearings=bearings)
