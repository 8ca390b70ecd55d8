"""A rigid elliptic roller on a rough slope: how far it rolls, and where it tips.

Half-breadth A, half-depth B, r = A^2 / B^2, slope a, roll p towards the low side, relative to the
plane. The weight line passes through the point of contact when

    tan a = (r - 1) sin p cos p / (r sin^2 p + cos^2 p)

The steepest slope is tan a_c = (r - 1) / (2 sqrt r), at tan p_c = 1 / sqrt r; beyond it the body
tips over. (Statics; derived for this project.) A/B = 1.65 gives a_c = 27.6 degrees,
A/B = 1.52 gives 23.3.
"""

from dataclasses import replace

import numpy as np

from leeward.contact.balance import Lying, find_balance
from leeward.contact.bed_surface import SurfacePosture, bed_surface, gravity_in_bed
from leeward.contact.ellipsoid import skin_points
from leeward.contact.equilibrium import settle
from leeward.contact.figure import Figure, build_figure
from leeward.contact.foam import Cushion, series_table
from leeward.contact.joints import Joints
from leeward.contact.pose import Pose, joint_places
from leeward.contact.readings import roll_of
from leeward.contact.segments import COUNT
from leeward.contact.setting import anchored
from leeward.contact.skin_contact import Bearing
from leeward.contact.stability import stability_margin
from leeward.terms.bed import Platform
from leeward.terms.body import Body, Sex

MAN = Body(stature=1.756, mass=80.0, sex=Sex.MALE)
DEPTH = 0.10
#: Times the reference foam: the roller sinks in by about a millimetre.
HARDNESS = 6.0


def roller(breadth: float) -> Figure:
    """One rigid ellipsoid of 12 kg with points 5 mm apart; no other segments."""
    point, area = skin_points((breadth, 0.25, DEPTH), 2.0, 0.006)
    nothing = np.zeros((COUNT, 3))
    mass = np.zeros(COUNT)
    mass[0] = 12.0
    return replace(
        build_figure(MAN),
        mass=mass,
        mass_centre=nothing,
        link=nothing,
        point=point,
        area=area,
        owner=np.zeros(len(point), dtype=np.intp),
        tissue=np.zeros(len(point), dtype=np.intp),
        patches=(),
    )


def lay(figure: Figure, slope: float, height: float, roll: float) -> tuple[Lying, Pose]:
    """The roller on hard foam: friction 3, so that it never slides."""
    count = len(figure.point)
    surface = bed_surface(SurfacePosture(np.zeros(1), np.zeros(1), 0.15), Platform())
    table = series_table((Cushion(0.15, HARDNESS),), 0.001, 1e6)[None]
    skin = np.arange(count)
    bearing = Bearing(
        surface,
        skin,
        np.zeros(count),
        table,
        np.zeros((1, count), dtype=np.intp),
        np.zeros((1, 2, count)),
    )
    joints = Joints(np.tile(np.eye(3), (1, COUNT, 1, 1)), 10.0 * (np.arange(COUNT)[None] > 0))
    lying = Lying(
        figure, joints, gravity_in_bed(np.array([slope]), 0.0), np.array([3.0]), (bearing,)
    )
    turn = np.array([[np.cos(roll), 0, np.sin(roll)], [0, 1, 0], [-np.sin(roll), 0, np.cos(roll)]])
    return lying, Pose(np.array([[0.0, 0.0, height]]), np.tile(turn, (1, COUNT, 1, 1)))


def followed(breadth: float, degrees: float) -> tuple[bool, float, float]:
    """Solved or not, roll and margin, after steps of half a degree from level."""
    figure = roller(breadth)
    lying, pose = lay(figure, 0.0, DEPTH - 0.001, 0.0)
    lying = anchored(lying, pose, joint_places(pose, figure.link)[0], release=True)
    solved = True
    for slope in np.radians(np.append(np.arange(0.0, degrees, 0.5), degrees)):
        steeper = replace(lying, gravity=gravity_in_bed(np.array([slope]), 0.0))
        settled = settle(steeper, pose, 1e-3)
        solved, pose = bool(settled.is_solved[0]), settled.pose
        if not solved:
            break
        lying = anchored(steeper, pose, joint_places(pose, figure.link)[0], release=False)
    margin = float(stability_margin(find_balance(lying, pose))[0])
    return solved, float(roll_of(pose.rotation[0, 0])), margin


def slope_for(roll: float, ratio: float) -> float:
    """The closed form."""
    sine, cosine = np.sin(roll), np.cos(roll)
    return float(np.arctan((ratio - 1) * sine * cosine / (ratio * sine**2 + cosine**2)))


def steepest_slope(breadth: float) -> float:
    """The closed form. [rad]"""
    ratio = (breadth / DEPTH) ** 2
    return float(np.arctan((ratio - 1) / (2 * np.sqrt(ratio))))
