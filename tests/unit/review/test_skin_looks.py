"""Only looks that count are counted."""

from datetime import timedelta

from leeward.review.skin_looks import skin_looks
from leeward.terms.site import RESPONSIVE_SITES, Site
from leeward.terms.skin import SkinCheck, SkinFinding
from tests.unit.review.plans import NOW


def look(hours_ago, finding=SkinFinding.CLEAR, site=Site.SACRUM, competent=True):
    return SkinCheck(NOW - timedelta(hours=hours_ago), "nurse", site, finding, competent)


def everywhere(hours_ago):
    return [look(hours_ago, site=site) for site in RESPONSIVE_SITES]


def test_the_last_competent_look_counts():
    looks = [*everywhere(5), look(30), look(1, competent=False)]
    found = skin_looks(looks, with_touch=False, now=NOW)
    assert found.last == NOW - timedelta(hours=5)
    assert not found.is_overdue


def test_a_look_at_one_site_does_not_make_the_others_seen():
    found = skin_looks([*everywhere(40), look(1)], with_touch=False, now=NOW)
    assert found.is_overdue
    assert "not at every site" in found.sentence


def test_a_look_without_touch_is_none_where_touch_is_needed():
    assert skin_looks(everywhere(1), with_touch=True, now=NOW).is_overdue


def test_a_site_not_seen_is_no_look():
    assert skin_looks([look(1, SkinFinding.NOT_SEEN)], with_touch=False, now=NOW).is_overdue


def test_damage_is_kept_until_a_later_look_finds_the_site_clear():
    red = look(20, SkinFinding.REDNESS_THAT_STAYS)
    other = look(1, site=Site.LEFT_HEEL)
    assert skin_looks([red, other], with_touch=False, now=NOW).damaged == (Site.SACRUM,)
    assert skin_looks([red, other, look(2)], with_touch=False, now=NOW).damaged == ()


def test_damage_that_an_untrained_person_found_is_damage_until_seen_gone():
    found = look(3, SkinFinding.OPEN, competent=False)
    assert skin_looks([look(20), found], with_touch=False, now=NOW).damaged == (Site.SACRUM,)
    unseen = look(1, SkinFinding.NOT_SEEN)
    assert skin_looks([found, unseen], with_touch=False, now=NOW).damaged == (Site.SACRUM,)
    clear = look(1)
    assert skin_looks([found, clear], with_touch=False, now=NOW).damaged == ()
    assert skin_looks([found, clear], with_touch=True, now=NOW).damaged == (Site.SACRUM,)


def test_a_look_a_day_ago_to_the_minute_is_not_yet_overdue():
    assert not skin_looks(everywhere(24), with_touch=False, now=NOW).is_overdue
    assert skin_looks(everywhere(24.1), with_touch=False, now=NOW).is_overdue
