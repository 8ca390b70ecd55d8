"""The same fourteen bodies in MuJoCo, with our foam and friction as outside forces.

MuJoCo has its own tree of bodies, ball joints, masses and time stepping; it shares the law of
contact and of the joints' resistance with leeward, which it therefore cannot check. Part of
`make figures ONLY=contact` and of `make accuracy`; MuJoCo comes with the `dev` extra.
"""

import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import Any, Final
from xml.etree import ElementTree as ET

import mujoco
import numpy as np
from numpy.typing import NDArray

from bench.contact_speed import cpu_ms
from bench.registry import Figure, measures
from leeward.contact.balance import Balance, Lying, find_balance
from leeward.contact.bed_surface import gravity_in_bed
from leeward.contact.continuation import follow_turns, settle_level
from leeward.contact.damping import contact_damping
from leeward.contact.inertia import segment_inertia
from leeward.contact.joints import joint_moments
from leeward.contact.pose import Pose, joint_places
from leeward.contact.readings import roll_of
from leeward.contact.scenarios import corner_scenarios
from leeward.contact.segments import CHILD_OF, COUNT, PARENT, SEGMENTS, kind_of
from leeward.contact.setting import Room, anchored, first_pose, lay_down, make_room
from leeward.contact.skin_contact import find_touch
from leeward.terms.bed import Bed
from leeward.terms.body import Body, Sex
from leeward.terms.equipment import SurfaceGeometry, SurfaceKind
from leeward.terms.posture import Posture
from leeward.terms.units import deg_from_radians, radians_from_deg

Array = NDArray[np.float64]

MAN = Body(stature=1.756, mass=80.0, sex=Sex.MALE)
WHOLE = SurfaceGeometry(SurfaceKind.WHOLE, 1.9, 0.85, 0.06, 0.15, 12.0)
LEVEL = Posture()
FRICTION = 0.8
TURNS = (0.0, 10.0, 20.0)
#: Time step, rate of turning, speed called rest, longest wait. [s], [deg/s], [m/s or rad/s], [s]
STEP, RATE, REST, WAIT = 0.002, 10.0, 1e-3, 8.0
#: Runs whose median is our time.
RUNS: Final = 5


def man_on_a_plane() -> Room:
    """An ordinary man on a whole surface; friction that lets him tip before he slides."""
    central = replace(corner_scenarios(Bed(), WHOLE, MAN)[0], friction=FRICTION)
    return make_room(MAN, Bed(), WHOLE, (central,))


def forces(lying: Lying, pose: Pose, joint: Array, speed: Array) -> Array:
    """Force and moment about its joint on every segment: bed, damping, joints. [N, N m]"""
    wrench = np.zeros((COUNT, 6))
    for bearing in lying.bearings:
        touch = find_touch(lying.figure, bearing, pose, joint, lying.friction)
        tangent = touch.value.tangent
        traction = touch.shear[0] * tangent[0] + touch.shear[1] * tangent[1]
        pull = touch.facing * (traction - touch.pressure * touch.value.gradient)
        moment = np.cross(touch.arm, pull, axis=0)
        for row, value in enumerate((*pull, *moment)):
            wrench[:, row] += np.bincount(touch.segment, value, COUNT)
        wrench -= np.einsum("sij,sj->si", contact_damping(touch, 1)[0], speed)
    moment = joint_moments(lying.joints, pose)[0]
    wrench[:, 3:] += (moment - np.matmul(CHILD_OF, moment))[0]
    return wrench


def tree(lying: Lying) -> str:
    """The bodies as a MuJoCo model: a free pelvis, thirteen ball joints, no geometry."""
    figure, inertia = lying.figure, segment_inertia(lying.figure)
    root = ET.Element("mujoco")
    ET.SubElement(root, "compiler", angle="radian")
    ET.SubElement(root, "option", timestep=str(STEP), integrator="implicit")
    parts = [ET.SubElement(root, "worldbody")]
    for number, segment in enumerate(SEGMENTS):
        within = parts[PARENT[number] + 1]
        part = ET.SubElement(within, "body", name=segment, pos=_row(figure.link[number]))
        ET.SubElement(
            part,
            "inertial",
            pos=_row(figure.mass_centre[number]),
            mass=str(figure.mass[number]),
            diaginertia=_row(np.diag(inertia[number])),
        )
        damping = str(0.1 * lying.joints.stiffness[0, number])
        if number:
            ET.SubElement(part, "joint", type="ball", damping=damping)
        else:
            ET.SubElement(part, "freejoint")
        parts.append(part)
    return ET.tostring(root, encoding="unicode")


