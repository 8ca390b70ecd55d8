"""Which regime is compared: decided from looks, dates, events and the bed."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from leeward.terms.bed import Bed, Layer, LayerKind, Mattress, MattressKind
from leeward.terms.body import Body, Sex
from leeward.terms.case import Case
from leeward.terms.clock import DaySpan
from leeward.terms.day import Day
from leeward.terms.person import Person
from leeward.terms.posture import Posture
from leeward.terms.regime import (
    Event,
    EventKind,
    Looks,
    Policy,
    Regime,
    RegimeStanding,
    Stay,
    TurnMeans,
)
from leeward.terms.site import RESPONSIVE_SITES, Site
from leeward.terms.skin import Change, SkinCheck, SkinFinding
from leeward.tissue.standing import StandingDecision, decide_standing

NOW = datetime(2026, 11, 20, 9, 0, tzinfo=UTC)
FOAM = Mattress(MattressKind.FOAM, thickness=0.14, cv40=4000.0)
LOOKS = Looks(9, date(2026, 11, 2), date(2026, 11, 18), "ward team", True)
LAIN = Regime(
    "two-hourly by hand",
    RegimeStanding.CLEAR,
    TurnMeans.BY_HAND,
    (Stay(Posture(turn=0.5), 7200.0), Stay(Posture(turn=-0.5), 7200.0)),
    FOAM,
    layers=(),
    first=date(2026, 11, 1),
    looks=LOOKS,
)
CASE = Case(
    person=Person("invented", Body(1.65, 62.0, Sex.FEMALE), has_dark_skin=False),
    bed=Bed(mattress=FOAM, layers=()),
    equipment=None,
    day=Day(DaySpan(79200.0, 25200.0)),
    regimes=(LAIN,),
)


def with_regime(**changes: object) -> Case:
    return replace(CASE, regimes=(replace(LAIN, **changes),))


def look(site: Site = Site.SACRUM, day: int = 10, **changes: object) -> SkinCheck:
    plain = SkinCheck(
        datetime(2026, 11, day, 8, 0, tzinfo=UTC), "night nurse", site, SkinFinding.CLEAR
    )
    return replace(plain, **changes)


def codes(decision: StandingDecision) -> set[str]:
    return {reason.code for reason in (*decision.reasons, *decision.questions)}


def standing(case: Case) -> RegimeStanding | None:
    found = decide_standing(case, NOW).compared
    return None if found is None else found.standing


def test_a_regime_seen_clear_on_this_bed_is_compared():
    found = decide_standing(CASE, NOW)
    assert found.compared is not None
    assert found.compared.standing is RegimeStanding.CLEAR
    assert found.compared.seen_sites == frozenset(Site)
    assert found.reasons[0].numbers[1].value == 2.0
    assert found.questions == ()


@pytest.mark.parametrize(
    ("looks", "code"),
    [
        (replace(LOOKS, count=2), "looks-too-few"),
        (replace(LOOKS, last=date(2026, 11, 4)), "looks-too-few"),
        (replace(LOOKS, last=date(2026, 11, 21)), "looks-in-the-future"),
        (replace(LOOKS, first=date(2026, 10, 31)), "looks-outside-regime"),
    ],
)
def test_looks_that_prove_too_little_are_named(looks: Looks, code: str):
    found = decide_standing(with_regime(looks=looks), NOW)
    assert found.compared is None
    assert {code, "no-regime"} <= codes(found)


def test_three_looks_over_three_days_are_enough():
    looks = replace(LOOKS, count=3, last=date(2026, 11, 5))
    assert standing(with_regime(looks=looks)) is RegimeStanding.CLEAR


@pytest.mark.parametrize("has_dark_skin", [True, None])
def test_on_dark_skin_or_an_unrecorded_tone_looks_without_touch_do_not_count(
    has_dark_skin: bool | None,
):
    case = with_regime(looks=replace(LOOKS, included_warmth_and_firmness=False))
    person = replace(CASE.person, has_dark_skin=has_dark_skin)
    found = decide_standing(replace(case, person=person), NOW)
    assert found.compared is None
    assert "looks-without-touch" in codes(found)
    assert ("skin-tone-not-recorded" in codes(found)) == (has_dark_skin is None)


@pytest.mark.parametrize("kind", EventKind)
def test_every_listed_event_ends_a_clear_regime(kind: EventKind):
    found = decide_standing(replace(CASE, events=(Event(kind, date(2026, 11, 12)),)), NOW)
    assert found.compared is None
    assert "regime-expired" in codes(found)


@pytest.mark.parametrize(("day", "holds"), [(1, True), (2, False)])
def test_looks_must_all_come_after_the_event(day: int, holds: bool):
    case = replace(CASE, events=(Event(EventKind.FEVER, date(2026, 11, day)),))
    assert (standing(case) is RegimeStanding.CLEAR) is holds


@pytest.mark.parametrize(
    ("mattress", "code"),
    [
        (replace(FOAM, cv40=3000.0), "mattress-differ"),
        (replace(FOAM, cv40=None), "mattress-unknown"),
        (Mattress(), "mattress-unknown"),
    ],
)
def test_another_or_an_unknown_mattress_ends_a_clear_regime(mattress: Mattress, code: str):
    found = decide_standing(replace(CASE, bed=replace(CASE.bed, mattress=mattress)), NOW)
    assert found.compared is None
    assert code in codes(found)


def test_looks_may_begin_on_the_first_day_and_end_today():
    case = with_regime(looks=replace(LOOKS, first=date(2026, 11, 1), last=date(2026, 11, 20)))
    assert standing(case) is RegimeStanding.CLEAR


@pytest.mark.parametrize(("day", "holds"), [(15, True), (14, False)])
def test_looks_may_end_up_to_three_days_after_the_regime(day: int, holds: bool):
    case = with_regime(last=date(2026, 11, day))
    assert (standing(case) is RegimeStanding.CLEAR) is holds


def test_summed_looks_that_felt_the_skin_count_on_dark_skin():
    person = replace(CASE.person, has_dark_skin=True)
    assert standing(replace(CASE, person=person)) is RegimeStanding.CLEAR


def test_the_last_of_several_events_counts():
    events = (Event(EventKind.FEVER, date(2026, 11, 11)), Event(EventKind.FEVER, date(2026, 10, 1)))
    found = decide_standing(replace(single_looks(), events=events), NOW)
    assert found.compared is None
    assert ("regime-expired" in codes(found)) is True


def test_the_best_seen_site_is_the_one_reported():
    checks = (look(day=10), look(day=11), look(Site.SPINE, day=11))
    found = decide_standing(replace(with_regime(looks=None), skin_checks=checks), NOW)
    assert [(q.name, q.value) for q in found.reasons[0].numbers][::2] == [
        ("competent looks", 2.0),
        ("from first to last", 24.0),
    ]


def test_a_contradiction_names_the_day_of_the_damage_and_of_the_regime():
    case = replace(CASE, skin_checks=(look(day=15, finding=SkinFinding.OPEN),))
    told = [r for r in decide_standing(case, NOW).reasons if r.code == "damage-under-regime"]
    assert "2026-11-15" in told[0].sentence
    assert "2026-11-01" in told[0].sentence


@pytest.mark.parametrize(
    ("layers", "code"), [((Layer(LayerKind.PAD),), "layers-differ"), (None, "layers-unknown")]
)
def test_other_or_unknown_layers_end_a_clear_regime(layers: tuple[Layer, ...] | None, code: str):
    found = decide_standing(replace(CASE, bed=replace(CASE.bed, layers=layers)), NOW)
    assert found.compared is None
    assert code in codes(found)


def test_on_a_mattress_nobody_described_no_regime_is_clear_and_it_is_asked_which():
    undescribed = Bed(mattress=Mattress(), layers=())
    found = decide_standing(replace(with_regime(mattress=Mattress()), bed=undescribed), NOW)
    assert found.compared is None
    assert [question.code for question in found.questions] == ["no-regime", "which-mattress"]
    assert "mattress-not-described" in codes(found)


def test_on_a_mattress_nobody_described_an_assumed_regime_stays_assumed():
    policy = {"standing": RegimeStanding.ASSUMED, "assumed_by": "A. Nurse", "source": "ward policy"}
    assumed = replace(LAIN, **policy, mattress=Mattress())
    clear = replace(LAIN, mattress=Mattress())
    case = replace(CASE, regimes=(clear, assumed), bed=Bed(mattress=Mattress(), layers=()))
    found = decide_standing(case, NOW)
    assert found.compared is not None
    assert found.compared.standing is RegimeStanding.ASSUMED
    assert {"bed-not-described", "which-mattress"} <= codes(found)


def test_layers_nobody_looked_at_are_taken_as_unchanged_and_said_so():
    found = decide_standing(replace(with_regime(layers=None), bed=Bed(mattress=FOAM)), NOW)
    assert found.compared is not None
    assert "bed-not-described" in codes(found)


def test_damage_since_the_regime_began_contradicts_it_and_limits_there():
    damage = look(day=15, finding=SkinFinding.REDNESS_THAT_STAYS)
    found = decide_standing(replace(CASE, skin_checks=(damage,)), NOW)
    assert found.compared is None
    assert "damage-under-regime" in codes(found)
    assert [one.sites for one in found.failed] == [frozenset({Site.SACRUM})]


def test_a_wound_older_than_the_regime_leaves_the_other_sites_clear():
    old = look(day=15, finding=SkinFinding.OPEN, when=NOW - timedelta(days=40))
    found = decide_standing(
        replace(CASE, skin_checks=(old, look(day=15, finding=SkinFinding.OPEN))), NOW
    )
    assert found.compared is not None
    assert found.compared.not_clear_sites == {Site.SACRUM}
    assert Site.SACRUM not in found.compared.seen_sites
    assert [one.sites for one in found.failed] == [frozenset({Site.SACRUM})]


def test_a_sore_heel_says_nothing_of_the_turns_but_is_not_clear():
    found = decide_standing(
        replace(CASE, skin_checks=(look(Site.LEFT_HEEL, finding=SkinFinding.DEEP),)), NOW
    )
    assert found.compared is not None
    assert Site.LEFT_HEEL in found.compared.not_clear_sites


def test_damage_under_a_later_failed_regime_is_left_to_that_one():
    clear = replace(LAIN, last=date(2026, 11, 8), looks=replace(LOOKS, last=date(2026, 11, 8)))
    later = replace(
        LAIN,
        name="four-hourly",
        standing=RegimeStanding.FAILED,
        first=date(2026, 11, 9),
        looks=None,
        failed_sites=(Site.SACRUM,),
    )
    checks = (look(day=15, finding=SkinFinding.REDNESS_THAT_STAYS), look(day=19))
    found = decide_standing(replace(CASE, regimes=(clear, later), skin_checks=checks), NOW)
    assert found.compared is not None
    assert found.compared.regime is clear
    assert [one.regime.name for one in found.failed] == ["four-hourly"]


def test_firmness_unlike_the_skin_around_takes_its_site_out():
    checks = (look(Site.SPINE, firmness=Change.YES),)
    found = decide_standing(replace(CASE, skin_checks=checks), NOW)
    assert found.compared is not None
    assert found.compared.not_clear_sites == {Site.SPINE}


def single_looks(**changes: object) -> Case:
    checks = tuple(look(day=day, **changes) for day in (10, 11, 13))
    return replace(with_regime(looks=None), skin_checks=checks)


def test_single_looks_speak_for_their_own_sites_only():
    found = decide_standing(single_looks(), NOW)
    assert found.compared is not None
    assert found.compared.seen_sites == {Site.SACRUM}


@pytest.mark.parametrize(
    "changes",
    [
        {"is_competent": False},
        {"finding": SkinFinding.NOT_SEEN},
        {"finding": SkinFinding.REDNESS_THAT_FADES},
        {"finding": SkinFinding.REDNESS_THAT_FADES, "minutes_after_unloading": 30.0},
        {"site": Site.LEFT_HEEL},
    ],
)
def test_looks_that_show_no_clear_skin_do_not_count(changes: dict[str, object]):
    assert standing(single_looks(**changes)) is None


def test_redness_that_fades_soon_after_unloading_counts_as_clear():
    case = single_looks(finding=SkinFinding.REDNESS_THAT_FADES, minutes_after_unloading=10.0)
    assert standing(case) is RegimeStanding.CLEAR


def test_single_looks_on_dark_skin_count_with_touch_only():
    dark = replace(CASE.person, has_dark_skin=True)
    felt = {"warmth": Change.NO, "firmness": Change.NO}
    assert standing(replace(single_looks(), person=dark)) is None
    assert standing(replace(single_looks(**felt), person=dark)) is RegimeStanding.CLEAR


def test_single_looks_before_an_event_do_not_count():
    case = replace(single_looks(), events=(Event(EventKind.FEVER, date(2026, 11, 10)),))
    found = decide_standing(case, NOW)
    assert found.compared is None
    assert {"looks-too-few", "regime-expired"} <= codes(found)


ASSUMED = replace(
    LAIN,
    name="ward policy",
    standing=RegimeStanding.ASSUMED,
    looks=None,
    assumed_by="tissue viability nurse (invented)",
    source="ward book 3",
)


def test_an_assumed_policy_needs_a_name_and_a_source():
    assert standing(replace(CASE, regimes=(ASSUMED,))) is RegimeStanding.ASSUMED
    for lacking in (replace(ASSUMED, assumed_by=" "), replace(ASSUMED, source="")):
        found = decide_standing(replace(CASE, regimes=(lacking,)), NOW)
        assert found.compared is None
        assert "assumed-by-nobody" in codes(found)


def test_a_policy_alone_is_no_regime():
    policy = Policy("ward policy", "ward book 3", 7200.0, 0.5)
    found = decide_standing(replace(CASE, regimes=(), policy=policy), NOW)
    assert found.compared is None
    assert {"no-regime", "policy-not-assumed"} == codes(found)


def test_with_a_regime_seen_clear_nobody_is_asked_about_the_policy():
    policy = Policy("ward policy", "ward book 3", 7200.0, 0.5)
    assert decide_standing(replace(CASE, policy=policy), NOW).questions == ()


def test_what_was_seen_clear_goes_before_what_is_assumed():
    assert standing(replace(CASE, regimes=(ASSUMED, LAIN))) is RegimeStanding.CLEAR


def test_damage_now_is_held_below_an_assumed_policy_too():
    damage = look(finding=SkinFinding.OPEN)
    found = decide_standing(replace(CASE, regimes=(ASSUMED,), skin_checks=(damage,)), NOW)
    assert [one.sites for one in found.failed] == [frozenset({Site.SACRUM})]


def test_a_failed_regime_without_sites_limits_every_responsive_site():
    failed = replace(LAIN, name="six-hourly", standing=RegimeStanding.FAILED)
    found = decide_standing(replace(CASE, regimes=(LAIN, failed)), NOW)
    assert found.failed[0].sites == frozenset(RESPONSIVE_SITES)
    assert found.compared is not None


def test_a_regime_called_clear_that_lists_failed_sites_is_not_clear():
    found = decide_standing(with_regime(failed_sites=(Site.SPINE,)), NOW)
    assert found.compared is None
    assert "clear-and-failed" in codes(found)


def test_of_two_clear_regimes_the_present_one_is_compared():
    old = replace(LAIN, name="before", last=date(2026, 11, 18))
    older = replace(LAIN, name="long before", last=date(2026, 11, 17))
    for regimes, expected in (((LAIN, old), LAIN), ((older, old), old), ((old, older), old)):
        found = decide_standing(replace(CASE, regimes=regimes), NOW)
        assert found.compared is not None
        assert found.compared.regime is expected


def test_nothing_known_names_the_question():
    found = decide_standing(replace(CASE, regimes=()), NOW)
    assert [reason.code for reason in found.questions] == ["no-regime"]
