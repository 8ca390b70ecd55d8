"""Front door of the coupled foam: pressure, friction and peaks of one posture."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.continuation import follow_turns, raise_sections, settle_level
from leeward.contact.coupled_balance import JointBalance, settle_jointly
from leeward.contact.coupled_bed import CoupledBed, couple, first_deflection, has_outgrown
from leeward.contact.coupled_foam import GRID_STEP, LATERAL_STIFFNESS
from leeward.contact.coupled_local import LocalBalance, settle_locally
from leeward.contact.coupled_sites import (
    PATCH_REACH,
    PatchLoad,
    SkinLoads,
    cell_peak,
    counted,
    highest_cell,
    patch_load,
    patch_middle,
    skin_loads,
)
from leeward.contact.course import unknown_course
from leeward.contact.landmarks import SitePatch
from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest
from leeward.contact.pose import Pose
from leeward.contact.pressure_map import (
    LOCAL_CELL,
    PEAK_CELL,
    Outline,
    Peak,
    PressureMap,
    SitePressure,
    no_map,
)
from leeward.contact.readings import roll_of
from leeward.contact.segments import COUNT, INDEX, SEGMENTS
from leeward.contact.setting import Room, lay_down, make_room, with_anchors
from leeward.contact.skin_contact import skin_places
from leeward.contact.stability import friction_demand, judge, stability_margin
from leeward.contact.stand import Stand
from leeward.terms.bed import LayerKind
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Posture
from leeward.terms.site import Site
from leeward.terms.units import STANDARD_GRAVITY

Array = NDArray[np.float64]

_HEELS: Final = (Site.LEFT_HEEL, Site.RIGHT_HEEL)
#: Foam alone is near enough to start moving the body. [share of weight]
_FOAM_NEAR: Final = 0.03
#: A grid is laid anew where the body rolls onto skin it was not laid under.
_MOST_GRIDS: Final = 3

#: Ways in which a segment's outermost skin is looked for: 5 degrees apart, a 130 mm round segment's
#: outline lies less than 0.1 mm inside its hull. (2, 72)
_DIRECTIONS: Final = np.stack(
    [turn(np.linspace(0.0, 2.0 * np.pi, 72, endpoint=False)) for turn in (np.cos, np.sin)]
)

#: Sites whose bones are smaller than the common cell.
LOCAL_SITES: Final = (
    Site.OCCIPUT,
    Site.LEFT_HEEL,
    Site.RIGHT_HEEL,
    Site.LEFT_OUTER_ANKLE,
    Site.RIGHT_OUTER_ANKLE,
)


def lie_down(request: LoadRequest, scenario: int, posture: Posture) -> tuple[Room, Stand]:
    """Take one body along its path to a posture, on uncoupled foam.

    Parameters
    ----------
    request : LoadRequest
        Body, bed, surface and scenarios. [-]
    scenario : int
        Position of the scenario. [-]
    posture : Posture
        Where to. [-]

    Returns
    -------
    room : Room
        Body, bed and this one scenario.
    stand : Stand
        Pose, friction's anchors and state there.
    """
    room = _room(request, scenario)
    level = posture.with_turn(0.0)
    raised = raise_sections(room, level, settle_level(room, level))
    return room, follow_turns(room, level, raised, np.array([posture.turn]))[0]


def coupled_pressure(
    request: LoadRequest, table: LoadTable, scenario: int, posture: Posture
) -> PressureMap:
    """Compute pressure, friction and peaks of one posture with foam coupled sideways.

    Parameters
    ----------
    request : LoadRequest
        What the table was made from. [-]
    table : LoadTable
        Its loads. [-]
    scenario : int
        Position of the scenario. [-]
    posture : Posture
        One of the table's postures. [-]

    Returns
    -------
    PressureMap
        Of body and foam in balance together; empty unless the posture is stable both on
        uncoupled foam and here.

    Raises
    ------
    InvalidInput
        For a posture that is not in the table.

    Notes
    -----
    Computed, not measured: one lateral stiffness, set by convention, decides how high peaks
    are. Valid for foam with or without a soft layer. A bolster's own face stays uncoupled,
    pillows spread no load sideways, and ears are not modelled.

    References
    ----------
    .. [1] P. L. Pasternak 1954, two-parameter foundation (from memory).
    """
    state = EquilibriumState(int(table.state[scenario, table.position(posture)]))
    name = request.scenarios[scenario].name
    if state is not EquilibriumState.STABLE:
        return no_map(posture, name, state)
    kept = _kept(request, table, scenario, posture)
    return coupled_map(kept[0], posture, kept[1])


def _kept(
    request: LoadRequest, table: LoadTable, scenario: int, posture: Posture
) -> tuple[Room, Stand]:
    """Where the body lies: as the table has it, else along its path anew."""
    number = table.position(posture)
    anchors = table.anchors[number]
    if scenario != 0 or anchors is None:
        return lie_down(request, scenario, posture)
    only, at = np.zeros(1, dtype=np.intp), ([scenario], [number])
    stand = Stand(
        which=only,
        turn=np.array([posture.turn]),
        pose=Pose(table.pose.place[at], table.pose.rotation[at]),
        course=unknown_course(1),
        anchors=tuple(anchor[None] for anchor in anchors),
        demand=table.friction_demand[at],
        margin=table.margin[at],
        share=table.segment_share[at],
        state=table.state[at],
    )
    return _room(request, scenario), stand


def _room(request: LoadRequest, scenario: int) -> Room:
    return make_room(request.body, request.bed, request.surface, (request.scenarios[scenario],))


def coupled_map(
    room: Room,
    posture: Posture,
    stand: Stand,
    lateral: float = LATERAL_STIFFNESS.value,
    step: float = GRID_STEP,
) -> PressureMap:
    """Compute the map of a body that lies in uncoupled balance.

    Parameters
    ----------
    room : Room
        Body, bed and one scenario. [-]
    posture : Posture
        The posture. [-]
    stand : Stand
        The body in balance there, one bed.
    lateral : float
        Lateral stiffness of the foam. [N/m]
    step : float
        Side of a square of the grid. [m]

    Returns
    -------
    PressureMap
        The map; empty where body and foam find no stable balance together.
    """
    name = room.scenarios[0].name
    bed, joint = balance_jointly(room, posture, stand, lateral, step)
    if not joint.is_solved:
        return no_map(posture, name, EquilibriumState.NOT_SOLVED)
    balance = joint.reduced()
    demand, margin = friction_demand(balance, 1), stability_margin(balance)
    state = EquilibriumState(int(judge(demand, margin)[0]))
    if state is not EquilibriumState.STABLE:
        return no_map(posture, name, state)
    grid, met, under = bed.grid, joint.touch.met, joint.touch.under
    weight = float(room.figure.mass.sum()) * STANDARD_GRAVITY
    nodal = [
        _on_rectangle(bed, under.to_nodes(met.facing * traction, grid.count) / step**2)
        for traction in (met.pressure, met.shear[0], met.shear[1])
    ]
    rotation = joint.pose.rotation[0]
    return PressureMap(
        posture=posture,
        scenario=name,
        state=state,
        cell=step,
        across=step * (grid.low[0] + np.arange(grid.shape[1])),
        along=step * (grid.low[1] + np.arange(grid.shape[0])),
        pressure=nodal[0],
        shear_across=nodal[1],
        shear_along=nodal[2],
        deflection=_on_rectangle(bed, joint.deflection),
        sites=site_pressures(room, posture, bed, joint),
        highest=highest_cell(bed, joint),
        outlines=_outlines(bed, joint),
        pelvis_roll=float(roll_of(rotation[INDEX["pelvis"]])),
        thorax_roll=float(roll_of(rotation[INDEX["thorax"]])),
        friction_demand=float(demand[0]),
        margin=float(margin[0]),
        body_residual=joint.body_residual,
        foam_residual=joint.foam_residual,
        weight_error=float(np.linalg.norm(balance.force[0, :3])) / weight,
    )


def balance_jointly(
    room: Room, posture: Posture, stand: Stand, lateral: float, step: float
) -> tuple[CoupledBed, JointBalance]:
    """Bring a body that lies in uncoupled balance and its foam into balance together.

    Parameters
    ----------
    room : Room
        Body, bed and one scenario. [-]
    posture : Posture
        The posture. [-]
    stand : Stand
        The body in balance there, one bed.
    lateral : float
        Lateral stiffness of the foam. [N/m]
    step : float
        Side of a square of the grid. [m]

    Returns
    -------
    bed : CoupledBed
        Body and bed.
    joint : JointBalance
        Their balance.
    """
    lying = with_anchors(lay_down(room, posture, stand.turn, stand.which), stand.anchors)
    near = _FOAM_NEAR * float(room.figure.mass.sum()) * STANDARD_GRAVITY
    pose = stand.pose
    for _ in range(_MOST_GRIDS):
        bed = couple(room, lying, pose, lateral, step)
        joint = settle_jointly(bed, pose, first_deflection(bed, room, pose, near))
        if not has_outgrown(bed, joint.pose):
            break
        pose = joint.pose
    return bed, joint


def _on_rectangle(bed: CoupledBed, nodal: Array) -> Array:
    """A quantity of the active nodes on the whole rectangle, zero elsewhere."""
    whole = np.zeros(bed.grid.shape[0] * bed.grid.shape[1])
    whole[bed.grid.active] = nodal
    return whole.reshape(bed.grid.shape)


def site_pressures(
    room: Room, posture: Posture, bed: CoupledBed, joint: JointBalance
) -> tuple[SitePressure, ...]:
    """Read what every site bears off a coupled balance.

    Parameters
    ----------
    room : Room
        Body, bed and one scenario. [-]
    posture : Posture
        Its supports count. [-]
    bed : CoupledBed
        Body and bed.
    joint : JointBalance
        In balance.

    Returns
    -------
    tuple of SitePressure
        In the order of `Site`; sites the model does not have are left out.
    """
    skin, patches = skin_loads(bed, joint), _known(room)
    segments = [patch.segment for patch in patches]
    middles = np.array([patch_middle(patch) for patch in patches])
    point = np.einsum("pij,pj->ip", joint.pose.rotation[0, segments], middles)
    point += joint.touch.balance.joint[0, segments].T
    field = bed.lying.bearings[0].field
    places = field.at(point, np.zeros(len(patches), dtype=np.intp)).place.T
    small = tuple(patch for patch in patches if patch.site in LOCAL_SITES)
    finely = dict(zip(small, settle_locally((room, posture), bed, joint, small), strict=True))
    found = []
    for patch, place in zip(patches, places, strict=True):
        load, peak = _read(room, skin, patch, place)
        peaks: tuple[Peak, Peak | None] = (peak, None)
        if patch in finely:
            peaks = _local_peaks(finely[patch]) or peaks
        found.append(
            SitePressure(
                patch.site, float(place[0]), float(place[1]), load.load, *peaks,
                load.shear_across, load.shear_along,
            )
        )  # fmt: skip
    return tuple(found)


def _known(room: Room) -> tuple[SitePatch, ...]:
    """Patches of the sites that can be told about."""
    if any(layer.kind is LayerKind.HEEL_DEVICE for layer in room.bed.layers or ()):
        # what a device leaves on the heel is not known here
        return tuple(patch for patch in room.figure.patches if patch.site not in _HEELS)
    return room.figure.patches


def _read(room: Room, skin: SkinLoads, patch: SitePatch, place: Array) -> tuple[PatchLoad, Peak]:
    """Patch load and peak of one site from the skin of its segment."""
    figure, middle, cell = room.figure, patch_middle(patch), PEAK_CELL.value
    own = np.arange(*np.searchsorted(skin.segment, (patch.segment, patch.segment + 1)))
    away = np.linalg.norm(skin.own[own] - middle, axis=1)
    near = skin.take(own[away < PATCH_REACH])
    if not np.any(near.facing * near.pressure):
        return PatchLoad(0.0, 0.0, 0.0), Peak(0.0, cell)
    low, high = np.searchsorted(figure.owner, (patch.segment, patch.segment + 1))
    whole = counted(np.linalg.norm(figure.point[low:high] - middle, axis=1))
    whole_area = float(whole @ np.linalg.norm(figure.area[low:high], axis=1))
    load = patch_load(near, counted(away[away < PATCH_REACH]), patch, whole_area)
    peak = cell_peak(near.place, near.size, near.facing, near.pressure, place, cell)
    return load, Peak(peak, cell)


def _local_peaks(local: LocalBalance | None) -> tuple[Peak, Peak] | None:
    """Peaks over the common and the small cell from a site's fine grid; None if unsolved."""
    cells = PEAK_CELL.value, LOCAL_CELL.value
    if local is None:
        return Peak(0.0, cells[0]), Peak(0.0, cells[1])
    if not local.is_solved:
        return None
    return local.peak(cells[0]), local.peak(cells[1])


def _outlines(bed: CoupledBed, joint: JointBalance) -> tuple[Outline, ...]:
    """Every segment's outline on the surface, seen along the surface's own upward direction."""
    figure, field = bed.lying.figure, bed.lying.bearings[0].field
    everywhere = np.arange(len(figure.point))
    point = skin_places(figure, joint.pose, joint.touch.balance.joint, everywhere)[0]
    place = field.at(point, np.zeros(len(everywhere), dtype=np.intp)).place.T
    ahead = place @ _DIRECTIONS
    outlines = []
    for segment in range(COUNT):
        own = np.flatnonzero(figure.owner == segment)
        if own.size > 2:
            # the furthest point each way, in the order of the ways, goes round once
            furthest = list(dict.fromkeys(own[np.argmax(ahead[own], axis=0)].tolist()))
            corners = tuple((float(x), float(y)) for x, y in place[furthest])
            outlines.append(Outline(SEGMENTS[segment], corners))
    return tuple(outlines)
