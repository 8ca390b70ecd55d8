"""Blocks, supports by day and night, tilt of the bed and swollen limbs, as written."""

import math

import pytest

from leeward.contact.anthropometry import body_dimensions
from leeward.exchange.completeness import check
from leeward.exchange.problems import FileRefused
from leeward.terms.body import Oedema
from leeward.terms.posture import Support
from leeward.terms.supports import Block, FixedTo
from tests.unit.exchange.case_texts import changed, read_text
from tests.unit.exchange.test_case_completeness import NOW

RAILS = "  rails: split\n"
BLOCKS = """  blocks:
    - {which: trunk block left, fixed_to: mattress, from_middle_cm: 20}
    - {which: leg block right, fixed_to: platform, height_cm: 12}
"""
BACKREST = "  usual_backrest_deg: 0 "
NIGHT = "  night_supports: [trunk block left, leg block right]\n"
OPENING = "  care_min: 30\n"


def with_blocks(blocks: str = BLOCKS, night: str = NIGHT) -> str:
    return changed(RAILS, blocks + RAILS).replace(OPENING, OPENING + night)


def sentences(text: str) -> str:
    return " ".join(finding.sentence for finding in check(read_text(text), NOW))


def test_blocks_are_read_with_what_holds_them():
    case = read_text(with_blocks()).case
    assert case.bed.blocks == (
        Block(Support.TRUNK_BLOCK_LEFT, FixedTo.MATTRESS, distance=0.20),
        Block(Support.LEG_BLOCK_RIGHT, FixedTo.PLATFORM, height=0.12),
    )
    assert case.day.supports(True) == {Support.TRUNK_BLOCK_LEFT, Support.LEG_BLOCK_RIGHT}
    assert case.day.supports(False) == frozenset()
    assert "block" not in sentences(with_blocks())


def test_usual_supports_hold_at_night_unless_the_night_has_its_own():
    usual = changed(OPENING, OPENING + "  usual_supports: [pillow under calves]\n")
    day = read_text(usual).case.day
    assert day.supports(True) == day.supports(False) == {Support.PILLOW_UNDER_CALVES}
    none = usual.replace(OPENING, OPENING + "  night_supports: []\n")
    assert read_text(none).case.day.supports(True) == frozenset()


@pytest.mark.parametrize(
    ("blocks", "night", "said"),
    [
        ("", NIGHT, "does not say what it is fixed to"),
        (BLOCKS.replace("fixed_to: mattress", "fixed_to: nothing"), NIGHT, "laid loosely"),
        (BLOCKS, "", "a plan made without it does not hold with it"),
    ],
)
def test_blocks_used_but_not_held_and_held_but_not_used_are_named(
    blocks: str, night: str, said: str
):
    assert said in sentences(with_blocks(blocks, night))


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("trunk block left, fixed", "bolster left, fixed", "`bolster left` is no block"),
        ("leg block right, fixed", "trunk block left, fixed", "is written twice"),
        ("from_middle_cm: 20", "from_middle_cm: 200", "200"),
    ],
)
def test_what_is_no_block_is_refused(old: str, new: str, said: str):
    with pytest.raises(FileRefused, match=said):
        read_text(with_blocks(BLOCKS.replace(old, new)))


def test_the_whole_bed_may_be_tilted_by_day_and_in_a_prescribed_part():
    text = changed(OPENING, OPENING + "  usual_head_up_deg: -4\n")
    text = text.replace("knee_raise_deg: 15,", "knee_raise_deg: 15, head_up_deg: 6,")
    day = read_text(text).case.day
    assert day.usual_head_up == pytest.approx(math.radians(-4))
    assert day.prescribed[0].posture.head_up == pytest.approx(math.radians(6))


def test_fluid_in_swollen_limbs_is_read():
    text = changed(
        "  rest_angles: {}", "  oedema_kg: {left_leg: 3, right_leg: 2.5}\n  rest_angles: {}"
    )
    assert read_text(text).case.person.body.oedema == Oedema(left_leg=3.0, right_leg=2.5)


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ("{left_arm: 2}\n  missing_limbs: [left arm]", "fluid in the left arm, which is missing"),
        ("{left_leg: 20, right_leg: 20}", "40 kg of fluid in a person of 66.5 kg"),
    ],
)
def test_fluid_that_cannot_be_is_refused(given: str, said: str):
    with pytest.raises(FileRefused, match=said):
        read_text(changed("  rest_angles: {}", f"  oedema_kg: {given}\n  rest_angles: {{}}"))


def test_girths_are_read_and_one_far_from_the_tables_is_asked_about():
    text = changed(
        "  rest_angles: {}", "  hip_girth_cm: 105\n  waist_girth_cm: 140\n  rest_angles: {}"
    )
    case = read_text(text).case
    assert (case.person.body.hip_girth, case.person.body.waist_girth) == (1.05, 1.4)
    assert "person.hip_breadth_cm" not in {fact.field for fact in case.missing}
    said = sentences(text)
    assert "waist girth 140.0 cm, where the tables expect" in said
    assert "hip girth" not in said


def test_a_measured_breadth_wins_over_a_girth():
    by_girth = changed("  rest_angles: {}", "  hip_girth_cm: 120\n  rest_angles: {}")
    both = by_girth.replace("hip_girth_cm: 120", "hip_girth_cm: 120\n  hip_breadth_cm: 36")
    estimate, girth, measured = (
        body_dimensions(read_text(one).case.person.body).hip_breadth
        for one in (changed("rest_angles: {}", "#"), by_girth, both)
    )
    assert girth > 1.02 * estimate
    assert measured == pytest.approx(0.36)
