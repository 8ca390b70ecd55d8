"""Changes somebody could make where a raised backrest stops the unit, and at the bed."""

from dataclasses import replace

import pytest

from leeward.programme import what_would_change
from leeward.programme.changes import (
    OTHER_MATTRESS,
    Size,
    changes_at_the_bed,
    changes_of_the_day,
    head_up_tilt,
    held_up,
    not_computed,
)
from leeward.programme.helps import Help, as_reason, smallest_first
from leeward.programme.what_would_change import what_would_help
from leeward.terms.bed_sheet import BedSheet
from leeward.terms.case import Placement
from leeward.terms.clock import DaySpan
from leeward.terms.day import PrescribedWindow
from leeward.terms.fit_sheet import FitSheet
from leeward.terms.posture import Posture, Support
from leeward.terms.site import Site
from leeward.terms.units import deg_from_radians, radians_from_deg, seconds_from_min
from tests.unit.programme import invented
from tests.unit.programme.invented import HOUR

PAUSES = invented.unit(pauses_above_backrest=radians_from_deg(30.0))
#: With few settings, so that searching it often takes no time.
FEW = invented.unit(
    pauses_above_backrest=radians_from_deg(30.0),
    smallest_turn=radians_from_deg(30.0),
    stay_step=seconds_from_min(90.0),
    programmes_per_day=1,
)


def feed(start, end, *others):
    raised = Posture(backrest=radians_from_deg(35.0), knee_raise=radians_from_deg(10.0))
    one = PrescribedWindow("feed", DaySpan(start * HOUR, end * HOUR), raised, False, "dietitian")
    case = invented.case(PAUSES)
    return replace(case, day=replace(case.day, prescribed=(one, *others)))


def lunch():
    raised = Posture(backrest=radians_from_deg(60.0))
    return PrescribedWindow("lunch", DaySpan(12 * HOUR, 13 * HOUR), raised, False, "dietitian")


def changed(case):
    return {one.code: one for one in changes_of_the_day(invented.searched(case))}


def tilting(case, deg):
    tilt = None if deg is None else radians_from_deg(deg)
    sheet = BedSheet("Invented bed", "invented", largest_head_up=tilt)
    return replace(case, fit_sheet=FitSheet(bed=sheet, measured_by="Invented nurse"))


def test_a_meal_sitting_up_is_left_alone():
    case = feed(22, 4, lunch())
    assert [window.name for window in held_up(invented.searched(case))] == ["feed"]
    for one in changed(case).values():
        assert lunch() in one.case.day.prescribed


def test_the_backrest_is_lowered_to_where_the_unit_still_turns():
    (prescribed,) = changed(feed(22, 4))["backrest-at-edge"].case.day.prescribed
    assert deg_from_radians(prescribed.posture.backrest) == pytest.approx(30.0)
    assert deg_from_radians(prescribed.posture.knee_raise) == pytest.approx(10.0)
    assert prescribed.may_turn


def test_a_bed_nobody_described_is_tilted_by_a_usual_angle_with_a_doubt():
    change = changed(feed(22, 4))["head-up"]
    (prescribed,) = change.case.day.prescribed
    assert deg_from_radians(prescribed.posture.head_up) == pytest.approx(12.0)
    assert prescribed.posture.backrest == 0.0
    assert "if this bed tilts so far" in change.sentence
    assert "prescriber" in change.decides


@pytest.mark.parametrize(("written", "tilted"), [(None, 12.0), (8.0, 8.0), (16.0, 12.0)])
def test_a_bed_is_tilted_no_farther_than_its_sheet_says(written, tilted):
    found = head_up_tilt(tilting(feed(22, 4), written))
    assert deg_from_radians(found) == pytest.approx(tilted)


def test_a_bed_that_does_not_tilt_is_said_to_be_so():
    case = tilting(feed(22, 4), 0.0)
    assert "head-up" not in changed(case)
    reasons = not_computed(invented.searched(case))
    assert [one.code for one in reasons] == ["head-up-not-possible"]
    assert "0° at most" in reasons[0].sentence