def _row(vector: Array) -> str:
    return " ".join(repr(float(value)) for value in vector)


class Beside:
    """One body in MuJoCo on one of our beds."""

    def __init__(self, lying: Lying, pose: Pose) -> None:
        self.lying = lying
        self.model: Any = mujoco.MjModel.from_xml_string(tree(lying))
        self.data: Any = mujoco.MjData(self.model)
        self.model.opt.gravity = lying.gravity[0]
        # MuJoCo orders bodies limb by limb
        self.number = np.array([self.model.body(name).id for name in SEGMENTS])
        self._place(pose)
        self.steps, self.own_seconds = 0, 0.0

    def _place(self, pose: Pose) -> None:
        self.data.qpos[:3] = pose.place[0]
        for segment in range(COUNT):
            turn = pose.rotation[0, segment]
            if segment:
                turn = pose.rotation[0, PARENT[segment]].T @ turn
            quaternion = np.zeros(4)
            mujoco.mju_mat2Quat(quaternion, np.ascontiguousarray(turn).ravel())
            first = self.model.jnt_qposadr[self.model.body_jntadr[self.number[segment]]]
            first += 0 if segment else 3
            self.data.qpos[first : first + 4] = quaternion
        mujoco.mj_forward(self.model, self.data)

    def pose(self) -> Pose:
        """Where every segment is."""
        rotation = self.data.xmat[self.number].reshape(1, COUNT, 3, 3).copy()
        return Pose(self.data.xpos[self.number[:1]].copy(), rotation)

    def joint(self) -> Array:
        """Places of the joints, (1, 14, 3). [m]"""
        return np.array(self.data.xpos[None, self.number])

    def speeds(self) -> Array:
        """Speed of every joint and rate of turning, (14, 6). [m/s, rad/s]"""
        speed, found = np.zeros((COUNT, 6)), np.zeros(6)
        kind = mujoco.mjtObj.mjOBJ_XBODY
        for segment, number in enumerate(self.number):
            mujoco.mj_objectVelocity(self.model, self.data, kind, number, found, 0)
            speed[segment] = np.roll(found, 3)
        return speed

    def grip(self, release: bool) -> None:
        """Let skin take hold where it next touches; or let all shear go."""
        self.lying = anchored(self.lying, self.pose(), self.joint(), release=release)

    def push(self) -> Array:
        """Put our forces on MuJoCo's bodies, about their centres of mass."""
        speed = self.speeds()
        wrench = forces(self.lying, self.pose(), self.joint(), speed)
        centre = self.data.xipos[self.number] - self.data.xpos[self.number]
        self.data.xfrc_applied[self.number, :3] = wrench[:, :3]
        moment = wrench[:, 3:] - np.cross(centre, wrench[:, :3])
        self.data.xfrc_applied[self.number, 3:] = moment
        return speed

    def step(self) -> float:
        """One time step; the largest speed before it."""
        if self.steps % 10 == 0:
            self.grip(release=False)
        speed = self.push()
        begun = time.process_time()
        mujoco.mj_step(self.model, self.data)
        self.own_seconds += time.process_time() - begun
        self.steps += 1
        return float(np.abs(speed).max())

    def rest(self) -> None:
        """Wait until nothing has moved for a fifth of a second."""
        quiet, end = 0, self.data.time + WAIT
        while quiet < 100 and self.data.time < end:
            quiet = quiet + 1 if self.step() < REST else 0

    def turn(self, first: float, last: float) -> None:
        """Turn the bed slowly. [deg]"""
        for degrees in np.arange(first, last, RATE * STEP) + RATE * STEP:
            angle = np.array([radians_from_deg(float(degrees))])
            self.model.opt.gravity = gravity_in_bed(angle, 0.0)[0]
            self.step()


