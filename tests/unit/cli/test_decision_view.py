"""What a decision says on the terminal, cell by cell."""

from leeward.cli.decision_view import _main_cycle, index_text, posture_text
from leeward.exchange.way_words import choice_labels
from leeward.programme.decision import ChoiceName, SiteResult, SiteStanding
from leeward.programme.programme import Programme, Window
from leeward.terms.clock import DaySpan
from leeward.terms.posture import Posture, Support
from leeward.terms.regime import Stay
from leeward.terms.site import Site

HOUR = 3600.0
SIDES = (Stay(Posture(turn=0.5), HOUR), Stay(Posture(turn=-0.5), HOUR))
LEVEL = (Stay(Posture(), 2 * HOUR),)


def test_the_day_is_the_turning_window_and_not_one_whose_name_holds_the_word():
    programme = Programme(
        (
            Window("Sunday midday rest", DaySpan(0.0, 2 * HOUR), LEVEL, "Invented dietitian"),
            Window("day", DaySpan(2 * HOUR, 22 * HOUR), SIDES),
            Window("night", DaySpan(22 * HOUR, 0.0), SIDES),
        )
    )
    assert _main_cycle(programme, asleep=False).startswith("turned to the left")


def test_an_index_without_an_upper_end_says_so():
    half = SiteResult(Site.SACRUM, SiteStanding.COMPARED, 1.0, 0.92, 0.9, None, 1.0)
    assert index_text(half) == "0.92 (band not known)"


def test_of_several_choices_with_one_name_the_further_ones_have_their_number():
    names = [ChoiceName.CLOSEST, ChoiceName.CLOSEST, ChoiceName.BALANCED, ChoiceName.CLOSEST]
    labels = choice_labels(names)
    assert labels == ["closest", "closest, number 2", "balanced", "closest, number 3"]


def test_a_posture_says_its_supports_and_which_end_of_the_bed_is_down():
    held = Posture(head_up=-0.07, supports=frozenset({Support.LEG_BLOCK_LEFT}))
    assert posture_text(held) == ("level, head end down 4°, night posture block along the left leg")
