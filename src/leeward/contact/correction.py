"""A person's model corrected by a measured map, within bounds, or left as it is."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import scipy
from numpy.typing import NDArray

from leeward.contact.anthropometry import BUTTOCK_DEPTH, CHEST_DEPTH, body_dimensions
from leeward.contact.draws import PILLOW_HARDNESS
from leeward.contact.imprint import imprint, region_shares
from leeward.contact.loads import LoadRequest
from leeward.contact.measured_map import Agreement, MapComparison, MeasuredMap, compare_map
from leeward.contact.scenarios import Range, foam_range
from leeward.terms.body import Body
from leeward.terms.errors import CannotCompute
from leeward.terms.sourced import Sourced
from leeward.terms.verdict import Quantity, Reason

Array = NDArray[np.float64]

#: How far a region's share in one map may be off.
SHARE_NOISE: Final = Sourced(
    0.03,
    "-",
    "convention of this project: repeats of one person's map differ by 2 to 6 points a region",
    "seven healthy men lying on their backs",
)
#: Part of the squared differences a correction must explain to be made.
LEAST_EXPLAINED: Final = Sourced(0.25, "-", "convention of this project", "not applicable")
#: Standard errors of the survey's regressions beyond which a depth is not corrected.
_FURTHEST: Final = 2.0
#: Step for the slopes, in quarters of an unknown's range, and most tries with them.
_STEP: Final = 0.5
_MOST_TRIES: Final = 5


@dataclass(frozen=True, slots=True, eq=False)
class Correction:
    """What a measured map says about this person's model.

    Parameters
    ----------
    request : LoadRequest
        The same posture with the corrected body and scenario; as it was where nothing was
        corrected.
    is_made : bool
        Whether anything was corrected.
    explained : float
        Part of the squared differences of the regions' shares that is gone. [-]
    changes : tuple of Quantity
        Foam and pillow over what they were [-], depths in metres more or less [m].
    at_bound : tuple of str
        Which of them went as far as they may.
    reasons : tuple of Reason
        In words and numbers.
    compared : MapComparison
        The map beside the prediction before anything was corrected.
    corrected_share : ndarray, shape (6,), or None
        Predicted share of the load in each region after it; None where nothing was. [-]
    """

    request: LoadRequest
    is_made: bool
    explained: float
    changes: tuple[Quantity, ...]
    at_bound: tuple[str, ...]
    reasons: tuple[Reason, ...]
    compared: MapComparison
    corrected_share: Array | None


#: What is corrected, in the order of the unknowns.
_NAMES: Final = ("mattress hardness", "pillow hardness", "buttock depth", "chest depth")


def _spread(body: Body) -> tuple[float, float]:
    """Standard errors of the two depths; a measured one is hardly corrected. [m]"""
    return (
        0.005 if body.buttock_depth is not None else BUTTOCK_DEPTH[body.sex].standard_error,
        0.005 if body.chest_depth is not None else CHEST_DEPTH[body.sex].standard_error,
    )


def _steps(request: LoadRequest) -> tuple[Array, Array, Array]:
    """Lower and upper bounds, and the size of one standard deviation, of the unknowns."""
    (scenario,) = request.scenarios
    ends = foam_range(request.bed)
    log_foam = Range(*(float(np.log(e / scenario.foam_scale)) for e in (ends.low, 1.0, ends.high)))
    low, high = PILLOW_HARDNESS.low, PILLOW_HARDNESS.high
    assert low is not None
    assert high is not None
    log_pillow = (float(np.log(low)), float(np.log(high)))
    buttock, chest = _spread(request.body)
    lower = np.array([log_foam.low, log_pillow[0], -_FURTHEST * buttock, -_FURTHEST * chest])
    upper = np.array([log_foam.high, log_pillow[1], _FURTHEST * buttock, _FURTHEST * chest])
    # where a scenario lies at an end of the foam's range, a little room keeps the bounds apart
    return np.minimum(lower, -1e-3), np.maximum(upper, 1e-3), 0.25 * (upper - lower)


def _corrected(request: LoadRequest, change: Array) -> LoadRequest:
    (scenario,) = request.scenarios
    found = body_dimensions(request.body)
    return replace(
        request,
        body=replace(
            request.body,
            buttock_depth=found.buttock_depth + float(change[2]),
            chest_depth=found.chest_depth + float(change[3]),
        ),
        scenarios=(
            replace(
                scenario,
                name="corrected by a measured map",
                foam_scale=scenario.foam_scale * float(np.exp(change[0])),
                pillow=scenario.pillow * float(np.exp(change[1])),
            ),
        ),
    )


def _shares(request: LoadRequest, compared: MapComparison) -> Array:
    """Predicted shares on the mat as it was laid. [-]"""
    predicted = imprint(request)
    overlay = compared.overlay
    seen = predicted.seen(overlay.along, overlay.across).sum(axis=1)
    return region_shares(overlay.along, seen, predicted.stature)


def correct_by_map(request: LoadRequest, measured: MeasuredMap) -> Correction:
    """Correct mattress, pillow and two depths of the body by a measured map.

    Parameters
    ----------
    request : LoadRequest
        The posture in which the map was taken, and one scenario.
    measured : MeasuredMap
        The map.

    Returns
    -------
    Correction
        Least squares on the regions' shares, each counted by its noise, with every unknown
        held to its middle by its own spread and to its bounds. Nothing is corrected where
        the map cannot be compared, or too little would be explained.

    Raises
    ------
    CannotCompute
        If the posture is no place to lie in the model.

    Notes
    -----
    Four unknowns cannot make a coarse body into a person: what is left over is said. The
    map's sides are never exchanged. One map proves little: repeats differ.
    """
    compared = compare_map(measured, imprint(request))
    if compared.agreement is Agreement.CANNOT_TELL:
        return Correction(request, False, 0.0, (), (), compared.reasons, compared, None)
    lower, upper, spread = _steps(request)

    def left(unknown: Array) -> Array:
        try:
            shares = _shares(_corrected(request, unknown * spread), compared)
        except CannotCompute:
            # a body that tips on the way is no better than nothing explained
            return np.full(len(compared.measured_share) + len(unknown), 1e3)
        off = (shares - compared.measured_share) / SHARE_NOISE.value
        return np.concatenate([off, unknown])

    found = scipy.optimize.least_squares(
        left,
        np.zeros(len(_NAMES)),
        jac=_slopes(left),
        bounds=(lower / spread, upper / spread),
        max_nfev=_MOST_TRIES,
        xtol=0.02,
    )
    change = found.x * spread
    before = float(np.sum((compared.predicted_share - compared.measured_share) ** 2))
    corrected = _corrected(request, change)
    shares = _shares(corrected, compared)
    after = float(np.sum((shares - compared.measured_share) ** 2))
    explained = 1.0 - after / max(before, 1e-12)
    ends = tuple(
        name
        for name, value, low, high in zip(_NAMES, change, lower, upper, strict=True)
        if min(value - low, high - value) < 0.02 * (high - low)
    )
    is_made = explained >= LEAST_EXPLAINED.value
    return Correction(
        request=corrected if is_made else request,
        is_made=is_made,
        explained=explained,
        changes=_quantities(change) if is_made else (),
        at_bound=ends if is_made else (),
        reasons=(*compared.reasons, _said(explained, ends, is_made)),
        compared=compared,
        corrected_share=shares if is_made else None,
    )


def _slopes(left: Callable[[Array], Array]) -> Callable[[Array], Array]:
    """Slopes taken once at the middle: the shares bend little over these ranges."""
    middle = left(np.zeros(len(_NAMES)))
    columns = [(left(step) - middle) / _STEP for step in _STEP * np.eye(len(_NAMES))]
    slopes = np.column_stack(columns)
    return lambda _: slopes


def _quantities(change: Array) -> tuple[Quantity, ...]:
    values = (
        float(np.exp(change[0])),
        float(np.exp(change[1])),
        float(change[2]),
        float(change[3]),
    )
    units = ("-", "-", "m", "m")
    return tuple(Quantity(*one) for one in zip(_NAMES, values, units, strict=True))


def _said(explained: float, ends: tuple[str, ...], is_made: bool) -> Reason:
    part = f"{100.0 * max(explained, 0.0):.0f} %"
    numbers = (Quantity("explained", explained, "-"),)
    if not is_made:
        return Reason(
            "map-not-explained",
            f"Mattress, pillow and depths of the body within their ranges explain {part} of the "
            "differences, too little to change anything: the model was left as it was.",
            numbers,
        )
    reached = f" As far as they may: {', '.join(ends)}." if ends else ""
    return Reason(
        "map-corrected",
        f"Mattress, pillow and depths of the body, changed within their ranges, explain {part} "
        f"of the differences; the rest is left.{reached}",
        numbers,
    )
