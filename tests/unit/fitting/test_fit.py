"""All that was found at the bed: nothing missing reassures, and limits leave nothing barred."""

from dataclasses import fields, replace
from functools import cache

import pytest

from leeward.exchange.case_file import bundled_equipment
from leeward.fitting.finding import NOT_A_CLEARANCE, Outcome, worst
from leeward.fitting.fit import Fitting, fit, with_limits
from leeward.fitting.line import SHIFTS, LineEffect, line_findings
from leeward.fitting.measures import MEASURES
from leeward.fitting.mechanism import BedSetting
from leeward.fitting.placement import placement_findings
from leeward.fitting.posture_table import used_backs
from leeward.fitting.sensing import place_across, sensing_findings
from leeward.terms.bed import LayerKind, MattressKind, RailKind
from leeward.terms.case import Case, Placement
from leeward.terms.equilibrium import EquilibriumState
from leeward.terms.errors import CannotCompute
from leeward.terms.fit_sheet import AroundTheBed
from leeward.terms.posture import Posture
from leeward.terms.units import deg_from_radians
from leeward.terms.verdict import Reason
from tests.unit.fitting.at_the_bed import all_measured, fitted, found_at, sheet_of


def changed(case: Case, **sheet: object) -> Case:
    """The case with other entries in its fit sheet."""
    return replace(case, fit_sheet=replace(sheet_of(case), **sheet))


def with_bed(case: Case, **bed: object) -> Case:
    """The case with other entries in its bed sheet."""
    return changed(case, bed=replace(sheet_of(case).bed, **bed))


def with_part(case: Case, **part: object) -> Case:
    """The case with another first part of its rails."""
    first, *rest = sheet_of(case).bed.rail_parts
    return with_bed(case, rail_parts=(replace(first, **part), *rest))


def codes(case: Case, outcome: Outcome) -> set[str]:
    """Codes of what holds in every posture and has this outcome."""
    return {one.code for one in fit(case).everywhere if one.outcome is outcome}


def test_a_bed_on_which_all_was_measured_breaks_no_limit_and_is_not_cleared():
    found = fit(with_flat_day(all_measured()))
    assert worst(found.everywhere) is Outcome.NO_LIMIT_BROKEN
    level = [row for row in found.rows if _is_flat(row.setting)]
    assert {row.outcome for row in level} == {Outcome.NO_LIMIT_BROKEN}
    assert "not a clearance" in NOT_A_CLEARANCE
    assert "flat" in NOT_A_CLEARANCE
    assert len(found.by_eye) == 2


def _is_flat(setting: BedSetting) -> bool:
    return setting.turn == setting.backrest == setting.knee_raise == 0.0


def with_flat_day(case: Case) -> Case:
    """The case of somebody who lies flat all day."""
    return replace(case, day=replace(case.day, usual_backrest=0.0, usual_knee_raise=0.0))


def missing_one() -> dict[str, Case]:
    """Cases in each of which one measure that is needed is missing."""
    case = with_flat_day(all_measured())
    sheet = sheet_of(case)
    gone = {
        name: changed(case, **{name: None})
        for name in (
            "mattress_width", "mattress_mass", "unit_foot_end", "hip_from_hinge",
            "sensing_width", "accessory_mass", "hoist_leg_height", "is_unit_permitted_on_bed",
            "is_unit_permitted_by_mattress", "handling_assessed_on",
        )
    }  # fmt: skip
    gone |= {
        name: with_bed(case, **{name: None})
        for name in (
            "back_travel", "knee_with_backrest", "calf", "lowest", "highest", "clearance",
            "rails_tilt", "gap_to_head_board", "gap_to_foot_board", "gap_between_parts",
            "safe_working_load",
        )
    }  # fmt: skip
    gone |= {
        f"rail {field.name}": with_part(case, **{field.name: None})
        for field in fields(sheet.bed.rail_parts[0])
        if field.name not in ("name", "moves_with")
    }
    gone["rail parts"] = with_bed(case, rail_parts=())
    gone["rails"] = with_bed(case, rails=RailKind.UNDESCRIBED)
    mattress = replace(case.bed.mattress, thickness=None)
    gone["mattress thickness"] = replace(case, bed=replace(case.bed, mattress=mattress))
    gone["layers"] = replace(case, bed=replace(case.bed, layers=None))
    gone["line"] = replace(case, placement=Placement())
    for number, run in enumerate(sheet.runs):
        for without in (replace(run, length=None), replace(run, points=())):
            runs = (*sheet.runs[:number], without, *sheet.runs[number + 1 :])
            gone[f"{run.name}, {'length' if without.points else 'points'}"] = changed(
                case, runs=runs
            )
        gone[run.name] = changed(case, runs=(*sheet.runs[:number], *sheet.runs[number + 1 :]))
    for about in AroundTheBed:
        answers = tuple(one for one in sheet.answers if one.about is not about)
        gone[about.name] = changed(case, answers=answers)
    return gone


