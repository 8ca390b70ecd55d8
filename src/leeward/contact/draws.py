"""Draws: everything nobody knows for certain about a person on a bed, taken together."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import scipy
from numpy.typing import NDArray

from leeward.contact.anthropometry import (
    BUTTOCK_DEPTH,
    CHEST_DEPTH,
    HIP_BREADTH,
    SHOULDER_BREADTH,
    WAIST_DEPTH,
    Regression,
    body_dimensions,
)
from leeward.contact.scenarios import (
    Arms,
    Range,
    Scenario,
    foam_range,
    friction_range,
    hips_range,
    line_range,
)
from leeward.terms.bed import Bed
from leeward.terms.body import Body, Limb, Sex
from leeward.terms.equipment import SurfaceGeometry
from leeward.terms.errors import InvalidInput
from leeward.terms.sourced import Sourced

Array = NDArray[np.float64]

#: What a figure's breadth or depth may be off by where nobody measured it: the regression's
#: standard error. The errors of the five are drawn apart: in the survey their correlations are
#: at most 0.30 (waist and buttock depth, men), most below 0.15.
_DIMENSIONS: Final[dict[str, dict[Sex, Regression]]] = {
    "hip_breadth": HIP_BREADTH,
    "shoulder_breadth": SHOULDER_BREADTH,
    "chest_depth": CHEST_DEPTH,
    "waist_depth": WAIST_DEPTH,
    "buttock_depth": BUTTOCK_DEPTH,
}

MEASURED_BREADTH: Final = Sourced(
    0.005,
    "m",
    "convention of this project: a tape or a caliper over clothes, one standard deviation",
    "not applicable",
)
#: Standard deviations beyond which a breadth is not drawn.
_FURTHEST_DEVIATION: Final = 2.0

BRIDGING: Final = Sourced(
    1.0,
    "-",
    "convention of this project: how widely the mattress rounds a surface's valley, over what "
    "the unit's file says",
    "foam mattresses of 120 to 180 mm; not measured",
    low=0.5,
    high=1.5,
)
TISSUE_THICKNESS: Final = Sourced(
    1.0,
    "-",
    "convention of this project: all layers together, over those of tissue_layer",
    "lean to average adults",
    low=0.7,
    high=1.3,
)
TISSUE_STIFFNESS: Final = Sourced(
    1.0,
    "-",
    "convention of this project: all layers together, over those of tissue_layer",
    "lean to average adults",
    low=0.7,
    high=1.3,
)
PILLOW_HARDNESS: Final = Sourced(
    1.0,
    "-",
    "convention of this project: head pillow half as hard or twice as hard as the usual one",
    "pillows in use; not measured",
    low=0.5,
    high=2.0,
)
ARMS_OUT: Final = Sourced(
    0.5,
    "-",
    "convention of this project: as often out on the mattress as on the trunk",
    "not applicable",
)

#: Columns of the person's quantiles, in order.
PERSON_UNKNOWNS: Final = (
    "friction",
    "foam_scale",
    "arms",
    "tissue_thickness",
    "tissue_stiffness",
    "pillow",
    "hips",
    *_DIMENSIONS,
)
#: Columns of the equipment's quantiles, in order.
EQUIPMENT_UNKNOWNS: Final = ("line_offset", "bridging")


@dataclass(frozen=True, slots=True)
class Draw:
    """One way everything that is not known may be.

    Parameters
    ----------
    scenario : Scenario
        Friction, line, foam, arms, tissue, pillow and hips.
    body : Body
        The body with every breadth and depth set.
    bridging : float
        Width over which the mattress rounds the valley, over the unit's own. [-]
    """

    scenario: Scenario
    body: Body
    bridging: float = BRIDGING.value


@dataclass(frozen=True, slots=True, eq=False)
class Quantiles:
    """Where each draw lies between the ends of each unknown, before any bed is looked at.

    Parameters
    ----------
    person : ndarray, shape (d, 12)
        What goes with the person wherever they lie; columns `PERSON_UNKNOWNS`. [-]
    equipment : ndarray, shape (d, 2)
        What goes with the present equipment as placed; columns `EQUIPMENT_UNKNOWNS`. [-]
    elsewhere : ndarray, shape (d, 2)
        The same for equipment of another make or place, drawn apart. [-]
    """

    person: Array
    equipment: Array
    elsewhere: Array

    @property
    def count(self) -> int:
        """Number of draws. [-]"""
        return len(self.person)

    def on_other_equipment(self) -> "Quantiles":
        """The same persons on equipment of another make or place.

        Returns
        -------
        Quantiles
            Shares every column of `person` and none of `equipment`.
        """
        return replace(self, equipment=self.elsewhere, elsewhere=self.equipment)


def draw_quantiles(count: int, rng: np.random.Generator) -> Quantiles:
    """Spread draws evenly over all unknowns.

    Parameters
    ----------
    count : int
        How many. [-]
    rng : numpy.random.Generator
        Scrambles the sequence: the same seed gives the same draws, and fewer draws are the
        first of more. [-]

    Returns
    -------
    Quantiles
        Between 0 and 1, ends excluded.

    Raises
    ------
    InvalidInput
        If no draw is asked for.

    Notes
    -----
    A scrambled Sobol sequence. One set of quantiles serves every bed of a person: what is
    the person's is thereby shared by everything compared.

    References
    ----------
    .. [1] A. B. Owen, J. Complexity 14 (1998) 466, by way of `scipy.stats.qmc.Sobol`.

    Examples
    --------
    >>> draw_quantiles(8, np.random.default_rng(1)).person.shape
    (8, 12)
    """
    if count < 1:
        raise InvalidInput(
            f"{count} draws",
            where="draws",
            expected="at least one",
            remedy="ask for some hundred",
        )
    person, equipment = len(PERSON_UNKNOWNS), len(EQUIPMENT_UNKNOWNS)
    sequence = scipy.stats.qmc.Sobol(person + 2 * equipment, scramble=True, rng=rng)
    # the first power of two that holds them: the sequence is even only over powers of two
    spread = sequence.random_base2(int(np.ceil(np.log2(count))))[:count]
    inside = np.clip(spread, 1e-9, 1.0 - 1e-9)
    return Quantiles(
        inside[:, :person],
        inside[:, person : person + equipment],
        inside[:, person + equipment :],
    )


def _triangular(quantile: Array, ends: Range) -> Array:
    """Value at each quantile of the triangle over low, middle, high."""
    span = ends.high - ends.low
    if span == 0.0:
        return np.full_like(quantile, ends.middle)
    rising = ends.low + np.sqrt(quantile * span * (ends.middle - ends.low))
    falling = ends.high - np.sqrt((1.0 - quantile) * span * (ends.high - ends.middle))
    return np.where(quantile < (ends.middle - ends.low) / span, rising, falling)


def _of(value: Sourced) -> Range:
    low = value.value if value.low is None else value.low
    high = value.value if value.high is None else value.high
    return Range(low, value.value, high)


def _logarithmic(quantile: Array, ends: Range) -> Array:
    """The same over the logarithm: half and twice lie equally far."""
    log = Range(*(float(np.log(end)) for end in (ends.low, ends.middle, ends.high)))
    return np.exp(_triangular(quantile, log))


def _dimension(body: Body, name: str, quantile: Array) -> Array:
    """A breadth or depth at each quantile. [m]"""
    middle = float(getattr(body_dimensions(body), name))
    measured = getattr(body, name) is not None
    spread = MEASURED_BREADTH.value if measured else _DIMENSIONS[name][body.sex].standard_error
    deviation = np.clip(scipy.special.ndtri(quantile), -_FURTHEST_DEVIATION, _FURTHEST_DEVIATION)
    return np.asarray(middle + spread * deviation)


def _sized(body: Body, sizes: dict[str, Array], number: int) -> Body:
    """The body with one draw's breadths and depths."""
    return replace(
        body,
        hip_breadth=float(sizes["hip_breadth"][number]),
        shoulder_breadth=float(sizes["shoulder_breadth"][number]),
        chest_depth=float(sizes["chest_depth"][number]),
        waist_depth=float(sizes["waist_depth"][number]),
        buttock_depth=float(sizes["buttock_depth"][number]),
    )


