"""A measured pressure map laid over the prediction for the same posture, and how it compares.

The map says how its rows and columns lie to the person; nothing here finds that out from the
numbers. Where the numbers fit another way round much better, the answer is "cannot tell".
"""

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

import numpy as np
import scipy
from numpy.typing import NDArray

from leeward.contact.imprint import (
    REGIONS,
    SPREAD,
    Imprint,
    bell,
    region_of,
    region_shares,
)
from leeward.terms.errors import InvalidInput
from leeward.terms.sourced import Sourced
from leeward.terms.verdict import Quantity, Reason

Array = NDArray[np.float64]

_CHOICE: Final = "convention of this project: seven people of tests/data/pmatdata_frames"

#: Where the mat lay under the person is not known: how far it is looked for to each side of
#: where the middles of both loads meet.
SEARCH_ALONG: Final = Sourced(0.20, "m", "convention of this project", "not applicable")
SEARCH_ACROSS: Final = Sourced(0.10, "m", "convention of this project", "not applicable")
#: Correlation below which a map is not of this person in this posture. Of 63 maps of seven
#: people laid over the right prediction the lowest had 0.61; of 14 of people curled up on one
#: side, laid over lying straight, 12 had less than this or fitted better the other way round.
LEAST_CORRELATION: Final = Sourced(0.60, "-", _CHOICE, "healthy men on their backs or wedges")
#: How much better another way round may fit before the declaration is doubted. None of those
#: 63 fitted another way round better by more than 0.01.
DOUBT: Final = Sourced(0.02, "-", _CHOICE, "healthy men on their backs or wedges")
#: Largest difference of a region's share that is called agreement.
LARGEST_SHARE_DIFFERENCE: Final = Sourced(
    0.06,
    "-",
    "two repeats of one person's map differ by as much in a region; standard deviation between "
    "people 5.7 points at the pelvis",
    "seven healthy men lying on their backs",
)
#: A calibrated map that shows less or more of body weight than this is not what it says.
WEIGHT_SHOWN: Final = Sourced(
    1.0, "-", "convention of this project", "not applicable", low=0.6, high=1.3
)

#: Maps are compared smoothed by about a cell: single sensors and wrinkles say little.
SMOOTHING: Final = Sourced(0.025, "m", "convention of this project", "pressure mats in use")

_STEP: Final = 0.02
_FINE_STEP: Final = 0.005
_FINEST: Final = 0.01
_SMALLEST_GRID: Final = 8


class Agreement(StrEnum):
    """How a measured map compares with the prediction."""

    AGREES = "agrees"
    DIFFERS = "differs"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True, slots=True, eq=False)
class MeasuredMap:
    """One frame of a pressure mat, turned as its file declares.

    Parameters
    ----------
    value : ndarray, shape (r, c)
        Readings of at least 0; the first row at the head end, the first column on the
        person's right; in sensor units where not calibrated. [Pa]
    pitch_along, pitch_across : float
        Distance between rows and between columns. [m]
    is_calibrated : bool
        Whether readings are pressures.
    """

    value: Array
    pitch_along: float
    pitch_across: float
    is_calibrated: bool

    def __post_init__(self) -> None:
        good = self.value.ndim == 2 and min(self.value.shape) >= _SMALLEST_GRID
        if not good or not np.isfinite(self.value).all() or self.value.min() < 0.0:
            raise InvalidInput(
                f"a grid of shape {self.value.shape}, or with readings below zero or missing",
                where="measured map",
                expected=f"at least {_SMALLEST_GRID} by {_SMALLEST_GRID} readings of 0 or more",
                remedy="export one whole frame",
            )
        if self.value.max() <= 0.0:
            raise InvalidInput(
                "a map without any load",
                where="measured map",
                expected="a person lying on the mat",
                remedy="export the frame in which the person lies still",
            )

    def along(self) -> Array:
        """Middles of the rows, positive towards the head.

        Returns
        -------
        ndarray, shape (r,)
            From the middle of the load. [m]
        """
        place = -self.pitch_along * np.arange(len(self.value), dtype=float)
        return np.asarray(place - np.average(place, weights=self.value.sum(axis=1)))

    def across(self) -> Array:
        """Middles of the columns, positive towards the person's left.

        Returns
        -------
        ndarray, shape (c,)
            From the middle of the load. [m]
        """
        place = self.pitch_across * np.arange(self.value.shape[1], dtype=float)
        return np.asarray(place - np.average(place, weights=self.value.sum(axis=0)))

    def force(self) -> float:
        """Sum of readings times cell area.

        Returns
        -------
        float
            Force on the mat; without meaning where not calibrated. [N]
        """
        return float(self.value.sum()) * self.pitch_along * self.pitch_across


