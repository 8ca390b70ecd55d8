"""Breadths and depths against the people the survey measured.

ANSUR II, 2012 Anthropometric Survey of U.S. Army Personnel, Natick/TR-15/007, public files; 4082
men, 1986 women. Medians in mm, men / women:

    stature 1755 / 1626    mass 84.6 / 66.8 kg
    hip breadth 344 / 353, bideltoid breadth 509 / 450, chest depth 253 / 245,
    buttock depth 246 / 231, waist depth 234 / 209
    buttock girth 1017 / 1018, waist girth 937 / 852
    people whose buttock girth is 3 to 10 % above that of their stature and mass (mean 4.4 / 4.5 %)
    have hips 4.9 / 5.4 % broader; whose waist girth is (5.4 / 5.7 %), waists 6.4 / 5.6 % deeper
    trochanter height 0.5128 / 0.5190 of stature

The survey's people are fit; the tests say that its own medians come back, not more.
"""

from dataclasses import replace

import pytest

from leeward.contact.anthropometry import HIP_GIRTH, WAIST_GIRTH, body_dimensions
from leeward.contact.layout import lay_out
from leeward.contact.segments import INDEX
from leeward.terms.body import Body, Sex

SURVEY = pytest.mark.published("ANSUR II 2012, Natick/TR-15/007", "public files, percentiles")
MEDIAN = {
    Sex.MALE: (Body(1.755, 84.6, Sex.MALE), (0.344, 0.509, 0.253, 0.234, 0.246)),
    Sex.FEMALE: (Body(1.626, 66.8, Sex.FEMALE), (0.353, 0.450, 0.245, 0.209, 0.231)),
}
NAMES = ("hip_breadth", "shoulder_breadth", "chest_depth", "waist_depth", "buttock_depth")
ERRORS = {Sex.MALE: (13, 15, 12, 17, 11), Sex.FEMALE: (15, 14, 15, 17, 11)}


@SURVEY
@pytest.mark.parametrize("sex", list(Sex))
@pytest.mark.parametrize("number", range(5), ids=NAMES)
def test_the_median_person_has_the_median_dimension(number: int, sex: Sex):
    """One standard error of estimate (11-17 mm)."""
    body, medians = MEDIAN[sex]
    found = getattr(body_dimensions(body), NAMES[number])
    assert found == pytest.approx(medians[number], abs=1e-3 * ERRORS[sex][number])


GIRTHS = {
    "hip": (HIP_GIRTH, "hip_girth", "hip_breadth", (1.017, 1.018), (1.044, 1.045), (1.049, 1.054)),
    "waist": (
        WAIST_GIRTH,
        "waist_girth",
        "waist_depth",
        (0.937, 0.852),
        (1.054, 1.057),
        (1.064, 1.056),
    ),
}


@SURVEY
@pytest.mark.parametrize("part", GIRTHS)
@pytest.mark.parametrize("sex", list(Sex))
def test_a_girth_moves_breadth_or_depth_as_in_the_people_measured(part: str, sex: Sex):
    """A median girth within a standard error (29, 48 mm); the rise with girth within 1.5 %."""
    table, girth, size, medians, above, broader = GIRTHS[part]
    body = MEDIAN[sex][0]
    number = {Sex.MALE: 0, Sex.FEMALE: 1}[sex]
    usual = table[sex].predict(body)
    assert usual == pytest.approx(medians[number], abs=table[sex].standard_error)
    stout = replace(body, **{girth: above[number] * usual})
    rise = getattr(body_dimensions(stout), size) / getattr(body_dimensions(body), size)
    assert rise == pytest.approx(broader[number], abs=0.015)


@SURVEY
def test_a_man_of_1750_mm_and_bmi_25_has_hips_of_333_mm():
    """26 mm: two standard errors of estimate."""
    body = Body(1.750, 25.0 * 1.750**2, Sex.MALE)
    assert 2.0 * lay_out(body).half[INDEX["pelvis"], 0] == pytest.approx(0.333, abs=0.026)


@SURVEY
def test_the_hip_lies_near_the_trochanter():
    """40 mm: the hip joint of the length table lies 2-3 % of stature above the landmark."""
    layout = lay_out(Body(1.755, 84.6, Sex.MALE))
    hip = 0.530 * 1.755 + layout.joint[INDEX["left thigh"], 1]
    assert hip == pytest.approx(0.900, abs=0.040)
