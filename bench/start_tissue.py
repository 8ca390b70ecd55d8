"""Figures of the allowance: its speed, and how far its conventions decide a ranking."""

from collections.abc import Iterator
from functools import partial

import numpy as np

from bench.registry import Figure, measures, median_seconds
from leeward.contact.loads import LoadRequest, posture_loads
from leeward.contact.scenarios import corner_scenarios
from leeward.terms.bed import Bed
from leeward.terms.body import Body, Sex
from leeward.terms.equipment import SurfaceGeometry, SurfaceKind
from leeward.terms.posture import Posture
from leeward.terms.site import RESPONSIVE_SITES
from leeward.terms.units import radians_from_deg, seconds_from_min
from leeward.tissue import constants
from leeward.tissue.allowance import steady_peak
from leeward.tissue.load_ratios import LoadRatios
from leeward.tissue.reference_load import load_ratios
from leeward.tissue.sensitivity import RepeatingDay, ranking_sensitivity

BODIES = (
    Body(stature=1.59, mass=52.0, sex=Sex.FEMALE),
    Body(stature=1.68, mass=72.0, sex=Sex.FEMALE),
    Body(stature=1.80, mass=110.0, sex=Sex.MALE),
)
SPLIT = SurfaceGeometry(SurfaceKind.SPLIT, 1.9, 0.85, 0.06, 0.05, 12.0)
TURNS_DEG = (10.0, 15.0, 20.0, 25.0, 30.0)
STAYS_MIN = (60.0, 90.0, 120.0, 180.0, 240.0)
SEED = 20261125


@measures("start")
def speed() -> Iterator[Figure]:
    """Allowance of one day of 48 stays at 30 sites, many days at once."""
    ratio = np.random.default_rng(SEED).uniform(0.0, 1.3, (200, 48, 30))
    seconds = median_seconds(partial(steady_peak, np.full(48, 1800.0), ratio), 5)
    yield Figure("allowance_day_ms", 1e3 * seconds / len(ratio), "ms")


@measures("start")
def ranking() -> Iterator[Figure]:
    """Days ranked under every corner of the conventions, worst over bodies of three sizes."""
    found = [ranking_sensitivity(*_candidates(body)) for body in BODIES]
    yield Figure("ranking_days", found[0].worst_index.shape[1], "days")
    yield Figure("ranking_laws", len(found[0].laws), "laws")
    least, middle, side = (
        min(float(np.min(one.same_order)) for one in found),
        min(float(np.median(one.same_order)) for one in found),
        min(float(np.min(one.same_side)) for one in found),
    )
    yield Figure("ranking_same_order_least_pct", 100.0 * least, "% of pairs")
    yield Figure("ranking_same_order_median_pct", 100.0 * middle, "% of pairs")
    yield Figure("ranking_same_side_least_pct", 100.0 * side, "% of days")
    orders = [np.argsort(one.worst_index, axis=1)[:, :10] for one in found]
    shared = [len({*row} & {*best[0]}) for best in orders for row in best]
    yield Figure("ranking_best_ten_shared_least", min(shared), "days")


def _candidates(body: Body) -> tuple[list[RepeatingDay], RepeatingDay, np.ndarray]:
    """Days on a split surface, two-hourly turns by hand to compare with, and compared sites."""
    surface, by_hand = _ratios(body, SPLIT), _ratios(body, None)
    steepest = radians_from_deg(TURNS_DEG[-1])
    regime = _day(by_hand, (steepest, 0.0, -steepest, 0.0), 120.0)
    days = [
        _day(surface, order, stay_min)
        for turn in map(radians_from_deg, TURNS_DEG)
        for order in ((turn, 0.0, -turn, 0.0), (turn, -turn), (turn, 0.0))
        for stay_min in STAYS_MIN
    ]
    peak = steady_peak(regime.durations, regime.ratio)
    responsive = np.array([site in RESPONSIVE_SITES for site in by_hand.sites])
    return days, regime, responsive & (peak >= constants.TRIED_FROM.value)


def _ratios(body: Body, surface: SurfaceGeometry | None) -> LoadRatios:
    """Central load ratios, against lying level on the plain mattress."""
    turns = sorted({sign * radians_from_deg(deg) for deg in (0.0, *TURNS_DEG) for sign in (-1, 1)})
    postures = tuple(Posture(turn=turn) for turn in turns)
    scenario = corner_scenarios(Bed(), surface, body)[:1]
    table = posture_loads(LoadRequest(body, Bed(), surface, postures, scenario))
    level = posture_loads(LoadRequest(body, Bed(), None, (Posture(),), scenario))
    ratio = load_ratios(table.patch_load, level.patch_load[:, 0], table.sites)
    return LoadRatios(postures, table.sites, ratio, np.ones(ratio.shape[:2], dtype=bool))


def _day(ratios: LoadRatios, turns: tuple[float, ...], stay_min: float) -> RepeatingDay:
    rows = [ratios.position(Posture(turn=turn)) for turn in turns]
    return RepeatingDay(np.full(len(turns), seconds_from_min(stay_min)), ratios.ratio[0, rows])