@dataclass(frozen=True, slots=True, eq=False)
class Overlay:
    """A measured map laid over a prediction where it fits best.

    Parameters
    ----------
    correlation : float
        Of square roots of smoothed readings and of predicted pressures, cell by cell. [-]
    along, across : ndarray, shape (r,) and (c,)
        Middles of rows and columns in the prediction's coordinates. [m]
    """

    correlation: float
    along: Array
    across: Array


def _correlation(first: Array, second: Array) -> float:
    one, other = first - first.mean(), second - second.mean()
    size = float(np.sqrt(np.sum(one**2) * np.sum(other**2)))
    return float(np.sum(one * other)) / size if size > 0.0 else 0.0


def _softened(measured: MeasuredMap) -> Array:
    """Square root of the smoothed map: single cells and saturated ones say little."""
    width = (SMOOTHING.value / measured.pitch_along, SMOOTHING.value / measured.pitch_across)
    smooth = np.maximum(scipy.ndimage.gaussian_filter(measured.value, width), 0.0)
    return np.asarray(np.sqrt(smooth))


def _gathered(predicted: Imprint) -> tuple[Array, Array, Array]:
    """Forces gathered on a grid much finer than what they are spread over."""
    edges = [
        np.arange(place.min() - _FINEST, place.max() + 2.0 * _FINEST, _FINEST)
        for place in (predicted.along, predicted.across)
    ]
    force, *_ = np.histogram2d(
        predicted.along, predicted.across, bins=edges, weights=predicted.force
    )
    level, side = (0.5 * (edge[1:] + edge[:-1]) for edge in edges)
    return level, side, np.asarray(force, dtype=float)


def _search(
    soft: Array, predicted: Imprint, rows: list[Array], columns: list[Array]
) -> tuple[float, int, int]:
    """Best correlation over places of the rows and of the columns, and which they are."""
    spread = float(np.hypot(SPREAD.value, SMOOTHING.value))
    level, side, force = _gathered(predicted)
    along = [bell(middle, level, spread) @ force for middle in rows]
    across = [bell(middle, side, spread).T for middle in columns]
    found = [
        (_correlation(soft, np.sqrt(one @ other)), n, m)
        for n, one in enumerate(along)
        for m, other in enumerate(across)
    ]
    return max(found, key=lambda one: one[0])


def lay_over(measured: MeasuredMap, predicted: Imprint) -> Overlay:
    """Lay a map over a prediction where it fits best, within bounds.

    Parameters
    ----------
    measured : MeasuredMap
        The map.
    predicted : Imprint
        The prediction.

    Returns
    -------
    Overlay
        The best place within `SEARCH_ALONG` and `SEARCH_ACROSS` of where the middles of
        both loads meet. It is only shifted: never turned, mirrored or stretched.
    """
    soft, weight = _softened(measured), predicted.force
    along = measured.along() + float(np.average(predicted.along, weights=weight))
    across = measured.across() + float(np.average(predicted.across, weights=weight))
    fit = 0.0
    reach = (SEARCH_ALONG.value, SEARCH_ACROSS.value)
    for step, within in ((_STEP, reach), (_FINE_STEP, (0.5 * _STEP, 0.5 * _STEP))):
        rows, columns = (
            [middle + shift for shift in np.arange(-one, one + 0.5 * step, step)]
            for middle, one in ((along, within[0]), (across, within[1]))
        )
        fit, row, column = _search(soft, predicted, rows, columns)
        along, across = rows[row], columns[column]
    return Overlay(fit, along, across)


@dataclass(frozen=True, slots=True, eq=False)
class MapComparison:
    """What a measured map says about the prediction for the same posture.

    Parameters
    ----------
    agreement : Agreement
        AGREES, DIFFERS or CANNOT_TELL.
    reasons : tuple of Reason
        In words and numbers; at least one.
    overlay : Overlay
        Where the map was laid.
    measured_share, predicted_share : ndarray, shape (6,)
        Share of the load in each of `REGIONS`. [-]
    centroid_difference : ndarray, shape (6,)
        Middle of each region's load, measured less predicted, towards the person's left;
        NaN where a region bears nothing. [m]
    predicted : ndarray, shape (r, c)
        What the prediction shows at the cells of the map where it was laid. [Pa]
    """

    agreement: Agreement
    reasons: tuple[Reason, ...]
    overlay: Overlay
    measured_share: Array
    predicted_share: Array
    centroid_difference: Array
    predicted: Array


def _middles(along: Array, across: Array, load: Array, stature: float) -> Array:
    """Middle across of each region's load; NaN where it bears nothing. [m]"""
    region = region_of(along, stature)
    moment = np.bincount(region, load * across, len(REGIONS))
    total = np.bincount(region, load, len(REGIONS))
    return np.where(total > 0.0, moment / np.where(total > 0.0, total, 1.0), np.nan)


