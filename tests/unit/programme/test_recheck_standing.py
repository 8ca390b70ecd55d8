"""A regime stands only on looks that prove something for the present."""

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest

from leeward.terms.regime import Event, EventKind, Looks, RegimeStanding
from leeward.terms.site import RESPONSIVE_SITES, Site
from leeward.terms.skin import Change, SkinCheck, SkinFinding
from tests.unit.programme.recheck_sound import COMPARED, REGIME, SOUND, Sound

LOOKS = Looks(5, date(2030, 5, 12), date(2030, 5, 19), "B. Nurse", True)


def look(day: int, site: Site = Site.SACRUM, **changes: Any) -> SkinCheck:
    when = datetime(2030, 5, day, 8, tzinfo=UTC)
    return replace(SkinCheck(when, "B. Nurse", site, SkinFinding.CLEAR), **changes)


def everywhere(*days: int, **changes: Any) -> tuple[SkinCheck, ...]:
    return tuple(look(day, site, **changes) for day in days for site in RESPONSIVE_SITES)


@pytest.mark.parametrize(
    "changes",
    [{"count": 2}, {"first": date(2030, 5, 17)}, {"first": date(2030, 5, 20), "count": 9}],
)
def test_looks_too_few_or_too_close_prove_nothing(changes: dict[str, Any]):
    assert "not-seen-clear" in SOUND.under(looks=replace(LOOKS, **changes)).codes


def test_three_looks_over_72_hours_are_enough():
    just = replace(LOOKS, count=3, first=date(2030, 5, 16))
    assert SOUND.under(looks=just).codes == set()


@pytest.mark.parametrize("tone", [True, None])
def test_colour_alone_proves_nothing_on_dark_skin_or_unrecorded_skin(tone: bool | None):
    by_colour = SOUND.under(looks=replace(LOOKS, included_warmth_and_firmness=False))
    assert by_colour.codes == set()
    assert by_colour.but(has_dark_skin=tone).codes == {"colour-alone"}
    assert SOUND.but(has_dark_skin=tone).codes == set()


def test_a_look_in_the_future_is_found():
    assert "look-in-the-future" in SOUND.under(
        last=None, looks=replace(LOOKS, last=date(2030, 5, 21))
    ).codes  # fmt: skip


def test_looks_must_lie_under_the_regime():
    assert SOUND.under(first=date(2030, 5, 13)).codes == {"looks-outside-regime"}
    assert SOUND.under(last=date(2030, 5, 15)).codes == {"looks-outside-regime"}


@pytest.mark.parametrize("kind", EventKind)
def test_every_event_after_the_first_look_ends_a_clear_regime(kind: EventKind):
    for day, found in ((11, set()), (12, {"regime-ended"}), (19, {"regime-ended"})):
        assert SOUND.but(events=(Event(kind, date(2030, 5, day)),)).codes == found


def test_single_looks_can_stand_for_their_summary():
    assert SOUND.under(looks=None).codes == {"not-seen-clear"}
    assert SOUND.under(looks=None).but(skin_checks=everywhere(12, 14, 16)).codes == set()


@pytest.mark.parametrize(
    "checks",
    [
        everywhere(12, 16),
        everywhere(12, 13, 14),
        everywhere(12, 14, 16, is_competent=False),
        everywhere(12, 14, 16, finding=SkinFinding.NOT_SEEN),
        everywhere(12, 14, 16, finding=SkinFinding.REDNESS_THAT_FADES),
        everywhere(12, 14, 16, warmth=Change.YES),
        everywhere(21, 23, 25),
        tuple(look(day, site) for day, site in zip((12, 14, 16), RESPONSIVE_SITES, strict=False)),
    ],
)
def test_single_looks_that_prove_nothing_are_not_counted(checks: tuple[SkinCheck, ...]):
    assert "not-seen-clear" in SOUND.under(looks=None).but(skin_checks=checks).codes


def test_redness_that_fades_early_is_clear():
    fading = everywhere(
        12, 14, 16, finding=SkinFinding.REDNESS_THAT_FADES, minutes_after_unloading=10.0
    )
    assert SOUND.under(looks=None).but(skin_checks=fading).codes == set()


def test_single_looks_by_colour_do_not_count_where_touch_is_needed():
    single = SOUND.under(looks=None).but(has_dark_skin=None)
    assert "not-seen-clear" in single.but(skin_checks=everywhere(12, 14, 16)).codes
    felt = everywhere(12, 14, 16, warmth=Change.NO, firmness=Change.NO)
    assert single.but(skin_checks=felt).codes == set()


def test_single_looks_from_before_an_event_do_not_count():
    fever = (Event(EventKind.FEVER, date(2030, 5, 13)),)
    single = SOUND.under(looks=None).but(events=fever)
    assert "not-seen-clear" in single.but(skin_checks=everywhere(11, 12, 14, 16)).codes
    assert single.but(skin_checks=everywhere(14, 16, 18)).codes == set()


