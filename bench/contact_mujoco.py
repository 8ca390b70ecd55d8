"""The same fourteen bodies in MuJoCo, with our foam and friction as outside forces.

MuJoCo has its own tree of bodies, ball joints, masses and time stepping; it shares the law of
contact and of the joints' resistance with leeward, which it therefore cannot check. Needs
`pip install leeward[crosscheck]`; without MuJoCo nothing is measured.
"""

import time
from collections.abc import Iterator
from dataclasses import replace
from importlib.util import find_spec
from typing import Any
from xml.etree import ElementTree as ET

import numpy as np
from numpy.typing import NDArray

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

    def __init__(self, lying: Lying, pose: Pose, mujoco: Any) -> None:
        self.mujoco, self.lying = mujoco, lying
        self.model = mujoco.MjModel.from_xml_string(tree(lying))
        self.data = mujoco.MjData(self.model)
        self.model.opt.gravity = lying.gravity[0]
        # MuJoCo orders bodies limb by limb
        self.number = np.array([self.model.body(name).id for name in SEGMENTS])
        self._place(pose)
        self.steps = 0

    def _place(self, pose: Pose) -> None:
        self.data.qpos[:3] = pose.place[0]
        for segment in range(COUNT):
            turn = pose.rotation[0, segment]
            if segment:
                turn = pose.rotation[0, PARENT[segment]].T @ turn
            quaternion = np.zeros(4)
            self.mujoco.mju_mat2Quat(quaternion, np.ascontiguousarray(turn).ravel())
            first = self.model.jnt_qposadr[self.model.body_jntadr[self.number[segment]]]
            first += 0 if segment else 3
            self.data.qpos[first : first + 4] = quaternion
        self.mujoco.mj_forward(self.model, self.data)

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
        kind = self.mujoco.mjtObj.mjOBJ_XBODY
        for segment, number in enumerate(self.number):
            self.mujoco.mj_objectVelocity(self.model, self.data, kind, number, found, 0)
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
        self.mujoco.mj_step(self.model, self.data)
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


@measures("contact")
def beside_mujoco() -> Iterator[Figure]:
    """Shares, roll and time at each turn, ours and MuJoCo's."""
    if find_spec("mujoco") is None:
        return
    import mujoco  # noqa: PLC0415  an optional extra, absent from most machines

    room = man_on_a_plane()
    lying = lay_down(room, LEVEL, np.zeros(1), np.zeros(1, dtype=np.intp))
    pose = first_pose(lying)
    joint, _ = joint_places(pose, room.figure.link)
    theirs = Beside(anchored(lying, pose, joint, release=True), pose, mujoco)
    begun = time.perf_counter()
    theirs.rest()
    theirs.grip(release=True)
    theirs.rest()
    last = 0.0
    for turn in TURNS:
        theirs.turn(last, turn)
        theirs.rest()
        slow, begun = time.perf_counter() - begun, time.perf_counter()
        level = settle_level(room, LEVEL)
        stand = follow_turns(room, LEVEL, level, np.array([radians_from_deg(turn)]))[0]
        fast = time.perf_counter() - begun
        ours_lying = lay_down(room, LEVEL, stand.turn, stand.which)
        ours = shares(find_balance(ours_lying, stand.pose))
        found = shares(find_balance(theirs.lying, theirs.pose()))
        apart = max(abs(ours[kind] - found[kind]) for kind in ours)
        rolls = [roll_of(p.rotation[:, 0])[0] for p in (stand.pose, theirs.pose())]
        name = f"mujoco_{turn:.0f}_deg"
        yield Figure(f"{name}_shares_apart", apart, "points")
        yield Figure(f"{name}_roll_ours", deg_from_radians(float(rolls[0])), "deg")
        yield Figure(f"{name}_roll_apart", deg_from_radians(float(rolls[1] - rolls[0])), "deg")
        yield Figure(f"{name}_times_slower", slow / fast, "-")
        last, begun = turn, time.perf_counter()
