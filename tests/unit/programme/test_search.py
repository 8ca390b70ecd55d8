"""The vectorised search against plain loops over every settable programme."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest

from leeward.programme.assessment import assess, judged
from leeward.programme.choices import choose
from leeward.programme.cycles import families
from leeward.programme.decision import ChoiceName, SiteStanding
from leeward.programme.guards_kept import guard_reasons
from leeward.programme.problem import Problem
from leeward.programme.programme import Programme, Window
from leeward.programme.programmes import day_segments, programme_at
from leeward.programme.search import LARGEST_INDEX, look
from leeward.programme.windows import WindowKind
from leeward.terms.clock import DaySpan
from leeward.terms.day import PrescribedWindow
from leeward.terms.equipment import Order
from leeward.terms.posture import Place, Posture
from leeward.terms.regime import Stay
from leeward.terms.site import Site
from leeward.terms.units import radians_from_deg, seconds_from_min
from tests.unit.programme import invented
from tests.unit.programme.invented import HOUR

LUNCH = PrescribedWindow(
    "lunch",
    DaySpan(12 * HOUR, 13 * HOUR),
    Posture(backrest=radians_from_deg(45.0)),
    False,
    "dietitian",
)
FEED = PrescribedWindow(
    "feed",
    DaySpan(0.0, 3 * HOUR),
    Posture(backrest=radians_from_deg(20.0)),
    True,
    "dietitian",
)
CHAIR = PrescribedWindow(
    "chair", DaySpan(14 * HOUR, 15.5 * HOUR), Posture(place=Place.CHAIR), False, "therapist"
)
DAYS = {
    "plain": (),
    "lunch": (LUNCH,),
    "feed and chair": (FEED, CHAIR),
}

#: Rounding of an index [-].
ROUNDING = 1e-9


def small_search(prescribed=(), programmes=2) -> Problem:
    unit = invented.unit(
        programmes_per_day=programmes,
        smallest_turn=radians_from_deg(15.0),
        turn_step=radians_from_deg(15.0),
        shortest_stay=seconds_from_min(40.0),
        stay_step=seconds_from_min(80.0),
    )
    given = invented.case(unit)
    given = replace(given, day=replace(given.day, prescribed=prescribed))
    return invented.searched(given)


def every_programme(given: Problem) -> list[Programme]:
    """All settable programmes, written out one by one."""
    cycles = [
        [
            tuple((given.turns[o], stay) for o, stay in zip(options, stays, strict=True))
            for family in families(given.settings)
            for options in family.turns.tolist()
            for stays in family.stays.tolist()
        ]
        for _ in given.chains
    ]
    return [_written(given, picked) for picked in product(*cycles)]


def _written(given: Problem, picked) -> Programme:
    chain_of = {window.name: n for n, chain in enumerate(given.chains) for window in chain}
    windows = []
    for window in given.windows:
        cycle = (Stay(window.posture, window.span.duration),)
        if window.kind is WindowKind.TURNING:
            pairs = picked[chain_of[window.name]]
            cycle = tuple(Stay(window.posture.with_turn(turn), stay) for turn, stay in pairs)
        windows.append(Window(window.name, window.span, cycle, window.prescribed_by))
    return Programme(tuple(windows))


@pytest.mark.parametrize("prescribed", DAYS.values(), ids=DAYS)
@pytest.mark.parametrize("programmes", [1, 2])
def test_the_search_finds_exactly_what_a_loop_over_every_programme_finds(prescribed, programmes):
    given = small_search(prescribed, programmes)
    everything = every_programme(given)
    numbers = judged(given, everything)
    by_loop = sorted(
        float(one.worst[0])
        for one in numbers
        if one.agrees[0] and not guard_reasons(given, one.programme, one.day)
    )
    looked = look(given)
    by_search = sorted(looked.index[looked.fits & (looked.index <= LARGEST_INDEX)].tolist())
    assert 0 < len(by_loop) < len(everything)
    assert by_search == pytest.approx(by_loop, abs=ROUNDING)


@pytest.mark.parametrize("prescribed", DAYS.values(), ids=DAYS)
def test_the_index_of_a_pair_is_that_of_its_unrolled_day(prescribed):
    given = small_search(prescribed)
    looked = look(given)
    places = range(0, len(looked.index), 7)
    exact = judged(given, [programme_at(given, looked, place) for place in places])
    for place, one in zip(places, exact, strict=True):
        assert looked.index[place] == pytest.approx(float(one.worst[0]), abs=ROUNDING)


def test_the_cost_of_a_pair_is_that_of_its_unrolled_day():
    given = small_search((LUNCH,))
    looked = look(given)
    for place in range(0, len(looked.index), 11):
        day = day_segments(programme_at(given, looked, place), given.table)
        before = np.roll(day.turns, 1)
        moves = day.turns != before
        asleep = (day.starts >= 22 * HOUR) | (day.starts < 7 * HOUR)
        sleep, largest, through, count = looked.cost[place]
        assert count == moves.sum()
        assert sleep == (moves & asleep).sum()
        assert largest == np.abs(day.turns).max()
        assert through == pytest.approx(np.abs(day.turns - before).sum())


def test_the_three_choices_are_the_best_of_every_programme():
    given = small_search()
    looked = look(given)
    able = looked.fits & (looked.index <= LARGEST_INDEX)
    by_name = {choice.name: choice for choice in choose(given, looked)}
    gentle = by_name[ChoiceName.GENTLEST].assessment.disturbance
    assert gentle.turns_in_sleep == looked.cost[able, 0].min()
    relieving = by_name[ChoiceName.MOST_RELIEF].assessment
    best = max(site.index for site in relieving.sites if site.index is not None)
    assert best <= looked.index[able].min() + 0.005 + 1e-9


def test_a_case_built_to_have_one_best_answer_is_given_it():
    """Level is what loads: from side to side at the largest turn, as briefly as can be set."""
    given = small_search()
    choices = {choice.name: choice for choice in choose(given, look(given))}
    for window in choices[ChoiceName.MOST_RELIEF].programme.windows:
        turns = [stay.posture.turn for stay in window.cycle]
        assert turns == pytest.approx([radians_from_deg(30.0), -radians_from_deg(30.0)])
        assert {stay.duration for stay in window.cycle} == {seconds_from_min(40.0)}


def test_a_unit_with_one_cycle_gets_the_same_by_day_and_by_night():
    given = small_search((LUNCH,), programmes=1)
    for choice in choose(given, look(given)):
        cycles = {
            tuple((stay.posture.turn, stay.duration) for stay in window.cycle)
            for window in choice.programme.windows
            if len(window.cycle) > 1
        }
        assert len(cycles) == 1


def test_choices_that_coincide_are_shown_once_and_said_to():
    unit = invented.unit(
        smallest_turn=radians_from_deg(30.0),
        shortest_stay=seconds_from_min(60.0),
        longest_stay=seconds_from_min(60.0),
        orders=(Order.LEFT_RIGHT,),
    )
    given = invented.searched(invented.case(unit))
    (choice,) = choose(given, look(given))
    assert choice.name is ChoiceName.GENTLEST
    assert "one-programme" in [reason.code for reason in choice.reasons]


@pytest.mark.parametrize(
    ("share", "said"),
    [(1.5, "as under the regime compared"), (0.5, "under which it was not clear")],
)
def test_of_two_limits_only_the_lower_one_is_said_to_be_passed(share: float, said: str):
    given = invented.searched(invented.case())
    peaks = given.compared.peaks
    limited = replace(given.compared, peaks=replace(peaks, ceiling=share * peaks.peak))
    given = replace(given, compared=limited)
    looked = look(given)
    assert looked is not None
    most = int(np.argmax(looked.index))
    assert looked.index[most] > LARGEST_INDEX
    (one,) = judged(given, [programme_at(given, looked, most)])
    first = next(r for r in assess(given, one).reasons if r.code == "index-above-one")
    assert said in first.sentence


def test_what_one_draw_does_not_know_is_counted_in_the_others():
    given = small_search((LUNCH,))
    table = given.table
    row, column = table.row(LUNCH.posture), table.sites.index(Site.SACRUM)
    ratio = table.ratio.copy()
    ratio[1, row, column] = np.nan
    unsure = replace(given, table=replace(table, ratio=ratio))
    known, found = look(given), look(unsure)
    assert found.index == pytest.approx(known.index, abs=ROUNDING)
    day = programme_at(given, known, 3)
    (whole,), (partly,) = judged(given, [day]), judged(unsure, [day])
    assert partly.peak[0] == pytest.approx(whole.peak[0], nan_ok=True)
    assert partly.peak[1, column] < whole.peak[1, column]
    site = next(one for one in assess(unsure, partly).sites if one.site is Site.SACRUM)
    assert site.standing is SiteStanding.CANNOT_TELL