def heavier_sacrum(sound: Sound) -> Sound:
    """Half as much more load on the sacrum in every posture of the programme."""
    table = sound.ratios.ratio.copy()
    table[:, :, sound.ratios.sites.index(Site.SACRUM)] *= 1.5
    return sound.but(ratios=replace(sound.ratios, ratio=table))


def test_a_site_nobody_looked_at_often_enough_has_no_index():
    checks = everywhere(12, 14, 16)
    assert "index-above-one" in heavier_sacrum(SOUND).but(skin_checks=checks).codes
    unseen = tuple(check for check in checks if check.site is not Site.SACRUM)
    single = heavier_sacrum(SOUND.under(looks=None))
    assert "index-above-one" in single.but(skin_checks=checks).codes
    assert "index-above-one" not in single.but(skin_checks=unseen).codes


def test_damage_under_the_regime_says_it_was_not_clear():
    damage = look(15, Site.LEFT_TROCHANTER, finding=SkinFinding.REDNESS_THAT_STAYS)
    assert "damage-seen" in SOUND.but(skin_checks=(damage,)).codes


def test_damage_on_the_first_day_is_damage_under_the_regime():
    damage = look(1, Site.LEFT_TROCHANTER, finding=SkinFinding.OPEN)
    assert "damage-seen" in SOUND.but(skin_checks=(damage,)).codes


def test_without_a_first_day_the_first_look_begins_the_regime():
    for day, found in ((11, False), (12, True)):
        damage = look(day, Site.LEFT_TROCHANTER, finding=SkinFinding.OPEN)
        codes = SOUND.under(first=None).but(skin_checks=(damage,)).codes
        assert ("damage-seen" in codes) == found


def test_old_damage_and_damage_no_turn_could_prevent_do_not():
    old = look(1, finding=SkinFinding.OPEN)
    before = SOUND.under(first=date(2030, 5, 2))
    assert before.but(skin_checks=(old, look(15, finding=SkinFinding.OPEN))).codes == {
        "failed-regime-repeated"
    }
    heel = look(15, Site.LEFT_HEEL, finding=SkinFinding.OPEN)
    assert SOUND.but(skin_checks=(heel,)).codes == set()


def test_a_healed_site_is_no_longer_counted_as_damaged():
    old = look(1, finding=SkinFinding.REDNESS_THAT_STAYS)
    before = SOUND.under(first=date(2030, 5, 2))
    assert before.but(skin_checks=(old, look(10))).codes == set()
    untrained = look(10, is_competent=False)
    assert before.but(skin_checks=(old, untrained)).codes == {"failed-regime-repeated"}


def test_an_old_wound_that_was_seen_healed_excuses_no_new_one():
    checks = (look(1, finding=SkinFinding.OPEN), look(2), look(15, finding=SkinFinding.OPEN))
    assert "damage-seen" in SOUND.under(first=date(2030, 5, 3)).but(skin_checks=checks).codes


def test_on_dark_skin_a_look_without_touch_has_seen_no_damage_gone():
    old = look(1, finding=SkinFinding.REDNESS_THAT_STAYS)
    person = replace(SOUND.case.person, has_dark_skin=True)
    before = SOUND.under(first=date(2030, 5, 2)).but(person=person)
    seen = before.but(skin_checks=(old, look(10)))
    felt = before.but(skin_checks=(old, look(10, warmth=Change.NO, firmness=Change.NO)))
    assert "failed-regime-repeated" in seen.codes
    assert "failed-regime-repeated" not in felt.codes


def test_a_damaged_site_must_be_used_clearly_less_than_under_an_assumed_regime():
    named = {"standing": RegimeStanding.ASSUMED, "assumed_by": "D. Nurse", "source": "policy 3"}
    damage = look(15, finding=SkinFinding.OPEN)
    assert SOUND.under(**named).but(skin_checks=(damage,)).codes == {"failed-regime-repeated"}


def test_a_doubtful_look_leaves_less_room_at_its_site():
    warm = look(15, warmth=Change.YES)
    assert SOUND.but(skin_checks=(warm,)).codes == {"failed-regime-repeated"}


def test_damage_under_a_later_failed_regime_is_left_to_that_one():
    ended = {"last": date(2030, 5, 8), "looks": replace(LOOKS, first=date(2030, 5, 2),
                                                        last=date(2030, 5, 8))}  # fmt: skip
    damage = look(15, Site.LEFT_TROCHANTER, finding=SkinFinding.REDNESS_THAT_STAYS)
    alone = SOUND.under(**ended).but(skin_checks=(damage,))
    assert "damage-seen" in alone.codes
    assert alone.compared is not None
    later = replace(
        REGIME,
        name="later",
        standing=RegimeStanding.FAILED,
        first=date(2030, 5, 9),
        failed_sites=(Site.LEFT_TROCHANTER,),
    )
    both = alone.but(
        regimes=(alone.compared.regime, later), failed=(replace(COMPARED, regime=later),)
    )
    assert "damage-seen" not in both.codes
