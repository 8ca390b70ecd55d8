"""Where the load lies along the body, against mean pressure maps of seven people.

"A Pressure Map Dataset for In-bed Posture Classification" (PhysioNet pmd 1.0.0; Baran Pouyan et al.
2017, doi:10.1109/BHI.2017.7897206), tests/data/pmatdata. Turned on wedges by 30 / 60 degrees the
mean of seven has, in % of the load: head 6.4 / 6.7, upper trunk 27.2 / 28.3, waist 16.1 / 14.9,
pelvis 30.0 / 28.5, thighs 8.3 / 9.6, calves and feet 11.9 / 12.0; cuts of bench.accuracy_maps.
Healthy young men: nothing is fitted, and this says nothing about one person.
"""

import pytest

from bench.accuracy_maps import NAMES, TO_THE_LEFT, TURNED, people, print_of
from bench.accuracy_people import model_bands, model_print, of_means, people_bands
from leeward.terms.units import STANDARD_GRAVITY

MAPS = pytest.mark.published("PhysioNet pmd 1.0.0, Baran Pouyan et al. 2017", "records p04 to p07")
PELVIS = NAMES.index("pelvis")


@MAPS
@pytest.mark.parametrize("record", [record for pair in TURNED.values() for record in pair])
def test_turned_people_press_the_mat_on_the_side_they_are_turned_to(record: str):
    """In the mean of the seven; the sides of the mat are read from this."""
    moved = [
        print_of(person, record).middles()[PELVIS] - print_of(person, "p01").middles()[PELVIS]
        for person in people()
    ]
    to_the_left = sum(moved) / len(moved)
    assert (to_the_left > 0.02) if record in TO_THE_LEFT else (to_the_left < -0.02)


@MAPS
@pytest.mark.parametrize("posture", ["turned 30", "turned 60"])
def test_turned_bands_differ_by_less_than_records_of_one_person(posture: str):
    """2.8 points of load: mean difference between a person's turns to the left and to the right."""
    assert of_means(model_bands(posture), people_bands(posture)) < 2.8


def test_the_mat_under_wedge_and_body_bears_the_whole_weight():
    """1 % of the weight: skin that hangs on by friction alone is left out."""
    found = model_print("S04", "turned 30")
    assert found is not None
    assert found.load.sum() == pytest.approx(people()["S04"].mass * STANDARD_GRAVITY, rel=0.01)
