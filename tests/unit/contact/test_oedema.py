"""Fluid in a limb is part of the mass weighed, makes the limb heavier and thicker."""

from dataclasses import replace

import numpy as np
import pytest

from leeward.contact.figure import build_figure
from leeward.contact.loads import posture_loads
from leeward.contact.mirror import is_symmetric
from leeward.contact.segments import INDEX, SEGMENTS
from leeward.terms.body import Limb, Oedema
from leeward.terms.posture import Posture
from leeward.terms.site import Site
from tests.unit.contact.bodies import MAN, SPLIT, request, turned

SWOLLEN = replace(MAN, oedema=Oedema(left_leg=5.0))


def test_the_mass_weighed_is_the_mass_carried():
    assert build_figure(SWOLLEN).mass.sum() == pytest.approx(MAN.mass)


def test_only_the_swollen_limb_is_heavier_and_thicker():
    lean, swollen = build_figure(MAN), build_figure(SWOLLEN)
    heavier = {SEGMENTS[n] for n in np.flatnonzero(swollen.mass > lean.mass)}
    assert heavier == {"left thigh", "left shank", "left foot"}
    left, right = INDEX["left shank"], INDEX["right shank"]
    assert swollen.layout.half[left, 0] > 1.1 * swollen.layout.half[right, 0]
    lost = replace(SWOLLEN, missing=frozenset({Limb.LEFT_LEG_ABOVE_KNEE}))
    assert build_figure(lost).mass.sum() == pytest.approx(MAN.mass)


def test_a_swollen_leg_loads_its_calf_more():
    lean, swollen = (posture_loads(request(body, SPLIT, (turned(0),))) for body in (MAN, SWOLLEN))
    calf = lean.sites.index(Site.LEFT_CALF)
    assert swollen.patch_load[0, 0, calf] > 1.05 * lean.patch_load[0, 0, calf]


def test_one_swollen_leg_has_no_mirror_image_and_two_have():
    assert not is_symmetric(SWOLLEN, Posture())
    assert is_symmetric(replace(MAN, oedema=Oedema(2.0, 2.0, 1.0, 1.0)), Posture())
