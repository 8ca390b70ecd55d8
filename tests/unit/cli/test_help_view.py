"""What would help, as it is printed."""

import pytest

from leeward.cli.help_view import show_helps
from leeward.programme.changes import Size
from leeward.programme.helps import Help
from leeward.terms.site import Site
from leeward.terms.verdict import Reason


def test_each_change_says_what_it_would_do_and_what_it_asks_for(capsys: pytest.CaptureFixture[str]):
    now = Help("as-it-is", "As it is", Size.SETTING, False, 2.61, 2.2, 3.4, Site.LEFT_CALF, 0.0)
    tilted = Help(
        "head-up",
        "With the whole bed tilted",
        Size.SETTING,
        False,
        1.01,
        1.0,
        1.2,
        Site.RIGHT_BUTTOCK,
        0.06,
        decides="That is for the prescriber.",
        by_hand=Reason("turns-by-hand", "With turns by hand, at 06:30, it would reach."),
    )
    unit = Help("more-turn", "With a unit", Size.UNIT, True, 0.82, 0.8, 0.9, Site.SPINE, 1.0)
    show_helps((now, unit, tilted))
    said = " ".join(capsys.readouterr().out.split())
    assert (
        "As it is, none qualifies: the lowest index is 2.61 (2.20 to 3.40), at the left calf."
        in said
    )
    assert "With a unit, a programme would qualify, with a largest index of 0.82" in said
    assert "Asks for another unit; by itself it suffices in 100% of the draws." in said
    assert "With turns by hand as well, at 06:30, it would reach." in said
    assert "That is for the prescriber." in said
    assert "None is offered by it" in said


def test_where_nobody_asked_nothing_is_printed(capsys: pytest.CaptureFixture[str]):
    show_helps(())
    assert capsys.readouterr().out == ""
