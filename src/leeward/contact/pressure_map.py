"""What a coupled balance shows: a pressure map, and what each site bears, with its cell."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.posture import Posture
from leeward.terms.site import Site
from leeward.terms.sourced import Sourced

Array = NDArray[np.float64]

#: Side of the square a peak is averaged over, like a cell of a coarse pressure mat.
PEAK_CELL: Final = Sourced(
    0.040, "m", "convention of this project: about a cell of a coarse pressure mat", "any"
)
#: The same over the small round bones: heel, back of the head, outer ankle.
LOCAL_CELL: Final = Sourced(
    0.010, "m", "convention of this project: about a cell of a fine pressure mat", "any"
)


@dataclass(frozen=True, slots=True)
class Peak:
    """Highest mean pressure over one square cell near a site.

    Parameters
    ----------
    pressure : float
        Mean pressure over the cell. [Pa]
    cell : float
        Side of the cell; a peak without it means nothing. [m]
    low, high : float or None
        Between what it lies when the foam's hardness and its pull sideways stand at their ends;
        None where nobody looked, or body and foam found no balance at one of them. [Pa]
    """

    pressure: float
    cell: float
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class SitePressure:
    """What one site bears.

    Parameters
    ----------
    site : Site
        The site.
    across, along : float
        Its place on the surface: towards the person's left from the body's mid-line, and
        towards the head from the hips. [m]
    patch_load : float
        Normal force on the 60 mm patch over the patch's area. [Pa]
    peak : Peak
        Over the cell every site has.
    local_peak : Peak or None
        Over the small cell, for the small round bones only.
    shear_across, shear_along : float
        Mean friction of the bed on the patch's skin, towards the person's left and
        towards the head. [Pa]
    """

    site: Site
    across: float
    along: float
    patch_load: float
    peak: Peak
    local_peak: Peak | None
    shear_across: float
    shear_along: float


@dataclass(frozen=True, slots=True)
class Highest:
    """The cell with the highest pressure anywhere on the body, at a site or not.

    Parameters
    ----------
    segment : str
        Segment that presses most there, one of `SEGMENTS`.
    across, along : float
        Its middle on the surface. [m]
    peak : Peak
        Mean over the cell.
    """

    segment: str
    across: float
    along: float
    peak: Peak


@dataclass(frozen=True, slots=True)
class Outline:
    """A part of the body seen from above, laid on the surface.

    Parameters
    ----------
    segment : str
        One of `SEGMENTS`.
    corners : tuple of (float, float)
        Closed outline: towards the person's left, towards the head. [m]
    """

    segment: str
    corners: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, eq=False)
class PressureMap:
    """Pressure and friction on a body's skin in one posture and scenario.

    Parameters
    ----------
    posture : Posture
        The posture.
    scenario : str
        Name of the scenario.
    state : EquilibriumState
        State of the coupled balance; anything but STABLE is not a place to lie, and then
        everything below is empty.
    cell : float
        Side of a square of the grid. [m]
    across : ndarray, shape (nx,)
        Middles of the squares towards the person's left from the body's mid-line, along
        the surface. [m]
    along : ndarray, shape (ny,)
        Middles of the squares towards the head from the hips, along the surface. [m]
    pressure : ndarray, shape (ny, nx)
        Normal pressure, mean over each square. [Pa]
    shear_across, shear_along : ndarray, shape (ny, nx)
        Friction of the bed on the skin, towards the person's left and towards the head. [Pa]
    deflection : ndarray, shape (ny, nx)
        Compression of the foam. [m]
    sites : tuple of SitePressure
        Sites the model has, in the order of `Site`; others are unknown, not unloaded. So is
        a heel in a heel device.
    highest : Highest or None
        Highest pressure of the mattress on the body; None on an empty map.
    outlines : tuple of Outline
        The body from above.
    pelvis_roll, thorax_roll : float
        Roll towards the person's left, relative to the unturned platform. [rad]
    friction_demand, margin : float
        Of the coupled balance. [-]
    body_residual, foam_residual, weight_error : float
        What is left out of balance over body weight: largest force or moment (at 1 m) on
        the body, sum over the squares of the foam, force on the body as a whole. [-]
    """

    posture: Posture
    scenario: str
    state: EquilibriumState
    cell: float
    across: Array
    along: Array
    pressure: Array
    shear_across: Array
    shear_along: Array
    deflection: Array
    sites: tuple[SitePressure, ...]
    highest: Highest | None
    outlines: tuple[Outline, ...]
    pelvis_roll: float
    thorax_roll: float
    friction_demand: float
    margin: float
    body_residual: float
    foam_residual: float
    weight_error: float

    def at(self, site: Site) -> SitePressure | None:
        """Find what a site bears.

        Parameters
        ----------
        site : Site
            A site. [-]

        Returns
        -------
        SitePressure or None
            None where the model does not have the site, or the body does not lie.
        """
        return next((found for found in self.sites if found.site is site), None)

    @property
    def unknown(self) -> tuple[Site, ...]:
        """Sites of which the map says nothing. [-]"""
        known = {found.site for found in self.sites}
        return tuple(site for site in Site if site not in known)

    @property
    def normal_force(self) -> float:
        """Force of the map, square by square. [N]"""
        return float(self.pressure.sum()) * self.cell**2

    @property
    def contact_area(self) -> float:
        """Area of the squares that bear more than 200 Pa. [m^2]"""
        return float(np.count_nonzero(self.pressure > 200.0)) * self.cell**2


def no_map(posture: Posture, scenario: str, state: EquilibriumState) -> PressureMap:
    """Make the map of a body that does not lie still: there is nothing to show.

    Parameters
    ----------
    posture : Posture
        The posture. [-]
    scenario : str
        Name of the scenario. [-]
    state : EquilibriumState
        What it does instead. [-]

    Returns
    -------
    PressureMap
        Empty, its figures NaN.
    """
    nothing = np.zeros((0, 0))
    return PressureMap(
        posture, scenario, state, np.nan, np.zeros(0), np.zeros(0), nothing, nothing, nothing,
        nothing, (), None, (), *(np.nan,) * 7,
    )  # fmt: skip
