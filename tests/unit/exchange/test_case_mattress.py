"""A mattress as written: foams, hardness by indentation, use, a measured curve, pillows."""

import pytest

from leeward.contact.scenarios import foam_range
from leeward.exchange.completeness import check
from leeward.exchange.problems import FileRefused
from leeward.terms.bed import Foam, Layer, LayerKind, MattressKind, Pillows
from tests.unit.exchange.case_texts import changed, read_text
from tests.unit.exchange.test_case_completeness import NOW

PLAIN = "{kind: foam, thickness_mm: 140, cv40_kpa: 3.5, density_kg_m3: 45, years_in_use: 0}"
LAYERED = """
    kind: foam
    years_in_use: 6
    foams:
      - {thickness_mm: 40, ild40_n: 90, density_kg_m3: 50}
      - {thickness_mm: 100, cv40_kpa: 4.5}
"""


def mattress(text: str):
    return read_text(changed(PLAIN, text)).case.bed.mattress


def test_foams_are_read_from_the_top_down():
    read = mattress(LAYERED)
    assert read.foams == (
        Foam(0.04, indentation40=90.0, density=50.0),
        Foam(0.10, cv40=4500.0),
    )
    assert (read.thickness, read.cv40, read.years_in_use) == (None, None, 6.0)


def test_foams_leave_no_question_of_thickness_or_hardness():
    missing = {fact.field for fact in read_text(changed(PLAIN, LAYERED)).case.missing}
    assert not {"bed.mattress.thickness_mm", "bed.mattress.cv40_kpa"} & missing
    one_unknown = LAYERED.replace(", cv40_kpa: 4.5", "")
    missing = {fact.field for fact in read_text(changed(PLAIN, one_unknown)).case.missing}
    assert "bed.mattress.cv40_kpa" in missing


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("{kind: foam, cv40_kpa: 3.5, ild40_n: 150}", "cv40_kpa and ild40_n"),
        (
            "{kind: foam, thickness_mm: 140, foams: [{thickness_mm: 140}]}",
            "for the whole mattress, thickness_mm",
        ),
        (
            "{kind: air, curve: [{indentation_mm: 20, pressure_kpa: 2}, "
            "{indentation_mm: 40, pressure_kpa: 1.5}]}",
            "1.5 kPa at 40 mm after 2 kPa at 20 mm",
        ),
        (
            "{kind: air, curve: [{indentation_mm: 0, pressure_kpa: 1}]}",
            "1 kPa at 0 mm after 0 kPa at 0 mm",
        ),
    ],
)
def test_figures_that_cannot_both_hold_are_refused_with_both_said(text: str, said: str):
    with pytest.raises(FileRefused, match=said):
        read_text(changed(PLAIN, text))


def test_a_curve_may_begin_with_nothing_at_nothing():
    read = mattress(
        "{kind: gel, curve: [{indentation_mm: 0, pressure_kpa: 0}, "
        "{indentation_mm: 30, pressure_kpa: 7}]}"
    )
    assert read.kind is MattressKind.GEL
    assert foam_range(read_text(changed(PLAIN, LAYERED)).case.bed).middle == 1.0
    assert read.curve[-1] == pytest.approx((0.03, 7000.0))


def test_a_curve_that_ends_too_early_or_deeper_than_the_mattress_is_asked_about():
    shallow = changed(
        PLAIN, "{kind: air, thickness_mm: 25, curve: [{indentation_mm: 30, pressure_kpa: 2}]}"
    )
    said = " ".join(finding.sentence for finding in check(read_text(shallow), NOW))
    assert "pressed in by 30 mm, yet the mattress is 25 mm thick" in said
    assert "the curve ends at 2 kPa" in said


def test_pillows_and_an_overlay_of_its_own_hardness_are_read():
    text = changed("  layers: []", "  layers: [{kind: overlay, thickness_mm: 50, cv40_kpa: 1.8}]")
    text = text.replace("  rails: split", "  pillows: {head_mm: 60, calves_mm: 90}\n  rails: split")
    bed = read_text(text).case.bed
    assert bed.layers == (Layer(LayerKind.OVERLAY, 0.05, 1800.0),)
    assert bed.pillows == Pillows(head=0.06, calves=0.09)


def test_an_unusual_foam_of_several_is_asked_about():
    hard = LAYERED.replace("cv40_kpa: 4.5", "cv40_kpa: 12")
    findings = check(read_text(changed(PLAIN, hard)), NOW)
    assert any("foam hardness CV40 12 kPa is unusual" in one.sentence for one in findings)