def test_a_feed_is_moved_to_where_the_waking_day_is_free():
    (moved, meal) = changed(feed(22, 4, lunch()))["by-day"].case.day.prescribed
    assert moved.span == DaySpan(13 * HOUR, 19 * HOUR)
    assert meal == lunch()


def test_a_feed_too_long_for_the_waking_day_is_asked_about():
    case = feed(20, 10, lunch())
    assert "by-day" not in changed(case)
    reasons = not_computed(invented.searched(case))
    assert "by-day-not-possible" in [one.code for one in reasons]


def test_where_nothing_stops_the_unit_the_day_stays_as_it_is():
    assert changes_of_the_day(invented.searched(invented.case(PAUSES))) == ()


def test_each_change_at_the_bed_is_looked_at_where_it_is_not_so_already():
    case = invented.case(placement=Placement(0.032, "Invented nurse"))
    by_code = {one.code: one for one in changes_at_the_bed(invented.searched(case))}
    assert set(by_code) == {"centre-the-body", "pillow-under-calves", "bolster", "other-mattress"}
    centred = by_code["centre-the-body"]
    assert "moved 32 mm to its own left" in centred.sentence
    assert centred.case.placement.line_offset == 0.0
    assert Support.PILLOW_UNDER_CALVES in by_code["pillow-under-calves"].case.day.usual_supports
    assert by_code["other-mattress"].case.hand_checks == ()
    done = replace(
        case,
        placement=Placement(0.0, "Invented nurse"),
        bed=replace(case.bed, mattress=OTHER_MATTRESS),
        day=replace(
            case.day,
            usual_supports=frozenset(
                {Support.PILLOW_UNDER_CALVES, Support.BOLSTER_LEFT, Support.BOLSTER_RIGHT}
            ),
        ),
    )
    assert changes_at_the_bed(invented.searched(done)) == ()


def test_a_line_nobody_measured_is_centred_by_measuring_it():
    case = invented.case(placement=Placement(None))
    (centred, *_) = changes_at_the_bed(invented.searched(case))
    assert centred.code == "centre-the-body"
    assert "measure it first" in centred.decides


def test_what_would_help_is_searched_anew_under_every_change():
    case = replace(feed(22, 4), equipment=FEW)
    nobody_comes = replace(case, day=replace(case.day, rounds=()))
    helps = what_would_help(invented.searched(nobody_comes), invented.More())
    codes = [one.code for one in helps]
    assert codes[0] == "as-it-is"
    assert {"backrest-at-edge", "head-up", "by-day", "backrest-lowered", "bolster"} <= set(codes)
    lowered = next(one for one in helps if one.code == "backrest-lowered")
    assert lowered.index is not None
    assert lowered.index_low <= lowered.index <= lowered.index_high
    assert lowered.site in Site


def test_turns_by_hand_on_the_mattress_there_is_say_nothing_of_another(
    monkeypatch: pytest.MonkeyPatch,
):
    hands = {}

    def noted(one, lent):
        hands[one.code] = lent
        return plain(one.code, one.size)

    monkeypatch.setattr(what_would_change, "helped", noted)
    what_would_help(invented.searched(replace(feed(22, 4), equipment=FEW)), invented.More())
    assert hands.pop("other-mattress") is None
    assert hands
    assert None not in hands.values()


def plain(code, size, *, qualifies=False, index=None, by_hand=None):
    return Help(
        code, f"With {code}", size, qualifies, index, None, None, None, None, by_hand=by_hand
    )


def test_the_smallest_change_that_suffices_comes_first():
    unit = plain("another unit", Size.UNIT, qualifies=True, index=0.7)
    pillow = plain("a pillow", Size.SUPPORT, qualifies=True, index=0.95)
    near = plain("a tilt", Size.SETTING, index=1.02)
    far = plain("a bolster", Size.SUPPORT, index=1.6)
    nothing = plain("another mattress", Size.MATTRESS)
    assert smallest_first([nothing, far, near, unit, pillow]) == (pillow, unit, near, far, nothing)


def test_a_change_after_which_no_day_keeps_the_guards_is_not_given_an_index():
    assert (
        "no day that can be set keeps the limits and guards"
        in as_reason(plain("a bolster", Size.SUPPORT)).sentence
    )
