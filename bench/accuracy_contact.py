"""The model of contact beside closed forms, another program, and published pressures."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import lru_cache
from typing import Final

import numpy as np
import scipy

from bench.accuracy_people import Check, beside, between
from bench.contact_mujoco import beside_each_other
from bench.rolling import followed, steepest_slope
from bench.side_lying import ROLL, lie_on_left_side
from bench.start_contact import balance_of_weight
from leeward.contact.continuation import follow_turns, settle_level
from leeward.contact.coupled_balance import settle_jointly
from leeward.contact.coupled_bed import couple, first_deflection
from leeward.contact.coupled_foam import GRID_STEP, LATERAL_STIFFNESS, Spread, lay_grid
from leeward.contact.coupled_pressure import coupled_map, lie_down, site_pressures
from leeward.contact.equilibrium import settle
from leeward.contact.foam import Cushion, series_table
from leeward.contact.loads import LoadRequest
from leeward.contact.pressure_map import Peak, PressureMap
from leeward.contact.scenarios import corner_scenarios
from leeward.contact.setting import lay_down, make_room, with_anchors
from leeward.terms.bed import Bed, Pillows
from leeward.terms.body import Body, Sex
from leeward.terms.equipment import SurfaceGeometry, SurfaceKind
from leeward.terms.posture import Posture
from leeward.terms.site import Site
from leeward.terms.units import deg_from_radians, mmhg_from_pascal, radians_from_deg

MAN: Final = Body(1.756, 80.0, Sex.MALE)
SPLIT: Final = SurfaceGeometry(SurfaceKind.SPLIT, 1.9, 0.85, 0.06, 0.15, 12.0)
WHOLE: Final = replace(SPLIT, kind=SurfaceKind.WHOLE)
LEVEL: Final = Posture()
#: How closely a limit is looked for. [deg]
CLOSELY: Final = 0.1
#: Half-breadths of the roller, half as deep as 0.1 m. [m]
ROLLERS: Final = (0.165, 0.152)
FRICTIONS: Final = (0.2, 0.3, 0.4)
#: A cell counts as loaded from here; the threshold of the published mean is not known. [mmHg]
LOADED_MMHG: Final = (5.0, 20.0)
#: Stiffness of the foam's columns. [N/m^3]
COLUMNS: Final = 5e4

_STATICS: Final = "closed form, statics"
_PASTERNAK: Final = "closed form of a Pasternak foundation"
_THOMPSON: Final = "Thompson-Bishop and Mottola 1992, mean of 13 people, redistributing to standard"
_LITERATURE: Final = "general literature on foam, from memory"


def closed_form_checks() -> Iterator[Check]:
    """Where a body slides and a roller tips, how foam sinks, what force is left over."""
    for friction in FRICTIONS:
        mine = _last(lambda slope, at=friction: _is_held(at, slope), 8.0, 25.0)
        limit = deg_from_radians(float(np.arctan(friction)))
        yield beside(f"slides_at_friction_{friction:g}_deg", mine, limit, "deg", _STATICS)
    for breadth in ROLLERS:
        mine = _last(lambda slope, wide=breadth: _rests(wide, slope), 20.0, 30.0)
        limit = deg_from_radians(steepest_slope(breadth))
        yield beside(f"roller_{1e3 * breadth:.0f}_mm_tips_deg", mine, limit, "deg", _STATICS)
    yield from _foam_checks()
    left = next(iter(balance_of_weight())).value
    yield beside("weight_error_pct", left, 0.0, "% of weight", "the bed bears the body's weight")


def _last(holds: Callable[[float], bool], low: float, high: float) -> float:
    """Largest slope at which something still holds. [deg]"""
    while high - low > CLOSELY:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if holds(middle) else (low, middle)
    return 0.5 * (low + high)


def _is_held(friction: float, degrees: float) -> bool:
    """Whether a balance is found without the shortcut that statics offers."""
    central = replace(corner_scenarios(Bed(), WHOLE, MAN)[0], friction=friction)
    room = make_room(MAN, Bed(), WHOLE, (central,))
    turn = np.array([radians_from_deg(degrees - 2.0)])
    near = follow_turns(room, LEVEL, settle_level(room, LEVEL), turn)[0]
    lying = lay_down(room, LEVEL, np.radians([degrees]), near.which)
    return bool(settle(with_anchors(lying, near.anchors), near.pose, 1e-3).is_solved[0])


def _rests(breadth: float, degrees: float) -> bool:
    solved, _, margin = followed(breadth, degrees)
    return solved and margin > 0.0


def _foam_checks() -> Iterator[Check]:
    """A line and a point load on foam that carries load sideways, against its closed forms."""
    lateral = LATERAL_STIFFNESS.value
    table = series_table((Cushion(0.15, 1.0, ((0.14, 0.14 * COLUMNS),)),), 0.0, 1.0)[None]
    grid = lay_grid(np.zeros((2, 1)), np.array([[0.3], [0.3]]), table, lateral, 0.010)
    row, column = np.divmod(grid.active, grid.shape[1])
    at = 0.010 * np.stack([column + grid.low[0], row + grid.low[1]])
    nothing = Spread(np.zeros((1, 1), dtype=np.intp), np.ones((1, 1)))
    slope = grid.resistance(np.zeros(grid.count))[1]
    factor = grid.factor(slope, grid.couplings(nothing), np.zeros(1))
    reach = np.sqrt(lateral / COLUMNS)
    line = factor.solve(np.where(np.abs(at[0]) < 1e-9, 10.0 * 0.010, 0.0))
    middle = int(np.flatnonzero(np.hypot(*at) < 1e-9)[0])
    exact = 10.0 / (2.0 * np.sqrt(COLUMNS * lateral))
    yield beside("line_load_sinks_mm", 1e3 * line[middle], 1e3 * exact, "mm", _PASTERNAK)
    point = factor.solve(np.where(np.hypot(*at) < 1e-9, 2.0, 0.0))
    aside = int(np.flatnonzero(np.hypot(at[0] - 0.05, at[1]) < 1e-9)[0])
    exact = 2.0 / (2.0 * np.pi * lateral) * float(scipy.special.k0(0.05 / reach))
    name = "point_load_50_mm_aside_sinks_mm"
    yield beside(name, 1e3 * point[aside], 1e3 * exact, "mm", _PASTERNAK)


def mujoco_checks() -> Iterator[Check]:
    """The same bodies and joints in MuJoCo under our law of foam, level and turned."""
    source = "MuJoCo, the same foam law, an ordinary man on a whole surface"
    for one in beside_each_other():
        name = f"mujoco_{one.turn_deg:.0f}_deg"
        yield Check(
            f"{name}_shares_apart", one.shares_apart, None, one.shares_apart, "points", source
        )
        yield beside(f"{name}_roll", one.ours_roll_deg, one.theirs_roll_deg, "deg", source)
        yield beside(f"{name}_time_ms", one.ours_ms, one.theirs_ms, "ms", source)


@lru_cache(maxsize=8)
def _map(posture: Posture, pillow: float | None = None) -> PressureMap:
    bed = replace(Bed(), pillows=Pillows(head=pillow))
    scenarios = corner_scenarios(bed, SPLIT, MAN)[:1]
    room, stand = lie_down(LoadRequest(MAN, bed, SPLIT, (posture,), scenarios), 0, posture)
    return coupled_map(room, posture, stand)


def pressure_checks() -> Iterator[Check]:
    """Peaks with their cell beside published interface pressures: plausibility, nothing fitted."""
    level, bare = _map(LEVEL), _map(LEVEL, 0.0)
    for site, ends in ((Site.SACRUM, (30.0, 60.0)), (Site.LEFT_SCAPULA, (20.0, 40.0))):
        name = f"peak_{site.value.split()[-1]}_40mm_mmhg"
        yield between(name, _mmhg(level.at(site).peak), ends, "mmHg", _LITERATURE)
    heel = level.at(Site.LEFT_HEEL).local_peak
    yield between("peak_heel_10mm_mmhg", _mmhg(heel), (28.1, 93.9), "mmHg", _THOMPSON)
    yield between(
        "peak_trochanter_on_the_side_40mm_mmhg", _on_the_side(), (37.2, 83.6), "mmHg", _THOMPSON
    )
    head = bare.at(Site.OCCIPUT).local_peak
    source = f"{_LITERATURE}, no pillow in either"
    yield between("peak_occiput_no_pillow_10mm_mmhg", _mmhg(head), (35.0, 60.0), "mmHg", source)
    soft = _mmhg(level.at(Site.OCCIPUT).local_peak)
    source = "nothing published is known to us"
    yield Check("peak_occiput_on_pillow_10mm_mmhg", soft, None, None, "mmHg", source)
    cells = mmhg_from_pascal(1.0) * level.pressure
    source = "Wound Manag Prev 2020;66(8):26, 20 people supine on hospital foam"
    for least in LOADED_MMHG:
        mean = float(cells[cells > least].mean())
        yield between(f"mean_of_cells_over_{least:g}_mmhg", mean, (30.3, 38.4), "mmHg", source)
    yield from _shear_checks()


def _shear_checks() -> Iterator[Check]:
    posture = Posture(backrest=radians_from_deg(45.0))
    sat = _map(posture)
    source = "Goossens et al 1997, along the bed, people sitting in one"
    for site in (Site.SACRUM, Site.COCCYX):
        drawn = 1e-3 * abs(sat.at(site).shear_along)
        yield beside(f"friction_{site.value}_backrest_45_kpa", drawn, 5.6, "kPa", source)


def _on_the_side() -> float:
    """Peak at the trochanter of a man on his left side, over 40 mm. [mmHg]"""
    room, lying, pose = lie_on_left_side()
    bed = couple(room, lying, pose, LATERAL_STIFFNESS.value, GRID_STEP)
    joint = settle_jointly(bed, pose, first_deflection(bed, room, pose, 4.0), held=(ROLL,))
    found = {one.site: one for one in site_pressures(room, LEVEL, bed, joint)}
    return _mmhg(found[Site.LEFT_TROCHANTER].peak)


def _mmhg(peak: Peak | None) -> float:
    return float("nan") if peak is None else mmhg_from_pascal(peak.pressure)
