"""Where a batch of bodies stands on its path: poses, shear, state."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from leeward.contact.course import Course
from leeward.contact.course import join as join_courses
from leeward.contact.pose import Pose

Array = NDArray[np.float64]
Index = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Stand:
    """A batch of bodies at one place of their paths.

    Parameters
    ----------
    which : ndarray of int, shape (b,)
        Scenario of each. [-]
    turn : ndarray, shape (b,)
        Turn reached. [rad]
    pose : Pose
        Poses in balance.
    course : Course
        How the bodies moved on the way here: only a first guess of how they go on.
    anchors : tuple of ndarray, shape (b, 2, n)
        Where the skin's shear is zero, for each bearing. [m]
    demand, margin : ndarray, shape (b,)
        Friction demand and stability margin. [-]
    share : ndarray, shape (b, 14)
        Share of the normal force on each segment. [-]
    state : ndarray of int, shape (b,)
        Values of `EquilibriumState`. [-]
    """

    which: Index
    turn: Array
    pose: Pose
    course: Course
    anchors: tuple[Array, ...]
    demand: Array
    margin: Array
    share: Array
    state: NDArray[np.int8]

    def take(self, bodies: Index) -> "Stand":
        """Pick some bodies of the batch.

        Parameters
        ----------
        bodies : ndarray of int, shape (k,)
            Their positions. [-]

        Returns
        -------
        Stand
            Where they stand.
        """
        return Stand(
            self.which[bodies],
            self.turn[bodies],
            self.pose.take(bodies),
            self.course.take(bodies),
            tuple(anchor[bodies] for anchor in self.anchors),
            self.demand[bodies],
            self.margin[bodies],
            self.share[bodies],
            self.state[bodies],
        )


def join(stands: list[Stand]) -> Stand:
    """Put batches into one.

    Parameters
    ----------
    stands : list of Stand
        At least one.

    Returns
    -------
    Stand
        All bodies, in order.
    """
    bearings = range(len(stands[0].anchors))
    return Stand(
        np.concatenate([stand.which for stand in stands]),
        np.concatenate([stand.turn for stand in stands]),
        Pose(
            np.concatenate([stand.pose.place for stand in stands]),
            np.concatenate([stand.pose.rotation for stand in stands]),
        ),
        join_courses([stand.course for stand in stands]),
        tuple(_anchors(stands, bearing) for bearing in bearings),
        *(_figures(stands, name) for name in ("demand", "margin", "share", "state")),
    )


def _anchors(stands: list[Stand], bearing: int) -> Array:
    return np.concatenate([stand.anchors[bearing] for stand in stands])


def _figures(stands: list[Stand], name: str) -> NDArray[Any]:
    return np.concatenate([getattr(stand, name) for stand in stands])


def together(first: Stand, second: Stand, places: tuple[Index, Index]) -> Stand:
    """Put two parts of a batch back in their places.

    Parameters
    ----------
    first, second : Stand
        The parts.
    places : tuple of two ndarray of int
        Where the bodies of each part belong. [-]

    Returns
    -------
    Stand
        The whole batch.
    """
    return join([first, second]).take(np.argsort(np.concatenate(places)))


def choose(first_is_right: NDArray[np.bool_], first: Stand, second: Stand) -> Stand:
    """Take each body from one of two batches.

    Parameters
    ----------
    first_is_right : ndarray of bool, shape (b,)
        Whether to take the body from the first. [-]
    first, second : Stand
        The same bodies at different places.

    Returns
    -------
    Stand
        One batch.
    """
    count = len(first_is_right)
    both = join([first, second])
    return both.take(np.where(first_is_right, np.arange(count), count + np.arange(count)))
