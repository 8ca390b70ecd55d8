"""What was measured on a person beside what the model says, as numbers for a screen."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from leeward.contact.correction import Correction
from leeward.contact.imprint import REGIONS
from leeward.contact.measured_map import Agreement
from leeward.exchange.pictures.words import posture_text
from leeward.terms.posture import Posture
from leeward.terms.units import mm_from_metres
from leeward.terms.verdict import Quantity, Reason
from leeward.tissue.hand_comparison import HandComparison


@dataclass(frozen=True, slots=True)
class RegionRow:
    """One region along the body.

    Parameters
    ----------
    region : str
        Which.
    measured_pct, predicted_pct, corrected_pct : float or None
        Share of the load; corrected None where nothing was corrected.
    further_left_mm : float or None
        How much further towards the person's left the measured load lies than predicted; None
        where the region bears nothing.
    """

    region: str
    measured_pct: float
    predicted_pct: float
    corrected_pct: float | None
    further_left_mm: float | None


@dataclass(frozen=True, slots=True)
class MapSummary:
    """A measured map beside the prediction for the same posture.

    Parameters
    ----------
    posture : str
        In words, with the side raised.
    agreement : Agreement
        Agrees, differs, or cannot tell.
    reasons : tuple of Reason
        In words and numbers.
    correlation : float
        Of the overlay, cell by cell.
    regions : tuple of RegionRow
        From the head down.
    is_correction_made : bool
        Whether the map changes the model.
    changes : tuple of Quantity
        What it changes.
    """

    posture: str
    agreement: Agreement
    reasons: tuple[Reason, ...]
    correlation: float
    regions: tuple[RegionRow, ...]
    is_correction_made: bool
    changes: tuple[Quantity, ...]


@dataclass(frozen=True, slots=True)
class MeasuredSummary:
    """A map and the hand checks of a case.

    Parameters
    ----------
    map : MapSummary or None
        The map, where one was given.
    hands : tuple of HandComparison
        Hand checks that still stand.
    corrected : tuple of Reason
        By which earlier map the model compared was corrected, or why a correction was left out.
    """

    map: MapSummary | None
    hands: tuple[HandComparison, ...]
    corrected: tuple[Reason, ...]


def summarise_map(found: Correction, posture: Posture) -> MapSummary:
    """Sum up a map laid over the prediction."""
    compared = found.compared
    after = found.corrected_share
    return MapSummary(
        posture=posture_text(posture),
        agreement=compared.agreement,
        reasons=found.reasons,
        correlation=compared.overlay.correlation,
        regions=tuple(
            RegionRow(
                region=name,
                measured_pct=100.0 * float(compared.measured_share[number]),
                predicted_pct=100.0 * float(compared.predicted_share[number]),
                corrected_pct=None if after is None else 100.0 * float(after[number]),
                further_left_mm=_finite(float(compared.centroid_difference[number])),
            )
            for number, name in enumerate(REGIONS)
        ),
        is_correction_made=found.is_made,
        changes=found.changes,
    )


def _finite(value: float) -> float | None:
    return mm_from_metres(value) if np.isfinite(value) else None


def changes_in_words(changes: Sequence[Quantity]) -> tuple[str, ...]:
    """Say what a map changes, each in its field's unit."""
    return tuple(
        f"{one.name} {round(mm_from_metres(one.value)) or 0:+d} mm"
        if one.unit == "m"
        else f"{one.name} {100.0 * (one.value - 1.0):+.0f} %"
        for one in changes
    )
