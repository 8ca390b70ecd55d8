"""Figures of foam coupled sideways: speed, balance, noise, dependence on the grid."""

from collections.abc import Iterator
from functools import partial

import numpy as np

from bench.contact_speed import cpu_ms
from bench.registry import Figure, measures
from leeward.contact.continuation import follow_turns
from leeward.contact.coupled_foam import GRID_STEP, LATERAL_STIFFNESS
from leeward.contact.coupled_pressure import (
    balance_jointly,
    coupled_map,
    coupled_pressure,
    lie_down,
)
from leeward.contact.loads import LoadRequest, posture_loads
from leeward.contact.pressure_map import PressureMap
from leeward.contact.scenarios import corner_scenarios
from leeward.contact.setting import Room
from leeward.contact.stand import Stand
from leeward.terms.bed import Bed
from leeward.terms.body import Body, RestAngles, Sex
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.equipment import SurfaceGeometry, SurfaceKind
from leeward.terms.posture import Posture
from leeward.terms.site import Site
from leeward.terms.units import mmhg_from_pascal, radians_from_deg

MAN = Body(stature=1.756, mass=80.0, sex=Sex.MALE)
BENT = Body(1.63, 61.0, Sex.FEMALE, rest_angles=RestAngles(0.6, 0.8, 0.9, 0.5, windswept=0.3))
HEAVY = Body(stature=1.70, mass=130.0, sex=Sex.FEMALE)
SPLIT = SurfaceGeometry(SurfaceKind.SPLIT, 1.9, 0.85, 0.06, 0.15, 12.0)
LEVEL = Posture()
SITTING = Posture(backrest=radians_from_deg(30.0))


def _lain(body: Body, posture: Posture) -> tuple[Room, Stand]:
    scenarios = corner_scenarios(Bed(), SPLIT, body)[:1]
    return lie_down(LoadRequest(body, Bed(), SPLIT, (posture,), scenarios), 0, posture)


@measures("contact")
def coupled_speed() -> Iterator[Figure]:
    """Processor time of a map of a posture whose loads are known, level and turned."""
    postures = LEVEL, LEVEL.with_turn(radians_from_deg(30.0))
    asked = LoadRequest(MAN, Bed(), SPLIT, postures, corner_scenarios(Bed(), SPLIT, MAN)[:1])
    table = posture_loads(asked)
    for name, posture in zip(("", "_turned"), postures, strict=True):
        taken = cpu_ms(partial(coupled_pressure, asked, table, 0, posture), 15)
        yield Figure(f"coupled_map{name}_ms", taken, "ms")
        room, stand = _lain(MAN, posture)
        joint = partial(balance_jointly, room, posture, stand, LATERAL_STIFFNESS.value, GRID_STEP)
        yield Figure(f"coupled_balance{name}_ms", cpu_ms(joint, 15), "ms")
        path = partial(_lain, MAN, posture)
        yield Figure(f"coupled_path{name}_ms", cpu_ms(path, 15), "ms")


def _maps() -> list[PressureMap]:
    found = []
    for body in (MAN, BENT, HEAVY):
        for posture in (LEVEL, LEVEL.with_turn(radians_from_deg(20.0)), SITTING):
            room, stand = _lain(body, posture)
            if stand.state[0] == EquilibriumState.STABLE:
                found.append(coupled_map(room, posture, stand))
    return found


@measures("contact")
def coupled_residuals() -> Iterator[Figure]:
    """Largest forces left over in nine postures, in share of the body's weight."""
    found = _maps()
    stable = [one for one in found if one.state is EquilibriumState.STABLE]
    yield Figure("coupled_tried", len(found), "postures")
    yield Figure("coupled_stable", len(stable), "postures")
    yield Figure("coupled_weight_error_pct", 100.0 * max(one.weight_error for one in stable), "%")
    yield Figure("coupled_body_residual", max(one.body_residual for one in stable), "of weight")
    yield Figure("coupled_foam_residual", max(one.foam_residual for one in stable), "of weight")


@measures("contact")
def coupled_noise() -> Iterator[Figure]:
    """Second differences of load ratios from half degree to half degree, largest over all sites."""
    worst = 0.0
    for body in (MAN, BENT):
        room, level = _lain(body, LEVEL)
        turns = np.array([radians_from_deg(degrees) for degrees in np.arange(18.0, 23.1, 0.5)])
        stands = follow_turns(room, LEVEL, level, turns)
        at_level = {site.site: site.patch_load for site in coupled_map(room, LEVEL, level).sites}
        lying = (Site.SACRUM, Site.LEFT_BUTTOCK, Site.LEFT_SCAPULA, Site.RIGHT_BUTTOCK)
        reference = float(np.mean([at_level[site] for site in lying]))
        maps = [
            coupled_map(room, LEVEL.with_turn(float(turn)), stand)
            for turn, stand in zip(turns, stands, strict=True)
        ]
        loads = np.array([[site.patch_load for site in one.sites] for one in maps]) / reference
        worst = max(worst, float(np.abs(np.diff(loads, 2, axis=0)).max()))
    yield Figure("coupled_q_noise", worst, "of reference load")


@measures("contact")
def coupled_grid() -> Iterator[Figure]:
    """Change of loads and peaks of loaded sites when the grid is twice as fine."""
    room, stand = _lain(MAN, LEVEL)
    coarse = coupled_map(room, LEVEL, stand)
    fine = coupled_map(room, LEVEL, stand, step=0.5 * GRID_STEP)
    loaded = [site for site in coarse.sites if site.patch_load > 1000.0]
    patch = [fine.at(site.site).patch_load / site.patch_load - 1.0 for site in loaded]
    peak = [fine.at(site.site).peak.pressure / site.peak.pressure - 1.0 for site in loaded]
    yield Figure("coupled_grid_patch_pct", 100.0 * max(map(abs, patch)), "%")
    yield Figure("coupled_grid_peak_pct", 100.0 * max(map(abs, peak)), "%")


@measures("contact")
def coupled_peaks() -> Iterator[Figure]:
    """Peaks of a man lying level: over 40 mm, and over 10 mm at heel and back of the head."""
    room, stand = _lain(MAN, LEVEL)
    found = coupled_map(room, LEVEL, stand)
    for site, name in ((Site.SACRUM, "sacrum"), (Site.LEFT_SCAPULA, "scapula")):
        peak = found.at(site).peak.pressure
        yield Figure(f"peak_{name}_40mm_mmhg", mmhg_from_pascal(peak), "mmHg")
    for site, name in ((Site.LEFT_HEEL, "heel"), (Site.OCCIPUT, "occiput")):
        local = found.at(site).local_peak
        yield Figure(f"peak_{name}_10mm_mmhg", mmhg_from_pascal(local.pressure), "mmHg")
