from dataclasses import replace

import pytest

from leeward.programme.day_layout import chains
from leeward.programme.windows import WindowKind, day_windows, pause_reasons
from leeward.terms.clock import DaySpan
from leeward.terms.day import PrescribedWindow
from leeward.terms.errors import InvalidInput
from leeward.terms.limits import Limit
from leeward.terms.posture import Place, Posture, Support
from leeward.terms.posture_limits import PostureLimits
from leeward.terms.units import radians_from_deg
from tests.unit.programme import invented
from tests.unit.programme.invented import HOUR

UPRIGHT = Posture(backrest=radians_from_deg(45.0))
LUNCH = PrescribedWindow("lunch", DaySpan(12 * HOUR, 13 * HOUR), UPRIGHT, False, "dietitian")
FEED = PrescribedWindow(
    "overnight feed",
    DaySpan(23 * HOUR, 5 * HOUR),
    Posture(backrest=radians_from_deg(30.0)),
    True,
    "dietitian",
)
CHAIR = PrescribedWindow(
    "out in chair", DaySpan(14 * HOUR, 16 * HOUR), Posture(place=Place.CHAIR), True, "therapist"
)


def with_day(unit=None, **changes):
    given = invented.case(unit)
    return replace(given, day=replace(given.day, **changes))


def windows(given):
    return day_windows(given, given.equipment.ability)


def test_a_plain_day_is_a_day_and_a_night():
    found = windows(invented.case())
    assert [(w.name, w.is_sleep) for w in found] == [("day", False), ("night", True)]


def test_a_unit_with_one_cycle_is_not_divided_at_the_edges_of_sleep():
    (found,) = windows(invented.case(invented.unit(programmes_per_day=1)))
    assert found.span.duration == 24 * HOUR
    assert found.name == "day and night"


@pytest.mark.parametrize("prescribed", [(), (LUNCH,), (LUNCH, FEED), (LUNCH, FEED, CHAIR)])
@pytest.mark.parametrize("programmes", [1, 2])
def test_the_windows_follow_one_another_and_cover_the_day(prescribed, programmes):
    found = windows(with_day(invented.unit(programmes_per_day=programmes), prescribed=prescribed))
    assert sum(window.span.duration for window in found) == 24 * HOUR
    ends = [window.span.end for window in found]
    assert [window.span.start for window in found] == [ends[-1], *ends[:-1]]
    assert len({window.name for window in found}) == len(found)


def test_lunch_is_prescribed_and_the_day_around_it_turns():
    kinds = {window.name: window.kind for window in windows(with_day(prescribed=(LUNCH,)))}
    assert kinds["lunch"] is WindowKind.PRESCRIBED
    assert kinds["day from 07:00"] is kinds["day from 13:00"] is WindowKind.TURNING


def test_a_feed_below_the_pausing_angle_turns_with_its_backrest_and_follows_the_night():
    found = windows(with_day(prescribed=(FEED,)))
    (feed,) = [window for window in found if window.name == "overnight feed"]
    assert feed.kind is WindowKind.TURNING
    assert feed.is_sleep
    assert feed.posture.backrest == radians_from_deg(30.0)


def test_a_feed_above_the_pausing_angle_is_found_and_said():
    given = with_day(
        invented.unit(pauses_above_backrest=radians_from_deg(20.0)), prescribed=(FEED,)
    )
    (feed,) = [window for window in windows(given) if window.name == "overnight feed"]
    assert feed.kind is WindowKind.PAUSED
    (reason,) = pause_reasons(given, given.equipment.ability)
    assert "23:00 to 05:00" in reason.sentence
    assert "middle of the night" in reason.sentence
    assert [number.value for number in reason.numbers] == [30.0, 20.0]


def test_the_pausing_angle_itself_does_not_pause():
    given = with_day(
        invented.unit(pauses_above_backrest=radians_from_deg(30.0)), prescribed=(FEED,)
    )
    assert pause_reasons(given, given.equipment.ability) == ()


def test_a_usual_backrest_above_the_pausing_angle_pauses_the_whole_day():
    given = with_day(
        invented.unit(pauses_above_backrest=radians_from_deg(20.0)),
        usual_backrest=radians_from_deg(25.0),
    )
    assert {window.kind for window in windows(given)} == {WindowKind.PAUSED}
    assert chains(windows(given), is_one_cycle=False) == ()


def test_nothing_turns_out_of_bed_whatever_is_asked():
    found = windows(with_day(prescribed=(CHAIR,)))
    (chair,) = [window for window in found if window.name == "out in chair"]
    assert chair.kind is WindowKind.PRESCRIBED


def test_overlapping_prescriptions_are_refused_by_name():
    tea = replace(LUNCH, name="tea", span=DaySpan(12.5 * HOUR, 14 * HOUR))
    with pytest.raises(InvalidInput, match="lunch and tea overlap"):
        windows(with_day(prescribed=(LUNCH, tea)))


def test_the_usual_backrest_stays_inside_everybodys_limits():
    limit = Limit(radians_from_deg(20.0), "rad", "head of bed meets the wall")
    given = with_day(usual_backrest=radians_from_deg(30.0))
    given = replace(given, posture_limits=PostureLimits(backrest=(limit,)))
    assert windows(given)[0].posture.backrest == radians_from_deg(20.0)
    raised = replace(given, person=invented.person(least_backrest=radians_from_deg(15.0)))
    raised = replace(raised, day=replace(raised.day, usual_backrest=0.0))
    assert windows(raised)[0].posture.backrest == radians_from_deg(15.0)


def test_backrest_limits_that_contradict_each_other_are_refused():
    both = invented.person(least_backrest=0.6, greatest_backrest=0.3)
    with pytest.raises(InvalidInput, match="least backrest"):
        windows(invented.case(person=both))


def test_day_and_night_are_two_chains_and_a_unit_with_one_cycle_has_one():
    found = windows(with_day(prescribed=(LUNCH, FEED)))
    day_first = chains(found, is_one_cycle=False)
    assert len(day_first) == 2
    assert sum(len(chain) for chain in day_first) == len(found)
    assert len(chains(found, is_one_cycle=True)) == 1


def test_every_chain_begins_with_a_window_that_turns():
    found = windows(with_day(prescribed=(LUNCH, CHAIR)))
    for chain in chains(found, is_one_cycle=False):
        assert chain[0].kind is WindowKind.TURNING


BLOCKS = frozenset({Support.LEG_BLOCK_LEFT, Support.LEG_BLOCK_RIGHT})


def test_supports_of_the_night_are_those_of_the_night_alone():
    found = windows(with_day(night_supports=BLOCKS, usual_head_up=0.05))
    assert {w.name: w.posture.supports for w in found} == {"day": frozenset(), "night": BLOCKS}
    assert {w.posture.head_up for w in found} == {0.05}


def test_a_unit_with_one_cycle_is_divided_where_other_supports_hold_at_night():
    unit = invented.unit(programmes_per_day=1)
    same = windows(with_day(unit, usual_supports=BLOCKS))
    other = windows(with_day(unit, night_supports=BLOCKS))
    assert [w.posture.supports for w in same] == [BLOCKS]
    assert {w.is_sleep: w.posture.supports for w in other} == {False: frozenset(), True: BLOCKS}
