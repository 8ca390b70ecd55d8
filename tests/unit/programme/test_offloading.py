from dataclasses import replace

from leeward.programme.offloading import manual_tasks, work_min
from leeward.terms.body import Limb
from leeward.terms.site import MANUALLY_OFFLOADED_SITES, Site
from tests.unit.programme import invented
from tests.unit.programme.invented import HOUR


def sites(tasks):
    return {site for task in tasks for site in task.sites}


def test_every_site_no_turn_relieves_has_a_task():
    assert sites(manual_tasks(invented.case())) == set(MANUALLY_OFFLOADED_SITES)


def test_tasks_fall_on_the_carers_rounds_in_order():
    given = invented.case()
    given = replace(given, day=replace(given.day, rounds=(22 * HOUR, 7 * HOUR)))
    for task in manual_tasks(given):
        assert task.times == (7 * HOUR, 22 * HOUR)


def test_heels_stay_floated_to_the_next_round_and_the_head_only_for_a_while():
    heels, head, _ = manual_tasks(invented.case())
    assert heels.duration == 5 * HOUR
    assert head.duration == 0.5 * HOUR


def test_the_owners_own_method_is_what_the_task_says():
    heels = manual_tasks(invented.case())[0]
    assert (heels.owner, heels.what) == ("night carer", "floated")


def test_one_heel_without_an_owner_leaves_the_task_without_one():
    given = invented.case()
    one_heel = tuple(one for one in given.offloading if one.site is not Site.RIGHT_HEEL)
    heels = manual_tasks(replace(given, offloading=one_heel))[0]
    assert heels.owner == ""


def test_without_a_method_of_the_owner_the_task_says_how():
    heels = manual_tasks(invented.case(offloading=()))[0]
    assert "tendon above the heel" in heels.what


def test_untried_sites_get_an_early_look_by_who_floats_the_heels():
    looks = manual_tasks(invented.case(), (Site.LEFT_TROCHANTER,))[-1]
    assert looks.sites == (Site.LEFT_TROCHANTER,)
    assert "Look early" in looks.what
    assert looks.owner == "night carer"


def test_an_absent_foot_has_no_task():
    given = invented.case()
    body = replace(given.person.body, missing=frozenset({Limb.LEFT_LEG_BELOW_KNEE}))
    tasks = manual_tasks(replace(given, person=replace(given.person, body=body)))
    assert not {Site.LEFT_HEEL, Site.LEFT_TOES} & sites(tasks)
    assert Site.RIGHT_HEEL in sites(tasks)


def test_work_is_counted_round_by_round():
    assert work_min(manual_tasks(invented.case())) == 3 * 4 * 2.0
