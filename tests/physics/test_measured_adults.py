"""Two hundred adults of a public survey lie flat; bodies with fixed bends end with a cause.

Bodies: NHANES 2017 to March 2020 (tests/data/nhanes/SOURCE.md). Fixed bends are drawn at random.
"""

import csv
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from leeward.contact.continuation import settle_level
from leeward.terms.body import Body, RestAngles, Sex
from leeward.terms.equilibrium import EquilibriumState
from tests.physics.lying import LEVEL, SPLIT, WHOLE, room_of, turned

DATA = Path(__file__).parent.parent / "data" / "nhanes" / "adults.csv"
NAMED = (EquilibriumState.STABLE, EquilibriumState.SLIDES, EquilibriumState.TIPS)


def adults() -> list[Body]:
    with DATA.open(newline="") as lines:
        return [
            Body(
                stature=float(row["stature_cm"]) / 100.0,
                mass=float(row["mass_kg"]),
                sex=Sex(row["sex"]),
                age=float(row["age_year"]),
            )
            for row in csv.DictReader(lines)
        ]


def bends(generator: np.random.Generator) -> RestAngles:
    limbs = generator.uniform(0.0, 1.57, 4)
    swept, trunk, side = generator.uniform(-0.52, 0.52, 3)
    return RestAngles(*limbs, windswept=swept, trunk_flexion=abs(trunk), trunk_side_bend=side)


@pytest.mark.published("NHANES 2017-March 2020", "P_BMX, 200 adults")
def test_every_measured_adult_lies_stable_flat_and_level():
    bodies = adults()
    assert len(bodies) == 200
    unstable = [
        body
        for body in bodies
        if settle_level(room_of(body, SPLIT), LEVEL).state[0] != EquilibriumState.STABLE
    ]
    assert unstable == []


@pytest.mark.parametrize(("surface", "steepest"), [(SPLIT, 40.0), (WHOLE, 30.0)])
def test_a_body_with_fixed_bends_is_stable_or_its_end_has_a_cause(surface, steepest: float):
    """Twenty bodies a surface: a path that ends without a confirmed cause is a failure."""
    generator = np.random.default_rng(11)
    some = generator.choice(np.array(adults(), dtype=object), 20, replace=False)
    for body in some:
        bent = replace(body, rest_angles=bends(generator))
        stand = turned(room_of(bent, surface), float(generator.uniform(-steepest, steepest)))
        assert stand.state[0] in NAMED
        assert np.isfinite(stand.demand[0])
        assert np.isfinite(stand.margin[0])