def drawn_values(
    bed: Bed, surface: SurfaceGeometry | None, quantiles: Quantiles, line_offset: float | None
) -> dict[str, Array]:
    """Values of everything drawn but hips and breadths, which hang on the body.

    Parameters
    ----------
    bed : Bed
        Mattress, layers, friction: a measured value narrows its range. [-]
    surface : SurfaceGeometry or None
        Tilting surface. [-]
    quantiles : Quantiles
        The draws. [-]
    line_offset : float or None
        Where the surface's line was measured. [m]

    Returns
    -------
    dict of str to ndarray, shape (d,)
        By name of the unknown; friction, scales and shares [-], the line [m].
    """
    person = dict(zip(PERSON_UNKNOWNS, quantiles.person.T, strict=True))
    equipment = dict(zip(EQUIPMENT_UNKNOWNS, quantiles.equipment.T, strict=True))
    return {
        "friction": _triangular(person["friction"], friction_range(bed)),
        "foam_scale": _logarithmic(person["foam_scale"], foam_range(bed)),
        "tissue_thickness": _triangular(person["tissue_thickness"], _of(TISSUE_THICKNESS)),
        "tissue_stiffness": _triangular(person["tissue_stiffness"], _of(TISSUE_STIFFNESS)),
        "pillow": _logarithmic(person["pillow"], _of(PILLOW_HARDNESS)),
        "line_offset": _triangular(equipment["line_offset"], line_range(surface, line_offset)),
        "bridging": _triangular(equipment["bridging"], _of(BRIDGING)),
    }