#: Other ways round, by which axes are exchanged.
_OTHER_WAYS: Final = (
    ("left and right exchanged", (1,)),
    ("head and foot exchanged", (0,)),
    ("head and foot, and left and right, exchanged", (0, 1)),
)


def _doubts(measured: MeasuredMap, predicted: Imprint, fit: float) -> list[Reason]:
    """Other ways round that fit much better than the declared one."""
    doubts = []
    for words, axes in _OTHER_WAYS:
        other = replace(measured, value=np.flip(measured.value, axes))
        better = lay_over(other, predicted).correlation
        if better > fit + DOUBT.value:
            doubts.append(
                Reason(
                    "map-orientation-doubtful",
                    f"The map fits better with {words} (correlation {better:.2f} against "
                    f"{fit:.2f} as declared): the declared edges, the posture or the turn may be "
                    "wrong. Nothing was exchanged; look at how the mat was laid.",
                    (Quantity("correlation", fit, "-"), Quantity("other way", better, "-")),
                )
            )
    return doubts


def _refusals(measured: MeasuredMap, predicted: Imprint, overlay: Overlay) -> list[Reason]:
    """Why the map says nothing about this prediction."""
    fit = overlay.correlation
    reasons = _doubts(measured, predicted, fit)
    if fit < LEAST_CORRELATION.value:
        reasons.append(
            Reason(
                "map-does-not-fit",
                f"The map does not look like this person in this posture (correlation {fit:.2f}, "
                f"at least {LEAST_CORRELATION.value:.2f} is needed): another posture, another "
                "person, or the cell size may be wrong.",
                (Quantity("correlation", fit, "-"),),
            )
        )
    shown = measured.force() / float(predicted.force.sum())
    low, high = WEIGHT_SHOWN.low, WEIGHT_SHOWN.high
    assert low is not None
    assert high is not None
    if measured.is_calibrated and not low <= shown <= high:
        reasons.append(
            Reason(
                "map-weight-wrong",
                f"The map shows {100.0 * shown:.0f} % of the weight that lies on the mattress: "
                "its unit, its cell size or the person's mass is wrong, or part of the body lies "
                "beside the mat.",
                (Quantity("weight shown", shown, "-"),),
            )
        )
    return reasons


def _words(measured: Array, predicted: Array) -> Reason:
    """The region that differs most."""
    apart = measured - predicted
    worst = int(np.argmax(np.abs(apart)))
    more = "more" if apart[worst] > 0.0 else "less"
    return Reason(
        "map-compared",
        f"On the {REGIONS[worst]} lie {100.0 * abs(apart[worst]):.0f} points {more} of the load "
        f"than predicted ({100.0 * measured[worst]:.0f} % against "
        f"{100.0 * predicted[worst]:.0f} %); no other region differs more.",
        (
            Quantity("measured share", float(measured[worst]), "-"),
            Quantity("predicted share", float(predicted[worst]), "-"),
        ),
    )


def compare_map(measured: MeasuredMap, predicted: Imprint) -> MapComparison:
    """Compare a measured map with the prediction for the same posture.

    Parameters
    ----------
    measured : MeasuredMap
        The map.
    predicted : Imprint
        The prediction.

    Returns
    -------
    MapComparison
        CANNOT_TELL where the map does not fit, fits better another way round, or shows
        an impossible weight; else AGREES or DIFFERS by the regions' shares.

    Notes
    -----
    Shares of the load count, not totals: mats drift. A map of somebody lying straight
    cannot show whether left and right were declared rightly.
    """
    overlay = lay_over(measured, predicted)
    rows = np.repeat(overlay.along, measured.value.shape[1])
    columns = np.tile(overlay.across, measured.value.shape[0])
    load = measured.value.ravel()
    shown = predicted.seen(overlay.along, overlay.across)
    seen = shown.ravel()
    stature = predicted.stature
    shares = [region_shares(rows, one, stature) for one in (load, seen)]
    middles = [_middles(rows, columns, one, stature) for one in (load, seen)]
    refusals = _refusals(measured, predicted, overlay)
    differs = float(np.abs(shares[0] - shares[1]).max()) > LARGEST_SHARE_DIFFERENCE.value
    if refusals:
        agreement = Agreement.CANNOT_TELL
    else:
        agreement = Agreement.DIFFERS if differs else Agreement.AGREES
    return MapComparison(
        agreement=agreement,
        reasons=tuple(refusals) or (_words(*shares),),
        overlay=overlay,
        measured_share=shares[0],
        predicted_share=shares[1],
        centroid_difference=middles[0] - middles[1],
        predicted=shown,
    )