MISSING_ONE = missing_one()


@cache
def _whole() -> Fitting:
    return fit(with_flat_day(all_measured()))


@pytest.mark.parametrize("name", MISSING_ONE)
def test_without_any_one_measure_something_cannot_be_told(name):
    """The whole answer, or the postures it matters in, never stay in order."""
    whole, found = _whole(), fit(MISSING_ONE[name])
    assert set(found.to_measure) - set(whole.to_measure)
    worse = [
        after
        for before, after in zip(whole.rows, found.rows, strict=False)
        if after.outcome is Outcome.NO_LIMIT_BROKEN and before.outcome is not after.outcome
    ]
    assert worse == []
    if found.outcome is not Outcome.CANNOT_TELL:
        assert any(row.outcome is Outcome.CANNOT_TELL for row in found.rows)


def test_every_measure_says_what_how_and_where():
    for code, measure in MEASURES.items():
        assert measure.code == code
        assert min(len(text) for text in (measure.what, measure.how, measure.field)) > 4


@pytest.mark.parametrize("name", ["small-bent-hips", "large"])
def test_the_limits_leave_no_barred_posture_inside(name):
    case, found = fitted(name), found_at(name)
    used = set(used_backs(case))
    for row in found.rows:
        setting = row.setting
        side = found.limits.turn_left if setting.turn > 0.0 else found.limits.turn_right
        inside = all(abs(setting.turn) <= edge.value for edge in side)
        is_barred = any(one.outcome is Outcome.NOT_TO_BE_USED for one in row.findings)
        if is_barred and setting.turn and (setting.backrest, setting.knee_raise) in used:
            assert not inside
    assert found.limits.turn_left
    assert "found at the bed: The" in found.limits.turn_left[0].source


def test_the_heavy_man_is_limited_by_the_rail_that_stays_on_the_frame():
    """490 mm of rail, 255 mm of unit and mattress, 590 mm from the line: all lost at 23.5°."""
    found = found_at("large")
    assert deg_from_radians(found.limits.turn_left[0].value) == pytest.approx(20.0)
    assert "right side raised" in found.limits.turn_left[0].source
    assert "left side raised" in found.limits.turn_right[0].source


def test_what_is_barred_everywhere_leaves_no_turn():
    heavy = with_bed(all_measured(), safe_working_load=70.0)
    limits = fit(heavy).limits
    assert [edge.value for edge in (*limits.turn_left, *limits.turn_right)] == [0.0, 0.0]
    assert "safe working load" in limits.turn_left[0].source


def test_masses_sizes_and_company_are_judged():
    case = all_measured()
    assert "unit-width" in codes(changed(case, mattress_width=0.6), Outcome.NOT_TO_BE_USED)
    heavy = replace(case, person=replace(case.person, body=replace(case.person.body, mass=250.0)))
    assert {"unit-mass", "overloaded"} <= codes(heavy, Outcome.NOT_TO_BE_USED)
    tall = replace(case, person=replace(case.person, body=replace(case.person.body, stature=1.86)))
    assert "tall" in codes(tall, Outcome.WITH_MEASURE)
    refused = changed(case, is_unit_permitted_by_mattress=False)
    assert "permission-refused" in codes(refused, Outcome.NOT_TO_BE_USED)
    gel = replace(case.bed.mattress, kind=MattressKind.GEL)
    assert "mattress-kind" in codes(
        replace(case, bed=replace(case.bed, mattress=gel)), Outcome.NOT_TO_BE_USED
    )
    assert case.bed.layers is not None
    sling = (replace(case.bed.layers[0], kind=LayerKind.SLING),)
    assert "layer" in codes(
        replace(case, bed=replace(case.bed, layers=sling)), Outcome.WITH_MEASURE
    )
    assert "hoist" in codes(changed(case, hoist_leg_height=0.2), Outcome.WITH_MEASURE)
    outside = (Reason("outside-tables", "The mass is below 40 kg."),)
    assert any(one.code == "bed-size" for one in fit(case, outside).everywhere)