def shares(balance: Balance) -> dict[str, float]:
    """Share of the normal force on each kind of segment. [%]"""
    found = dict.fromkeys(map(kind_of, SEGMENTS), 0.0)
    touch = balance.touches[0]
    force = np.bincount(touch.segment, touch.facing * touch.pressure, COUNT)
    for segment, load in zip(SEGMENTS, 100.0 * force / force.sum(), strict=True):
        found[kind_of(segment)] += float(load)
    return found


@dataclass(frozen=True, slots=True)
class Compared:
    """One posture found by both.

    Parameters
    ----------
    turn_deg : float
        Turn of the bed. [deg]
    shares_apart : float
        Largest difference of the shares of the load, kind of segment by kind. [points]
    ours_roll_deg, theirs_roll_deg : float
        Roll of the pelvis in the bed. [deg]
    ours_ms, theirs_ms : float
        Processor time: ours from the layout, MuJoCo's from the turn before. [ms]
    theirs_own_ms : float
        What of it MuJoCo's own steps took, the forces put on its bodies left out. [ms]
    theirs_simulated_s : float
        How long the body took to come to rest, in its own time. [s]
    """

    turn_deg: float
    shares_apart: float
    ours_roll_deg: float
    theirs_roll_deg: float
    ours_ms: float
    theirs_ms: float
    theirs_own_ms: float
    theirs_simulated_s: float


def beside_each_other() -> Iterator[Compared]:
    """An ordinary man on a plane: brought to rest in time, and found as a balance."""
    room = man_on_a_plane()
    lying = lay_down(room, LEVEL, np.zeros(1), np.zeros(1, dtype=np.intp))
    pose = first_pose(lying)
    joint, _ = joint_places(pose, room.figure.link)
    begun, since = time.process_time(), 0.0
    theirs = Beside(anchored(lying, pose, joint, release=True), pose)
    theirs.rest()
    theirs.grip(release=True)
    theirs.rest()
    last = 0.0
    for degrees in TURNS:
        theirs.turn(last, degrees)
        theirs.rest()
        slow = 1e3 * (time.process_time() - begun)
        simulated, own = theirs.data.time - since, 1e3 * theirs.own_seconds
        found = partial(_ours, room, degrees)
        ours_lying, ours_pose = found()
        ours = shares(find_balance(ours_lying, ours_pose))
        other = shares(find_balance(theirs.lying, theirs.pose()))
        rolls = [
            deg_from_radians(float(roll_of(one.rotation[:, 0])[0]))
            for one in (ours_pose, theirs.pose())
        ]
        apart = max(abs(ours[kind] - other[kind]) for kind in ours)
        yield Compared(degrees, apart, *rolls, cpu_ms(found, RUNS), slow, own, simulated)
        last, since, theirs.own_seconds = degrees, theirs.data.time, 0.0
        begun = time.process_time()


def _ours(room: Room, degrees: float) -> tuple[Lying, Pose]:
    """Our balance at a turn, from the layout."""
    turns = np.array([radians_from_deg(degrees)])
    stand = follow_turns(room, LEVEL, settle_level(room, LEVEL), turns)[0]
    return lay_down(room, LEVEL, stand.turn, stand.which), stand.pose


@measures("contact")
def beside_mujoco() -> Iterator[Figure]:
    """Shares, roll and time at each turn, ours and MuJoCo's."""
    for one in beside_each_other():
        name = f"mujoco_{one.turn_deg:.0f}_deg"
        yield Figure(f"{name}_shares_apart", one.shares_apart, "points")
        yield Figure(f"{name}_roll_ours", one.ours_roll_deg, "deg")
        yield Figure(f"{name}_roll_apart", one.theirs_roll_deg - one.ours_roll_deg, "deg")
        yield Figure(f"{name}_ours_ms", one.ours_ms, "ms")
        yield Figure(f"{name}_settle_ms", one.theirs_ms, "ms")
        yield Figure(f"{name}_settle_own_ms", one.theirs_own_ms, "ms")
        yield Figure(f"{name}_settle_simulated_s", one.theirs_simulated_s, "s")
