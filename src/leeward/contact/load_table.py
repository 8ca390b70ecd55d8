"""Loads over postures and scenarios, and between the turns that were solved."""

from dataclasses import dataclass, fields, replace

import numpy as np
import scipy
from numpy.typing import NDArray

from leeward.contact.figure import Figure
from leeward.contact.pose import Pose
from leeward.contact.scenarios import Scenario
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Posture
from leeward.terms.site import Site

Array = NDArray[np.float64]
Index = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class LoadTable:
    """What every posture does in every scenario; NaN where unknown or not a balance.

    Parameters
    ----------
    scenarios : tuple of Scenario, length s
        First axis of every array.
    postures : tuple of Posture, length p
        Second axis.
    sites : tuple of Site, length 30
        Last axis of `patch_load`.
    patch_load : ndarray, shape (s, p, 30)
        Mean normal pressure over each site's 60 mm patch. [Pa]
    state : ndarray of int, shape (s, p)
        Values of `EquilibriumState`. [-]
    margin : ndarray, shape (s, p)
        Stability margin, at the last balance found where the state is not STABLE. [-]
    friction_demand : ndarray, shape (s, p)
        Friction demand, at the last balance found. [-]
    pelvis_roll_bed, pelvis_roll_room, thorax_roll_bed, thorax_roll_room : ndarray, shape (s, p)
        Roll towards the person's left, relative to the unturned platform and in the room. [rad]
    segment_share : ndarray, shape (s, p, 14)
        Share of the normal force on each segment. [-]
    edge_distance : ndarray, shape (s, p)
        Outermost skin but the arms' to the platform's nearer edge. [m]
    figure : Figure
        The body as built.
    pose : Pose
        Poses with leading axes (s, p). [m, -]
    anchors : tuple, length p
        Where the skin's shear is zero in the first scenario: for each posture an array of shape
        (2, n) a bearing, None where it is not known. A pressure map starts from it. [m]
    """

    scenarios: tuple[Scenario, ...]
    postures: tuple[Posture, ...]
    sites: tuple[Site, ...]
    patch_load: Array
    state: NDArray[np.int8]
    margin: Array
    friction_demand: Array
    pelvis_roll_bed: Array
    pelvis_roll_room: Array
    thorax_roll_bed: Array
    thorax_roll_room: Array
    segment_share: Array
    edge_distance: Array
    figure: Figure
    pose: Pose
    anchors: tuple[tuple[Array, ...] | None, ...]

    def position(self, posture: Posture) -> int:
        """Find a posture on the second axis.

        Parameters
        ----------
        posture : Posture
            One of `postures`. [-]

        Returns
        -------
        int
            Its position. [-]

        Raises
        ------
        InvalidInput
            If it was not asked for.
        """
        try:
            return self.postures.index(posture)
        except ValueError:
            raise InvalidInput(
                f"no loads were computed for {posture}",
                where="load table",
                expected="one of its postures",
                remedy="add the posture to the request",
            ) from None

    def part(self, postures: tuple[Posture, ...]) -> "LoadTable":
        """Keep some postures, in another order if need be.

        Parameters
        ----------
        postures : tuple of Posture
            Some of `postures`. [-]

        Returns
        -------
        LoadTable
            The same loads of these postures only.

        Raises
        ------
        InvalidInput
            If one of them was not asked for.
        """
        kept = [self.position(posture) for posture in postures]
        by_posture = {
            field.name: getattr(self, field.name)[:, kept]
            for field in fields(self)
            if isinstance(getattr(self, field.name), np.ndarray)
        }
        pose = Pose(self.pose.place[:, kept], self.pose.rotation[:, kept])
        anchors = tuple(self.anchors[number] for number in kept)
        return replace(self, postures=postures, pose=pose, anchors=anchors, **by_posture)

    def state_everywhere(self, posture: Posture) -> EquilibriumState:
        """State of a posture taken over all scenarios: stable only if it is in each.

        Parameters
        ----------
        posture : Posture
            One of `postures`. [-]

        Returns
        -------
        EquilibriumState
            STABLE, or the state of the first scenario that is not.
        """
        column = self.state[:, self.position(posture)]
        unstable = column[column != EquilibriumState.STABLE]
        return EquilibriumState(int(unstable[0])) if unstable.size else EquilibriumState.STABLE

    def first_unstable(self, posture: Posture) -> int:
        """Find the scenario a posture is to be shown in.

        Parameters
        ----------
        posture : Posture
            One of `postures`. [-]

        Returns
        -------
        int
            The first in which it is not stable, else the central one: a body that leaves the
            bed in one draw is not shown lying in another. [-]
        """
        column = self.state[:, self.position(posture)]
        return int(np.argmax(column != EquilibriumState.STABLE))

    def _knots(self, like: Posture) -> tuple[Array, Index]:
        """Turns solved at the same other settings, ascending, and their positions."""
        same = [n for n, p in enumerate(self.postures) if p.with_turn(0.0) == like.with_turn(0.0)]
        turns = np.array([self.postures[number].turn for number in same])
        order = np.argsort(turns)
        return turns[order], np.array(same, dtype=np.intp)[order]

    def interpolated(
        self, turns: Array, scenarios: Index | None = None, like: Posture | None = None
    ) -> Array:
        """Patch loads between the turns that were solved.

        Parameters
        ----------
        turns : ndarray, shape (t,)
            Signed turns. [rad]
        scenarios : ndarray of int, shape (k,), or None
            Which scenarios; None for all. [-]
        like : Posture or None
            The other settings; None for a flat bed without supports. [-]

        Returns
        -------
        ndarray, shape (k, t, 30)
            Patch loads; NaN outside the turns solved, and next to a turn that is not
            stable. [Pa]

        Notes
        -----
        Monotone cubic pieces (PCHIP) between neighbouring stable turns: they overshoot
        nowhere. The error is measured by `interpolation_error`.
        """
        chosen = np.arange(len(self.scenarios)) if scenarios is None else scenarios
        knots, where = self._knots(Posture() if like is None else like)
        asked = np.asarray(turns, dtype=float)
        result = np.full((len(chosen), len(asked), len(self.sites)), np.nan)
        for row, scenario in enumerate(chosen):
            stable = self.state[scenario, where] == EquilibriumState.STABLE
            load = self.patch_load[scenario, where]
            for low, high in _runs(stable):
                result[row] = _fill(knots[low:high], load[low:high], asked, result[row])
        return result


