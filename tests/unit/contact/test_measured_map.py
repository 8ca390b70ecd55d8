"""A measured map laid over a prediction: agreement, doubt and correction."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from leeward.contact.correction import Correction, correct_by_map
from leeward.contact.imprint import REGIONS, Imprint, imprint, region_shares
from leeward.contact.loads import LoadRequest
from leeward.contact.measured_map import (
    Agreement,
    MapComparison,
    MeasuredMap,
    compare_map,
    lay_over,
)
from leeward.contact.scenarios import Arms, foam_range
from leeward.exchange.pressure_map_file import read_pressure_map
from leeward.terms.bed import Bed, Mattress, MattressKind
from leeward.terms.body import Body, Sex
from leeward.terms.errors import InvalidInput
from leeward.terms.units import STANDARD_GRAVITY
from tests.unit.contact.bodies import MAN, SPLIT, request, turned

FRAMES = Path(__file__).parents[2] / "data" / "pmatdata_frames"
#: Person 5 of the frames, who lay with arms at the sides.
VOLUNTEER = Body(1.72, 66.0, Sex.MALE)
PITCH = 0.03


def lying(body: Body, turn: float = 0.0, **other: float) -> LoadRequest:
    asked = request(body, SPLIT, (turned(turn),))
    arms = Arms.FORWARD if turn == 0.0 else Arms.ON_TRUNK
    return replace(asked, scenarios=(replace(asked.scenarios[0], arms=arms, **other),))


@cache
def printed(turn: float = 0.0, **other: float) -> Imprint:
    return imprint(lying(MAN, turn, **other))


def as_measured(predicted: Imprint, along: float = 0.0, across: float = 0.0) -> MeasuredMap:
    """What a calibrated mat lying somewhere under the body would show."""
    rows = PITCH * np.arange(36, -36, -1) + along
    columns = PITCH * np.arange(-20, 21) + across
    return MeasuredMap(predicted.seen(rows, columns), PITCH, PITCH, True)


def codes(found: MapComparison) -> list[str]:
    return [reason.code for reason in found.reasons]


def test_the_imprint_carries_the_body():
    assert printed().force.sum() == pytest.approx(MAN.mass * STANDARD_GRAVITY, rel=1e-5)


def test_shares_add_up_and_the_head_lies_first():
    shares = region_shares(printed().along, printed().force, MAN.stature)
    assert shares.sum() == pytest.approx(1.0)
    assert dict(zip(REGIONS, shares, strict=True))["head"] == pytest.approx(0.08, abs=0.03)


def test_a_mat_shows_the_weight_that_lies_on_it():
    assert as_measured(printed()).force() == pytest.approx(printed().force.sum(), rel=0.01)


@pytest.mark.parametrize("shift", [(0.0, 0.0), (0.12, -0.05), (-0.10, 0.08)])
def test_a_map_is_found_wherever_the_mat_lay(shift: tuple[float, float]):
    measured = as_measured(printed(30.0), *shift)
    found = lay_over(measured, printed(30.0))
    assert found.correlation > 0.99
    assert found.along[0] == pytest.approx(PITCH * 36 + shift[0], abs=0.01)
    assert found.across[0] == pytest.approx(-PITCH * 20 + shift[1], abs=0.01)


def test_the_models_own_print_agrees_with_it():
    found = compare_map(as_measured(printed()), printed())
    assert found.agreement is Agreement.AGREES
    assert codes(found) == ["map-compared"]
    assert np.abs(found.measured_share - found.predicted_share).max() < 0.01
    assert np.nanmax(np.abs(found.centroid_difference)) < 0.01


def test_another_load_on_the_pelvis_differs_and_is_said():
    measured = as_measured(printed())
    heavier = measured.value.copy()
    heavier[34:42] *= 2.0
    found = compare_map(replace(measured, value=heavier, is_calibrated=False), printed())
    assert found.agreement is Agreement.DIFFERS
    assert "On the pelvis lie" in found.reasons[0].sentence


@pytest.mark.parametrize(
    ("turn", "axis", "said"),
    [(0.0, 0, "head and foot exchanged"), (30.0, 1, "left and right exchanged")],
)
def test_an_edge_declared_wrongly_is_doubted_and_nothing_is_exchanged(
    turn: float, axis: int, said: str
):
    measured = as_measured(printed(turn))
    found = compare_map(replace(measured, value=np.flip(measured.value, axis)), printed(turn))
    assert found.agreement is Agreement.CANNOT_TELL
    assert "map-orientation-doubtful" in codes(found)
    assert said in found.reasons[0].sentence
    assert "Nothing was exchanged" in found.reasons[0].sentence


def test_noise_is_no_map_of_anybody():
    noise = np.random.default_rng(1).random((72, 41))
    found = compare_map(MeasuredMap(noise, PITCH, PITCH, False), printed())
    assert found.agreement is Agreement.CANNOT_TELL
    assert "map-does-not-fit" in codes(found)


def test_a_calibrated_map_of_half_the_weight_is_not_believed():
    measured = as_measured(printed())
    half = replace(measured, value=0.5 * measured.value)
    assert codes(compare_map(half, printed())) == ["map-weight-wrong"]
    assert compare_map(replace(half, is_calibrated=False), printed()).agreement is Agreement.AGREES


def test_a_person_lying_on_the_back_is_recognised():
    found = compare_map(read_pressure_map(FRAMES / "S05-p09.csv"), imprint(lying(VOLUNTEER)))
    assert found.agreement is not Agreement.CANNOT_TELL
    assert found.overlay.correlation > 0.6


def test_a_person_turned_to_the_left_fits_a_turn_to_the_left_and_not_one_to_the_right():
    frame = read_pressure_map(FRAMES / "S05-p07.csv")
    left, right = (lay_over(frame, imprint(lying(VOLUNTEER, turn))) for turn in (60.0, -60.0))
    assert left.correlation > right.correlation + 0.05
    found = compare_map(frame, imprint(lying(VOLUNTEER, -60.0)))
    assert found.agreement is Agreement.CANNOT_TELL


def test_a_person_curled_up_on_one_side_is_not_taken_for_one_on_the_back():
    found = compare_map(read_pressure_map(FRAMES / "S05-p13.csv"), imprint(lying(VOLUNTEER)))
    assert found.agreement is Agreement.CANNOT_TELL


@pytest.mark.parametrize(
    "value", [np.zeros((20, 20)), np.full((20, 20), -1.0), np.full((4, 20), 1.0)]
)
def test_a_grid_that_shows_nobody_is_refused(value: np.ndarray):
    with pytest.raises(InvalidInput):
        MeasuredMap(value, PITCH, PITCH, False)


def test_two_postures_at_once_have_no_imprint():
    with pytest.raises(InvalidInput, match="2 postures"):
        imprint(request(MAN, SPLIT, (turned(0.0), turned(10.0))))


def changes(found: Correction) -> dict[str, float]:
    return {quantity.name: quantity.value for quantity in found.changes}


def test_a_softer_mattress_and_a_harder_pillow_are_felt_but_one_map_is_not_trusted_far():
    """They move shares by two points at most, less than repeats of one map differ."""
    found = correct_by_map(lying(MAN), as_measured(printed(foam_scale=0.65, pillow=2.0)))
    assert found.is_made
    assert 0.3 < found.explained < 0.8
    assert 0.65 < changes(found)["mattress hardness"] < 0.97
    assert 1.05 < changes(found)["pillow hardness"] < 2.0
    assert found.reasons[-1].code == "map-corrected"


def test_a_described_mattress_is_corrected_within_what_its_label_leaves_open():
    bed = Bed(mattress=Mattress(MattressKind.FOAM, 0.15, 3.9e3), layers=())
    asked = replace(lying(MAN), bed=bed)
    found = correct_by_map(asked, as_measured(printed(foam_scale=0.4, pillow=2.0)))
    (scenario,) = found.request.scenarios
    assert foam_range(bed).low <= scenario.foam_scale <= foam_range(bed).high


def test_a_map_that_cannot_be_compared_corrects_nothing():
    noise = np.random.default_rng(1).random((72, 41))
    asked = lying(MAN)
    found = correct_by_map(asked, MeasuredMap(noise, PITCH, PITCH, False))
    assert not found.is_made
    assert found.request is asked
    assert found.changes == ()


def test_what_no_correction_explains_leaves_the_model_as_it_was():
    measured = as_measured(printed())
    heavy_waist = measured.value.copy()
    heavy_waist[27:33] *= 2.5
    asked = lying(MAN)
    found = correct_by_map(asked, replace(measured, value=heavy_waist, is_calibrated=False))
    assert not found.is_made
    assert found.request is asked
    assert "left as it was" in found.reasons[-1].sentence
