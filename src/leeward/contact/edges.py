"""How near each part of the body comes to the platform's edges."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.figure import Figure
from leeward.contact.load_table import LoadTable
from leeward.contact.pose import Pose, joint_places
from leeward.contact.segments import COUNT, SEGMENTS
from leeward.contact.skin_contact import skin_places
from leeward.terms.posture import Posture

Array = NDArray[np.float64]

#: Parts that no posture may lay beyond the edge: what lies there is not held by the bed.
BORNE: Final = ("pelvis", "abdomen", "thorax", "head")
ARMS: Final = tuple(name for name in SEGMENTS if "arm" in name)

_NOT_ARMS: Final = np.array([name not in ARMS for name in SEGMENTS])
_BORNE: Final = np.array([name in BORNE for name in SEGMENTS])


def edge_distances(figure: Figure, pose: Pose, joint: Array, width: float) -> Array:
    """Distance from the outermost skin of every segment to the platform's nearer edge.

    Parameters
    ----------
    figure : Figure
        The body.
    pose : Pose
        Poses; level, the body's mid-line lies on the platform's. [m, -]
    joint : ndarray, shape (b, 14, 3)
        Places of the joints. [m]
    width : float
        Width of the platform. [m]

    Returns
    -------
    ndarray, shape (b, 14)
        Distance across, negative beyond the edge; infinite for a missing limb. [m]

    Notes
    -----
    Across only: what lies beyond the platform's head or foot end is not looked at. Skin that can
    never meet a bed is not there to be looked at either.
    """
    places = skin_places(figure, pose, joint, np.arange(len(figure.point)))
    there, first = np.unique(figure.owner, return_index=True)
    distance = np.full((len(pose.place), COUNT), np.inf)
    outermost = np.maximum.reduceat(np.abs(places[:, 0]), first, axis=1)
    distance[:, there] = 0.5 * width - outermost
    return distance


def least_distances(table: LoadTable, posture: Posture, width: float) -> dict[str, float]:
    """Take the least distance of every segment over the scenarios of a load table.

    Parameters
    ----------
    table : LoadTable
        Where the body lies.
    posture : Posture
        One of its postures. [-]
    width : float
        Width of the platform. [m]

    Returns
    -------
    dict of str to float
        By segment; empty where the body rests in no scenario. [m]
    """
    column = table.position(posture)
    place, rotation = table.pose.place[:, column], table.pose.rotation[:, column]
    rests = np.isfinite(place).all(axis=1)
    if not rests.any():
        return {}
    poses = Pose(place[rests], rotation[rests])
    joint, _ = joint_places(poses, table.figure.link)
    least = edge_distances(table.figure, poses, joint, width).min(axis=0)
    return dict(zip(SEGMENTS, map(float, least), strict=True))


def without_arms(distance: Array) -> Array:
    """Keep the least distance of trunk, head and legs.

    Parameters
    ----------
    distance : ndarray, shape (..., 14)
        As `edge_distances` gives it. [m]

    Returns
    -------
    ndarray, shape (...)
        The body's distance to the edge: an arm laid out on the mattress says nothing of where
        the body lies. [m]
    """
    return np.asarray(np.min(distance[..., _NOT_ARMS], axis=-1))


def is_over_edge(distance: Array) -> NDArray[np.bool_]:
    """Say whether pelvis, abdomen, chest or head lies beyond the edge.

    Parameters
    ----------
    distance : ndarray, shape (..., 14)
        As `edge_distances` gives it. [m]

    Returns
    -------
    ndarray of bool, shape (...)
        Outermost skin of one of them beyond the platform's edge: no place to lie. [-]
    """
    return np.asarray(np.any(distance[..., _BORNE] < 0.0, axis=-1))
