"""What lies at the platform's edge is said, with what would hold it; nothing passes quietly."""

from dataclasses import replace
from datetime import date
from functools import cache

import numpy as np
import pytest

from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest, posture_loads
from leeward.contact.scenarios import corner_scenarios
from leeward.fitting.edges import EdgePlace, edge_cautions, edge_place, edge_reasons
from leeward.terms.bed import Platform, RailKind
from leeward.terms.bed_sheet import BedSheet
from leeward.terms.case import Case
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.fit_sheet import FitSheet
from leeward.terms.posture import Posture
from leeward.terms.units import radians_from_deg
from tests.unit.programme import invented

LEVEL = Posture()
TO_THE_LEFT = Posture(turn=radians_from_deg(20.0))
BEYOND_THE_UNIT = Posture(turn=radians_from_deg(35.0))
#: Platforms that bring the body's edge within 50 mm, and beyond its own hips. [m]
NARROW, TOO_NARROW, WIDE = 0.42, 0.30, 1.0


def case_on(width: float, rails: RailKind = RailKind.NONE) -> Case:
    given = invented.case()
    bed = replace(given.bed, platform=Platform(width=width), rails=rails)
    return replace(given, bed=bed)


@cache
def table_on(width: float) -> LoadTable:
    case = case_on(width)
    body, surface = case.person.body, case.equipment.geometry
    scenarios = corner_scenarios(case.bed, surface, body)[:1]
    postures = (LEVEL, TO_THE_LEFT, BEYOND_THE_UNIT)
    return posture_loads(LoadRequest(body, case.bed, surface, postures, scenarios))


def said(width: float, rails: RailKind = RailKind.NONE) -> dict[str, str]:
    reasons = edge_reasons(case_on(width, rails), table_on(width), LEVEL)
    return {reason.code: reason.sentence for reason in reasons}


def test_a_body_in_the_middle_of_a_wide_bed_is_clear_of_the_edge():
    assert edge_place(case_on(WIDE), table_on(WIDE), LEVEL) is EdgePlace.CLEAR
    assert "at-the-edge" not in said(WIDE)


@pytest.mark.parametrize(
    ("rails", "words"),
    [
        (RailKind.NONE, "there is no rail, so it may hang over the edge"),
        (RailKind.FULL, "leans on it (what the rail bears is not computed)"),
        (RailKind.SPLIT, "between the parts of a split rail over the edge"),
        (RailKind.UNDESCRIBED, "cannot be told until somebody writes down the rails"),
    ],
)
def test_a_part_at_the_edge_is_named_with_what_would_hold_it(rails: RailKind, words: str):
    sentence = said(NARROW, rails)["at-the-edge"]
    assert "the left thigh (" in sentence
    assert words in sentence
    assert edge_place(case_on(NARROW), table_on(NARROW), LEVEL) is EdgePlace.AT


def test_trunk_beyond_the_edge_is_never_offered_whatever_rail_there_is():
    table = table_on(TOO_NARROW)
    assert table.state_everywhere(LEVEL) is EquilibriumState.OVER_EDGE
    sentence = said(TOO_NARROW, RailKind.FULL)["over-the-edge"]
    assert "the pelvis (" in sentence
    assert "mm beyond it)" in sentence
    assert "is never offered" in sentence
    assert edge_place(case_on(TOO_NARROW), table, LEVEL) is EdgePlace.OVER


def test_rails_found_at_the_bed_count_before_those_written_in_the_case():
    case = case_on(NARROW, RailKind.FULL)
    sheet = FitSheet(
        BedSheet("invented", "invented", rails=RailKind.NONE), "A. Invented", date(2026, 3, 1)
    )
    found = edge_reasons(replace(case, fit_sheet=sheet), table_on(NARROW), LEVEL)
    assert any("there is no rail" in reason.sentence for reason in found)


def test_a_body_that_rests_in_no_draw_cannot_be_told():
    table = table_on(WIDE)
    nowhere = replace(
        table,
        state=np.full_like(table.state, EquilibriumState.TIPS),
        pose=replace(table.pose, place=np.full_like(table.pose.place, np.nan)),
    )
    assert edge_place(case_on(WIDE), nowhere, LEVEL) is EdgePlace.CANNOT_TELL


@pytest.mark.parametrize("platform", [Platform(), Platform(back=0.80)])
def test_a_width_nobody_measured_is_said_and_counts_as_narrower(platform: Platform):
    typical = Platform().width
    case = invented.case()
    case = replace(case, bed=replace(case.bed, platform=platform))
    near = table_on(WIDE)
    moved = near.pose.place.copy()
    moved[..., 0] += near.edge_distance - 0.5 * (WIDE - typical) - 0.08
    shifted = replace(near, pose=replace(near.pose, place=moved))
    found = {one.code: one for one in edge_reasons(case, shifted, LEVEL)}
    assert "taken as 90 cm" in found["at-the-edge"].sentence


def test_a_plan_speaks_of_turns_the_unit_can_be_set_to_only_and_of_no_arms():
    case, table = case_on(NARROW), table_on(NARROW)
    found = edge_cautions(case, (table,))
    words = " ".join(reason.sentence for reason in found)
    assert "turned to the left 20°, right side raised" in words
    assert "35°" not in words
    assert "arm" not in words
