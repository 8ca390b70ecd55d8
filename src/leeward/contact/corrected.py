"""A body and its draws as a measured map corrected them: middles move, ends of ranges stay."""

from dataclasses import replace

import numpy as np

from leeward.contact.anthropometry import body_dimensions
from leeward.contact.draws import PILLOW_HARDNESS
from leeward.contact.scenarios import Range, Scenario, foam_range
from leeward.terms.bed import Bed
from leeward.terms.body import Body
from leeward.terms.correction import MapCorrection


def corrected_body(body: Body, correction: MapCorrection | None) -> Body:
    """Change the two depths of a body.

    Parameters
    ----------
    body : Body
        The body.
    correction : MapCorrection or None
        What a map found; None changes nothing.

    Returns
    -------
    Body
        The corrected body.
    """
    if correction is None:
        return body
    found = body_dimensions(body)
    return replace(
        body,
        buttock_depth=found.buttock_depth + correction.buttock_depth_change,
        chest_depth=found.chest_depth + correction.chest_depth_change,
    )


def corrected_scenario(
    scenario: Scenario, bed: Bed, correction: MapCorrection | None, is_same_mattress: bool = True
) -> Scenario:
    """Move the hardness of mattress and pillow in one scenario.

    Parameters
    ----------
    scenario : Scenario
        Central, a corner, or a draw.
    bed : Bed
        Its mattress and layers: their range holds.
    correction : MapCorrection or None
        What a map found; None changes nothing.
    is_same_mattress : bool
        Whether it lies on the mattress the map was taken on; else only the pillow moves.

    Returns
    -------
    Scenario
        Of the same name.

    Notes
    -----
    One map is not trusted to narrow a range: the likeliest value moves, what lies between
    moves with it, and the ends stay where they were.
    """
    if correction is None:
        return scenario
    ends = _pillow_ends()
    pillow = moved(scenario.pillow, ends, correction.pillow_hardness)
    foam = scenario.foam_scale
    if is_same_mattress:
        foam = moved(foam, foam_range(bed), correction.mattress_hardness)
    return replace(scenario, foam_scale=foam, pillow=pillow)


def moved(value: float, ends: Range, factor: float) -> float:
    """Move a hardness as its likeliest value is moved.

    Parameters
    ----------
    value : float
        Inside the range. [-]
    ends : Range
        Low, likeliest, high. [-]
    factor : float
        What the likeliest value is multiplied by. [-]

    Returns
    -------
    float
        The likeliest value times the factor, never beyond the ends; an end stays; between,
        straight over the logarithm. [-]

    Examples
    --------
    >>> [round(moved(value, Range(0.5, 1.0, 2.0), 1.2), 3) for value in (0.5, 1.0, 2.0)]
    [0.5, 1.2, 2.0]
    """
    if ends.low == ends.high:
        return value
    likeliest = float(np.clip(ends.middle * factor, ends.low, ends.high))
    before = np.log([ends.low, ends.middle, ends.high])
    after = np.log([ends.low, likeliest, ends.high])
    return float(np.exp(np.interp(np.log(value), before, after)))


def _pillow_ends() -> Range:
    low, high = PILLOW_HARDNESS.low, PILLOW_HARDNESS.high
    assert low is not None
    assert high is not None
    return Range(low, PILLOW_HARDNESS.value, high)
