from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from leeward.programme.acceptance import cannot_accept
from leeward.programme.cautions import cautions
from leeward.programme.offloading import manual_tasks
from leeward.terms.bed_sheet import BedSheet
from leeward.terms.body import Limb, RestAngles
from leeward.terms.equipment import AfterPowerLoss, SurfaceKind
from leeward.terms.fit_sheet import FitSheet
from leeward.terms.person import Aim, Line, Observation, ProtectedSite
from leeward.terms.site import Site
from leeward.terms.skin import SkinCheck, SkinFinding
from tests.unit.programme import invented
from tests.unit.programme.invented import NOW


def raised(given):
    return {reason.code for reason in cautions(given, NOW)}


def open_questions(given):
    return [reason.code for reason in cannot_accept(given, manual_tasks(given), NOW)]


ALWAYS = {"ask-first", "feels-less-secure", "body-follows-differently", "rails-and-gaps"}


def test_a_case_with_nothing_open_raises_only_what_always_applies():
    assert raised(invented.case()) == ALWAYS
    assert open_questions(invented.case()) == []


@pytest.mark.parametrize(
    "asked",
    [
        "pain",
        "pain relief",
        "spasm",
        "agitation",
        "motion sickness",
        "spinal injury at T6 or above",
        "pounding headache",
        "recent surgery",
        "shoulder or hip",
        "a lung",
        "an eye",
        "an ear",
        "reflux",
        "pregnancy",
        "loose stools",
        "tubes",
    ],
)
def test_what_no_field_of_the_case_holds_is_asked_before_the_first_turn(asked):
    first = next(one for one in cautions(invented.case(), NOW) if one.code == "ask-first")
    assert asked in first.sentence
    assert "What nobody answered is not answered with no." in first.sentence


def test_rails_and_gaps_stay_to_be_looked_at_whatever_was_measured():
    def said(given):
        return next(r.sentence for r in cautions(given, NOW) if r.code == "rails-and-gaps")

    assert said(invented.case()).startswith("Rails and gaps are not checked here")
    measured = said(replace(invented.case(), fit_sheet=FitSheet(BedSheet("Bed", ""), "Adviser")))
    assert "by `leeward fit`, from no more than Adviser measured" in measured
    assert measured.endswith("look at both at the largest turn.")


def test_a_look_older_than_a_day_is_overdue():
    assert "look-overdue" not in raised(invented.case())
    late = {reason.code for reason in cautions(invented.case(), NOW + timedelta(hours=24))}
    assert "look-overdue" in late


def test_no_look_at_all_is_said():
    assert "no-look-recorded" in raised(invented.case(skin_checks=()))


def test_colour_is_not_trusted_unless_the_tone_is_known_to_be_light():
    for tone in (True, None):
        assert "colour-proves-nothing" in raised(
            invented.case(person=invented.person(has_dark_skin=tone))
        )


def test_damage_is_a_caution_and_blocks_until_the_site_is_protected():
    check = SkinCheck(
        datetime(2026, 3, 2, 8, 30, tzinfo=UTC), "Invented nurse", Site.SACRUM, SkinFinding.OPEN
    )
    given = invented.case(skin_checks=(check,))
    assert "damaged-skin" in raised(given)
    assert open_questions(given) == ["damage-not-protected"]
    guarded = invented.person(protected_sites=(ProtectedSite(Site.SACRUM, "open wound"),))
    assert open_questions(replace(given, person=guarded)) == []


def test_a_look_that_did_not_see_the_site_ends_no_damage():
    found = SkinCheck(datetime(2026, 2, 1, tzinfo=UTC), "N", Site.SPINE, SkinFinding.OPEN)
    for finding in (SkinFinding.NOT_SEEN, SkinFinding.REDNESS_THAT_FADES):
        later = replace(found, when=datetime(2026, 3, 2, 8, 0, tzinfo=UTC), finding=finding)
        given = invented.case(skin_checks=(found, later))
        assert "damaged-skin" in raised(given)
        assert open_questions(given) == ["damage-not-protected"]


def test_damage_that_was_seen_gone_is_past():
    red = SkinCheck(
        datetime(2026, 2, 1, tzinfo=UTC), "N", Site.SPINE, SkinFinding.REDNESS_THAT_STAYS
    )
    clear = SkinCheck(datetime(2026, 3, 2, 8, 0, tzinfo=UTC), "N", Site.SPINE, SkinFinding.CLEAR)
    assert "damaged-skin" not in raised(invented.case(skin_checks=(clear, red)))


