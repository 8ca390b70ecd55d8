"""Loads of draws solved directly, and in how many of them a posture is a place to lie."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from leeward.contact.draws import Draw
from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest
from leeward.terms.bed import Bed
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.equipment import SurfaceGeometry
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Posture
from leeward.terms.site import Site

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class DrawnLoads:
    """What every posture does in every draw; NaN where unknown or not a place to lie.

    Parameters
    ----------
    postures : tuple of Posture, length p
        Second axis of every array.
    sites : tuple of Site, length 30
        Last axis of `patch_load`.
    patch_load : ndarray, shape (d, p, 30)
        Patch loads. [Pa]
    state : ndarray of int, shape (d, p)
        Values of `EquilibriumState`. [-]
    margin, friction_demand : ndarray, shape (d, p)
        Stability margin and friction demand. [-]
    """

    postures: tuple[Posture, ...]
    sites: tuple[Site, ...]
    patch_load: Array
    state: NDArray[np.int8]
    margin: Array
    friction_demand: Array

    def is_stable(self) -> NDArray[np.bool_]:
        """Where a draw has a place to lie.

        Returns
        -------
        ndarray of bool, shape (d, p)
            Whether each posture is stable in each draw. [-]
        """
        return np.asarray(self.state == EquilibriumState.STABLE)


def draw_requests(
    drawn: Sequence[Draw],
    bed: Bed,
    surface: SurfaceGeometry | None,
    postures: tuple[Posture, ...],
) -> tuple[LoadRequest, ...]:
    """Ask for the loads of every draw, each on its own.

    Parameters
    ----------
    drawn : sequence of Draw, length d
        Draws. [-]
    bed : Bed
        The bed they were drawn for. [-]
    surface : SurfaceGeometry or None
        Tilting surface. [-]
    postures : tuple of Posture, length p
        Postures wanted. [-]

    Returns
    -------
    tuple of LoadRequest, length d
        For `leeward.contact.loads.posture_loads`; they are independent of one another.
    """
    return tuple(
        LoadRequest(draw.body, bed, _bridged(surface, draw), postures, (draw.scenario,))
        for draw in drawn
    )


def _bridged(surface: SurfaceGeometry | None, draw: Draw) -> SurfaceGeometry | None:
    """The surface whose valley the mattress rounds as drawn."""
    if surface is None:
        return None
    return replace(surface, line_rounding=draw.bridging * surface.line_rounding)


def drawn_loads(tables: Sequence[LoadTable]) -> DrawnLoads:
    """Gather the tables of draws.

    Parameters
    ----------
    tables : sequence of LoadTable, length d
        One table of one scenario for each draw, all of the same postures. [-]

    Returns
    -------
    DrawnLoads
        All draws.

    Raises
    ------
    InvalidInput
        If there is no table, or they are not of the same postures.
    """
    if not tables or any(table.postures != tables[0].postures for table in tables):
        raise InvalidInput(
            f"{len(tables)} load tables of draws that do not belong together",
            where="drawn loads",
            expected="one table for each draw, all of the same postures",
            remedy="take the requests from draw_requests",
        )
    return DrawnLoads(
        postures=tables[0].postures,
        sites=tables[0].sites,
        patch_load=np.stack([table.patch_load[0] for table in tables]),
        state=np.stack([table.state[0] for table in tables]),
        margin=np.stack([table.margin[0] for table in tables]),
        friction_demand=np.stack([table.friction_demand[0] for table in tables]),
    )


@dataclass(frozen=True, slots=True)
class StabilityShare:
    """In how many draws a posture is a place to lie.

    Parameters
    ----------
    stable : int
        Draws solved in which it is. [-]
    solved : int
        Draws solved. [-]
    named : dict of EquilibriumState to int
        How the others ended. [-]
    """

    stable: int
    solved: int
    named: dict[EquilibriumState, int]

    @property
    def share(self) -> float:
        """Share of the draws solved in which it is stable. [-]"""
        return self.stable / self.solved

    @property
    def is_everywhere(self) -> bool:
        """Whether no draw solved has been found unstable. [-]"""
        return self.stable == self.solved


def stability_shares(found: DrawnLoads) -> tuple[StabilityShare, ...]:
    """Count the draws in which each posture is stable.

    Parameters
    ----------
    found : DrawnLoads
        Draws solved directly: a state is never estimated. [-]

    Returns
    -------
    tuple of StabilityShare, length p
        In the order of the postures.
    """
    shares = []
    for column in found.state.T:
        states, counts = np.unique(column, return_counts=True)
        named = {EquilibriumState(int(s)): int(n) for s, n in zip(states, counts, strict=True)}
        stable = named.pop(EquilibriumState.STABLE, 0)
        shares.append(StabilityShare(stable, len(column), named))
    return tuple(shares)
