"""What holds the person, or cannot be counted on to, is said before anything is done."""

from dataclasses import replace

import pytest

from leeward.programme.cautions import cautions
from leeward.programme.support_cautions import support_cautions
from leeward.terms.bed import Mattress, MattressKind, RailKind
from leeward.terms.body import Oedema
from leeward.terms.posture import Support
from leeward.terms.supports import Block, FixedTo
from tests.unit.programme import invented
from tests.unit.programme.invented import NOW

LEFT = Block(Support.TRUNK_BLOCK_LEFT, FixedTo.MATTRESS)


def said(bed: dict[str, object] | None = None, day: dict[str, object] | None = None):
    given = invented.case()
    given = replace(
        given, bed=replace(given.bed, **(bed or {})), day=replace(given.day, **(day or {}))
    )
    return {reason.code: reason.sentence for reason in support_cautions(given)}


def test_without_supports_and_rails_nothing_is_said():
    assert said({"rails": RailKind.NONE}) == {}


def test_a_plan_with_blocks_says_that_it_belongs_to_them_and_what_holds_them():
    found = said({"blocks": (LEFT,)}, {"night_supports": frozenset({LEFT.support})})
    sentence = found["blocks-belong-to-the-plan"]
    assert "left of the trunk, fixed to the mattress" in sentence
    assert "does not hold: plan again" in sentence


def test_a_plan_without_the_blocks_there_are_says_that_it_does_not_hold_with_them():
    found = said({"blocks": (LEFT,)})
    assert "left of the trunk" in found["blocks-not-in-the-plan"]
    assert "blocks-belong-to-the-plan" not in found


@pytest.mark.parametrize(
    ("bed", "day", "code"),
    [
        ({"rails": RailKind.SPLIT}, {}, "rails-hold-nobody"),
        ({}, {"usual_head_up": -0.1}, "head-down"),
        ({}, {"usual_supports": frozenset({Support.PILLOW_BETWEEN_KNEES})}, "between-the-knees"),
        ({"mattress": Mattress(MattressKind.ALTERNATING_AIR)}, {}, "cells-at-rest"),
    ],
)
def test_what_is_not_computed_or_not_counted_on_is_named(bed, day, code: str):
    assert any(found.startswith(code) for found in said(bed, day))


def test_swollen_limbs_are_named():
    person = invented.person()
    swollen = replace(person, body=replace(person.body, oedema=Oedema(right_arm=1.5)))
    found = [one for one in cautions(invented.case(person=swollen), NOW) if "swollen" in one.code]
    assert "right arm" in found[0].sentence
    assert found[0].numbers[0].value == 1.5
