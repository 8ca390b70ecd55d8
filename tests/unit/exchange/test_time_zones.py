"""Zones that mean the same everywhere, and wall times that are one moment."""

from datetime import UTC, datetime
from zoneinfo import available_timezones

import pytest

from leeward.exchange.field_types import Refusal
from leeward.exchange.problems import FileRefused
from leeward.exchange.time_zones import aware, known_zone
from tests.unit.exchange.case_texts import changed, read_text

LOOK = """
  - when: {when}
    by: Test nurse
    all_other_sites_clear: true
"""


@pytest.mark.parametrize(
    "name",
    [
        "localtime",
        "posixrules",
        "right/UTC",
        "right/Europe/London",
        "posix/Europe/London",
        "Factory",
        "EST5EDT",
        "Japan",
        "",
        "/etc/localtime",
        "Europe/../Europe/London",
        "Europe/London\n",
        "EUROPE",
        "Europe/Nowhere",
    ],
)
def test_a_zone_that_differs_between_machines_is_refused(name: str):
    with pytest.raises(Refusal) as refused:
        known_zone(name)
    assert "no time zone named" in refused.value.what
    assert "an area and a city" in refused.value.expected


def test_every_area_and_city_is_taken():
    named = {name for name in available_timezones() if "/" in name}
    assert len(named) > 400
    assert {known_zone(name) for name in named | {"UTC"}} == named | {"UTC"}


def test_a_time_the_clock_never_showed_is_named_by_its_own_line_and_field():
    text = changed("skin_checks:\n", "skin_checks:" + LOOK.format(when="2026-03-29 01:30"))
    with pytest.raises(FileRefused) as refused:
        read_text(text)
    problem = refused.value.problems[0]
    assert "2026-03-29 01:30 does not name one moment" in problem.what
    assert problem.field == "skin_checks[1].when"
    assert problem.line is not None
    assert text.splitlines()[problem.line - 1].strip() == "- when: 2026-03-29 01:30"


def test_a_time_the_clock_showed_twice_is_refused_by_its_place():
    with pytest.raises(Refusal) as refused:
        aware(
            datetime.fromisoformat("2026-10-25 01:30"), "Europe/London", ("hand_checks", 0, "when")
        )
    assert refused.value.place == ("hand_checks", 0, "when")


def test_a_time_with_its_offset_stays_as_it_is():
    moment = datetime(2026, 3, 29, 1, 30, tzinfo=UTC)
    assert aware(moment, "Europe/London") is moment
