"""What left and right exchanged may stand for."""

from dataclasses import replace

import numpy as np

from leeward.contact.mirror import is_symmetric, mirrored_rotation, mirrored_scenarios
from leeward.contact.rotation import rotation_from_vector
from leeward.contact.scenarios import corner_scenarios
from leeward.contact.segments import COUNT
from leeward.terms.bed import Bed
from leeward.terms.body import Limb, RestAngles
from leeward.terms.posture import Posture, Support
from tests.unit.contact.bodies import BENT, MAN, SPLIT


def test_only_a_body_without_any_difference_is_symmetric():
    assert is_symmetric(MAN, Posture())
    assert not is_symmetric(BENT, Posture())
    assert not is_symmetric(replace(MAN, missing=frozenset({Limb.LEFT_ARM})), Posture())
    assert not is_symmetric(
        replace(MAN, rest_angles=RestAngles(0.3, 0.3, windswept=0.1)), Posture()
    )
    assert is_symmetric(replace(MAN, rest_angles=RestAngles(0.3, 0.3, 0.5, 0.5)), Posture())


def test_a_bolster_on_one_side_is_not_symmetric():
    assert not is_symmetric(MAN, Posture(supports=frozenset({Support.BOLSTER_LEFT})))


def test_corners_round_a_centred_line_are_one_anothers_image():
    scenarios = corner_scenarios(Bed(), SPLIT, MAN)
    images = mirrored_scenarios(scenarios)
    assert images is not None
    for scenario, image in zip(scenarios, images, strict=True):
        assert scenarios[image].line_offset == -scenario.line_offset
        assert scenarios[image].person_part == scenario.person_part


def test_corners_round_a_line_off_centre_have_no_image():
    assert mirrored_scenarios(corner_scenarios(Bed(), SPLIT, MAN, line_offset=0.03)) is None


def test_a_mirrored_rotation_rolls_the_other_way_and_stays_a_rotation():
    rotation = rotation_from_vector(np.tile([0.1, 0.4, -0.2], (COUNT, 1)))
    image = mirrored_rotation(rotation)
    np.testing.assert_allclose(np.linalg.det(image), 1.0)
    np.testing.assert_allclose(image, rotation_from_vector(np.tile([0.1, -0.4, 0.2], (COUNT, 1))))