def draws(
    bed: Bed,
    surface: SurfaceGeometry | None,
    body: Body,
    quantiles: Quantiles,
    line_offset: float | None = None,
) -> tuple[Draw, ...]:
    """Make the draws of one person on one bed.

    Parameters
    ----------
    bed : Bed
        Mattress, layers, friction. [-]
    surface : SurfaceGeometry or None
        Tilting surface; None when people turn the person by hand. [-]
    body : Body
        The body; a measured breadth is drawn within the error of measuring it. [-]
    quantiles : Quantiles
        From `draw_quantiles`, one set for everything this person is compared on.
    line_offset : float or None
        Where the surface's line was measured, towards the person's left. [m]

    Returns
    -------
    tuple of Draw, length d
        In the order of the quantiles.

    Raises
    ------
    CannotCompute
        For a mattress that is not foam and has no measured curve.

    Notes
    -----
    Friction, line, bridging and tissue follow triangles over low, likeliest and high; foam
    and pillow hardness triangles over their logarithm; breadths and depths a normal of the
    regression's standard error cut at two of them. All are conventions of this project
    except the standard errors. Hips and knees are drawn by where they come to rest. Not drawn:
    stiffness of other joints, height of the pillow, shape of single segments, the law of the
    foam.
    """
    values = drawn_values(bed, surface, quantiles, line_offset)
    person = dict(zip(PERSON_UNKNOWNS, quantiles.person.T, strict=True))
    values["hips"] = _triangular(person["hips"], hips_range(body))
    sizes = {name: _dimension(body, name, person[name]) for name in _DIMENSIONS}
    has_arms = not {Limb.LEFT_ARM, Limb.RIGHT_ARM} <= body.missing
    out = (person["arms"] < ARMS_OUT.value) & has_arms
    result = []
    for number in range(quantiles.count):
        value = {name: float(column[number]) for name, column in values.items()}
        bridging = value.pop("bridging")
        arms = Arms.FORWARD if out[number] else Arms.ON_TRUNK
        scenario = Scenario(name=f"draw {number + 1}", arms=arms, **value)
        result.append(Draw(scenario, _sized(body, sizes, number), bridging))
    return tuple(result)


def positions(drawn: tuple[Draw, ...]) -> Array:
    """Place of every draw among the others, one column for everything that differs.

    Parameters
    ----------
    drawn : tuple of Draw, length d
        At least two. [-]

    Returns
    -------
    ndarray, shape (d, k)
        Mean 0 and standard deviation 1 in every column; hardnesses by their logarithm,
        arms as 0 and 1. What does not differ between draws has no column. [-]
    """
    columns = [
        [draw.bridging for draw in drawn],
        [draw.scenario.arms is Arms.FORWARD for draw in drawn],
        *([getattr(draw.body, name) for draw in drawn] for name in _DIMENSIONS),
    ]
    plain = ("friction", "line_offset", "tissue_thickness", "tissue_stiffness", "hips")
    columns.extend([getattr(draw.scenario, name) for draw in drawn] for name in plain)
    columns.extend(
        [float(np.log(getattr(draw.scenario, name))) for draw in drawn]
        for name in ("foam_scale", "pillow")
    )
    table = np.array(columns, dtype=float).T
    spread = table.std(axis=0)
    differs = spread > 1e-9
    return np.asarray((table - table.mean(axis=0))[:, differs] / spread[differs])