def test_a_bed_sheet_that_contradicts_the_case_is_asked_about():
    case = with_bed(all_measured(), safe_working_load=300.0)
    assert "case-and-bed-differ" in codes(case, Outcome.CANNOT_TELL)


def test_a_unit_without_straps_and_sensing_elements_asks_for_none():
    case = replace(all_measured(), equipment=bundled_equipment("whole-basic"))
    found = fit(changed(case, runs=()))
    assert found.sensing == ()
    assert not [one for one in found.everywhere if "run" in one.code]


def test_a_table_is_read_between_its_lines_and_never_beyond():
    unit = all_measured().equipment
    assert unit is not None
    rows = tuple(row for row in unit.layout.sensing_table if "left" in row.element)
    assert place_across(rows, 0.80) == pytest.approx(0.22)
    assert place_across(rows, 1.01) == pytest.approx(0.29)
    assert place_across(rows, 0.79) is None
    assert place_across(rows, 1.23) is None
    beyond = sensing_findings(replace(sheet_of(all_measured()), sensing_width=1.3), unit)
    assert {one.outcome for one in beyond} == {Outcome.CANNOT_TELL}


def test_sliding_down_takes_the_body_off_the_unit():
    case = all_measured()
    unit = case.equipment
    assert unit is not None
    found = placement_findings(case, sheet_of(case), unit)
    slid = [one for one in found if one.outcome is Outcome.WITH_MEASURE]
    assert slid
    assert all("after sliding down" in one.sentence for one in slid)
    off = placement_findings(case, replace(sheet_of(case), hip_from_hinge=0.12), unit)
    assert "hip-off-hinge" in {one.code for one in off}


def test_a_shoulder_told_from_the_stature_is_not_taken_for_measured():
    case = all_measured()
    unit = case.equipment
    assert unit is not None
    told = replace(sheet_of(case), shoulder_tip_from_hip=None)
    sentences = [one.sentence for one in placement_findings(case, told, unit)]
    assert any("told from the stature" in sentence for sentence in sentences)


def effects(*states: EquilibriumState) -> tuple[LineEffect, ...]:
    posture = Posture(turn=0.35)
    return tuple(
        LineEffect(posture, shift, state, 0.3, 0.55, 0.1)
        for shift, state in zip(SHIFTS, states, strict=True)
    )


def test_a_line_laid_aside_that_lets_the_body_go_is_told():
    stable, slides = EquilibriumState.STABLE, EquilibriumState.SLIDES
    found = {one.code: one for one in line_findings(effects(*[stable] * 5))}
    assert found["rests"].outcome is Outcome.NO_LIMIT_BROKEN
    assert found["twist"].outcome is Outcome.WITH_MEASURE
    found = {one.code: one for one in line_findings(effects(*[stable] * 3, slides, stable))}
    assert "5 cm further to the person's left" in found["rests-only-here"].sentence
    found = {one.code: one for one in line_findings(effects(*[slides] * 5))}
    assert found["does-not-rest"].outcome is Outcome.NOT_TO_BE_USED


def test_a_case_with_a_fit_sheet_is_planned_inside_its_limits_and_says_what_is_open():
    case = fitted("half-known")
    limited = with_limits(case)
    assert len(limited.missing) > len(case.missing) + 10
    assert {one.field for one in limited.missing if one not in case.missing} == {"fitting"}
    assert with_limits(replace(case, fit_sheet=None)).missing == case.missing
    large = with_limits(fitted("large"))
    assert large.posture_limits.turn_left


def test_without_a_fit_sheet_nothing_is_fitted():
    with pytest.raises(CannotCompute, match="no fit sheet"):
        fit(replace(all_measured(), fit_sheet=None))
