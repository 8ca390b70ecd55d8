"""The figure of a body."""

from dataclasses import replace

import numpy as np
import pytest

from leeward.contact.figure import build_figure
from leeward.contact.layout import lay_out
from leeward.contact.segments import INDEX, SEGMENTS
from leeward.terms.body import Limb
from leeward.terms.site import Site
from tests.unit.contact.bodies import MAN, WOMAN


def test_segments_weigh_what_the_person_weighs():
    assert build_figure(WOMAN).mass.sum() == pytest.approx(58.0)


def test_a_missing_leg_has_no_mass_no_skin_and_no_sites():
    figure = build_figure(replace(MAN, missing=frozenset({Limb.LEFT_LEG_ABOVE_KNEE})))
    gone = [INDEX["left shank"], INDEX["left foot"]]
    assert np.all(figure.mass[gone] == 0.0)
    assert not np.isin(figure.owner, gone).any()
    assert Site.LEFT_HEEL not in {patch.site for patch in figure.patches}
    assert figure.mass.sum() == pytest.approx(80.0)


def test_sites_the_shape_does_not_have_are_left_out():
    found = {patch.site for patch in build_figure(MAN).patches}
    unknown = {"ear", "toes", "inner knee", "inner ankle"}
    assert {site for site in Site if site not in found} == {
        site for site in Site if site.value.split(" ", 1)[-1] in unknown
    }


def test_left_and_right_sites_are_mirror_images():
    patches = {patch.site: patch for patch in build_figure(MAN).patches}
    for site, patch in patches.items():
        image = patches[site.mirrored].point * (-1, 1, 1)
        np.testing.assert_allclose(np.sort(patch.point, axis=0), np.sort(image, axis=0), atol=1e-9)


def test_a_patch_is_the_size_of_a_60_mm_disc():
    """3 % for the taper, which stands for a sharp edge at 30 mm."""
    for patch in build_figure(MAN).patches:
        assert patch.extent == pytest.approx(np.pi * 0.03**2, rel=0.03)


def test_a_measured_breadth_replaces_the_tables():
    half = lay_out(replace(MAN, hip_breadth=0.42)).half[INDEX["pelvis"], 0]
    assert 2.0 * half == pytest.approx(0.42)


@pytest.mark.parametrize(("stature", "mass"), [(1.45, 35.0), (1.6, 120.0), (2.0, 160.0)])
def test_odd_bodies_still_have_sound_shapes(stature: float, mass: float):
    figure = build_figure(replace(WOMAN, stature=stature, mass=mass))
    assert np.all(figure.layout.half > 0.02)
    assert 1500 < len(figure.point) < 2500
    assert np.all(np.isfinite(figure.point))
    assert len(SEGMENTS) == 14