def _runs(stable: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Unbroken stretches of stable knots as half-open ranges."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], stable, [False]]).astype(int)))
    return [(int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def _fill(knots: Array, load: Array, asked: Array, result: Array) -> Array:
    inside = (asked >= knots[0] - 1e-9) & (asked <= knots[-1] + 1e-9)
    if not inside.any():
        return result
    known = np.isfinite(load[0])
    filled = result.copy()
    if len(knots) == 1:
        values = np.repeat(load[:, known], int(inside.sum()), axis=0)
    else:
        within = np.clip(asked[inside], knots[0], knots[-1])
        # Where a load falls to nothing, rounding may take the polynomial below zero.
        values = np.maximum(
            scipy.interpolate.PchipInterpolator(knots, load[:, known], axis=0)(within), 0.0
        )
    filled[np.ix_(inside, known)] = values
    return filled


def interpolation_error(table: LoadTable, direct: LoadTable) -> Array:
    """Compare interpolated patch loads with loads solved directly.

    Parameters
    ----------
    table : LoadTable
        Loads to interpolate in.
    direct : LoadTable
        Loads of the same body, bed and scenarios at other turns.

    Returns
    -------
    ndarray, shape (s, p, 30)
        Interpolated minus direct at the postures of `direct`; NaN where either is
        unknown. [Pa]

    Raises
    ------
    InvalidInput
        If the scenarios differ.
    """
    if table.scenarios != direct.scenarios:
        raise InvalidInput(
            "two load tables over different scenarios",
            where="interpolation error",
            expected="the same scenarios in the same order",
            remedy="compute both from one list of scenarios",
        )
    found = [
        table.interpolated(np.array([posture.turn]), like=posture)[:, 0]
        for posture in direct.postures
    ]
    return np.stack(found, axis=1) - direct.patch_load
