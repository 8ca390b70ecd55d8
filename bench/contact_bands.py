"""How far estimated load ratios are off, and how wide bands are, on four invented bodies.

Run as `python -m bench.contact_bands`; part of `make figures ONLY=contact`.
"""

import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bench.registry import Figure, measures
from leeward.contact.bands import DrawnReadings, bearing
from leeward.contact.drawn_loads import DrawnLoads, draw_requests, drawn_loads
from leeward.contact.draws import Draw, draw_quantiles, draws, positions
from leeward.contact.loads import LoadRequest, posture_loads
from leeward.contact.response import FIRST_SOLVED, fit_response
from leeward.contact.scenarios import corner_scenarios
from leeward.terms.bed import Bed, Layer, LayerKind, Mattress, MattressKind
from leeward.terms.body import Body, RestAngles, Sex
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.equipment import SurfaceGeometry, SurfaceKind
from leeward.terms.posture import Posture
from leeward.terms.site import Site
from leeward.terms.units import radians_from_deg
from leeward.tissue.reference_load import load_ratios

Array = NDArray[np.float64]

SPLIT = SurfaceGeometry(SurfaceKind.SPLIT, 1.9, 0.85, 0.06, 0.15, 12.0)
SEED, HELD_BACK = 20261125, 50
POSTURES = tuple(Posture(turn=radians_from_deg(turn)) for turn in (0.0, 15.0, 30.0, -30.0))


@dataclass(frozen=True)
class Example:
    """A body on a bed; the sizes are those of the example cases."""

    name: str
    body: Body
    bed: Bed


def _foam(thickness: float, cv40: float) -> Mattress:
    return Mattress(MattressKind.FOAM, thickness, cv40)


def _bent(*degrees: float) -> RestAngles:
    return RestAngles(*(radians_from_deg(angle) for angle in degrees))


EXAMPLES = (
    Example(
        "ordinary",
        Body(1.594, 66.5, Sex.FEMALE),
        Bed(mattress=_foam(0.14, 3.5e3), layers=(), friction=0.45),
    ),
    Example("half_known", Body(1.742, 80.0, Sex.MALE), Bed(mattress=Mattress(MattressKind.FOAM))),
    Example(
        "large",
        Body(1.884, 160.4, Sex.MALE),
        Bed(mattress=_foam(0.18, 5.5e3), layers=(), friction=0.5),
    ),
    Example(
        "small_bent_hips",
        Body(1.469, 36.7, Sex.FEMALE, rest_angles=_bent(65.0, 70.0, 75.0, 80.0, -20.0)),
        Bed(mattress=_foam(0.14, 3.0e3), layers=(Layer(LayerKind.PAD, 0.005),)),
    ),
)


def ratios(found: DrawnLoads) -> Array:
    """Load ratios at every posture but level, which they are measured by."""
    return load_ratios(found.patch_load[:, 1:], found.patch_load[:, 0], found.sites)


def solved(example: Example, drawn: Sequence[Draw]) -> DrawnLoads:
    """Draws solved directly."""
    asked = draw_requests(drawn, example.bed, SPLIT, POSTURES)
    return drawn_loads([posture_loads(one) for one in asked])


def corner_ends(example: Example) -> tuple[Array, Array, float]:
    """Ends over the corners that are stable, and the least share of corners that are."""
    scenarios = corner_scenarios(example.bed, SPLIT, example.body)
    table = posture_loads(LoadRequest(example.body, example.bed, SPLIT, POSTURES, scenarios))
    stable = table.state == EquilibriumState.STABLE
    load = table.patch_load[stable.all(axis=1)]
    value = load_ratios(load[:, 1:], load[:, 0], tuple(Site))
    return value.min(axis=0), value.max(axis=0), float(stable.mean(axis=0).min())


def errors(example: str, value: Array, place: Array) -> Iterator[Figure]:
    """Estimates against direct solves of the draws held back, and the bands of both."""
    first = int(FIRST_SOLVED.value)
    # where a draw tips, nothing is estimated: such postures are left out
    counted = bearing(value)
    begun = time.process_time()
    response = fit_response(place[:first], value[:first])
    fitting = time.process_time() - begun
    estimated = response.predict(place[first:])
    off = np.abs(estimated - value[first:])[:, counted]
    name = f"estimated_q_{example}"
    yield Figure(f"{name}_error_median", float(np.median(off)), "-")
    yield Figure(f"{name}_error_95", float(np.quantile(off, 0.95)), "-")
    yield Figure(f"{name}_error_left_out_95", response.error(counted), "-")
    mixed = DrawnReadings(np.concatenate([value[:first], estimated]), first, 0.0).band()
    whole = DrawnReadings(value, len(value), 0.0).band()
    ends = np.abs(np.subtract(mixed, whole))[:, counted]
    yield Figure(f"band_ends_{example}_error_95", float(np.quantile(ends, 0.95)), "-")
    yield Figure(f"response_fitted_{example}_s", fitting, "s")


@measures("contact")
def bands() -> Iterator[Figure]:
    """Error of estimates against direct solves, and width of the bands over the corners'."""
    for example in EXAMPLES:
        spread = draw_quantiles(int(FIRST_SOLVED.value) + HELD_BACK, np.random.default_rng(SEED))
        drawn = draws(example.bed, SPLIT, example.body, spread)
        begun = time.process_time()
        found = solved(example, drawn)
        taken = (time.process_time() - begun) / len(drawn)
        value = ratios(found)
        counted = bearing(value)
        yield from errors(example.name, value, positions(drawn))
        stable = float(found.is_stable().mean(axis=0).min())
        yield Figure(f"draws_stable_{example.name}_least_pct", 100.0 * stable, "%")
        settled = value[found.is_stable().all(axis=1)]
        low, high = DrawnReadings(settled, len(settled), 0.0).band()
        least, most, corners = corner_ends(example)
        beyond = np.maximum(high - most, least - low)[counted]
        yield Figure(f"draws_beyond_corners_{example.name}", float(beyond.max()), "-")
        inside = ((settled >= least) & (settled <= most))[:, counted]
        yield Figure(f"draws_inside_corners_{example.name}_pct", 100.0 * inside.mean(), "%")
        width = (high - low)[counted] / np.maximum((most - least)[counted], 1e-3)
        yield Figure(f"corners_stable_{example.name}_least_pct", 100.0 * corners, "%")
        yield Figure(f"band_over_corners_{example.name}", float(np.median(width)), "-")
        yield Figure(f"draw_solved_{example.name}_s", taken, "s")


def main() -> None:
    """Print the figures."""
    for figure in bands():
        print(figure.line, flush=True)


if __name__ == "__main__":
    main()
