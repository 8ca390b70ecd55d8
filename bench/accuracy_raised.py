"""Skin that no turn spares, and what a raised buttock keeps, over how hard relaxed hips pull."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from bench.accuracy_people import Check
from leeward.contact.coupled_foam import GRID_STEP, LATERAL_STIFFNESS
from leeward.contact.coupled_pressure import balance_jointly, lie_down
from leeward.contact.coupled_sites import SkinLoads, skin_loads
from leeward.contact.figure import Figure
from leeward.contact.loads import LoadRequest, posture_loads
from leeward.contact.scenarios import Scenario, corner_scenarios, hips_range
from leeward.contact.segments import SEGMENTS
from leeward.terms.bed import Bed
from leeward.terms.body import Body, Sex
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.equipment import SurfaceGeometry, SurfaceKind
from leeward.terms.posture import Posture
from leeward.terms.site import Site
from leeward.terms.units import pascal_from_mmhg, radians_from_deg

Array = NDArray[np.float64]

#: Six invented adults, two of them old.
ADULTS: Final = (
    Body(1.68, 72.0, Sex.FEMALE),
    Body(1.756, 80.0, Sex.MALE),
    Body(1.60, 55.0, Sex.FEMALE),
    Body(1.75, 95.0, Sex.MALE),
    Body(1.57, 65.0, Sex.FEMALE, age=80.0),
    Body(1.70, 75.0, Sex.MALE, age=80.0),
)
WOMAN: Final = ADULTS[0]
SPLIT: Final = SurfaceGeometry(SurfaceKind.SPLIT, 1.9, 0.85, 0.06, 0.05, 12.0)
#: Mattresses by their compression stress at 40 %, over the reference foam's 3.9 kPa: the likeliest
#: and one as firm as the mean pressures measured on hospital foams ask for.
FOAMS: Final = {"3.9_kpa": 1.0, "8.6_kpa": 2.2}
TURNS_DEG: Final = (20.0, 30.0)
#: Nothing pulls where a hip comes to rest as good as straight.
STRAIGHT: Final = 1e-3
THRESHOLD_MMHG: Final = 32.0
#: Over how much of their neighbours skin points are averaged: about a sensor's cell. [m]
_SMOOTHED: Final = 0.015
_LOOKED_AT: Final = ("pelvis", "abdomen", "left thigh", "right thigh")

PETERSON: Final = (
    "Peterson et al 2013, JRRD 50:477: 13 patients turned as usual, SD 184; mattress, turn and "
    "cell not known here"
)
_NOBODY: Final = "nobody has measured it"


def hips() -> dict[str, float]:
    """How far bent relaxed hips come to rest: none, low, usual, high."""
    ends = hips_range(WOMAN)
    return {"straight": STRAIGHT, "low": ends.low, "usual": ends.middle, "high": ends.high}


def skin_pressure(body: Body, scenario: Scenario, posture: Posture) -> tuple[Figure, Array] | None:
    """Pressure on every skin point of pelvis, waist and thighs on coupled foam, (n,). [Pa]"""
    asked = LoadRequest(body, Bed(), None, (posture,), (scenario,))
    room, stand = lie_down(asked, 0, posture)
    if stand.state[0] != EquilibriumState.STABLE:
        return None
    bed, joint = balance_jointly(room, posture, stand, LATERAL_STIFFNESS.value, GRID_STEP)
    if not joint.is_solved:
        return None
    return room.figure, _smoothed(room.figure, skin_loads(bed, joint))


def _smoothed(figure: Figure, skin: SkinLoads) -> Array:
    found = np.zeros(len(figure.point))
    size = np.linalg.norm(figure.area, axis=1)
    for name in _LOOKED_AT:
        segment = SEGMENTS.index(name)
        own, met = np.flatnonzero(figure.owner == segment), skin.segment == segment
        if not met.any():
            continue
        apart = np.linalg.norm(figure.point[own, None] - skin.own[met], axis=-1)
        pressed = np.where(apart.min(axis=1) < 1e-6, skin.pressure[met][apart.argmin(axis=1)], 0.0)
        between = np.linalg.norm(figure.point[own, None] - figure.point[own], axis=-1)
        weight = np.exp(-0.5 * (between / _SMOOTHED) ** 2) * size[own]
        found[own] = weight @ pressed / weight.sum(axis=1)
    return found


def _image(figure: Figure) -> NDArray[np.intp]:
    """Which skin point is each one's mirror image."""
    flip = np.array([-1.0, 1.0, 1.0])
    image = np.arange(len(figure.point))
    for name in _LOOKED_AT:
        other = {"left thigh": "right thigh", "right thigh": "left thigh"}.get(name, name)
        own = np.flatnonzero(figure.owner == SEGMENTS.index(name))
        there = np.flatnonzero(figure.owner == SEGMENTS.index(other))
        apart = np.linalg.norm(figure.point[own, None] * flip - figure.point[there], axis=-1)
        image[own] = there[apart.argmin(axis=1)]
    return image


def spared_by_no_turn(body: Body, scenario: Scenario, turn_deg: float) -> float:
    """Skin above the threshold lying level and turned by hand to either side. [cm^2]"""
    level = skin_pressure(body, scenario, Posture())
    turned = skin_pressure(body, scenario, Posture(turn=radians_from_deg(turn_deg)))
    if level is None or turned is None:
        return float("nan")
    figure, pressure = turned
    least = np.minimum(np.minimum(level[1], pressure), pressure[_image(figure)])
    size = np.linalg.norm(figure.area, axis=1)
    return 1e4 * float(size[least > pascal_from_mmhg(THRESHOLD_MMHG)].sum())


def _scenario(foam: float, pull: float) -> Scenario:
    return replace(corner_scenarios(Bed(), None, WOMAN)[0], foam_scale=foam, hips=pull)


def three_posture_checks() -> Iterator[Check]:
    """Skin loaded in all three postures, beside what was measured in patients."""
    for foam, scale in FOAMS.items():
        for turn in TURNS_DEG:
            for name, pull in hips().items():
                mine = np.nanmean(
                    [spared_by_no_turn(body, _scenario(scale, pull), turn) for body in ADULTS]
                )
                label = f"over_32_mmhg_always_hips_{name}_foam_{foam}_turn_{turn:.0f}_cm2"
                yield Check(label, float(mine), 166.0, float(mine) - 166.0, "cm^2", PETERSON)


def raised_buttock_checks() -> Iterator[Check]:
    """What a raised buttock keeps of its level load at 30 degrees."""
    postures = (Posture(), Posture(turn=radians_from_deg(30.0)))
    for way, surface in (("by_hand", None), ("split", SPLIT)):
        for name, pull in hips().items():
            scenario = _scenario(1.0, pull)
            table = posture_loads(LoadRequest(WOMAN, Bed(), surface, postures, (scenario,)))
            level, turned = table.patch_load[0, :, table.sites.index(Site.RIGHT_BUTTOCK)]
            label = f"raised_buttock_kept_{way}_hips_{name}"
            yield Check(label, float(turned / level), None, None, "of level", _NOBODY)


def raised_side_checks() -> Iterator[Check]:
    """Every figure on the raised side."""
    yield from three_posture_checks()
    yield from raised_buttock_checks()


def main() -> None:
    """Print every figure."""
    for check in raised_side_checks():
        theirs = "-" if check.theirs is None else f"{check.theirs:.4g}"
        print(f"{check.name} ours {check.ours:.4g} theirs {theirs} {check.unit} [{check.source}]")


if __name__ == "__main__":
    main()
