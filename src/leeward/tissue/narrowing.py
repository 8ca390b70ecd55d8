"""Which single measurement would narrow the bands most, found from the corners themselves."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from leeward.contact.scenarios import is_hardness_known, is_wear_known
from leeward.terms.case import Case
from leeward.terms.equipment import SurfaceKind
from leeward.terms.site import RESPONSIVE_SITES
from leeward.terms.verdict import Quantity, Reason
from leeward.tissue.demand import Demand


@dataclass(frozen=True, slots=True)
class _Unknown:
    """Something that is drawn because nobody measured it."""

    factor: str
    what: str
    how: str


_WEAR: Final = _Unknown(
    "foam_scale",
    "how worn the mattress is",
    "ask how many years it has been lain on, or read the year it was made off its label",
)
_UNKNOWNS: Final = (
    _Unknown(
        "friction",
        "how well the person's clothes grip the sheet",
        "with a spring balance, the force at which a folded sheet under a known weight begins "
        "to slide on the made bed, over that weight",
    ),
    _Unknown(
        "line_offset",
        "where the surface's line lies under the body",
        "with a tape, how far the surface's line is from the mid-line between the hips, and to "
        "which side",
    ),
    _Unknown(
        "foam_scale",
        "how hard the mattress is",
        "read the foam's hardness (CV40, kPa) and thickness off its label or data sheet, and ask "
        "how many years it has been lain on",
    ),
    _Unknown(
        "arms",
        "how the arms lie",
        "watch through one turn whether the arms stay on the trunk or lie beside it",
    ),
)


def narrowing(case: Case, found: Demand) -> Reason | None:
    """Name the unmeasured fact whose two ends move the load ratios furthest apart.

    Parameters
    ----------
    case : Case
        The case.
    found : Demand
        Load ratios over the corners.

    Returns
    -------
    Reason or None
        What to measure and how; None when everything drawn was measured.

    Notes
    -----
    For every factor the mean of the corners at one end is held against the mean at the other
    (main effect of a two-level factorial design); the largest difference over responsive
    sites and postures decides.

    References
    ----------
    .. [1] Main effects of a 2^k factorial design: G. E. P. Box, J. S. Hunter and W. G.
       Hunter, Statistics for Experimenters, Wiley 2005, ch. 5 (from memory).
    """
    effects = [(_effect(found, unknown.factor), unknown) for unknown in _open_questions(case)]
    if not effects:
        return None
    size, unknown = max(effects, key=lambda one: one[0])
    if size <= 0.0:
        return None
    return Reason(
        "narrowing",
        f"Of what nobody measured, {unknown.what} moves the load ratios most (by up to "
        f"{size:.2f}). To measure it: {unknown.how}.",
        (Quantity("largest change of a load ratio", size, "-"),),
    )


def _open_questions(case: Case) -> list[_Unknown]:
    """What nobody measured; of a mattress whose label was read, how worn it is."""
    mattress = case.bed.mattress
    found = [unknown for unknown in _UNKNOWNS if not _is_measured(case, unknown.factor)]
    if is_hardness_known(mattress) and not is_wear_known(mattress):
        found.append(_WEAR)
    return found


def _is_measured(case: Case, factor: str) -> bool:
    if factor == "friction":
        return case.bed.friction is not None
    if factor == "line_offset":
        unit = case.equipment
        is_felt = unit is None or unit.geometry.kind is SurfaceKind.SPLIT
        return case.placement.line_offset is not None or not is_felt
    if factor == "foam_scale":
        return is_hardness_known(case.bed.mattress)
    return False


def _effect(found: Demand, factor: str) -> float:
    """Largest difference of the two ends' means over postures and responsive sites. [-]"""
    corners = found.scenarios[1:]
    values = [getattr(scenario, factor) for scenario in corners]
    ends = sorted(set(values), key=str)
    if len(ends) != 2:
        return 0.0
    guarded = [site in RESPONSIVE_SITES for site in found.ratios.sites]
    ratio: NDArray[np.float64] = found.ratios.ratio[1:, :, guarded]
    first = np.array([value == ends[0] for value in values])
    gap = np.abs(_mean(ratio[first]) - _mean(ratio[~first]))
    return float(gap[np.isfinite(gap)].max(initial=0.0))


def _mean(ratio: NDArray[np.float64]) -> NDArray[np.float64]:
    """Mean over the draws; NaN wherever a single one is unknown."""
    return np.asarray(ratio.mean(axis=0))
