"""What looks at skin prove and contradict, day by day at the edges."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from leeward.terms.bed import Bed, Mattress
from leeward.terms.body import Body, Sex
from leeward.terms.case import Case
from leeward.terms.clock import DaySpan
from leeward.terms.day import Day
from leeward.terms.person import Person
from leeward.terms.posture import Posture
from leeward.terms.regime import Looks, Regime, RegimeStanding, Stay, TurnMeans
from leeward.terms.site import Site
from leeward.terms.skin import Change, SkinCheck, SkinFinding
from leeward.tissue.skin_evidence import (
    began,
    contradicting,
    counted_looks,
    damaged_sites,
    doubted_sites,
)

NOW = datetime(2026, 11, 28, 9, 0, tzinfo=UTC)
LAIN = Regime(
    "by hand",
    RegimeStanding.CLEAR,
    TurnMeans.BY_HAND,
    (Stay(Posture(), 7200.0),),
    Mattress(),
    first=date(2026, 11, 10),
)
CASE = Case(
    person=Person("invented", Body(1.65, 62.0, Sex.FEMALE), has_dark_skin=False),
    bed=Bed(),
    equipment=None,
    day=Day(DaySpan(79200.0, 25200.0)),
    regimes=(LAIN,),
)
OPEN = SkinFinding.OPEN


def look(day: int, finding: SkinFinding = SkinFinding.CLEAR, **changes: object) -> SkinCheck:
    plain = SkinCheck(datetime(2026, 11, day, 8, 0, tzinfo=UTC), "nurse", Site.SACRUM, finding)
    return replace(plain, **changes)


def contradicts(*checks: SkinCheck, lain: Regime = LAIN, later: tuple[Regime, ...] = ()) -> bool:
    return bool(contradicting(lain, replace(CASE, skin_checks=checks, regimes=(lain, *later))))


def damaged(*checks: SkinCheck, tone: bool | None = False) -> frozenset[Site]:
    person = replace(CASE.person, has_dark_skin=tone)
    return damaged_sites(replace(CASE, person=person, skin_checks=checks), NOW)


def test_skin_speaks_of_a_regime_from_its_first_day_else_from_the_first_look():
    looks = Looks(3, date(2026, 11, 12), date(2026, 11, 16), "nurse", True)
    assert began(replace(LAIN, looks=looks)) == date(2026, 11, 10)
    assert began(replace(LAIN, first=None, looks=looks)) == date(2026, 11, 12)
    assert began(replace(LAIN, first=None)) is None


@pytest.mark.parametrize(("day", "expected"), [(9, False), (10, True), (11, True)])
def test_damage_contradicts_from_the_first_day_on(day: int, expected: bool):
    assert contradicts(look(day, OPEN)) is expected


@pytest.mark.parametrize(("day", "expected"), [(9, False), (10, True)])
def test_only_damage_seen_before_the_first_day_is_older(day: int, expected: bool):
    assert contradicts(look(day, OPEN), look(15, OPEN)) is expected


def test_an_old_wound_that_was_seen_healed_excuses_no_new_one():
    assert contradicts(look(3, OPEN), look(8), look(15, OPEN))
    assert not contradicts(look(3, OPEN), look(8, SkinFinding.NOT_SEEN), look(15, OPEN))


def test_without_a_first_day_all_damage_contradicts():
    assert contradicts(look(1, OPEN), lain=replace(LAIN, first=None))


ENDED = replace(LAIN, last=date(2026, 11, 15))
FAILED = replace(
    LAIN,
    name="four-hourly",
    standing=RegimeStanding.FAILED,
    first=date(2026, 11, 15),
    last=date(2026, 11, 20),
    failed_sites=(Site.SACRUM,),
)


@pytest.mark.parametrize(("day", "expected"), [(18, True), (19, False), (23, False), (24, True)])
def test_damage_is_a_later_regimes_only_where_it_can_be(day: int, expected: bool):
    """Skin shows for three days what a regime did: until then both may have done it."""
    assert contradicts(look(day, OPEN), lain=ENDED, later=(FAILED,)) is expected


@pytest.mark.parametrize(
    "changes",
    [
        {"failed_sites": (Site.SPINE,)},
        {"standing": RegimeStanding.CLEAR},
        {"first": None},
        {"first": date(2026, 11, 14)},
        {"first": date(2026, 11, 20)},
    ],
)
def test_another_regime_does_not_excuse_what_it_did_not_do(changes: dict[str, object]):
    assert contradicts(look(19, OPEN), lain=ENDED, later=(replace(FAILED, **changes),))


def test_a_failed_regime_still_going_on_takes_later_damage():
    assert not contradicts(look(27, OPEN), lain=ENDED, later=(replace(FAILED, last=None),))


def test_a_regime_still_going_on_passes_its_damage_to_no_other():
    assert contradicts(look(19, OPEN), later=(FAILED,))


@pytest.mark.parametrize(
    ("changes", "heals"),
    [
        ({}, True),
        ({"is_competent": False}, False),
        ({"firmness": Change.YES}, False),
        ({"finding": SkinFinding.NOT_SEEN}, False),
        ({"finding": SkinFinding.REDNESS_THAT_FADES, "minutes_after_unloading": 5.0}, False),
    ],
)
def test_only_a_competent_clear_look_sees_damage_gone(changes: dict[str, object], heals: bool):
    assert (damaged(look(20, **changes), look(12, OPEN)) == frozenset()) is heals


def test_damage_after_a_clear_look_is_damage():
    assert damaged(look(20, OPEN), look(12)) == {Site.SACRUM}


def test_damage_that_anyone_saw_is_damage():
    assert damaged(look(12, OPEN, is_competent=False)) == {Site.SACRUM}


def test_a_look_dated_later_has_seen_nothing_gone():
    assert damaged(look(30), look(12, OPEN)) == {Site.SACRUM}


@pytest.mark.parametrize("tone", [True, None])
def test_on_dark_skin_or_of_unknown_tone_a_look_without_touch_sees_nothing_gone(tone: bool | None):
    felt = {"warmth": Change.NO, "firmness": Change.NO}
    assert damaged(look(20), look(12, OPEN), tone=tone) == {Site.SACRUM}
    assert damaged(look(20, **felt), look(12, OPEN), tone=tone) == frozenset()


def counted(*checks: SkinCheck, lain: Regime = LAIN) -> tuple[int, float]:
    case = replace(CASE, skin_checks=checks)
    return counted_looks(lain, case, after=None, now=NOW).get(Site.SACRUM, (0, 0.0))


def test_looks_are_counted_with_the_hours_they_cover():
    assert counted(look(10), look(11), look(13)) == (3, 72.0)


def test_two_entries_of_one_moment_are_one_look():
    assert counted(look(11), look(11, by="second nurse"))[0] == 1


@pytest.mark.parametrize(("day", "count"), [(9, 0), (10, 1), (18, 1), (19, 0)])
def test_looks_count_from_the_first_day_to_three_days_after_the_last(day: int, count: int):
    assert counted(look(day), lain=ENDED)[0] == count


def test_no_look_belongs_to_a_regime_nobody_dated():
    assert counted(look(11), lain=replace(LAIN, first=None))[0] == 0


@pytest.mark.parametrize(("minutes", "count"), [(0, 1), (1, 0)])
def test_a_look_dated_after_now_is_not_evidence(minutes: int, count: int):
    later = look(11, when=NOW + timedelta(minutes=minutes))
    assert counted(later)[0] == count


@pytest.mark.parametrize(("day", "count"), [(12, 0), (13, 1)])
def test_the_day_of_an_event_does_not_count(day: int, count: int):
    case = replace(CASE, skin_checks=(look(day),))
    found = counted_looks(LAIN, case, after=date(2026, 11, 12), now=NOW)
    assert found.get(Site.SACRUM, (0, 0.0))[0] == count


@pytest.mark.parametrize(
    ("changes", "doubted"),
    [
        ({"warmth": Change.YES}, True),
        ({"pain": Change.YES}, True),
        ({"warmth": Change.NO, "firmness": Change.NO}, False),
        ({"finding": SkinFinding.REDNESS_THAT_FADES, "minutes_after_unloading": 30.0}, True),
        ({"finding": SkinFinding.REDNESS_THAT_FADES, "minutes_after_unloading": 29.0}, False),
        ({"finding": SkinFinding.CLEAR, "minutes_after_unloading": 90.0}, False),
    ],
)
def test_a_look_that_is_not_clear_casts_doubt_on_its_site(
    changes: dict[str, object], doubted: bool
):
    case = replace(CASE, skin_checks=(look(12, is_competent=False, **changes),))
    assert (doubted_sites(LAIN, case) == {Site.SACRUM}) is doubted