def test_what_is_dated_ahead_of_its_time_blocks():
    given = invented.case()
    assert given.person.consent is not None
    assert not {"consent-in-the-future", "look-in-the-future"} & set(open_questions(given))
    later = NOW + timedelta(days=2)
    consent = replace(given.person.consent, when=later.date())
    unsaid = replace(given, person=replace(given.person, consent=consent))
    assert "consent-in-the-future" in open_questions(unsaid)
    look = SkinCheck(later, "invented nurse", Site.SACRUM, SkinFinding.CLEAR)
    unseen = replace(given, skin_checks=(*given.skin_checks, look))
    assert "look-in-the-future" in open_questions(unseen)


def test_a_line_nobody_checked_blocks_acceptance():
    tube = invented.person(lines=(Line("feeding tube", None, 0.5, None),))
    given = invented.case(person=tube)
    assert "line-slack-unknown" in raised(given)
    assert open_questions(given) == ["line-slack-unknown"]


def test_a_checked_line_is_watched_and_blocks_nothing():
    given = invented.case(person=invented.person(lines=(Line("catheter", None, 0.5, 0.5),)))
    assert "lines" in raised(given)
    assert open_questions(given) == []


def test_unanswered_consent_aim_and_right_to_refuse_block():
    asked = invented.person(consent=None, aim=None, knows_right_to_refuse=None)
    assert open_questions(invented.case(person=asked)) == [
        "consent-open",
        "aim-open",
        "right-to-refuse-open",
    ]


def test_heels_head_and_elbows_without_owner_or_method_block():
    assert open_questions(invented.case(offloading=())) == ["no-owner"] * 3
    given = invented.case()
    without_method = tuple(replace(one, method=" ") for one in given.offloading)
    assert open_questions(replace(given, offloading=without_method)) == ["no-owner"] * 3


def test_a_missing_leg_needs_no_heel_floated():
    given = invented.case()
    legless = replace(
        given.person, body=replace(given.person.body, missing=frozenset({Limb.LEFT_LEG_BELOW_KNEE}))
    )
    kept = tuple(one for one in given.offloading if one.site is not Site.LEFT_HEEL)
    assert open_questions(replace(given, person=legless, offloading=kept)) == []


def test_no_rounds_blocks():
    given = invented.case()
    assert open_questions(replace(given, day=replace(given.day, rounds=()))) == ["no-rounds"]


def test_comfort_comes_first_in_the_last_days():
    given = invented.case(person=invented.person(aim=Aim.LAST_DAYS, goals=""))
    assert {"comfort-first", "goals-not-asked"} <= raised(given)


def test_a_concern_of_the_team_is_repeated():
    fever = Observation("temperature", "38.6 °C", date(2026, 3, 1), is_concern=True)
    quiet = replace(fever, is_concern=False)
    assert "concern" in raised(invented.case(person=invented.person(observations=(fever,))))
    assert "concern" not in raised(invented.case(person=invented.person(observations=(quiet,))))


def test_large_fixed_bends_are_named_with_their_angle():
    given = invented.case()
    bent = replace(given.person.body, rest_angles=RestAngles(left_hip_flexion=0.7))
    reasons = cautions(replace(given, person=replace(given.person, body=bent)), NOW)
    (found,) = [reason for reason in reasons if reason.code == "fixed-bends"]
    assert found.numbers[0].name == "left hip"
    assert found.numbers[0].value == 40.1


def test_what_nobody_measured_at_the_bed_is_said():
    given = invented.case(invented.unit(SurfaceKind.WHOLE, after_power_loss=AfterPowerLoss.UNKNOWN))
    bare = replace(given.bed, layers=None, friction=None)
    assert {"layers-not-looked-at", "friction-not-measured", "power-loss"} <= raised(
        replace(given, bed=bare)
    )
    unplaced = invented.case()
    assert "line-not-measured" in raised(
        replace(unplaced, placement=replace(unplaced.placement, line_offset=None))
    )


def test_no_sentence_promises_safety():
    given = invented.case(offloading=(), person=invented.person(consent=None, aim=None))
    said = [*cautions(given, NOW), *cannot_accept(given, manual_tasks(given), NOW)]
    assert not any("safe" in reason.sentence.lower() for reason in said)


def test_nothing_is_accepted_before_someone_has_looked_at_the_skin():
    assert open_questions(invented.case(skin_checks=())) == ["no-look"]
