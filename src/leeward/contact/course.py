"""How bodies move along their paths: a first guess of where each comes to rest next."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.pose import UNKNOWNS, Pose
from leeward.contact.rotation import vector_from_rotation

Array = NDArray[np.float64]
Index = NDArray[np.intp]

#: Largest change of an unknown that is guessed: beyond it a guess is worse than none. [m, rad]
_FURTHEST: Final = 0.3

#: A step that moves a body further than this many times its course ahead [-] is not believed,
#: unless it moved by less than giving way [rad, m], nor one that moves any part of it beyond what
#: may be guessed. Source: conventions of this project, held against steps of one degree.
_MUCH_FURTHER: Final = 3.0
_GIVING_WAY: Final = 0.05


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """Change of the unknowns along the path, whose parameter may be a turn or a share.

    Parameters
    ----------
    rate : ndarray, shape (b, 45)
        Mean change per parameter over the last step. [m, rad]
    bending : ndarray, shape (b, 45)
        Change of that rate per parameter. [m, rad]
    step : ndarray, shape (b,)
        The last step; 0 where the rate is that at the body's place. [-]
    is_known : ndarray of bool, shape (b,)
        Whether the rate is that of a step taken, so that the next one gives the bending. [-]
    """

    rate: Array
    bending: Array
    step: Array
    is_known: NDArray[np.bool_]

    def take(self, bodies: Index) -> "Course":
        """Pick some bodies of the batch.

        Parameters
        ----------
        bodies : ndarray of int, shape (k,)
            Their positions. [-]

        Returns
        -------
        Course
            Their courses.
        """
        return Course(
            self.rate[bodies], self.bending[bodies], self.step[bodies], self.is_known[bodies]
        )

    def put(self, bodies: Index, other: "Course") -> None:
        """Overwrite the courses of some bodies.

        Parameters
        ----------
        bodies : ndarray of int, shape (k,)
            Their positions. [-]
        other : Course
            What they become.
        """
        self.rate[bodies], self.bending[bodies] = other.rate, other.bending
        self.step[bodies], self.is_known[bodies] = other.step, other.is_known

    def ahead(self, step: Array) -> Array:
        """Change of the unknowns expected over the next step.

        Parameters
        ----------
        step : ndarray, shape (b,)
            The next step. [-]

        Returns
        -------
        ndarray, shape (b, 45)
            Change of the unknowns, to second order; cut short where it is large. [m, rad]
        """
        rate = self.rate + 0.5 * (self.step + step)[:, None] * self.bending
        change = step[:, None] * rate
        largest = np.max(np.abs(change), axis=1, keepdims=True)
        return np.asarray(change / np.maximum(1.0, largest / _FURTHEST))

    def led(self, old: Pose, new: Pose, step: Array) -> NDArray[np.bool_]:
        """Whether bodies came to rest about where their courses led them.

        Parameters
        ----------
        old, new : Pose
            Poses before and after the next step.
        step : ndarray, shape (b,)
            The step. [-]

        Returns
        -------
        ndarray of bool, shape (b,)
            False for a body that moved much further: something gave way, and the balance
            found may be one that no smooth path leads to. [-]
        """
        foreseen = np.max(np.abs(self.ahead(step)), axis=1)
        moved = np.max(np.abs(_change(old, new)), axis=1)
        return np.asarray(moved <= np.minimum(_MUCH_FURTHER * foreseen + _GIVING_WAY, _FURTHEST))

    def after(self, old: Pose, new: Pose, step: Array) -> "Course":
        """Course of bodies that have taken one more step.

        Parameters
        ----------
        old, new : Pose
            Poses before and after it.
        step : ndarray, shape (b,)
            The step; not zero. [-]

        Returns
        -------
        Course
            Their courses now.
        """
        rate = _change(old, new) / step[:, None]
        between = 0.5 * (self.step + step)[:, None]
        bending = np.where(self.is_known[:, None], (rate - self.rate) / between, 0.0)
        return Course(rate, bending, step, np.ones(len(step), dtype=bool))


def _change(old: Pose, new: Pose) -> Array:
    """Change of all 45 unknowns from one pose to another, (b, 45)."""
    rotated = vector_from_rotation(new.rotation @ np.swapaxes(old.rotation, -1, -2))
    return np.concatenate([new.place - old.place, rotated.reshape(len(old.place), -1)], axis=1)


def unknown_course(batch: int) -> Course:
    """Course of bodies that have not moved yet.

    Parameters
    ----------
    batch : int
        How many. [-]

    Returns
    -------
    Course
        They are expected to stay where they are.
    """
    still = np.zeros((batch, UNKNOWNS))
    return Course(still, still, np.zeros(batch), np.zeros(batch, dtype=bool))


def join(courses: list[Course]) -> Course:
    """Put batches into one.

    Parameters
    ----------
    courses : list of Course
        At least one.

    Returns
    -------
    Course
        All bodies, in order.
    """
    return Course(
        np.concatenate([course.rate for course in courses]),
        np.concatenate([course.bending for course in courses]),
        np.concatenate([course.step for course in courses]),
        np.concatenate([course.is_known for course in courses]),
    )
